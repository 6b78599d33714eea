"""A pile of reviewed sheets: what is known of each, which the filters let through, and their order."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.boards.finished_sheets import WORDS
from hvaclib.errors import HvacError
from hvaclib.review.record import review_visit
from hvaclib.review.remark import SEVERITIES, Remark, Review
from hvaclib.rules.findings import Findings

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Understood

ALL = "all"
RANK = {severity: number for number, severity in enumerate(WORDS)}
"""Gravest first."""
ORDERS = {
    "gravest": "gravest first",
    "date": "date, oldest first",
    "contractor": "contractor, then gravest",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One reviewed sheet.

    Parameters
    ----------
    review : Review
        With every remark.
    severity : str
        The gravest, or "pass".
    counts : tuple of int
        Remarks by severity, in the order of `SEVERITIES`.
    first : Remark or None
        The gravest remark of those that the filters ask for.
    """

    review: Review
    severity: str
    counts: tuple[int, ...]
    first: Remark | None

    @property
    def visit(self) -> Visit:
        """The sheet."""
        return self.review.visit

    @property
    def sheet(self) -> str:
        """Id of the job."""
        return self.visit.job.id

    @property
    def contractor(self) -> str:
        """Who did the work, with single spaces."""
        return contractor_of(self.visit)

    @property
    def date(self) -> dt.date:
        """Day of the visit."""
        return self.visit.job.date

    def asked(self, kind: str, who: str) -> tuple[Remark, ...]:
        """Remarks of a kind that somebody must act on, gravest first; notes ask nobody to act."""
        return tuple(
            remark
            for remark in self.review.remarks
            if kind in (ALL, remark.kind)
            and (who == ALL or (who == remark.acts and remark.severity != "note"))
        )


def contractor_of(visit: Visit) -> str:
    """Who did the work, with single spaces."""
    return " ".join(visit.job.contractor.split())


@dataclass(frozen=True, slots=True)
class Pile:
    """What the board knows for the present inputs.

    Parameters
    ----------
    rows : tuple of Row
        Every reviewed sheet in the order asked for.
    shown : tuple of Row
        Those that the filters let through.
    time_for : int
        How many of these there is time for.
    waiting : tuple of str
        Contractors of the sheets that are not reviewed yet, one a sheet.
    unread : bool
        Whether its files are still being read.
    across : tuple of Remark or None
        Remarks across visits; None while they are being worked out.
    files : tuple of Understood
        What was understood of each file.
    rules : RuleSet
        What the sheets were judged by.
    demo : str
        Which demo pile this is; empty for sheets that were loaded.
    left_out : int
        Sheets that settings were saved without.
    """

    rows: tuple[Row, ...]
    shown: tuple[Row, ...]
    time_for: int
    waiting: tuple[str, ...]
    unread: bool
    across: tuple[Remark, ...] | None
    files: tuple[Understood, ...]
    rules: RuleSet
    demo: str
    left_out: int

    @property
    def chosen(self) -> tuple[Row, ...]:
        """The sheets that there is time for."""
        return self.shown[: self.time_for]

    @property
    def total(self) -> int:
        """Sheets in the pile, reviewed or not."""
        return len(self.rows) + len(self.waiting)


def rows_of(visits: Sequence[Visit], rules: RuleSet) -> list[Row]:
    """Review sheets.

    Parameters
    ----------
    visits : sequence of Visit
    rules : RuleSet

    Returns
    -------
    list of Row
        In the order of the visits.
    """
    return [_row(_review(visit, rules)) for visit in visits]


def _review(visit: Visit, rules: RuleSet) -> Review:
    """The review of a sheet; one that cannot be reviewed says so in its place, and holds up none of the others."""
    try:
        return review_visit(visit, rules)
    except HvacError as error:
        remark = Remark(
            "unreadable", "look again", f"Look again: this sheet could not be reviewed. {error}",
            do=("Read this sheet by hand, and put right the value that is named.",),
        )  # fmt: skip
        return Review(visit, Findings((), rules.name, rules.version, rules.digest), (remark,))


def _row(review: Review) -> Row:
    counts = Counter(remark.severity for remark in review.remarks)
    grave = review.remarks[0] if review.remarks else None
    return Row(review, review.severity, tuple(counts[severity] for severity in SEVERITIES), grave)


def ordered(rows: Sequence[Row], order: str) -> tuple[Row, ...]:
    """Rows in an order of `ORDERS`.

    Parameters
    ----------
    rows : sequence of Row
    order : str
        Key of `ORDERS`.

    Returns
    -------
    tuple of Row
    """

    def gravest(row: Row) -> tuple[object, ...]:
        return RANK[row.severity], tuple(-number for number in row.counts), row.date, row.sheet

    def key(row: Row) -> tuple[object, ...]:
        if order == "date":
            return (row.date, *gravest(row))
        return (row.contractor.casefold(), *gravest(row)) if order == "contractor" else gravest(row)

    return tuple(sorted(rows, key=key))


def filtered(rows: Sequence[Row], severity: str, contractor: str, kind: str, who: str) -> tuple[Row, ...]:
    """Rows that the filters let through, each with the gravest remark of those that they ask for.

    Parameters
    ----------
    rows : sequence of Row
    severity : str
        "all", or the severity that a sheet must have.
    contractor : str
        "all", or a contractor's name.
    kind : str
        "all", or a kind of remark that a sheet must have.
    who : str
        "all", or who must act on such a remark.

    Returns
    -------
    tuple of Row
        In the same order.
    """
    found = [row for row in rows if severity in (ALL, row.severity) and contractor in (ALL, row.contractor)]
    if (kind, who) == (ALL, ALL):
        return tuple(found)
    asked = ((row, row.asked(kind, who)) for row in found)
    return tuple(replace(row, first=remarks[0]) for row, remarks in asked if remarks)
