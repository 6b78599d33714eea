"""SI floats as people read them: field units by default, SI on a switch."""

from __future__ import annotations

import math
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any

from hvaclib.units.kinds import Kind
from hvaclib.units.parsing import parse_si
from hvaclib.units.registry import ureg
from hvaclib.units.spelling import affine

if TYPE_CHECKING:
    from hvaclib.units import FloatOrArray

__all__ = ["from_shown", "label", "show", "shown", "written"]


@cache
def _affine(kind: Kind, system: str) -> tuple[float, float]:
    if system not in {"field", "si"}:
        raise ValueError(f"the unit system is 'field' or 'si', not {system!r}")
    return affine(ureg.Unit(kind.unit(system) or "dimensionless"), kind)


def shown(si: Any, kind: Kind, system: str = "field") -> Any:
    """Bring a value in SI to the number that a screen shows.

    Parameters
    ----------
    si : float or ndarray
        Value in ``kind.si``; any shape.
    kind : Kind
        Kind of the quantity.
    system : {"field", "si"}
        Unit system of the screen.

    Returns
    -------
    float or ndarray
        In ``kind.unit(system)``, same shape.
    """
    scale, offset = _affine(kind, system)
    return (si - offset) / scale


def from_shown(number: FloatOrArray, kind: Kind, system: str = "field") -> FloatOrArray:
    """Bring a number read off a screen back to SI; the inverse of `shown`."""
    scale, offset = _affine(kind, system)
    return number * scale + offset


def label(kind: Kind, system: str = "field") -> str:
    """Unit as people write it on a label or axis: ``"in. w.c."``, ``"°F"``, ``"cfm"``."""
    return kind.label(system)


def show(si: float, kind: Kind, system: str = "field", digits: int | None = None) -> str:
    """Write a value with its unit, as a person reads it.

    Parameters
    ----------
    si : float
        Value in ``kind.si``.
    kind : Kind
        Kind of the quantity.
    system : {"field", "si"}
        Unit system.
    digits : int, optional
        Decimals, kept even when they are zeros; by default three significant digits, within what the kind deserves.

    Returns
    -------
    str
        With a true minus sign, thousands grouped, ``"∞"`` for infinity and ``"–"`` for not a number.

    Examples
    --------
    >>> from hvaclib.units import kinds, show
    >>> show(-3.21, kinds.PRESSURE_DIFFERENCE)
    '−3.21 Pa'
    >>> show(294.26, kinds.TEMPERATURE, "si")
    '21.1 °C'
    """
    value = float(shown(float(si), kind, system))
    unit = kind.label(system)
    if math.isnan(value):
        number = "–"
    elif math.isinf(value):
        number = "∞" if value > 0 else "−∞"
    else:
        number = _digits(value, kind, system, digits)
    if unit == "°":
        return number + unit
    return f"{number} {unit}".rstrip()


def _digits(value: float, kind: Kind, system: str, digits: int | None) -> str:
    trim = digits is None
    if digits is None:
        most = kind.metric_decimals if system == "si" else kind.decimals
        needed = 2 - math.floor(math.log10(abs(value))) if value else 0
        digits = max(0, min(most, needed))
    number = f"{abs(value):,.{digits}f}"
    if trim and not number.partition(".")[2].strip("0"):
        number = number.partition(".")[0]
    zero = not any(letter in "123456789" for letter in number)
    return number if zero or value > 0 else f"−{number}"


def written(si: float, kind: Kind, system: str = "field", decimals: int | None = None) -> str:
    """Write a value with its unit as a file holds it: plain digits that read back to the same value.

    Parameters
    ----------
    si : float
        Value in ``kind.si``, finite.
    kind : Kind
        Kind of the quantity.
    system : {"field", "si"}
        Unit system of the file.
    decimals : int, optional
        Decimals to round to, as a display does; by default as few digits as keep the value to 12.

    Returns
    -------
    str

    Examples
    --------
    >>> from hvaclib.units import kinds
    >>> written(0.3048, kinds.LENGTH)
    '1 ft'
    >>> written(-3.21, kinds.PRESSURE_DIFFERENCE, decimals=1)
    '-3.2 Pa'
    """
    number = float(shown(si, kind, system))
    unit = kind.label(system)
    if decimals is not None:
        return f"{number:.{decimals}f} {unit}".strip()
    text = ""
    for digits in (4, 6, 9, 12, 17):
        text = f"{format(Decimal(f'{number:.{digits}g}'), 'f')} {unit}".strip()
        if abs(parse_si(text, kind) - si) <= 1e-12 * abs(si):
            break
    return text
