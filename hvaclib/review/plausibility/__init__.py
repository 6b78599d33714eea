"""Readings of one visit that cannot all be true, by the laws that tie them together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.plausibility.diagnosis import groups_of
from hvaclib.review.plausibility.registry import LAWS, checks_of
from hvaclib.review.plausibility.sheet import sheet_of
from hvaclib.review.plausibility.wording import remark_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hvaclib.readings import Reading
    from hvaclib.review.plausibility.law import Check
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.review.remark import Remark
    from hvaclib.visit import Visit

__all__ = ["LAWS", "disagreements", "plausibility"]


def plausibility(visit: Visit, readings: Iterable[Reading]) -> tuple[Remark, ...]:
    """Remarks about readings of one visit that cannot all be true.

    Parameters
    ----------
    visit : Visit
        With plates, vents and altitude.
    readings : iterable of Reading
        Of the visit; those that follow from others are passed over.

    Returns
    -------
    tuple of Remark
        One for each explanation, however many laws it breaks; none where everything agrees.

    Notes
    -----
    Each law gives a residual; over the standard uncertainty of readings and law together it must stay below what sound
    sheets pass at the stated rate, shared among the laws of the sheet (Šidák). Where it does not, each reading is freed in
    turn, read in another unit or with another sign, or exchanged with its neighbour; what best restores all laws, weighed
    by the usual range of each reading, is named when it carries most of the weight.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2; Z. Šidák, Journal of the American Statistical Association 62 (1967), 626.
    """
    sheet = sheet_of(visit, readings)
    return disagreements(sheet, checks_of(sheet))


def disagreements(sheet: Sheet, checks: Sequence[Check]) -> tuple[Remark, ...]:
    """Remarks about the checks of a sheet that fail; see `plausibility`.

    Parameters
    ----------
    sheet : Sheet
    checks : sequence of Check
        All that it can be held against.

    Returns
    -------
    tuple of Remark
    """
    return tuple(remark_of(group) for group in groups_of(sheet, checks))
