"""``python -m hvaclib [serve]``: open the dashboards in a browser."""

from __future__ import annotations

import argparse
import errno
import os
import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from hvaclib.cli.server.locate import START, find_notebook, notebook_folder, template_folder
from hvaclib.errors import HvacError, InputError

DEFAULT_PORT = 8866
PORTS_TRIED = 20  # from the default upwards, where no port was asked for
DWELLING_VARIABLE = "HVACLIB_DWELLING"


class _Arguments(argparse.ArgumentParser):
    """Refuses in one sentence."""

    def error(self, message: str) -> NoReturn:
        """Leave with status 2 and the sentence."""
        self.exit(2, f"{message[:1].upper()}{message[1:].rstrip('.')}.\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the server until it is stopped.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; those of the process if left out.

    Returns
    -------
    int
        0 after a normal stop, 2 if the arguments cannot be followed; the reason is one sentence on standard error.
    """
    arguments = _parser().parse_args(argv)
    try:
        _run(arguments)
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = _Arguments(prog="python -m hvaclib serve", description="Open the dashboards in a browser.")
    parser.add_argument(
        "notebook",
        nargs="?",
        default=START,
        help="the page to open, such as classroom/draft.ipynb (default: %(default)s)",
    )
    parser.add_argument(
        "--port", type=_whole(0, 65535), help=f"port (default: the first free one from {DEFAULT_PORT})"
    )
    parser.add_argument(
        "--ip",
        default="127.0.0.1",
        help="address to listen on; beyond this machine a token is asked (default: %(default)s)",
    )
    parser.add_argument("--no-browser", action="store_true", help="print the address, open nothing")
    parser.add_argument("--dwelling", metavar="FILE", help="the dwelling file that the boards open")
    parser.add_argument(
        "--class", dest="pupils", metavar="N", type=_whole(1, 500), help="keep N pages of the notebook ready"
    )
    parser.add_argument("--preheat", action="store_true", help="keep one page of every notebook ready")
    parser.add_argument(
        "--idle", metavar="SECONDS", type=_whole(1, 86400), default=600,
        help="end a calculation that has had no page for so long (default: %(default)s)",
    )  # fmt: skip
    parser.add_argument(
        "--notebooks", metavar="FOLDER", help="serve this folder instead of the suite's notebooks"
    )
    return parser


def _whole(least: int, most: int):  # type: ignore[no-untyped-def]
    def whole(text: str) -> int:
        if text.isascii() and text.isdigit() and least <= int(text) <= most:
            return int(text)
        raise argparse.ArgumentTypeError(f"found {text!r}; expected a whole number from {least} to {most}")

    return whole


def _run(arguments: argparse.Namespace) -> None:
    folder = Path(arguments.notebooks) if arguments.notebooks else notebook_folder()
    if not folder.is_dir():
        raise InputError("there is no such folder", where="--notebooks", given=str(folder))
    root, notebook = find_notebook(arguments.notebook, folder)
    if arguments.dwelling:
        os.environ[DWELLING_VARIABLE] = str(checked_dwelling(arguments.dwelling))
    sockets, loopback = bind(arguments.ip, arguments.port)
    token = "" if loopback else secrets.token_urlsafe(24)
    _find_template()
    # The server's packages take half a second to import: only after everything that can be refused at once.
    from hvaclib.cli.server.application import SPARE_KERNELS, Settings, SuiteServer

    pages_ready, ceiling = {}, None
    if arguments.pupils:
        pages_ready, ceiling = {notebook: arguments.pupils}, arguments.pupils + SPARE_KERNELS
        for variable in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
            os.environ.setdefault(variable, "1")  # the pupils' pages share the processors already
    elif arguments.preheat:
        pages_ready = dict.fromkeys(_notebooks(root), 1)
    settings = Settings(
        root=str(root), first_page=notebook, sockets=sockets, ip=arguments.ip, token=token,
        pages_ready=pages_ready, kernel_ceiling=ceiling, idle=arguments.idle,
    )  # fmt: skip
    server = SuiteServer.build(settings)
    address = shown_address(arguments.ip, sockets[0].getsockname()[1]) + (f"?token={token}" if token else "")
    print(f"The suite is open at {address}\nStop it with Ctrl+C.", flush=True)
    if pages_ready:
        print(
            f"Preparing {sum(pages_ready.values())} pages; wait for 'ready' before they are opened.",
            flush=True,
        )
    if not arguments.no_browser:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    server.start()


def checked_dwelling(name: str) -> Path:
    """Return the absolute path of a dwelling file that can be read as one.

    Raises
    ------
    FileError
        If it cannot; the sentence names file and key.
    """
    from hvaclib.house.file import read_dwelling

    path = Path(name).resolve()
    read_dwelling(path)
    return path


def bind(ip: str, port: int | None) -> tuple[list[socket.socket], bool]:
    """Bind the sockets to serve on, before anything else is started.

    Parameters
    ----------
    ip : str
        Address or name of this machine, or ``0.0.0.0`` for every address.
    port : int or None
        The port; 0 for any free one; None for the first free one from the default.

    Returns
    -------
    tuple of (list of socket.socket, bool)
        The sockets, and whether only this machine can reach them.

    Raises
    ------
    InputError
        If the address is not one of this machine's or the port is in use.
    """
    from tornado.netutil import bind_sockets

    family = socket.AF_INET6 if ":" in ip else socket.AF_INET
    for candidate in range(DEFAULT_PORT, DEFAULT_PORT + PORTS_TRIED) if port is None else [port]:
        try:
            sockets = bind_sockets(candidate, ip, family=family)
        except socket.gaierror:
            break
        except OSError as error:
            if error.errno == errno.EADDRNOTAVAIL:
                break
            if port is None and error.errno in (errno.EADDRINUSE, errno.EACCES):
                continue
            raise InputError(
                _why(error), where=f"--port {candidate}", expected="a free port, or no --port"
            ) from None
        return sockets, all(_is_loopback(one.getsockname()[0]) for one in sockets)
    else:
        raise InputError(
            "every port is in use", where=f"ports {DEFAULT_PORT} to {DEFAULT_PORT + PORTS_TRIED - 1}"
        )
    raise InputError(
        "this is not an address of this machine",
        where="--ip",
        given=ip,
        expected="such as 127.0.0.1 or 0.0.0.0",
    )


def shown_address(ip: str, port: int) -> str:
    """Return the address that others type: for ``0.0.0.0`` that of the network card in use."""
    host = ip
    if ip in ("0.0.0.0", "::"):
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            try:
                probe.connect(("192.0.2.1", 9))  # an address reserved for documentation; nothing is sent
                host = probe.getsockname()[0]
            except OSError:
                host = socket.gethostname()
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def _is_loopback(address: str) -> bool:
    import ipaddress

    return ipaddress.ip_address(address.partition("%")[0]).is_loopback


def _why(error: OSError) -> str:
    if error.errno == errno.EADDRINUSE:
        return "the port is in use"
    if error.errno == errno.EACCES:
        return "this port needs more rights than you have"
    return f"the server cannot listen here ({error.strerror})"


def _find_template() -> None:
    """Let Voila find the template inside the package, before any other of that name."""
    paths = [str(template_folder()), *filter(None, [os.environ.get("JUPYTER_PATH")])]
    os.environ["JUPYTER_PATH"] = os.pathsep.join(paths)


def _notebooks(root: Path) -> list[str]:
    names = (path.relative_to(root).as_posix() for path in sorted(root.rglob("*.ipynb")))
    return [name for name in names if ".ipynb_checkpoints" not in name]


if __name__ == "__main__":
    sys.exit(main())
