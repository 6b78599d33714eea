"""The state of a dwelling: pressures, flows, vents, for S setups solved together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.coupled import Moment, VentedHouse
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.vents.spillage import spillage
from hvaclib.house.vents.test_hole import draft_at_hole

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

INSTRUMENT_HEIGHT = 1.0
"""m above a zone's floor at which a manometer is held."""


def reading_heights(dwelling: Dwelling) -> FloatArray:
    """Return the height (m above grade) at which each zone's pressure against outdoors is stated, shape (Z,).

    The hose of a manometer holds air as warm as the zone, so that the reading is the difference where the hose comes
    out of doors: beside the instrument, or at grade for a zone below it.
    """
    return np.array([max(zone.floor + INSTRUMENT_HEIGHT, 0.0) for zone in dwelling.zones])


@dataclass(frozen=True, slots=True)
class VentState:
    """The vented appliances, shape (A, S) each, SI.

    Attributes
    ----------
    names : tuple of str
        Appliances.
    flow, flue_gas : ndarray
        kg/s up the connector (below zero: reversed), and of undiluted flue gas from the fire.
    spillage : ndarray
        Share of the fire's flue gas that enters the room, by its own hood or by another's, 0 to 1.
    hood_gas : ndarray
        kg/s of undiluted flue gas, whichever fire it is from, that comes out of the appliance's hood or outlet.
    fan_assisted : ndarray of bool, shape (A,)
        Which of them have no draft hood.
    draft : ndarray
        Pa at the test hole against the room, below zero where the vent draws.
    temperature : ndarray
        K, mean of the gas in the stack.
    reversed : ndarray of bool
        Whether air comes down the connector.
    """

    names: tuple[str, ...]
    flow: FloatArray
    flue_gas: FloatArray
    spillage: FloatArray
    hood_gas: FloatArray
    draft: FloatArray
    temperature: FloatArray
    reversed: BoolArray
    fan_assisted: BoolArray

    @property
    def spilling(self) -> BoolArray:
        """Whether flue gas is found at the hood, lit or not; without a hood also whether its gas leaves by another."""
        found: BoolArray = (self.hood_gas > 0.0) | (self.fan_assisted[:, None] & (self.spillage > 0.0))
        return found


@dataclass(frozen=True, slots=True)
class State:
    """S scenarios of one dwelling at one moment; arrays are (rows, S) in SI.

    Attributes
    ----------
    zone_names : tuple of str
        The dwelling's zones.
    zone_pressure : ndarray
        Pa against outdoors, as a manometer shows it: see `reading_heights`.
    path_names, path_kinds, path_start, path_end : tuple of str
        Everything air passes; ends are zone names, junctions or "outdoors".
    path_forward, path_backward : ndarray
        kg/s, zero or more: start to end, and end to start (both in a two-way doorway).
    fan_names : tuple of str
    fan_flow : ndarray
        kg/s of each fan.
    air_handler : ndarray, shape (S,)
        1 where it runs.
    vents : VentState
    """

    dwelling: Dwelling
    setups: tuple[Setup, ...]
    zone_names: tuple[str, ...]
    zone_pressure: FloatArray
    path_names: tuple[str, ...]
    path_kinds: tuple[str, ...]
    path_start: tuple[str, ...]
    path_end: tuple[str, ...]
    path_forward: FloatArray
    path_backward: FloatArray
    fan_names: tuple[str, ...]
    fan_flow: FloatArray
    air_handler: FloatArray
    vents: VentState

    def pressure(self, zone: str) -> FloatArray:
        """Pa of one zone against outdoors, shape (S,)."""
        found: FloatArray = self.zone_pressure[self.zone_names.index(zone)]
        return found


def vent_state(house: VentedHouse, now: Moment) -> VentState:
    """Return what the vents do in a solved moment."""
    pipes = house.pipes
    count = pipes.connectors
    solution = now.solution
    assert solution is not None  # called after solve_moment
    flow = now.flow[:count]
    flue_gas = house.fires.flow[:, None] * now.firing
    spilt = spillage(pipes, now.flow, flue_gas)
    draft = draft_at_hole(
        pipes,
        house.holes,
        now.columns,
        now.flow,
        now.friction,
        now.around,
        now.built.density[pipes.zone],
        solution.pressure[pipes.zone],
        solution.pressure[house.junctions],
    )
    stack = now.columns.gas.mean(axis=0)[pipes.stack_of]
    return VentState(
        names=tuple(user.name for user in pipes.appliances),
        flow=flow.copy(),
        flue_gas=flue_gas,
        spillage=spilt.share,
        hood_gas=spilt.hood_gas,
        draft=draft,
        temperature=stack,
        reversed=flow < 0.0,
        fan_assisted=pipes.fan_assisted,
    )


def state_of(house: VentedHouse, now: Moment, setups: tuple[Setup, ...]) -> State:
    """Return the whole state of a solved moment."""
    dwelling = house.prepared.dwelling
    solution = now.solution
    assert solution is not None  # called after solve_moment
    rows = house.prepared.rows
    zones = len(dwelling.zones)
    heights = np.zeros(len(rows.zone_names))
    heights[:zones] = reading_heights(dwelling)
    forward, backward = now.built.path_flows(solution)
    blown = house.pipes.fan_assisted[:, None] * now.firing * house.fires.flow[:, None]
    first = len(rows.paths) - house.pipes.connectors - house.pipes.stacks
    forward[first : first + house.pipes.connectors] += blown
    return State(
        dwelling=dwelling,
        setups=setups,
        zone_names=dwelling.zone_names,
        zone_pressure=now.built.zone_pressure(solution, heights)[:zones],
        path_names=tuple(path.name for path in rows.paths),
        path_kinds=tuple(path.kind for path in rows.paths),
        path_start=tuple(path.start for path in rows.paths),
        path_end=tuple(path.end for path in rows.paths),
        path_forward=forward,
        path_backward=backward,
        fan_names=tuple(fan.name for fan in dwelling.fans),
        fan_flow=now.built.fan_flows(solution),
        air_handler=now.built.columns.air_handler,
        vents=vent_state(house, now),
    )
