"""Gas side: manifold pressure against clocked input."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import bound
from hvaclib.review.plausibility.law import Check, outside
from hvaclib.review.plausibility.sheet import Name, plate
from hvaclib.units import kinds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.plausibility.figures import LawFigures
    from hvaclib.review.plausibility.sheet import Sheet

_THOUSAND_FEET = 304.8
_DERATED_ABOVE = 2000 * 0.3048
_LEAST = 1e-3


def orifice(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Clocked input over the plate's against the square root of the manifold pressure over the plate's."""
    for each in sheet.appliances:
        names = (Name("clocked-input", each.name), Name("manifold-pressure", each.name))
        if not (each.input and each.manifold_pressure and sheet.has(*names)):
            continue
        power, pressure = plate(each.input, kinds.POWER), plate(each.manifold_pressure, kinds.GAUGE_PRESSURE)
        if power <= 0.0 or pressure <= 0.0:
            continue
        low = 0.0
        if sheet.altitude > _DERATED_ABOVE:
            low = math.log(max(1.0 - bound("altitude_input") * sheet.altitude / _THOUSAND_FEET, 0.3))

        def residual(
            clocked: float, manifold: float, power: float = power, full: float = pressure, low: float = low
        ) -> float:
            share = math.log(max(clocked / power, _LEAST))
            return outside(share - 0.5 * math.log(max(manifold / full, _LEAST)), low, 0.0)

        yield Check(law, names, residual, law.model)
