"""The section of a solved state: from the house's names and kilograms to what the drawing shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.draft_test import SPILLING
from hvaclib.plots.section.data import (
    OUTDOORS,
    PathKind,
    Section,
    SectionAppliance,
    SectionPath,
    SectionVent,
    SectionZone,
    VentStatus,
)

if TYPE_CHECKING:
    from hvaclib.house.state import State

STANDARD_DENSITY = (
    1.204  # kg/m³: dry air at 20 °C and 101 325 Pa by the ideal gas law; flows are shown as cfm of this air
)
STILL = 1e-5  # kg/s: a vent with less is at rest
DRAWN: dict[str, PathKind] = {"leak": "leak", "opening": "opening", "door": "door", "window": "window"}


def section_of(state: State, scenario: int = 0) -> Section:
    """What the drawing shows of one scenario of a state.

    Parameters
    ----------
    state : State
        Solved, S scenarios.
    scenario : int
        Which of them.

    Returns
    -------
    Section
        Flows as volume of standard air, `STANDARD_DENSITY`.
    """
    dwelling = state.dwelling
    zones = tuple(
        SectionZone(
            z.name,
            z.floor,
            z.height,
            z.floor_area,
            float(state.zone_pressure[i, scenario]),
            "attic" in z.name.lower(),
        )
        for i, z in enumerate(dwelling.zones)
    )
    appliances = _appliances(state, scenario)
    vents = tuple(
        SectionVent(vent.name, first, vent.top)
        for vent in dwelling.vents
        if (first := next((a.zone for a in appliances if a.vent == vent.name), ""))
    )
    handler = dwelling.air_handler
    return Section(
        zones,
        _paths(state, scenario) + _fans(state, scenario) + _ducts(state, scenario),
        appliances,
        vents,
        handler.zone if handler else "",
        bool(handler) and float(state.air_handler[scenario]) > 0.0,
    )


def _paths(state: State, scenario: int) -> tuple[SectionPath, ...]:
    """Leaks, openings, doors and windows; the rows of the vents are drawn as vents."""
    setup = state.setups[scenario]
    forward = (state.path_forward[:, scenario] / STANDARD_DENSITY).tolist()
    backward = (state.path_backward[:, scenario] / STANDARD_DENSITY).tolist()
    position = {"door": setup.doors, "window": setup.windows}
    return tuple(
        SectionPath(
            name, start, end, DRAWN[kind], max(forward[i], 0.0), max(backward[i], 0.0),
            bool(position[kind][name]) if kind in position else True,
        )
        for i, (name, kind, start, end) in enumerate(
            zip(state.path_names, state.path_kinds, state.path_start, state.path_end, strict=True)
        )
        if kind in DRAWN
    )  # fmt: skip


def _fans(state: State, scenario: int) -> tuple[SectionPath, ...]:
    fans = []
    for i, fan in enumerate(state.dwelling.fans):
        start, end = fan.ends
        flow = abs(float(state.fan_flow[i, scenario])) / STANDARD_DENSITY
        fans.append(
            SectionPath(fan.name, start, end, "fan", flow, 0.0, bool(state.setups[scenario].fans[fan.name]))
        )
    return tuple(fans)


def _ducts(state: State, scenario: int) -> tuple[SectionPath, ...]:
    """What the air handler gives to and takes from each zone; what its ducts lose to zones counts with it."""
    handler = state.dwelling.air_handler
    speed = float(state.air_handler[scenario])
    if handler is None or speed <= 0.0:
        return ()
    flow = handler.flow * speed
    supply = [(d, handler.zone, d.zone) for d in (*handler.supplies, *handler.supply_leakage)]
    taken = [(d, d.zone, handler.zone) for d in (*handler.returns, *handler.return_leakage)]
    return tuple(
        SectionPath("duct", start, end, "duct", flow * d.share)
        for d, start, end in supply + taken
        if OUTDOORS not in (start, end)
    )


def _appliances(state: State, scenario: int) -> tuple[SectionAppliance, ...]:
    vents, setup = state.vents, state.setups[scenario]
    shown = []
    for appliance in state.dwelling.appliances:
        draft: float | None = None
        status: VentStatus = "idle"
        if appliance.name in vents.names:
            i = vents.names.index(appliance.name)
            draft = float(vents.draft[i, scenario])
            flow = float(vents.flow[i, scenario])
            if vents.reversed[i, scenario] and flow < -STILL:
                status = "reversed"
            elif vents.spillage[i, scenario] > SPILLING:
                status = "spilling"
            elif flow > STILL:
                status = "drawing"
        firing = bool(setup.firing[appliance.name])
        shown.append(
            SectionAppliance(
                appliance.name, appliance.kind, appliance.zone, firing, appliance.vent or "", draft, status
            )
        )
    return tuple(shown)
