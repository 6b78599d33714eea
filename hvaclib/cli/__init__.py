"""The command line: ``python -m hvaclib`` opens the suite; ``calc`` and ``draft`` answer in the terminal."""

from __future__ import annotations

import difflib
import errno
import importlib
import os
import sys
from collections.abc import Sequence

from hvaclib import __version__

__all__ = ["main"]

COMMANDS = {
    "serve": (
        "hvaclib.cli.serve",
        "open the dashboards in a browser; this is what happens without a command",
    ),
    "calc": ("hvaclib.cli.calc", "one calculation, answered in JSON; 'calc --list' names them all"),
    "draft": ("hvaclib.cli.draft", "the worst-case draft procedure on a dwelling file"),
    "rise": ("hvaclib.cli.rise", "the furnace's temperature rise against its plate"),
    "static": ("hvaclib.cli.static", "static pressures along the air's way and what is out of line"),
    "rooms": ("hvaclib.cli.rooms", "every room behind its shut door, and what relieves it"),
    "firing": (
        "hvaclib.cli.firing",
        "the burner's rate by the clocked meter, what may be set, the gas pressure",
    ),
    "flue-gas": ("hvaclib.cli.flue_gas", "what an analyser's readings say of burner, air and losses"),
    "combustion-air": (
        "hvaclib.cli.combustion_air",
        "is a room enough for its fires, or what openings it needs",
    ),
    "chimney": (
        "hvaclib.cli.chimney",
        "what is left when the furnace is taken off the chimney: draft, area, liner, wet walls",
    ),
    "condensate": ("hvaclib.cli.condensate", "condensate of a furnace, the pump in its line, the trap"),
    "controls": (
        "hvaclib.cli.controls",
        "anticipator, control transformer, the way back from a setback",
    ),
    "blank": ("hvaclib.cli.blank", "an empty job sheet with the headings that a job needs"),
    "paper": ("hvaclib.cli.paper", "job sheet, findings letter, punch list and label of one job"),
    "archive": ("hvaclib.cli.archive", "keep visits with their reviews, list them, take everything out"),
    "review": ("hvaclib.cli.review", "review the records of visits; the exit code tells how grave it is"),
    "rules": ("hvaclib.cli.rules", "rule sets: check files, compare two, list them, read one"),
    "what-if": (
        "hvaclib.cli.what_if",
        "fit a house to the readings of a visit and ask what a change would do",
    ),
    "wall": ("hvaclib.cli.wall", "what in an outside wall is too close, where a vent terminal may end"),
}


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; those of the process if left out.

    Returns
    -------
    int
        Exit status: 0 when done, 2 if what was asked cannot be followed (one sentence on standard error).
    """
    _speak_utf8()
    arguments = list(sys.argv[1:] if argv is None else argv)
    first = arguments[0] if arguments else ""
    if first == "--version":
        print(f"hvaclib {__version__}")
        return 0
    if first in {"--help", "-h", "help"}:
        print(_usage())
        return 0
    if first in COMMANDS:
        return _run(first, arguments[1:])
    if not first or first.startswith("-") or first.endswith(".ipynb"):
        return _run("serve", arguments)
    close = difflib.get_close_matches(first, COMMANDS, n=1)
    hint = f" (did you mean {close[0]!r}?)" if close else ""
    print(f"There is no command {first!r}{hint}; expected {', '.join(COMMANDS)}.", file=sys.stderr)
    return 2


def _run(command: str, arguments: list[str]) -> int:
    module = importlib.import_module(COMMANDS[command][0])
    try:
        status = int(module.main(arguments))
        sys.stdout.flush()
    except OSError as error:
        # Whoever reads our output has seen enough, as ``head`` does; Windows calls a closed pipe an invalid argument.
        if not isinstance(error, BrokenPipeError) and error.errno != errno.EINVAL:
            raise
        # Nothing may be written at exit, and the stream must stay open until then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return status


def _usage() -> str:
    lines = ["python -m hvaclib [COMMAND] …", ""]
    lines += [f"  {name:<14} {meaning}" for name, (_, meaning) in COMMANDS.items()]
    return "\n".join(
        [*lines, "", "'python -m hvaclib COMMAND --help' says more; '--version' names the version."]
    )


def _speak_utf8() -> None:
    """Write UTF-8 whatever the terminal's code page is: units have signs that many code pages lack."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")
