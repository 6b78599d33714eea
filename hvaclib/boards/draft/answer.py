"""The quick answer of the draft board: five minutes of the vents, the readings, what the rules say."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.boards.draft.situation import Situation, baseline
from hvaclib.house.steady import Start, steady
from hvaclib.house.warm_up import warm_up
from hvaclib.procedures.firing import BURN, read_appliance
from hvaclib.procedures.preconditions import facts_of
from hvaclib.readings import Reading, Readings
from hvaclib.rules import Findings, RuleSet, judge

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.setup import Setup
    from hvaclib.house.state import State
    from hvaclib.house.warm_up import WarmUp


@dataclass(frozen=True, slots=True)
class Answer:
    """What the board knows as soon as a control has moved.

    Attributes
    ----------
    situation : Situation
        Dwelling and setup.
    state : State
        After five minutes of burning, or as it settles where nothing burns.
    run : WarmUp or None
        The five minutes; None where no vented appliance burns.
    stage : str
        "worst case" or, with every fan and the air handler off, "natural": it decides which rules apply.
    zone : str
        Zone of the vented appliances.
    burning : tuple of str
        Vented appliances that burn.
    baseline : float
        Pa, the zone with everything off.
    idle_hoods : tuple of str
        Appliances that do not burn but give off the flue gas of another.
    readings, findings, rules
        What the instruments show, and what the rule set says of it.
    """

    situation: Situation
    state: State
    run: WarmUp | None
    stage: str
    zone: str
    burning: tuple[str, ...]
    baseline: float
    idle_hoods: tuple[str, ...]
    readings: Readings
    findings: Findings
    rules: RuleSet


def answer(here: Situation, start: Start, rules: RuleSet) -> Answer:
    """Work out the quick answer; some 40 ms."""
    dwelling, setup = here.dwelling, here.setup
    vented = [item for item in dwelling.appliances if item.vented]
    burning = tuple(item.name for item in vented if setup.firing[item.name])
    run = warm_up(dwelling, setup, start, BURN) if burning else None
    state = run.final if run is not None else steady(dwelling, [setup], start)
    quiet = not any(setup.fans.values()) and not setup.air_handler
    stage = "natural" if quiet else "worst case"
    zone = vented[0].zone
    before = _baseline_pressure(dwelling, baseline(here), zone)
    readings = Readings(_readings(here, state, run, stage, zone, before))
    findings = judge(readings, rules, facts_of(dwelling, start))
    idle = _idle_hoods(run)
    return Answer(here, state, run, stage, zone, burning, before, idle, readings, findings, rules)


def _idle_hoods(run: WarmUp | None) -> tuple[str, ...]:
    if run is None:
        return ()
    return tuple(
        name
        for row, name in enumerate(run.appliances)
        if np.isnan(run.lit[row]) and bool(run.spilling[row, -1])
    )


@lru_cache(maxsize=64)
def _baseline_pressure(dwelling: Dwelling, setup: Setup, zone: str) -> float:
    return float(steady(dwelling, [setup]).pressure(zone)[0])


def _readings(
    here: Situation, state: State, run: WarmUp | None, stage: str, zone: str, before: float
) -> list[Reading]:
    pressure = float(state.pressure(zone)[0])
    found = [
        Reading("outdoor_temperature", here.setup.outdoor_temperature, here.dwelling.name, stage),
        Reading("solid_fuel_operating", 0.0, here.dwelling.name, "baseline"),
        Reading("caz_pressure", before, zone, "baseline"),
        Reading("caz_pressure", pressure, zone, stage),
        Reading("caz_pressure_change", pressure - before, zone, stage),
    ]
    for item in here.dwelling.appliances:
        if item.sealed:
            found.append(Reading("appliance_sealed", 1.0, item.name, "baseline"))
    if run is not None:
        for row, name in enumerate(run.appliances):
            if not np.isnan(run.lit[row]):
                item = here.dwelling.part("appliances", name)
                found += read_appliance(run, item, 0.0, [BURN], stage)
    return found
