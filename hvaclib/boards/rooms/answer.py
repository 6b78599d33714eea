"""The quick answer of the rooms board: every room as found, the chosen one relieved as built, and tested again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.boards.rooms.situation import Situation
from hvaclib.house.relief import steady_with_relief
from hvaclib.physics.room_pressure import TransferPath, jump_duct_diameter, transfer_path
from hvaclib.physics.room_pressure.crack import latch_strip, wedge
from hvaclib.physics.room_pressure.transfer import series_of, stock_jump_duct
from hvaclib.procedures.room_effects import Effects, effects_of, first_fire
from hvaclib.procedures.room_pressure import (
    ALL_SHUT,
    ALONE,
    RoomPressures,
    across_door,
    room_pressures,
    room_readings,
    with_doors,
)
from hvaclib.procedures.room_relief import (
    door_area,
    gap_for_area,
    measured_gap,
    needed_area,
    net_flow_of_reading,
)
from hvaclib.readings import Reading, Readings
from hvaclib.rules import Bounds, Finding, Findings, RuleSet, judge

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.setup import Setup
    from hvaclib.procedures.room_relief import FloatArray

CURVE = 21
"""Points of the curve over the gap."""


@dataclass(frozen=True, slots=True)
class Built:
    """The remedy of the chosen room, SI: needed area beyond the shut door, what is built, and how."""

    needed: float
    area: float
    path: TransferPath | None = None
    duct: float = 0.0


@dataclass(frozen=True, slots=True)
class Answer:
    """What the board knows as soon as a control has moved.

    Attributes
    ----------
    situation : Situation
    found : RoomPressures
        As found, with a measured reading worked into the duct air of its room.
    bounds : Bounds
        Of the rule.
    now, after : ndarray, shape (R,)
        Pa of each room as the doors are chosen, without and with the remedy.
    measured : bool
        Whether the chosen room's reading was typed.
    existing, total, by_calculation : float
        m²: the shut door's free area; all that is needed; what must be added, by calculation.
    strip, wedge : float
        m²: crack of the door as it stands ajar on the board.
    built : Built
    gaps, curve : ndarray, shape (C,)
        m and Pa; `at_gap` Pa as the door stands; `enough` least gap within the band or None.
    thumb : float
        Pa with each of the three restrictions as large as the single opening.
    effects : Effects
    readings, findings, rules
        As found, and what the rules say; `retest` the finding of the chosen room with the remedy.
    """

    situation: Situation
    found: RoomPressures
    bounds: Bounds
    now: FloatArray
    after: FloatArray
    measured: bool
    existing: float
    total: float
    by_calculation: float
    strip: float
    wedge: float
    built: Built
    gaps: FloatArray
    curve: FloatArray
    at_gap: float
    enough: float | None
    thumb: float
    effects: Effects
    readings: Readings
    findings: Findings
    retest: Finding | None
    rules: RuleSet

    @property
    def row(self) -> int:
        """Row of the chosen room."""
        return self.found.rooms.index(self.situation.room)

    @property
    def pressure(self) -> float:
        """Pa of the chosen room now."""
        return float(self.now[self.row])


def answer(here: Situation, inputs: Mapping[str, Any], rules: RuleSet, bounds: Bounds) -> Answer:
    """Work out the quick answer; some 20 ms."""
    dwelling, room = here.dwelling, here.room
    door = dwelling.part("doors", room.door)
    existing = door_area(dwelling, room, float(inputs["undercut"]))
    found, here = _found(here, inputs["measured"], existing)
    row = found.rooms.index(room)
    stage = ALONE if inputs["doors"] == "alone" else ALL_SHUT
    now = np.array(found.alone if stage == ALONE else found.together)
    reading = inputs["measured"]
    if reading is not None:
        now[row] = reading
    limit = bounds.upper if now[row] >= 0.0 else -bounds.lower
    total = needed_area(found, room, limit, here.net)
    together = found.pressure(room) if reading is None else reading
    added = 0.0 if bounds.holds(together) else max(total - existing, 0.0)  # within: the shut door is enough
    gap = float(inputs["gap"])
    strip, triangle = float(latch_strip(gap, door.height)), float(wedge(gap, door.width))
    built = _built(strip + 2.0 * triangle if gap > 0.0 else added, inputs)
    gaps = np.linspace(0.0, max(1.6 * gap, 2.0 * gap_for_area(dwelling, room, added), 0.025), CURVE)
    tested = _tested(here, found, built, gap, gaps)
    after = tested.alone if stage == ALONE else tested.effects.after
    curve = tested.curve
    readings = _readings(found, now, stage, row, measured=reading is not None)
    return Answer(
        situation=here, found=found, bounds=bounds, now=now, after=after, measured=reading is not None,
        existing=existing, total=total, by_calculation=added, strip=strip, wedge=triangle, built=built, gaps=gaps,
        curve=curve, at_gap=tested.at_gap, enough=measured_gap(gaps, curve, limit), thumb=tested.thumb,
        effects=tested.effects, readings=readings, findings=judge(readings, rules, {"house": dwelling.name}).about("room_pressure"),
        retest=_retest(found, after, stage, row, rules), rules=rules,
    )  # fmt: skip


def _found(here: Situation, measured: float | None, existing: float) -> tuple[RoomPressures, Situation]:
    """The house as found; a measured pressure is worked into the duct air of its room, which the hall then lacks."""
    found = _solved(here.dwelling, here.weather, tuple(here.base.items()), tuple(here.moved.items()))
    if measured is None:
        return found, here
    net = net_flow_of_reading(found, here.room, measured, existing)
    moved = dict(here.moved)
    for zone, more in ((here.room.zone, net - here.net), (here.room.reference, here.net - net)):
        moved[zone] = moved.get(zone, 0.0) + more
    here = replace(here, moved=moved, net=net)
    return _solved(here.dwelling, here.weather, tuple(here.base.items()), tuple(moved.items())), here


@lru_cache(maxsize=32)
def _solved(
    dwelling: Dwelling,
    weather: Setup,
    base: tuple[tuple[str, float], ...],
    moved: tuple[tuple[str, float], ...],
) -> RoomPressures:
    """The rooms as found; what only changes the gap or the remedy finds them solved already."""
    return room_pressures(dwelling, weather, dict(base), dict(moved))


def _built(needed: float, inputs: Mapping[str, Any]) -> Built:
    """The remedy chosen on the board, for a needed area beyond the shut door."""
    if needed <= 0.0 or inputs["remedy"] == "none":
        return Built(max(needed, 0.0), 0.0)
    if inputs["remedy"] == "duct":
        wanted = float(jump_duct_diameter.si(required_area=needed))
        duct = stock_jump_duct(wanted)
        return Built(needed, np.pi * duct**2 / 4.0, duct=duct)
    path = transfer_path.si(
        required_area=needed, stud_bays=int(inputs["bays"]), grille_free_area_ratio=inputs["ratio"]
    )
    if inputs["grille"] != "fit":
        path = series_of(path, inputs["grille"], needed, inputs["ratio"])
    return Built(needed, path.effective_area, path)


@dataclass(frozen=True, slots=True)
class _Tested:
    effects: Effects
    alone: FloatArray
    thumb: float
    at_gap: float
    curve: FloatArray


def _tested(here: Situation, found: RoomPressures, built: Built, gap: float, gaps: FloatArray) -> _Tested:
    """Everything that has to be solved again, in one call."""
    dwelling, room = here.dwelling, here.room
    door = dwelling.part("doors", room.door)
    fire = first_fire(dwelling)
    shut = found.setup
    lit = shut if fire is None else shut.with_firing(fire.name, on=True)
    singles = [with_doors(dwelling, shut, each.doors) for each in found.rooms]
    setups = [shut, shut, lit, lit, shut, shut, *singles, *([shut] * gaps.size)]
    cracks = np.array([gap, *gaps]) * (door.height + door.width)
    area = built.area
    added = np.array(
        [0.0, area, 0.0, area, built.needed / 3.0**0.5, cracks[0], *([area] * len(singles)), *cracks[1:]]
    )
    count = len(setups)
    relief = {room.door: here.base.get(room.door, 0.0) + added}
    state = steady_with_relief(
        dwelling, setups, relief, {zone: np.full(count, flow) for zone, flow in here.moved.items()}
    )
    across = across_door(state, room)
    alone = np.array([across_door(state, each)[6 + row] for row, each in enumerate(found.rooms)])
    return _Tested(
        effects_of(state, 0, 1, 2, 3), alone, float(across[4]), float(across[5]), across[6 + len(singles) :]
    )


def _readings(found: RoomPressures, now: FloatArray, stage: str, row: int, *, measured: bool) -> Readings:
    """The readings as the doors are chosen; the typed one is a reading of an instrument."""
    return Readings(
        [
            Reading("room_pressure", float(now[n]), room.zone, stage, computed=not (measured and n == row))
            for n, room in enumerate(found.rooms)
        ]
    )


def _retest(found: RoomPressures, after: FloatArray, stage: str, row: int, rules: RuleSet) -> Finding | None:
    readings = room_readings(found.rooms, after, after).of("room_pressure", found.rooms[row].zone, stage)
    findings = judge(readings, rules, {"house": found.dwelling.name}).about("room_pressure")
    return next((item for item in findings if item.reading is not None), None)
