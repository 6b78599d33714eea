"""``python -m hvaclib paper VISIT …``: the papers of one job, as HTML, PDF and text."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from hvaclib.cli import report
from hvaclib.errors import FileError, HvacError


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``paper``.

    Returns
    -------
    int
        0 when the files are written, 2 if what was asked cannot be done (one sentence on standard error).
    """
    try:
        arguments = _parser().parse_args(list(argv))
        for path in _written(arguments):
            print(path)
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _parser() -> report.Parser:
    from hvaclib.paper import PAPERS

    parser = report.Parser(
        prog="python -m hvaclib paper",
        description="The job sheet, the findings letter, the punch list and the label for the return drop of one job, "
        "each as HTML and PDF; the label as text too. The names of the files are printed.",
    )
    parser.add_argument("visit", help="file of one visit (TOML or JSON)")
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument("--out", metavar="DIR", default=".", help="folder to write into (default: this one)")
    parser.add_argument(
        "--only", metavar="PAPER", action="append", choices=sorted(PAPERS), help=f"one of {', '.join(PAPERS)}"
    )
    parser.add_argument("--sheet", choices=("letter", "A4"), default="letter", help="size of the paper")
    parser.add_argument("--si", action="store_true", help="numbers in SI units")
    return parser


def _written(arguments: argparse.Namespace) -> tuple[Path, ...]:
    from hvaclib.paper import PAPERS, write_paper
    from hvaclib.review import review_visit
    from hvaclib.rules import load
    from hvaclib.visit import read_visit

    folder = Path(arguments.out)
    if not folder.is_dir():
        raise FileError("there is no such folder", where="--out", given=arguments.out)
    review = review_visit(read_visit(arguments.visit), load(arguments.rules))
    system = "si" if arguments.si else "field"
    return write_paper(review, folder, arguments.only or tuple(PAPERS), sheet=arguments.sheet, system=system)  # type: ignore[arg-type]
