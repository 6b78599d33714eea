"""Which readings of a sheet tell something about the dwelling, and what each would be in many variants of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.rooms import Room, rooms
from hvaclib.house.setup import Setup
from hvaclib.house.state import reading_heights
from hvaclib.physics import air
from hvaclib.physics.air import GRAVITY
from hvaclib.procedures.firing import BURN
from hvaclib.procedures.preconditions import appliance_zones, firing_order, refuse_solid_fuel
from hvaclib.procedures.room_pressure import ALL_SHUT, winter_setup, with_doors
from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.review.fit.batch import FINE, burn, pressures
from hvaclib.review.fit.steps import quiet_setup, worst_setup
from hvaclib.review.fit.unknowns import model_uncertainty
from hvaclib.review.fit.varied import Factors, VariedHouse, count_of, varied_house

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.steady import Start

FloatArray = NDArray[np.float64]
BASELINE, WORST, NATURAL = "baseline", "worst case", "natural"
FIRES = ("draft", "spillage_time")
USED = ("caz_pressure", "caz_pressure_change", "draft", "spillage_time", "room_pressure")
"""Quantities that a fit looks at."""
SHORTEST = 10.0
"""s added before the logarithm of a spillage time is taken, so that 0 s and 5 s are nearly the same."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The readings that a fit explains, and how the test was run.

    Attributes
    ----------
    house : VariedHouse
        The dwelling at the start.
    used : tuple of Reading
        R readings.
    left : tuple of str
        Readings that the fit does not look at, and why, one sentence each.
    quiet, worst : Setup
        Baseline, and the set-up of the worst case.
    order : tuple of str
        Vented appliances of the zone, the smallest input first.
    start : {"cold", "warm"}
        Vents at the start of the worst-case test.
    rooms : tuple of Room
        Rooms whose pressure was read.
    """

    house: VariedHouse
    used: tuple[Reading, ...]
    left: tuple[str, ...]
    quiet: Setup
    worst: Setup
    order: tuple[str, ...]
    start: Start
    rooms: tuple[Room, ...]

    def searched(self, factors: Factors) -> Sheet:
        """The same with the worst case searched again for one set of factors."""
        return replace(self, worst=worst_setup(self.house, self.quiet, factors))

    def predicted(self, factors: Factors) -> FloatArray:
        """What each reading would be.

        Parameters
        ----------
        factors : mapping of str to ndarray, shape (V,)

        Returns
        -------
        ndarray, shape (R, V)
            SI; endless for a spillage that does not stop.
        """
        found = np.zeros((len(self.used), count_of(factors)))
        self._pressures(found, factors)
        for stages in self._burnt():
            self._fires(found, stages, factors)
        return found

    def _burnt(self) -> list[tuple[str, ...]]:
        """Stages whose fires are read, those that start alike together."""
        stages = [
            stage
            for stage in (WORST, NATURAL)
            if any(item.when == stage and item.quantity in FIRES for item in self.used)
        ]
        if self.start == "cold":
            return [tuple(stages)] if stages else []
        return [(stage,) for stage in stages]

    def _fires(self, found: FloatArray, stages: tuple[str, ...], factors: Factors) -> None:
        setups = [self.worst if stage == WORST else self.quiet for stage in stages]
        start = self.start if stages == (WORST,) else "cold"
        burnt = burn(self.house, setups, factors, self.order, start, FINE)
        names = [item.name for item in self.house.house.pipes.appliances]
        for row, item in enumerate(self.used):
            if item.quantity in FIRES and item.when in stages:
                array = burnt.draft if item.quantity == "draft" else burnt.seconds
                found[row] = array[names.index(item.where), stages.index(item.when)]

    def _pressures(self, found: FloatArray, factors: Factors) -> None:
        if not any(item.quantity not in FIRES for item in self.used):
            return
        setups = [self.quiet, self.worst, *self._room_setups()]
        state = pressures(self.house, setups, factors)
        zone = state[self.house.dwelling.zone_names.index(self.house.zone)]
        for row, item in enumerate(self.used):
            if item.quantity == "caz_pressure":
                found[row] = zone[0 if item.when == BASELINE else 1]
            elif item.quantity == "caz_pressure_change":
                found[row] = zone[1] - zone[0]
            elif item.quantity == "room_pressure":
                number = [room.zone for room in self.rooms].index(item.where)
                column = 2 if item.when == ALL_SHUT else 3 + number
                found[row] = _across(self.house.dwelling, state[:, column], self.rooms[number], self.quiet)

    def _room_setups(self) -> list[Setup]:
        if not self.rooms:
            return []
        shut = winter_setup(self.house.dwelling, self.quiet)
        return [shut, *(with_doors(self.house.dwelling, shut, room.doors) for room in self.rooms)]

    def errors(self) -> FloatArray:
        """Standard uncertainty of each reading, instrument and model together, on the scale of `scaled`."""
        found = []
        for item in self.used:
            value = min(item.value, BURN)
            error = np.hypot(standard_uncertainty(item), model_uncertainty(item.quantity, value))
            found.append(error / (value + SHORTEST) if item.quantity == "spillage_time" else error)
        return np.array(found, dtype=np.float64)

    def scaled(self, values: FloatArray) -> FloatArray:
        """Values as they are compared: a spillage time by its logarithm, no longer than the test; shape (R, …)."""
        found = np.array(values, dtype=np.float64)
        for row, item in enumerate(self.used):
            if item.quantity == "spillage_time":
                found[row] = np.log(np.minimum(found[row], BURN) + SHORTEST)
        return found

    @property
    def values(self) -> FloatArray:
        """What was read, SI, shape (R,)."""
        return np.array([item.value for item in self.used], dtype=np.float64)


def _across(dwelling: Dwelling, state: FloatArray, room: Room, weather: Setup) -> FloatArray:
    """Pressure of a room against the other side of its door, at the door's sill, Pa; ``state`` has shape (Z, V)."""
    door = dwelling.part("doors", room.door)
    sill = max(dwelling.zone(name).floor for name in door.between) + door.sill
    altitude, heights = dwelling.site.altitude, reading_heights(dwelling)
    outdoor = float(air.density.si(temperature=weather.outdoor_temperature, altitude=altitude))

    def at(zone: str) -> FloatArray:
        row, inside = dwelling.zone_names.index(zone), dwelling.zone(zone).temperature
        warm = weather.outdoor_temperature if inside is None else inside
        density = float(air.density.si(temperature=warm, altitude=altitude))
        moved: FloatArray = state[row] + GRAVITY * (sill - heights[row]) * (outdoor - density)
        return moved

    return at(room.zone) - at(room.reference)


