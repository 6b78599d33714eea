"""Discharge coefficient and density where none is given."""

from __future__ import annotations

from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, checks, kinds

__all__ = ["density_or_standard", "discharge_or_sharp_edged"]

_SHARP_EDGED = value("openings", "discharge", "sharp-edged")


def discharge_or_sharp_edged(coefficient: FloatOrArray | None) -> FloatOrArray:
    """The discharge coefficient that was given, checked, or that of a sharp-edged opening."""
    if coefficient is None:
        return _SHARP_EDGED
    checks.within(coefficient, 0.01, 1.0, "coefficient", kinds.DIMENSIONLESS)
    return coefficient


def density_or_standard(density: FloatOrArray | None) -> FloatOrArray:
    """The density that was given, checked, or that of standard air."""
    if density is None:
        return STANDARD_DENSITY
    checks.positive(density, "density", kinds.DENSITY)
    return density
