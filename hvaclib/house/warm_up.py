"""A vent through the minutes after lighting: walls that warm, a draft that builds or does not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.coupled import Moment, VentedHouse, moment, solve_moment, vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.state import State, state_of, vent_state
from hvaclib.house.steady import Start, settle_moment, start_moment
from hvaclib.house.vents.columns import Columns, advance

FloatArray = NDArray[np.float64]

STEPS = ((8, 2.0), (6, 4.0), (7, 8.0))
"""How many steps of how many seconds follow a change of setup; then `LONG_STEP`. Halving all of them moves a draft
by less than 0.05 Pa and a spillage time by less than one step."""
LONG_STEP = 15.0


@dataclass(frozen=True, slots=True)
class WarmUp:
    """One dwelling through time; A vented appliances, T moments.

    Attributes
    ----------
    time : ndarray, shape (T,)
        s from the start.
    appliances : tuple of str
    lit : ndarray, shape (A,)
        s at which each was lit; NaN where it never was.
    draft, spillage, vent_temperature : ndarray, shape (A, T)
        Pa at the test hole; share of the flue gas that enters the room; K, mean of the stack.
    zone_pressure : ndarray, shape (Z, T)
        Pa against outdoors.
    spillage_time : ndarray, shape (A,)
        s from lighting until spillage stopped for good; infinite where it still spills at the end, NaN where not lit.
    final : State
        At the end.
    """

    time: FloatArray
    appliances: tuple[str, ...]
    lit: FloatArray
    draft: FloatArray
    spillage: FloatArray
    vent_temperature: FloatArray
    zone_pressure: FloatArray
    spillage_time: FloatArray
    final: State

    def at(self, moment: float) -> int:
        """Number of the last record that is not later than `moment` (s)."""
        return int(np.searchsorted(self.time, moment + 1e-9) - 1)


def natural(setup: Setup) -> Setup:
    """Return the setup with every fan and the air handler off: the house on its own."""
    still = setup.with_fans(0.0)
    return still if still.air_handler is None else still.with_air_handler(on=False)


def warm_up(
    dwelling: Dwelling,
    setup: Setup | Sequence[tuple[float, Setup]],
    start: Start = "cold",
    duration: float = 300.0,
) -> WarmUp:
    """Follow a dwelling's vents through time.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, or sequence of (float, Setup)
        What is on, open and burning from the start on; or a sequence of times (s, the first 0) and setups.
    start : {"cold", "warm"}
        Cold: idle vents, as the first setup with no fire leaves them. Warm: vents that have run with every fan off.
    duration : float
        s to the end.

    Returns
    -------
    WarmUp

    Raises
    ------
    InputError
        If times do not rise from 0 to below the duration.
    """
    events = [(0.0, setup)] if isinstance(setup, Setup) else list(setup)
    moments = [when for when, _ in events]
    if not events or moments[0] != 0.0 or any(b <= a for a, b in zip(moments, [*moments[1:], duration], strict=True)):
        raise InputError(
            "times do not rise", where="warm-up", given=[*moments, duration], expected="0 first, then later and later"
        )
    house = vented_house(dwelling)
    columns, flow, pressure = _start(house, events[0][1], start)
    record = _Record(house)
    lit = np.full(house.pipes.connectors, np.nan)
    clock = 0.0
    now: Moment | None = None
    for (_, current), until in zip(events, [*moments[1:], duration], strict=True):
        now = moment(house, [current], columns)
        now.flow = flow
        burning = now.firing[:, 0] > 0
        lit = np.where(burning & np.isnan(lit), clock if start == "cold" else -np.inf, lit)
        now.guess = pressure
        for step in _steps(until - clock):
            if not record.times or record.times[-1] != clock:
                solve_moment(house, now)
                record.add(now, clock)
            warmth = -np.expm1(-np.maximum(clock + step - lit, 0.0) / house.fires.lag)
            warmth = np.where(np.isnan(lit), 0.0, warmth)[:, None]
            now.columns = advance(
                house.pipes, house.fires, now.columns, now.flow, now.around, now.firing, warmth, step
            )
            clock += step
            solve_moment(house, now)
            record.add(now, clock)
        columns, flow = now.columns, now.flow
        pressure = now.guess
    assert now is not None  # there is at least one event
    started = np.where(np.isneginf(lit), 0.0, lit)
    return record.close(started, state_of(house, now, (events[-1][1],)))


def _start(house: VentedHouse, first: Setup, start: Start) -> tuple[Columns, FloatArray, FloatArray | None]:
    if start == "warm":
        before = start_moment(house, [natural(first)], "warm")
        settle_moment(house, before, firing=before.firing)
    else:
        before = start_moment(house, [first], "cold")
    return before.columns, before.flow, before.guess


def _steps(span: float) -> list[float]:
    """Cut a span (s) into steps, short ones first, the last one as long as what is left."""
    wanted = [step for count, step in STEPS for _ in range(count)]
    steps: list[float] = []
    left = span
    while left > 1e-9:
        step = wanted[len(steps)] if len(steps) < len(wanted) else LONG_STEP
        step = left if step > left - 0.5 * step else step
        steps.append(step)
        left -= step
    return steps


class _Record:
    """What is kept of every moment."""

    def __init__(self, house: VentedHouse) -> None:
        self.house = house
        self.times: list[float] = []
        self.rows: list[tuple[FloatArray, FloatArray, FloatArray, FloatArray]] = []

    def add(self, now: Moment, clock: float) -> None:
        vents = vent_state(self.house, now)
        solution = now.solution
        assert solution is not None  # called after solve_moment
        zones = len(self.house.prepared.dwelling.zones)
        heights = np.zeros(solution.pressure.shape[0])
        heights[:zones] = [zone.floor + 1.0 for zone in self.house.prepared.dwelling.zones]
        pressure = now.built.zone_pressure(solution, heights)[:zones, 0]
        self.times.append(clock)
        self.rows.append((vents.draft[:, 0], vents.spillage[:, 0], vents.temperature[:, 0], pressure))

    def close(self, lit: FloatArray, final: State) -> WarmUp:
        draft, spillage, temperature, pressure = (
            np.stack([row[part] for row in self.rows], axis=1) for part in range(4)
        )
        time = np.array(self.times)
        return WarmUp(
            time=time,
            appliances=tuple(user.name for user in self.house.pipes.appliances),
            lit=lit,
            draft=draft,
            spillage=spillage,
            vent_temperature=temperature,
            zone_pressure=pressure,
            spillage_time=_spillage_times(time, spillage, lit),
            final=final,
        )


def _spillage_times(time: FloatArray, spillage: FloatArray, lit: FloatArray) -> FloatArray:
    """Return s from lighting to the first record after the last one that spills."""
    result = np.full(lit.shape, np.nan)
    for index, begin in enumerate(lit):
        if np.isnan(begin):
            continue
        spilling = np.flatnonzero((spillage[index] > 0.0) & (time >= begin))
        if spilling.size == 0:
            result[index] = 0.0
        elif spilling[-1] == time.size - 1:
            result[index] = np.inf
        else:
            result[index] = time[spilling[-1] + 1] - begin
    return result
