"""Several openings as one: in series and in parallel."""

from __future__ import annotations

import numpy as np

from hvaclib.units import FloatOrArray, calculation, checks, kinds, list_of

__all__ = ["parallel_area", "series_area"]


@calculation(areas=list_of(kinds.AREA), gives=kinds.AREA)
def series_area(*, areas: FloatOrArray) -> FloatOrArray:
    """Area of the one opening that resists flow as much as several openings one after the other.

    Parameters
    ----------
    areas : list of area
        Openings that the same air passes in turn, each zero or more; one that is closed closes the path. Through
        ``.si`` an array whose first axis counts the openings.

    Returns
    -------
    area
        In sq in (m² through ``.si``): smaller than the smallest of them; shape of one item.

    Raises
    ------
    InputError
        If an area is negative.

    Notes
    -----
    ``1/A² = Σ 1/Ai²``: the pressure losses add up, each opening loses its velocity head, all have one coefficient.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Applications, chapter on fire and smoke control, effective flow areas in series.

    Examples
    --------
    >>> round(series_area(areas="30 sq in, 40 sq in"), 6)
    <Quantity(24.0, 'inch ** 2')>
    """
    checks.not_negative(areas, "areas", kinds.AREA)
    array = np.asarray(areas, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.asarray(np.sum(array**-2.0, axis=0)) ** -0.5


@calculation(areas=list_of(kinds.AREA), gives=kinds.AREA)
def parallel_area(*, areas: FloatOrArray) -> FloatOrArray:
    """Area of the one opening that passes as much as several openings side by side.

    Parameters
    ----------
    areas : list of area
        Openings between the same two rooms, each zero or more. Through ``.si`` an array whose first axis counts the
        openings.

    Returns
    -------
    area
        In sq in (m² through ``.si``): their sum; shape of one item.

    Raises
    ------
    InputError
        If an area is negative.

    Notes
    -----
    All openings see the same pressure difference and have one coefficient.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Applications, chapter on fire and smoke control, effective flow areas in parallel.

    Examples
    --------
    >>> round(parallel_area(areas="30 sq in, 40 sq in"), 6)
    <Quantity(70.0, 'inch ** 2')>
    """
    checks.not_negative(areas, "areas", kinds.AREA)
    return np.asarray(np.sum(np.asarray(areas, dtype=np.float64), axis=0))
