"""``python -m hvaclib review FILES…``: review the records of visits against a rule set."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections import Counter, deque
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report
from hvaclib.cli.review_folder import ReviewFolder
from hvaclib.cli.review_words import across_lines, lines_of, summary_lines
from hvaclib.errors import FileError, HvacError, InputError

if TYPE_CHECKING:
    from tqdm import tqdm

    from hvaclib.review.across.tally import Tally
    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Pile

CODES = {"pass": 0, "look again": 1, "fail": 3, "stop and call": 4}
MANY = 400
"""Visits from which on other processes are worth their start."""


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``review``.

    Returns
    -------
    int
        0 pass or notes alone, 1 look again, 2 bad usage or something that cannot be read, 3 fail, 4 stop and call: the
        greatest of the pile. With ``--compare``: 1 where a visit ends otherwise by the other rule set.
    """
    try:
        arguments = _parser().parse_args(list(argv))
        if arguments.understood:
            return _understood(arguments)
        if arguments.compare:
            return _compared(arguments)
        return _Run(arguments).code()
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2


def _parser() -> report.Parser:
    parser = report.Parser(
        prog="python -m hvaclib review",
        description="Review the records of visits: what is missing, out of order, beyond the rules, what cannot all be "
        "true, and what the visits of one contractor have in common. What cannot be read is named on standard error, and "
        "the rest is reviewed.",
        epilog="Exit code: 0 pass or notes alone, 1 look again, 2 bad usage or something that cannot be read, 3 fail, 4 "
        "stop and call; the greatest one of the pile counts. With --compare: 0 no visit ends otherwise, 1 some do.",
    )
    parser.add_argument("files", nargs="+", metavar="FILE", help="visits (CSV, XLSX, TOML or JSON)")
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument(
        "--out",
        metavar="DIR",
        help="write everything into this folder; results of an earlier review in it are replaced",
    )
    parser.add_argument("--paper", action="store_true", help="with --out: the papers of every job too")
    order = parser.add_mutually_exclusive_group()
    order.add_argument(
        "--day-first", dest="day_first", action="store_true", default=None, help="3/4/2026 is in April"
    )
    order.add_argument("--month-first", dest="day_first", action="store_false", help="3/4/2026 is in March")
    parser.add_argument(
        "--jobs", type=int, help="processes to work with (default: one, for a large pile all)"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object instead of sentences")
    parser.add_argument("--brief", action="store_true", help="one line a visit")
    parser.add_argument(
        "--understood", action="store_true", help="tell what is understood of the files; judge nothing"
    )
    parser.add_argument(
        "--compare", metavar="SET", help="only the visits that end otherwise by this rule set"
    )
    return parser


class _Run:
    """One run of the command: visits come, reviews go."""

    def __init__(self, arguments: argparse.Namespace) -> None:
        from hvaclib.review.across.tally import Tally
        from hvaclib.rules import load

        if arguments.jobs is not None and arguments.jobs < 1:
            raise InputError(
                "no such number of processes", where="--jobs", given=arguments.jobs, expected="1 up"
            )
        if arguments.paper and not arguments.out:
            raise InputError("papers need a folder", where="--paper", expected="--out with a new folder")
        self.arguments = arguments
        self.rules: RuleSet = load(arguments.rules)
        self.pile = _pile(arguments)
        self.tally: Tally = Tally()
        self.counts: Counter[str] = Counter()
        self.stops: list[str] = []
        self._passing: deque[Visit] = deque()

    def code(self) -> int:
        """Review everything; the exit code."""
        asked = self.arguments
        with ExitStack() as stack:
            folder = stack.enter_context(ReviewFolder(Path(asked.out), self.rules)) if asked.out else None
            bar = stack.enter_context(_bar())
            said = _Said(asked)
            for record in self._reviews(bar):
                self._count(record)
                said.review(record)
                if folder is not None:
                    folder.add(record)
                if asked.paper and folder is not None:
                    folder.add_papers(self._passing.popleft())
            across = [remark.to_record() for remark in self.tally.remarks()]
            if folder is not None:
                folder.finish(dict(self.counts), across, self.pile.reports)
        said.end(self, across)
        return max([_unread(self.pile), 1 if across else 0, *(CODES[severity] for severity in self.counts)])

    def _reviews(self, bar: tqdm[Any]) -> Iterator[dict[str, Any]]:
        from hvaclib.review.stream import review_many

        visits, jobs = self._visits(), self.arguments.jobs
        if jobs is None:
            first = tuple(islice(visits, MANY))
            jobs = os.cpu_count() or 1 if len(first) == MANY else 1
            visits = chain(first, visits)
        for record in review_many(visits, self.rules, jobs=jobs, tally=self.tally):
            yield record
            bar.set_postfix_str(f"{sum(self.counts.values()):,} visits", refresh=False)
            bar.update(100.0 * self.pile.share - bar.n)

    def _visits(self) -> Iterator[Visit]:
        for visit in _readable(self.pile):
            if self.arguments.paper:
                self._passing.append(visit)
            yield visit

    def _count(self, record: dict[str, Any]) -> None:
        self.counts[record["severity"]] += 1
        if record["severity"] == "stop and call":
            self.stops.append(f"{record['job']['id']}, {record['job']['contractor']}")


class _Said:
    """What goes to standard output: sentences, or one JSON object written as it comes."""

    def __init__(self, arguments: argparse.Namespace) -> None:
        self.json, self.brief, self.first = arguments.json, arguments.brief, True
        if self.json:
            print('{"reviews": [', end="")

    def review(self, record: dict[str, Any]) -> None:
        """One more review."""
        if self.json:
            print("" if self.first else ",", json.dumps(record, ensure_ascii=False), sep="\n", end="")
        else:
            print("\n".join(lines_of(record, brief=self.brief)))
        self.first = False

    def end(self, run: _Run, across: list[dict[str, Any]]) -> None:
        """What can only be said when all visits have come."""
        reports = run.pile.reports
        if self.json:
            rest = {
                "across": across,
                "counts": dict(run.counts),
                "refusals": [
                    one for each in reports for refusal in each.refusals for one in refusal.sentences
                ],
            }
            print(f"\n], {json.dumps(rest, ensure_ascii=False)[1:]}")
            return
        print("\n".join([*across_lines(across), *summary_lines(run.counts, run.stops, run.rules)]))
        for each in reports:
            if each.notes or each.more_notes:
                print(f"{each.words()[0]} --understood tells its {len(each.notes)} notes.", file=sys.stderr)


def _understood(arguments: argparse.Namespace) -> int:
    pile = _pile(arguments)
    for _ in pile:
        pass  # all that is wanted stands in the reports
    if arguments.json:
        print(
            json.dumps({"files": [each.to_record() for each in pile.reports]}, indent=1, ensure_ascii=False)
        )
    else:
        print("\n".join(line for each in pile.reports for line in each.words()))
    return _unread(pile)


def _compared(arguments: argparse.Namespace) -> int:
    from hvaclib.review.impact import impact
    from hvaclib.rules import load

    rules, other = load(arguments.rules), load(arguments.compare)
    pile, found = _pile(arguments), 0
    for change in impact(_readable(pile), rules, other):
        found += 1
        print(json.dumps(change.to_record(), ensure_ascii=False) if arguments.json else change.sentence)
    if not arguments.json:
        number = sum(each.more_visits for each in pile.reports)
        print(f"{found} of {number} visits end otherwise by '{other.name}' than by '{rules.name}'.")
    return max(_unread(pile), 1 if found else 0)


def _pile(arguments: argparse.Namespace) -> Pile:
    from hvaclib.visit.sheets import Pile

    return Pile(report.files_named(arguments.files), day_first=arguments.day_first)


def _readable(pile: Pile) -> Iterator[Visit]:
    """The visits of a pile; what cannot be read is named on standard error."""
    for each in pile:
        if isinstance(each, FileError):
            print("\n".join(each.sentences), file=sys.stderr)
        else:
            yield each


def _unread(pile: Pile) -> int:
    """Exit code of what could not be read."""
    return 2 if any(each.refusals for each in pile.reports) else 0


def _bar() -> tqdm[Any]:
    """How far the pile is; only where a person looks at it."""
    from tqdm import tqdm

    shape = "{percentage:3.0f} %|{bar}| {postfix} [{elapsed}<{remaining}]"
    return tqdm(total=100.0, bar_format=shape, disable=None, leave=False, file=sys.stderr)
