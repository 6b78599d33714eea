"""Changes that are asked of a fitted house: pure data, and the house that they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.review.fit.varied import VariedHouse, varied_house

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.setup import Setup
    from hvaclib.review.fit import Fit

FloatArray = NDArray[np.float64]
OPENING = "combustion air (what if)"
CONTROLS = ("outdoor", "exhaust", "liner", "opening")
"""What can be changed along a scale."""


@dataclass(frozen=True, slots=True)
class Changes:
    """What is changed in the fitted house; what is left out stays as it is.

    Parameters
    ----------
    outdoor : float, optional
        Outdoor temperature, K.
    exhaust : float, optional
        Stated airflow of the largest exhaust fan, m³/s.
    doors : mapping of str to bool, optional
        Door to whether it stands open during the test; the others stand as the worst case wants them.
    liner : float, optional
        Inside diameter of a new liner in every vent of the zone, m.
    opening : float, optional
        Free area of a new combustion-air opening from the zone to outdoors, m².
    """

    outdoor: float | None = None
    exhaust: float | None = None
    doors: Mapping[str, bool] = field(default_factory=dict)
    liner: float | None = None
    opening: float | None = None


def changed(changes: Changes, control: str, value: float | None) -> Changes:
    """The changes with one control at a value, SI; None leaves it as it was.

    Raises
    ------
    InputError
        If there is no such control.
    """
    if control not in CONTROLS:
        raise InputError("no such control", where="what-if", given=control, expected=" or ".join(CONTROLS))
    moved: dict[str, Any] = {control: value}
    return replace(changes, **moved)


def changed_house(
    fit: Fit, changes: Changes, factors: Mapping[str, FloatArray]
) -> tuple[VariedHouse, Setup, dict[str, FloatArray]]:
    """The starting dwelling with the changes, its baseline set-up, and the factors that still hold."""
    dwelling, quiet, kept = fit.start, fit.sheet.quiet, dict(factors)
    if changes.outdoor is not None:
        quiet = quiet.with_outdoor_temperature(changes.outdoor)
    if changes.exhaust is not None:
        dwelling = dwelling.with_fan_flow(largest_fan(dwelling), max(changes.exhaust, 1e-6))
    if changes.liner is not None:
        for name in dict.fromkeys(str(dwelling.part("appliances", each).vent) for each in fit.sheet.order):
            old = dwelling.part("vents", name)
            kind = "lined masonry" if old.kind == "masonry" else old.kind
            dwelling = dwelling.with_part("vents", name, diameter=changes.liner, blockage=0.0, kind=kind)
        kept.pop("vent", None)
    if changes.opening:
        zone = dwelling.zone(fit.sheet.house.zone)
        height = max(zone.ceiling - 0.3, 0.1)
        dwelling = dwelling.with_opening(OPENING, (zone.name, "outdoors"), changes.opening, height)
    if not kept:
        kept = {"vent": np.ones(next(iter(factors.values())).size)}
    return varied_house(dwelling, fit.sheet.house.zone), quiet, kept


def largest_fan(dwelling: Dwelling) -> str:
    """Name of the exhaust fan with the largest airflow.

    Raises
    ------
    InputError
        If no fan blows outdoors.
    """
    flows = {
        fan.name: float(fan.flow or (fan.curve[0][1] if fan.curve else 0.0))
        for fan in dwelling.fans
        if fan.to == "outdoors" and fan.direction == "exhaust"
    }
    if not flows:
        raise InputError(
            "no exhaust fan to change", where=dwelling.name, expected="a [[fan]] that blows outdoors"
        )
    return max(flows, key=lambda name: flows[name])


def with_doors(setup: Setup, doors: Mapping[str, bool]) -> Setup:
    """A set-up with these doors open (True) or shut (False)."""
    for name, is_open in doors.items():
        setup = setup.with_door(name, open=is_open)
    return setup
