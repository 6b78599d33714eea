"""A PostgreSQL server of the tests' own, where one is installed: a fresh cluster in a temporary folder."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
from pathlib import Path


def programs() -> Path | None:
    """The folder with ``initdb`` and ``postgres``; ``None`` where there is none."""
    if found := shutil.which("initdb"):
        return Path(found).resolve().parent
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return folders[-1].parent if folders else None


class Cluster:
    """A cluster that listens on loopback only."""

    def __init__(self, bin_folder: Path, folder: Path) -> None:
        self._bin, self._folder = bin_folder, folder
        # The server refuses to run as root; Debian's package brings an account for it.
        self._user = "postgres" if hasattr(os, "geteuid") and os.geteuid() == 0 else None
        if self._user:
            shutil.chown(folder, self._user)
            folder.chmod(0o700)
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = int(probe.getsockname()[1])

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [str(self._bin / program), *arguments],
            user=self._user,
            cwd=self._folder,
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            timeout=120,
        )

    def start(self) -> str:
        """Make the cluster, start it, and give the URL of its first database."""
        data = str(self._folder / "data")
        self._run("initdb", "-D", data, "-U", "tests", "-A", "trust", "--no-sync", "-E", "UTF8", "--locale=C")
        options = f"-p {self.port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={self._folder}"
        self._run("pg_ctl", "-D", data, "-w", "-l", str(self._folder / "log.txt"), "-o", options, "start")
        return f"postgresql+psycopg://tests@127.0.0.1:{self.port}/postgres"

    def stop(self) -> None:
        """Stop it at once."""
        self._run("pg_ctl", "-D", str(self._folder / "data"), "-m", "immediate", "stop")
