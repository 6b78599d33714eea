"""``python -m hvaclib review FILES…``: review the records of visits against a rule set."""

from __future__ import annotations

import argparse
import csv
import datetime as dt
import io
import json
import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.cells import harmless
from hvaclib.cli import report
from hvaclib.errors import FileError, HvacError, InputError
from hvaclib.files import write_text

if TYPE_CHECKING:
    from hvaclib.visit import Visit

CODES = {"pass": 0, "look again": 1, "fail": 3, "stop and call": 4}
COLUMNS = ("job", "kind", "severity", "item", "where", "when", "sentence", "acts", "do", "source", "rule")


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``review``.

    Returns
    -------
    int
        0 pass or notes alone, 1 look again, 2 bad usage or a file that cannot be read, 3 fail, 4 stop and call: the
        greatest of the pile.
    """
    try:
        arguments = _parser().parse_args(list(argv))
        return _run(arguments)
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2


def _parser() -> report.Parser:
    parser = report.Parser(
        prog="python -m hvaclib review",
        description="Review the records of visits: what is missing, out of order, beyond the rules. A file that cannot "
        "be read is named on standard error, and the others are reviewed.",
        epilog="Exit code: 0 pass or notes alone, 1 look again, 2 bad usage or a file that cannot be read, 3 fail, 4 stop "
        "and call; the greatest one of the pile counts.",
    )
    parser.add_argument("files", nargs="+", metavar="FILE", help="file of one visit (TOML or JSON)")
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument(
        "--out", metavar="DIR", help="folder for review.json, remarks.csv and a file for each visit"
    )
    parser.add_argument("--jobs", type=int, default=1, help="processes to work with (default: 1)")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of sentences")
    return parser


def _run(arguments: argparse.Namespace) -> int:
    from hvaclib.review.stream import review_many
    from hvaclib.rules import load

    if arguments.jobs < 1:
        raise InputError("no such number of processes", where="--jobs", given=arguments.jobs, expected="1 up")
    folder = Path(arguments.out) if arguments.out else None
    if folder is not None and not folder.is_dir():
        raise FileError("there is no such folder", where="--out", given=arguments.out)
    refusals: list[str] = []
    reviews = list(
        review_many(_visits(arguments.files, refusals), load(arguments.rules), jobs=arguments.jobs)
    )
    for sentence in refusals:
        print(sentence, file=sys.stderr)
    if folder is not None:
        write_results(folder, reviews)
    if arguments.json:
        print(json.dumps({"reviews": reviews, "refusals": refusals}, indent=1, ensure_ascii=False))
    else:
        for review in reviews:
            print("\n".join(_lines(review)))
    return max([2 if refusals else 0, *(CODES[review["severity"]] for review in reviews)])


def _visits(files: Sequence[str], refusals: list[str]) -> Iterator[Visit]:
    from hvaclib.visit import VisitFileError, read_visit

    for path in files:
        try:
            yield read_visit(path)
        except VisitFileError as error:
            refusals.append(error.sentence)


def write_results(folder: Path, reviews: Sequence[dict[str, Any]]) -> tuple[Path, ...]:
    """Write reviews into a folder, each file whole or not at all.

    Parameters
    ----------
    folder : Path
    reviews : sequence of dict
        As `hvaclib.review.Review.to_record` gives them.

    Returns
    -------
    tuple of Path
        review.json, remarks.csv and one file for each visit.

    Raises
    ------
    FileError
        If a file cannot be written.
    """
    texts = {"review.json": _json({"made": f"{dt.date.today():%Y-%m-%d}", "reviews": list(reviews)})}
    texts["remarks.csv"] = _table(reviews)
    for number, review in enumerate(reviews, start=1):
        name = re.sub(r"[^\w-]+", "-", review["job"]["id"])[:60]
        texts[f"visit-{number:04d}-{name}.json"] = _json(review)
    for name, text in texts.items():
        write_text(folder / name, text, "--out")
    return tuple(folder / name for name in texts)


def _json(made: dict[str, Any]) -> str:
    return json.dumps(made, indent=1, ensure_ascii=False) + "\n"


def _table(reviews: Sequence[dict[str, Any]]) -> str:
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    for review in reviews:
        for remark in review["remarks"]:
            row = {**remark, "job": review["job"]["id"], "do": " ".join(remark["do"])}
            table.writerow([harmless(str(row[column])) for column in COLUMNS])
    return text.getvalue()


def _lines(review: dict[str, Any]) -> list[str]:
    job = review["job"]
    lines = [
        f"{job['id']}, {job['contractor']}: {review['severity']} by '{review['rule_set']}' {review['version']}"
    ]
    for remark in review["remarks"]:
        lines.append(f"  [{remark['severity']}] {remark['sentence']} ({remark['acts']})")
        lines += [f"      do: {action}" for action in remark["do"]]
        lines += [f"      caution: {text}" for text in remark["cautions"]]
    return lines
