"""Static pressures along the air's way: signs and order of the test holes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.plausibility.law import Check
from hvaclib.review.plausibility.sheet import Name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.plausibility.figures import LawFigures
    from hvaclib.review.plausibility.sheet import Sheet


def signs(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Holes before the blower below room pressure, those past it above."""
    for number, side in ((1, -1.0), (2, -1.0), (3, 1.0), (4, 1.0)):
        name = _hole(number)
        if sheet.has(name):
            yield Check(law, (name,), lambda pressure, side=side: min(side * pressure, 0.0), law.model)


def order(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Pressure falls from hole 1 to hole 2 and from hole 3 to hole 4."""
    for first, second in ((1, 2), (3, 4)):
        names = (_hole(first), _hole(second))
        if sheet.has(*names):
            yield Check(law, names, lambda before, past: min(before - past, 0.0), law.model)


def _hole(number: int) -> Name:
    return Name(f"static-hole-{number}", f"hole {number}")
