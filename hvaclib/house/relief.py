"""One dwelling with more free area in its shut doors and with other shares of duct air, scenario by scenario.

A curve over the gap of a door, or every room's remedy, is one batch: the dwelling is prepared once and the change is
entered in the coefficients, instead of a new dwelling for each point.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.build import Built
from hvaclib.house.coupled import vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.paths import orifice_coefficient
from hvaclib.house.setup import Setup
from hvaclib.house.state import State, state_of
from hvaclib.house.steady import Start, settle_moment, start_moment
from hvaclib.physics.air import STANDARD_DENSITY

FloatArray = NDArray[np.float64]


def steady_with_relief(
    dwelling: Dwelling,
    setups: Sequence[Setup],
    relief: Mapping[str, FloatArray],
    moved: Mapping[str, FloatArray] | None = None,
    start: Start = "cold",
) -> State:
    """Return the state of S setups with another free area in shut doors and other duct flows in each.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setups : sequence of Setup
        S of them.
    relief : mapping of str to ndarray, shape (S,)
        Door to the free area added to it, m²; below zero takes away. A door that stands open is left as it is.
    moved : mapping of str to ndarray, shape (S,), optional
        Zone to the air that the ducts blow in on top of what the file says, m³/s; their sum should be zero.
    start : {"cold", "warm"}
        Of the vents, as for `steady`.

    Returns
    -------
    State

    Raises
    ------
    InputError
        If a setup does not fit, there is no such door, or an area takes away more than there is.
    ConvergenceError
        If the air or the vents of a scenario do not come into balance.
    """
    house = vented_house(dwelling)
    now = start_moment(house, setups, start)
    for door, area in relief.items():
        _relieve(dwelling, now.built, door, np.asarray(area, dtype=np.float64))
    for zone, flow in (moved or {}).items():
        row = dwelling.zone_names.index(dwelling.zone(zone).name)
        now.built.network.supply[row] += np.asarray(flow) * now.built.density[row]
    settle_moment(house, now, firing=now.firing)
    return state_of(house, now, tuple(setups))


def _relieve(dwelling: Dwelling, built: Built, name: str, area: FloatArray) -> None:
    """Add an orifice to the rows of a shut door, spread over its height where the door has several."""
    dwelling.part("doors", name)
    rows = built.rows
    path = next(item for item in rows.paths if item.name == name and item.kind == "door")
    last = path.last if path.last - path.first == 1 else path.last - 1  # the last of several is the undercut
    count = last - path.first
    number = next(i for i, door in enumerate(dwelling.doors) if door.name == name)
    shut = 1.0 - built.columns.doors[number]
    for row in range(path.first, last):
        mean = 0.5 * (built.density[rows.start[row]] + built.density[rows.end[row]]) / STANDARD_DENSITY
        added = orifice_coefficient(1.0) * area / count * shut * np.sqrt(mean)
        coefficient = built.network.coefficient[row] + added
        if (coefficient < -1e-12).any():
            raise InputError(
                "more free area is taken away than the door has",
                where=f'door "{name}"',
                given=f"{float(area.min()):g} m²",
                expected=f"no less than -{rows.closed[path.first : path.last].sum() / orifice_coefficient(1.0):g} m²",
            )
        built.network.coefficient[row] = np.maximum(coefficient, 0.0)
