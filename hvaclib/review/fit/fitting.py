"""Fit a dwelling to the readings of a visit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import HvacError, InputError
from hvaclib.readings import Readings
from hvaclib.review.fit.from_visit import dwelling_from_visit
from hvaclib.review.fit.result import Fit
from hvaclib.review.fit.sheet import Sheet, sheet_of
from hvaclib.review.fit.squares import Optimum, least_squares_fit
from hvaclib.review.fit.unknowns import Unknown, unknowns

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.steady import Start
    from hvaclib.visit import Visit

FloatArray = NDArray[np.float64]
SEARCHES = 2
"""How often the worst case is searched: once in the starting dwelling, once more in the fitted one."""


def fit(
    dwelling: Dwelling | None,
    visit_or_readings: Visit | Readings,
    *,
    start: Start | None = None,
    zone: str | None = None,
) -> Fit:
    """Fit a dwelling to recorded readings.

    Parameters
    ----------
    dwelling : Dwelling or None
        Where to start: zones, doors, fans, vents and appliances as they are, leaks and flows as well as they are known.
        None makes a simple one from the visit; see `dwelling_from_visit`.
    visit_or_readings : Visit or Readings
        The record of the job, or its readings.
    start : {"cold", "warm"}, optional
        Vents at the start of the worst-case test; the visit's by default, cold for bare readings.
    zone : str, optional
        The combustion appliance zone; the dwelling's first by default.

    Returns
    -------
    Fit

    Raises
    ------
    InputError
        If there is no vented appliance, no reading that tells anything about the house, or neither dwelling nor visit.
    ConvergenceError
        If a variant of the dwelling does not come into balance.

    Notes
    -----
    Looked for are factors on the leakage of the house and of the appliance zone, the flow of the exhaust fans, the
    leakage of the return ducts and the resistance of the vent; outdoor temperature and altitude are read, not fitted.
    The sum of squares of deviations is made least: of the readings, each in its standard uncertainty (instrument and
    model), and of the logarithms of the factors, each in its assumed spread. The set-up of the worst case is what the
    test would find in the fitted house; it is searched again once and the fit repeated where it has changed.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7, for the instruments' standard uncertainties.
    """
    readings, left, started = _readings_of(visit_or_readings)
    assumptions: tuple[str, ...] = ()
    if dwelling is None:
        if isinstance(visit_or_readings, Readings):
            raise InputError(
                "there is no dwelling to start from", where="fit", expected="a dwelling, or a whole visit"
            )
        made = dwelling_from_visit(visit_or_readings)
        dwelling, assumptions = made.dwelling, made.assumptions
    sheet = sheet_of(dwelling, readings, start or started, zone)
    asked = unknowns(dwelling, sheet.house.zone, wide=bool(assumptions))
    best = _solve(sheet, asked)
    for _ in range(SEARCHES - 1):
        again = sheet.searched(_factors(asked, best.point[:, None]))
        if again.worst == sheet.worst:
            break
        sheet, best = again, _solve(again, asked)
    if left:
        from dataclasses import replace

        sheet = replace(sheet, left=(*sheet.left, *left))
    return Fit(dwelling, sheet, asked, best, assumptions)


def _solve(sheet: Sheet, asked: tuple[Unknown, ...]) -> Optimum:
    return least_squares_fit(
        lambda points: sheet.scaled(sheet.predicted(_factors(asked, points))),
        sheet.scaled(sheet.values),
        sheet.errors(),
        np.array([item.spread for item in asked]),
    )


def _factors(asked: tuple[Unknown, ...], points: FloatArray) -> dict[str, FloatArray]:
    return {item.key: np.exp(row) for item, row in zip(asked, points, strict=True)}


def _readings_of(source: Visit | Readings) -> tuple[Readings, tuple[str, ...], Start]:
    """Readings, sentences about entries that cannot be read, and how the vents stood at the start."""
    if isinstance(source, Readings):
        return source, (), "cold"
    from hvaclib.visit import reading_of

    found, left = [], []
    for entry in source.entry:
        try:
            reading = reading_of(entry, source)
        except HvacError as error:
            left.append(f"Left out of the fit: {error}")
            continue
        if reading is not None:
            found.append(reading)
    warm = any(item.start == "warm" for item in source.appliance)
    return Readings(found), tuple(left), "warm" if warm else "cold"
