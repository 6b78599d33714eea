"""``python -m hvaclib paper VISIT …``: the papers of one job, as HTML, PDF and text."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hvaclib.cli import report
from hvaclib.errors import FileError, HvacError

if TYPE_CHECKING:
    from hvaclib.visit import Visit

_MOST = 12


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
    parser.add_argument("visit", help="file of visits (CSV, XLSX, TOML or JSON)")
    parser.add_argument("--job", metavar="ID", help="which job, where the file has several")
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

    folder = Path(arguments.out)
    if not folder.is_dir():
        raise FileError("there is no such folder", where="--out", given=arguments.out)
    review = review_visit(_visit(arguments.visit, arguments.job), load(arguments.rules))
    system = "si" if arguments.si else "field"
    return write_paper(review, folder, arguments.only or tuple(PAPERS), sheet=arguments.sheet, system=system)  # type: ignore[arg-type]


def _visit(path: str, job: str | None) -> Visit:
    """The one visit that is asked for; what cannot be read of it goes to standard error."""
    from hvaclib.visit.sheets import read_sheets

    understood = read_sheets(path)
    if understood.refusals and not understood.visits:
        raise understood.refusals[0]
    for refusal in understood.refusals:
        print(refusal, file=sys.stderr)
    found = [visit for visit in understood.visits if job is None or visit.job.id == job]
    if len(found) == 1:
        return found[0]
    names = [visit.job.id for visit in understood.visits]
    listed = ", ".join(names[:_MOST]) + (f" and {len(names) - _MOST} more" if len(names) > _MOST else "")
    if found:
        raise FileError(
            f"{len(found)} visits could be meant",
            where=understood.source,
            expected=f"--job with one of {listed}",
        )
    raise FileError("there is no such job", where=f"{understood.source}, --job", given=job, expected=listed)
