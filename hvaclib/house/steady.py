"""Vents at steady state, for any number of setups at once, from a cold or a warm start."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import ConvergenceError, InputError
from hvaclib.house.columns import SetupColumns, setup_of
from hvaclib.house.coupled import Moment, VentedHouse, moment, part_of, solve_moment, vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.state import State, VentState, state_of, vent_state
from hvaclib.house.vents.columns import Columns, cold, hot, lift, settle

FloatArray = NDArray[np.float64]
Start = Literal["cold", "warm"]

SETTLED = 0.01
"""Pa: a column whose lift changes by less from pass to pass has settled; a tenth of what a manometer shows."""

PASSES = 200
"""Passes after which a scenario is given up."""

RELAXATION = 0.6
"""Share of the way a column goes towards the profile of its flow in one pass. A diluted column cools when it draws
more and an undiluted one warms: with the whole way the first overshoots, with this share both come in smoothly, and
a start from cold climbs to the first steady state above it instead of jumping past."""

LEAST_RELAXATION = 0.002
"""Where the passes swing to and fro the share shrinks, down to this: a vent near standstill answers hugely to little."""

STANDBY_PASSES = 6
"""Passes without fire from a column as warm as its surroundings: time for an idle vent to fill with outdoor air
where the zone pulls harder than the column lifts."""


def settle_moment(house: VentedHouse, now: Moment, *, firing: FloatArray) -> None:
    """Let the columns of a moment settle with the fires `firing`; fills the moment's last solution.

    Raises
    ------
    ConvergenceError
        If a scenario does not settle; nothing partial is handed out.
    """
    scenarios = now.flow.shape[1]
    whole, active, part = now, np.arange(scenarios), now
    final_gas, final_constant = now.columns.gas.copy(), now.columns.gas_constant.copy()
    final_wall, final_flow = now.columns.wall.copy(), now.flow.copy()
    share, last = np.full(now.flow.shape, RELAXATION), np.zeros(now.flow.shape)
    for _ in range(PASSES):
        part.firing = firing[:, active]
        solve_moment(house, part)
        wanted = settle(house.pipes, house.fires, part.columns, part.flow, part.around, part.firing)
        before, part.columns = part.columns, wanted
        moved = _moved(house, part, before)
        change = np.abs(moved).max(axis=0, initial=0.0)  # a house may have no vent
        share = np.clip(
            share * np.where(moved * last < 0.0, 0.5, 1.2), LEAST_RELAXATION, RELAXATION
        )  # less where a pipe swings to and fro, more again where it goes one way
        part.columns = _towards(before, wanted, np.where(change < SETTLED, 1.0, share))
        final_gas[..., active], final_constant[..., active] = part.columns.gas, part.columns.gas_constant
        final_wall[..., active], final_flow[..., active] = part.columns.wall, part.flow
        going = change >= SETTLED
        if not going.any():
            break
        stuck, by = int(active[np.argmax(change)]), float(change.max())
        last = moved
        if going.mean() < 0.5:
            part, active = part_of(part, np.flatnonzero(going)), active[going]
            share, last = share[:, going], last[:, going]
    else:
        raise ConvergenceError(
            "the vents did not settle",
            where=f"scenario {stuck} of {house.prepared.dwelling.name}",
            given=f"{by:.3f} Pa from pass to pass",
        )
    whole.columns = Columns(final_gas, final_constant, final_wall)
    whole.flow, whole.firing = final_flow, firing
    solve_moment(house, whole)


def _moved(house: VentedHouse, now: Moment, before: Columns) -> FloatArray:
    """Return by how much (Pa) the lift of each column has changed, shape (P, S)."""
    return lift(house.steps, now.columns, now.around) - lift(house.steps, before, now.around)


def _towards(old: Columns, new: Columns, share: FloatArray) -> Columns:
    return Columns(
        gas=old.gas + share * (new.gas - old.gas),
        gas_constant=old.gas_constant + share * (new.gas_constant - old.gas_constant),
        wall=old.wall + share * (new.wall - old.wall),
    )


def start_moment(house: VentedHouse, setups: Sequence[Setup] | SetupColumns, start: Start) -> Moment:
    """Return a moment whose columns are as they stand before the fires are lit (cold) or after a long run (warm)."""
    if start not in ("cold", "warm"):
        raise InputError("no such start", where="start", given=start, expected="cold or warm")
    now = moment(house, setups)
    if start == "warm":
        now.columns = hot(house.pipes, house.fires, now.around, now.firing)
        return now
    now.columns = cold(now.around)
    fires, now.firing = now.firing, np.zeros_like(now.firing)
    now = _unlit(house, now, setups)
    now.firing = fires
    return now


def _unlit(house: VentedHouse, lit: Moment, setups: Sequence[Setup] | SetupColumns) -> Moment:
    """Run the idle vents for some passes and hand the columns to the lit moment."""
    idle = moment(house, setups, lit.columns)
    supply = idle.built.network.supply
    _take_back_fires(house, idle, supply)
    idle.firing = np.zeros_like(idle.firing)
    for _ in range(STANDBY_PASSES):
        solve_moment(house, idle)
        before, idle.columns = (
            idle.columns,
            settle(house.pipes, house.fires, idle.columns, idle.flow, idle.around, idle.firing),
        )
        if np.abs(_moved(house, idle, before)).max(initial=0.0) < 0.1 * SETTLED:
            break
    lit.columns, lit.flow, lit.guess = idle.columns, idle.flow, idle.guess
    return lit


def _take_back_fires(house: VentedHouse, idle: Moment, supply: FloatArray) -> None:
    pipes, fires = house.pipes, house.fires
    for index in range(pipes.connectors):
        zone, burning = pipes.zone[index], idle.firing[index]
        if pipes.fan_assisted[index]:
            supply[zone] += (fires.flow[index] - fires.fuel_flow[index]) * burning
            supply[house.junctions[pipes.junction[index]]] -= fires.flow[index] * burning
        else:
            supply[zone] -= fires.fuel_flow[index] * burning


def steady(dwelling: Dwelling, setups: Sequence[Setup], start: Start = "cold") -> State:
    """Return the state of a dwelling in S setups with its vents at steady state.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setups : sequence of Setup
        What is on, open and burning.
    start : {"cold", "warm"}
        Where the columns come from: idle and full of whatever stood in them, or hot. A vent can hold a draft warm
        that it cannot win cold.

    Returns
    -------
    State

    Raises
    ------
    InputError
        If a setup does not fit the dwelling.
    ConvergenceError
        If the air or the vents of a scenario do not come into balance.
    """
    house = vented_house(dwelling)
    now = start_moment(house, setups, start)
    settle_moment(house, now, firing=now.firing)
    return state_of(house, now, tuple(setups))


def steady_vents(
    dwelling: Dwelling, columns: SetupColumns, start: Start = "cold"
) -> tuple[VentState, FloatArray]:
    """Return vents and zone pressures of many setups given as arrays; what a ranking of all combinations needs.

    Returns
    -------
    VentState
        Shape (A, S) each.
    ndarray, shape (Z, S)
        Zone pressures as in `State`.
    """
    house = vented_house(dwelling)
    now = start_moment(house, columns, start)
    settle_moment(house, now, firing=now.firing)
    state = state_of(house, now, ())
    return state.vents, state.zone_pressure


__all__ = ["Start", "settle_moment", "setup_of", "start_moment", "steady", "steady_vents", "vent_state"]
