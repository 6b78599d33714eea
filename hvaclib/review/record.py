"""The review of one visit."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from hvaclib.review.answers import contradictory, dates, unreadable, wrong_answers
from hvaclib.review.completeness import missing
from hvaclib.review.derived import record_of
from hvaclib.review.judged import of_findings
from hvaclib.review.order import out_of_order, worked_on
from hvaclib.review.plausibility import disagreements
from hvaclib.review.remark import Remark, Review
from hvaclib.rules import judge
from hvaclib.visit import demands
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.review.derived import Record
    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit


def review_visit(visit: Visit, rules: RuleSet, *, today: dt.date | None = None) -> Review:
    """Review one visit: what is missing, out of order, beyond the rules, or cannot all be true.

    Parameters
    ----------
    visit : Visit
        The record. A value in it that cannot be read becomes a remark.
    rules : RuleSet
        The rule set.
    today : date, optional
        Day that no sheet can be later than; that of the computer's clock if left out.

    Returns
    -------
    Review
        Remarks gravest first, then in the order of the work.
    """
    return review_of(record_of(visit), rules, today=today)


def review_of(record: Record, rules: RuleSet, *, today: dt.date | None = None) -> Review:
    """Review a visit whose values have been read; see `review_visit`.

    Parameters
    ----------
    record : Record
        The visit and its values.
    rules : RuleSet
    today : date, optional

    Returns
    -------
    Review
    """
    findings = judge(record.completed, rules, record.facts)
    absent = [*missing(record), *unreadable(record)]
    found = [
        *absent,
        *wrong_answers(record),
        *contradictory(record),
        *dates(record, today or dt.date.today()),
        *out_of_order(record),
        *of_findings(findings, absent, frozenset(each.item.key for each in demands(record.visit))),
    ]
    found += worked_on(record, found)
    found += disagreements(record.sheet, record.checks)
    return Review(record.given, findings, in_order(found))


def in_order(remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """Remarks, gravest first, then in the order of the work.

    Parameters
    ----------
    remarks : iterable of Remark

    Returns
    -------
    tuple of Remark
    """
    return tuple(sorted(remarks, key=_rank))


def _rank(remark: Remark) -> tuple[int, int, str, str, str, str]:
    number = item(remark.item).number if remark.item else 0
    return -remark.gravity, number, remark.where, remark.when, remark.kind, remark.sentence
