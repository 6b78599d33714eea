"""A running server and a real Chromium for the tests of pages."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import nbformat
import psutil
import pytest

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
BROWSER_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


@dataclass
class Server:
    """A server in a process of its own."""

    process: subprocess.Popen[bytes]
    port: int
    log: Path
    opened: list[str] = field(default_factory=list)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def page(self, notebook: str, query: str = "") -> str:
        return f"{self.url}/voila/render/{notebook}" + (f"?{query}" if query else "")

    def get(self, path: str, headers: dict[str, str] | None = None) -> tuple[int, str]:
        """Fetch a path as a plain client: status and text."""
        request = urllib.request.Request(self.url + path, headers=headers or {})
        try:
            with urllib.request.urlopen(request, timeout=30) as answer:
                return answer.status, answer.read().decode("utf-8")
        except urllib.error.HTTPError as refused:
            with refused:
                return refused.code, refused.read().decode("utf-8", "replace")

    def said(self) -> str:
        return self.log.read_text("utf-8")

    def wait_for(self, text: str, seconds: float) -> str:
        """Wait until the server has printed a text; return all that it printed."""
        assert until(lambda: text in self.said() or self.process.poll() is not None, seconds), self.said()
        assert text in self.said(), self.said()
        return self.said()

    def kernels(self) -> list[psutil.Process]:
        """Return the pages' calculations: the child processes that were started as kernels."""
        found = []
        for child in psutil.Process(self.process.pid).children():
            try:
                if child.status() != psutil.STATUS_ZOMBIE and "ipykernel_launcher" in " ".join(
                    child.cmdline()
                ):
                    found.append(child)
            except (psutil.NoSuchProcess, psutil.ZombieProcess):
                continue  # it ended while it was being looked at
        return found

    def settled(self, count: int, seconds: float) -> bool:
        """Wait until there are so many calculations and none has computed anything for half a second."""

        def quiet() -> bool:
            before = self._computed()
            time.sleep(0.5)
            return len(before) == count and before == self._computed()

        return until(quiet, seconds)

    def _computed(self) -> dict[int, float]:
        return {one.pid: round(sum(one.cpu_times()[:2]), 1) for one in self.kernels()}

    def memory(self) -> float:
        """Memory of the server and its calculations in GB, shared pages counted once where the system tells."""
        every = [psutil.Process(self.process.pid), *self.kernels()]
        return sum(getattr(one.memory_full_info(), "pss", one.memory_info().rss) for one in every) / 1e9

    def stop(self) -> None:
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(20)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait(10)


def until(condition: Callable[[], bool], seconds: float) -> bool:
    """Wait for a condition; tell whether it came true in time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.1)
    return condition()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start(folder: Path | None, log: Path, *arguments: str) -> Server:
    """Start the server and wait until it has printed its address."""
    port = free_port()
    command = [
        sys.executable,
        "-c",
        "import sys; from hvaclib.cli.serve import main; sys.exit(main(sys.argv[1:]))",
    ]
    command += [
        "--no-browser",
        "--port",
        str(port),
        *(["--notebooks", str(folder)] if folder else []),
        *arguments,
    ]
    environment = os.environ | {"SECRET_OF_THE_SHELL": "not for pages", "PYTHONUNBUFFERED": "1"}
    with log.open("wb") as output:
        process = subprocess.Popen(
            command, stdout=output, stderr=subprocess.STDOUT, env=environment, cwd=log.parent
        )
    server = Server(process, port, log)
    server.wait_for("open at", 30)
    assert until(lambda: _listening(port), 10)
    return server


def _listening(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def write_notebook(path: Path, title: str, *code: str) -> None:
    """Write a notebook of one heading and some code cells."""
    cells = [nbformat.v4.new_markdown_cell(f"# {title}"), *(nbformat.v4.new_code_cell(cell) for cell in code)]
    notebook = nbformat.v4.new_notebook(cells=cells)
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(notebook), encoding="utf-8")


@pytest.fixture(scope="session")
def suite_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Server]]:
    """Give a function that starts a server: ``suite_server(folder=None, *arguments)``.

    Without a folder it serves the suite's own notebooks. The same call twice gives the same server.
    """
    running: dict[tuple[object, ...], Server] = {}

    def serve(folder: Path | None = None, *arguments: str) -> Server:
        key = (folder, *arguments)
        if key not in running:
            running[key] = start(folder, tmp_path_factory.mktemp("server") / "log.txt", *arguments)
        return running[key]

    yield serve
    for server in running.values():
        server.stop()


@pytest.fixture(scope="session")
def chromium():
    """Give a Chromium, or skip with the reason."""
    executable = next(filter(None, map(shutil.which, BROWSERS)), None)
    if executable is None and os.environ.get("HVACLIB_BROWSER_REQUIRED"):
        pytest.fail("no Chromium on this machine, and HVACLIB_BROWSER_REQUIRED asks for one")
    if executable is None:
        pytest.skip("no Chromium on this machine: browser tests are left out (Debian: apt install chromium)")
    sync_api = pytest.importorskip("playwright.sync_api", reason="the playwright package is not installed")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=BROWSER_FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def context(chromium):
    """Give what the pages of one file share: the browser's store of scripts, which costs a second a page to fill."""
    shared = chromium.new_context(viewport={"width": 1280, "height": 900})
    yield shared
    shared.close()


@pytest.fixture
def page(context):
    """Give a fresh page of 1280 × 900; its requests are kept in ``page.requested``, its errors in ``page.errors``."""
    one = context.new_page()
    one.requested, one.errors = [], []
    one.on("request", lambda request: one.requested.append(request.url))
    one.on("websocket", lambda line: one.requested.append(line.url))
    one.on("pageerror", lambda error: one.errors.append(str(error)))
    one.on(
        "response",
        lambda answer: one.errors.append(f"{answer.status} {answer.url}") if answer.status >= 400 else None,
    )
    yield one
    if not one.is_closed():
        one.goto("about:blank")  # lets the page say that it is being left
        one.close()
