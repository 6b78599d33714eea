"""What the controls of the draft board mean: a dwelling as changed on the board, and its setup."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import radians
from typing import Any

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.procedures.combustion_air import with_combustion_air

AIR_HANDLER = "air handler"
SHUT, OPEN = " shut", " open"
WINDS = {
    "north": 0.0,
    "north-east": 45.0,
    "east": 90.0,
    "south-east": 135.0,
    "south": 180.0,
    "south-west": 225.0,
    "west": 270.0,
    "north-west": 315.0,
}


@dataclass(frozen=True, slots=True)
class Situation:
    """A dwelling as the board has it, and how it stands."""

    dwelling: Dwelling
    setup: Setup


def fan_defaults(dwelling: Dwelling) -> dict[str, bool]:
    """Fans and the air handler, on where the file says so."""
    fans = {fan.name: fan.on for fan in dwelling.fans}
    return fans if dwelling.air_handler is None else {**fans, AIR_HANDLER: dwelling.air_handler.on}


def door_defaults(dwelling: Dwelling) -> dict[str, bool]:
    """Inner doors, ticked where shut; then windows and outer doors, ticked where open."""
    inner = {door.name + SHUT: not door.open for door in dwelling.doors if not door.outer}
    outer = {door.name + OPEN: door.open for door in dwelling.doors if door.outer}
    return {**inner, **outer, **{window.name + OPEN: window.open for window in dwelling.windows}}


def burner_defaults(dwelling: Dwelling) -> dict[str, bool]:
    """Appliances; the vented one with the smallest input burns, as the test fires it first."""
    vented = sorted((item for item in dwelling.appliances if item.vented), key=lambda item: item.input)
    first = vented[0].name if vented else ""
    return {item.name: item.firing or item.name == first for item in dwelling.appliances}


def largest_exhaust(dwelling: Dwelling) -> tuple[str, float]:
    """Name and airflow (m³/s) of the fan that takes most air out; an empty name where there is none."""
    flows = {
        fan.name: float(fan.flow or (fan.curve[0][1] if fan.curve else 0.0))
        for fan in dwelling.fans
        if fan.to == "outdoors" and fan.direction == "exhaust"
    }
    name = max(flows, key=lambda key: flows[key], default="")
    return name, flows.get(name, 0.0)


def largest_blockage(dwelling: Dwelling) -> float:
    """Share of its area by which the worst of the vents is blocked."""
    return max((vent.blockage for vent in dwelling.vents), default=0.0)


def situation(dwelling: Dwelling, inputs: Mapping[str, Any]) -> Situation:
    """The dwelling and setup that the controls describe."""
    changed = _changed(dwelling, inputs)
    setup = changed.default_setup()
    for name, on in inputs["fans"].items():
        setup = setup.with_air_handler(on=on) if name == AIR_HANDLER else setup.with_fan(name, float(on))
    inner = {door.name + SHUT: door.name for door in changed.doors if not door.outer}
    outer = {door.name + OPEN: door.name for door in changed.doors if door.outer}
    for name, ticked in inputs["doors"].items():
        if name in inner:
            setup = setup.with_door(inner[name], open=not ticked)
        elif name in outer:
            setup = setup.with_door(outer[name], open=ticked)
        else:
            setup = setup.with_window(name.removesuffix(OPEN), open=ticked)
    for name, on in inputs["burners"].items():
        setup = setup.with_firing(name, on=on)
    weather = setup.with_outdoor_temperature(inputs["outdoor"])
    return Situation(changed, weather.with_wind(inputs["wind"], radians(WINDS[inputs["wind_from"]])))


def _changed(dwelling: Dwelling, inputs: Mapping[str, Any]) -> Dwelling:
    fan, present = largest_exhaust(dwelling)
    changed = dwelling
    if fan and abs(inputs["exhaust"] - present) > 1e-9:
        changed = changed.with_fan_flow(fan, max(inputs["exhaust"], 1e-6))
    if (
        abs(inputs["blocked"] - largest_blockage(dwelling)) > 1e-9
    ):  # untouched, each vent keeps what its file says
        for vent in dwelling.vents:
            changed = changed.with_blockage(vent.name, inputs["blocked"])
    return with_combustion_air(changed, inputs["opening"], int(inputs["openings"]))


def baseline(here: Situation) -> Setup:
    """The same weather with every fan and burner off, inner doors open, windows and outer doors shut."""
    setup = here.setup.with_fans(0.0)
    if setup.air_handler is not None:
        setup = setup.with_air_handler(on=False)
    doors = {door.name: not door.outer for door in here.dwelling.doors}
    setup = replace(setup, doors=type(setup.doors)(doors))
    setup = replace(
        setup, windows=type(setup.windows)({window.name: False for window in here.dwelling.windows})
    )
    return replace(setup, firing=type(setup.firing)(dict.fromkeys(setup.firing, False)))