def sheet_of(dwelling: Dwelling, readings: Readings, start: Start = "cold", zone: str | None = None) -> Sheet:
    """Sort the readings of a sheet into what a fit explains and what it leaves.

    Parameters
    ----------
    dwelling : Dwelling
        Where the fit starts.
    readings : Readings
    start : {"cold", "warm"}
        Vents at the start of the worst-case test.
    zone : str, optional
        The combustion appliance zone; the dwelling's first by default.

    Returns
    -------
    Sheet

    Raises
    ------
    InputError
        If the dwelling has no vented appliance, solid fuel burns, a reading names a place that the dwelling does not
        have, or no reading tells anything about the dwelling.
    """
    zones = appliance_zones(dwelling)
    if not zones:
        raise InputError(
            "there is no draft to fit", where=dwelling.name,
            expected="a draft-hood or fan-assisted appliance on a vent",
        )  # fmt: skip
    weather = dwelling.default_setup()
    refuse_solid_fuel(dwelling, weather)
    read = readings.get("outdoor_temperature")
    if read is not None:
        weather = weather.with_outdoor_temperature(read.value)
    chosen = zones[0] if zone is None else zone
    order = tuple(item.name for item in firing_order(dwelling, chosen))
    if not order:
        raise InputError(
            "no vented appliance stands in this zone", where="zone", given=chosen, expected=" or ".join(zones)
        )
    used, left = _sorted(dwelling, readings, chosen, order)
    if not used:
        raise InputError(
            "no reading tells anything about the house", where=dwelling.name,
            expected="a pressure of the appliance zone, a draft or a spillage time",
        )  # fmt: skip
    known = {room.zone: room for room in _rooms(dwelling)}
    named = dict.fromkeys(item.where for item in used if item.quantity == "room_pressure")
    house = varied_house(dwelling, chosen)
    quiet = quiet_setup(dwelling, weather)
    sheet = Sheet(house, used, left, quiet, quiet, order, start, tuple(known[name] for name in named))
    return sheet.searched({})


def _sorted(
    dwelling: Dwelling, readings: Readings, zone: str, order: tuple[str, ...]
) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """Latest reading of each quantity, place and stage that a fit looks at, and sentences about the others."""
    latest: dict[tuple[str, str, str], Reading] = {}
    left: dict[str, list[str]] = {}
    rooms_there = [room.zone for room in _rooms(dwelling)] if dwelling.air_handler is not None else []
    for item in readings:
        if item.quantity not in USED:
            continue
        why = _why_not(item, zone, order, rooms_there)
        if why:
            left.setdefault(why, []).append(item.place)
            continue
        latest[item.quantity, item.where, item.when] = item
    both = [(("caz_pressure", zone, stage) in latest) for stage in (BASELINE, WORST)]
    change = ("caz_pressure_change", zone, WORST)
    if all(both) and change in latest:  # it is the difference of the two, and would count them twice
        del latest[change]
    said = tuple(f"Left out of the fit, because {why}: {'; '.join(places)}." for why, places in left.items())
    return tuple(latest.values()), said


def _why_not(item: Reading, zone: str, order: tuple[str, ...], rooms_there: list[str]) -> str:
    if item.quantity in FIRES:
        if item.where not in order:
            return f"the dwelling has no vented appliance of that name in the {zone}"
        return "" if item.when in (WORST, NATURAL) else "the stage is none that a fit looks at"
    if item.quantity == "room_pressure":
        return "" if item.where in rooms_there else "the dwelling has no room of that name behind a door"
    if item.where != zone:
        return f"the zone tested is the {zone}"
    return "" if item.when in (BASELINE, WORST) else "the stage is none that a fit looks at"


def _rooms(dwelling: Dwelling) -> tuple[Room, ...]:
    inner = [door for door in dwelling.doors if not door.outer]
    return rooms(dwelling) if inner else ()
