"""A pile of reviewed sheets: what is known of each, which the filters let through, and their order."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.boards.finished_sheets import WORDS
from hvaclib.review.record import review_visit
from hvaclib.review.remark import SEVERITIES

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from hvaclib.review import Remark, Review
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
    kinds : frozenset of str
        Kinds of remark that it has.
    first : Remark or None
        The gravest remark.
    """

    review: Review
    severity: str
    counts: tuple[int, ...]
    kinds: frozenset[str]
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
        return " ".join(self.visit.job.contractor.split())

    @property
    def date(self) -> dt.date:
        """Day of the visit."""
        return self.visit.job.date


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
    total : int
        Sheets in the pile, reviewed or not.
    across : tuple of Remark or None
        Remarks across visits; None while they are being worked out.
    files : tuple of Understood
        What was understood of each file.
    rules : RuleSet
        What the sheets were judged by.
    demo : bool
        Whether this is the demo pile.
    left_out : int
        Sheets that settings were saved without.
    """

    rows: tuple[Row, ...]
    shown: tuple[Row, ...]
    time_for: int
    total: int
    across: tuple[Remark, ...] | None
    files: tuple[Understood, ...]
    rules: RuleSet
    demo: bool
    left_out: int

    @property
    def chosen(self) -> tuple[Row, ...]:
        """The sheets that there is time for."""
        return self.shown[: self.time_for]


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
    return [_row(review_visit(visit, rules)) for visit in visits]


def _row(review: Review) -> Row:
    counts = Counter(remark.severity for remark in review.remarks)
    grave = review.remarks[0] if review.remarks else None
    return Row(
        review,
        review.severity,
        tuple(counts[severity] for severity in SEVERITIES),
        frozenset(remark.kind for remark in review.remarks),
        grave,
    )


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


def filtered(rows: Sequence[Row], severity: str, contractor: str, kind: str) -> tuple[Row, ...]:
    """Rows that the filters let through.

    Parameters
    ----------
    rows : sequence of Row
    severity : str
        "all", or the severity that a sheet must have.
    contractor : str
        "all", or a contractor's name.
    kind : str
        "all", or a kind of remark that a sheet must have.

    Returns
    -------
    tuple of Row
        In the same order.
    """
    return tuple(
        row
        for row in rows
        if severity in (ALL, row.severity)
        and contractor in (ALL, row.contractor)
        and (kind == ALL or kind in row.kinds)
    )
