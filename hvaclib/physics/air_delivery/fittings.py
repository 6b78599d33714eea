"""Fittings of ducts: how many velocity heads each loses, from a published table."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import InputError
from hvaclib.physics.air_delivery.ducts import velocity_pressure
from hvaclib.reference import Figure, figure, load
from hvaclib.units import calculation, checks, kinds
from hvaclib.units.arguments import choice

__all__ = ["FITTINGS", "FittingLoss", "fitting_coefficient", "fitting_loss", "fitting_source"]

FloatArray = NDArray[np.float64]
FITTINGS = {
    "rectangular elbow": "rectangular_elbow", "mitered elbow": "mitered_elbow", "vaned elbow": "vaned_elbow",
    "round elbow": "round_elbow", "segmented elbow": "segmented_elbow", "entrance": "entrance",
    "rounded entrance": "rounded_entrance", "exit": "exit",
}  # fmt: skip
"""Names that people use, and their rows in ``reference/fittings.toml``."""
_ROUND = frozenset({"round elbow", "segmented elbow"})
_RECTANGULAR = frozenset({"rectangular elbow", "mitered elbow", "vaned elbow"})


@cache
def _axis(key: str, name: str) -> FloatArray:
    return np.array(load("fittings")[key][name], dtype=np.float64)


def fitting_source(fitting: str) -> Figure:
    """Figure of a fitting with its passport: source, condition and how sure."""
    return figure("fittings", FITTINGS[fitting])


def fitting_coefficient(fitting: str, radius_ratio: ArrayLike = 1.0, aspect: ArrayLike = 1.0) -> FloatArray:
    """Loss of a fitting in velocity heads of the duct.

    Parameters
    ----------
    fitting : str
        One of `FITTINGS`.
    radius_ratio : array_like
        Radius of the centre line over the width (or diameter) in the plane of the turn, for elbows with a radius; from
        the sharpest in the table. Above the largest the value of the largest is kept, which errs on the side of more loss.
    aspect : array_like
        Depth of the duct over its width in the plane of the turn, for rectangular elbows; kept within 0.25 to 8.

    Returns
    -------
    ndarray
        Broadcast shape.

    Raises
    ------
    InputError
        If the radius is smaller than the table's smallest.
    """
    key = FITTINGS[fitting]
    values = np.asarray(figure("fittings", key).value)
    ratio, depth = np.broadcast_arrays(np.asarray(radius_ratio, dtype=float), np.asarray(aspect, dtype=float))
    table = load("fittings")[key]
    if "radius_ratios" in table:
        ratios = _axis(key, "radius_ratios")
        if not (ratio >= ratios[0]).all():
            raise InputError(
                "an elbow cannot turn about so small a radius; it is a mitered elbow then",
                where="radius_ratio", given=f"{float(np.min(ratio)):g}", expected=f"{ratios[0]:g} or more",
            )  # fmt: skip
        if "aspects" not in table:
            return np.asarray(np.interp(ratio, ratios, values))
        return _bilinear(ratio, depth, ratios, _axis(key, "aspects"), values)
    if "aspects" in table:
        return np.asarray(np.interp(depth, _axis(key, "aspects"), values))
    return np.full(ratio.shape, float(values))


def _bilinear(x: FloatArray, y: FloatArray, xs: FloatArray, ys: FloatArray, flat: FloatArray) -> FloatArray:
    """Straight between the four neighbours, kept at the edge outside."""
    grid = flat.reshape(xs.size, ys.size)
    row = np.clip(np.searchsorted(xs, x, side="right") - 1, 0, xs.size - 2)
    column = np.clip(np.searchsorted(ys, y, side="right") - 1, 0, ys.size - 2)
    s = np.clip((x - xs[row]) / (xs[row + 1] - xs[row]), 0.0, 1.0)
    t = np.clip((y - ys[column]) / (ys[column + 1] - ys[column]), 0.0, 1.0)
    low = grid[row, column] * (1.0 - t) + grid[row, column + 1] * t
    high = grid[row + 1, column] * (1.0 - t) + grid[row + 1, column + 1] * t
    return np.asarray(low * (1.0 - s) + high * s)


@dataclass(frozen=True, slots=True)
class FittingLoss:
    """What a fitting loses.

    Parameters
    ----------
    loss : float
        Pa.
    coefficient : float
        Velocity heads.
    speed : float
        m/s in the duct.
    sources : tuple of str
        Where the coefficient comes from, and how sure it is.
    """

    loss: Annotated[float, kinds.GAUGE_PRESSURE]
    coefficient: Annotated[float, kinds.DIMENSIONLESS]
    speed: Annotated[float, kinds.SPEED]
    sources: tuple[str, ...] = ()


@calculation(
    airflow=kinds.VOLUME_FLOW,
    fitting=choice(*FITTINGS),
    diameter=kinds.SIZE,
    width=kinds.SIZE,
    height=kinds.SIZE,
    radius_ratio=kinds.DIMENSIONLESS,
    altitude=kinds.LENGTH,
    temperature=kinds.TEMPERATURE,
    gives=FittingLoss,
)
def fitting_loss(
    *,
    airflow: float,
    fitting: str,
    diameter: float | None = None,
    width: float | None = None,
    height: float | None = None,
    radius_ratio: float = 1.0,
    altitude: float = 0.0,
    temperature: float | None = None,
) -> FittingLoss:
    """Pressure that air loses in one fitting of a duct: so many velocity heads.

    Parameters
    ----------
    airflow : air flow
        Zero or more.
    fitting : {"rectangular elbow", "mitered elbow", "vaned elbow", "round elbow", "segmented elbow", "entrance", \
"rounded entrance", "exit"}
        Elbows turn by 90°.
    diameter : size, optional
        Of a round duct.
    width : size, optional
        Of a rectangular duct, in the plane of the turn.
    height : size, optional
        Of a rectangular duct, across the plane of the turn.
    radius_ratio : plain number, default 1
        Radius of the centre line over diameter or width, for elbows with a radius; 0.5 or more.
    altitude : length, default 0 ft
        Above sea level.
    temperature : temperature, default 70 °F
        Of the air in the duct.

    Returns
    -------
    FittingLoss
        Loss, coefficient and air speed.

    Raises
    ------
    InputError
        If the section is missing or of the wrong shape, or a value is out of range.

    Notes
    -----
    The coefficients are for a fitting with straight duct before and after it; without it, and at Reynolds numbers below
    1.4e5, they are a guide only. Sources differ: correlations for pipes give a smooth round elbow 30 to 80 % more than
    the duct trade's table, part of which is the friction along the bend. The table of the trade is used.

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals 2005, chapter 35 (Duct Design), fitting loss coefficients.

    Examples
    --------
    >>> round(fitting_loss(airflow="1000 cfm", fitting="mitered elbow", width="8 in", height="20 in").loss, 3)
    <Quantity(0.052, 'inch_H2O')>
    """
    checks.not_negative(airflow, "airflow", kinds.VOLUME_FLOW)
    area, aspect = _section(fitting, diameter, width, height)
    coefficient = float(fitting_coefficient(fitting, radius_ratio, aspect))
    speed = airflow / area
    head = velocity_pressure.si(speed=speed, altitude=altitude, temperature=temperature)
    passport = fitting_source(fitting)
    return FittingLoss(
        loss=coefficient * float(head),
        coefficient=coefficient,
        speed=speed,
        sources=(f"{passport.source} ({passport.certainty})",),
    )


def _section(
    fitting: str, diameter: float | None, width: float | None, height: float | None
) -> tuple[float, float]:
    """Area and depth over width of the one section that was given, of the shape that the fitting has."""
    if diameter is not None and (width is not None or height is not None):
        raise InputError("give a diameter or width and height, not both", where="diameter")
    if diameter is not None:
        checks.positive(diameter, "diameter", kinds.SIZE)
        if fitting in _RECTANGULAR:
            raise InputError(f"a {fitting} is rectangular", where="diameter", expected="width and height")
        return math.pi / 4.0 * diameter**2, 1.0
    if width is None or height is None:
        expected = "a diameter" if fitting in _ROUND else "width and height, or a diameter"
        raise InputError("the size of the duct is missing", expected=expected)
    if fitting in _ROUND:
        raise InputError(f"a {fitting} is round", where="width", expected="a diameter")
    checks.positive(width, "width", kinds.SIZE)
    checks.positive(height, "height", kinds.SIZE)
    return width * height, height / width
