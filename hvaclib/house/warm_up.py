"""A vent through the minutes after lighting: walls that warm, a draft that builds or does not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.coupled import Moment, VentedHouse, moment, solve_moment, vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.state import State, reading_heights, state_of, vent_state
from hvaclib.house.steady import Start, settle_moment, start_moment
from hvaclib.house.vents.columns import Columns, advance

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

STEPS = ((4, 0.5), (4, 2.0), (6, 4.0), (6, 8.0))
"""How many steps of how many seconds follow a change of setup; then `LONG_STEP`. Halving all of them moves a draft
by less than 0.15 Pa while a vent turns over, 0.06 Pa on any other way and 0.02 Pa after five minutes, and a spillage
time by no more than the step in which it ends."""
LONG_STEP = 15.0

CALM, UNSETTLED = 0.2, 0.01
"""Pa: a step that moves a pressure by more is repeated with the flow it led to. Where every hood draws one pass
follows the flow closely; where one spills or is reversed the vent can snap over, and the columns must follow at once."""

PASSES = 20
"""Most repetitions of a step; a vent that snaps over needs about ten."""


@dataclass(frozen=True, slots=True)
class WarmUp:
    """One dwelling through time; A vented appliances, T moments.

    Attributes
    ----------
    time : ndarray, shape (T,)
        s from the start.
    appliances : tuple of str
    lit : ndarray, shape (A,)
        s at which each was lit first; NaN where it never was.
    draft, spillage, vent_temperature : ndarray, shape (A, T)
        Pa at the test hole; share of the fire's flue gas that enters the room; K, mean of the stack.
    spilling : ndarray of bool, shape (A, T)
        Whether flue gas, of this or of another fire, is found at the hood.
    zone_pressure : ndarray, shape (Z, T)
        Pa against outdoors.
    spillage_time : ndarray, shape (A,)
        s from lighting until spillage at the hood stopped for good; infinite where it still spills at the end, NaN
        where not lit.
    final : State
        At the end.
    """

    time: FloatArray
    appliances: tuple[str, ...]
    lit: FloatArray
    draft: FloatArray
    spillage: FloatArray
    spilling: BoolArray
    vent_temperature: FloatArray
    zone_pressure: FloatArray
    spillage_time: FloatArray
    final: State

    def at(self, moment: float) -> int:
        """Number of the last record that is not later than `moment` (s)."""
        return int(np.searchsorted(self.time, moment + 1e-9) - 1)

    def spillage_between(self, appliance: int, begin: float, end: float) -> float:
        """Seconds from `begin` until the hood of an appliance stopped spilling for good; endless if not by `end`."""
        window = (self.time >= begin - 1e-9) & (self.time <= end + 1e-9)
        return _until_it_stops(self.time[window] - begin, self.spilling[appliance, window])


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
    if (
        not events
        or moments[0] != 0.0
        or any(b <= a for a, b in zip(moments, [*moments[1:], duration], strict=True))
    ):
        raise InputError(
            "times do not rise",
            where="warm-up",
            given=[*moments, duration],
            expected="0 first, then later and later",
        )
    house = vented_house(dwelling)
    columns, flow, pressure = _start(house, events[0][1], start)
    record = _Record(house)
    lit = np.full(house.pipes.connectors, np.nan)
    warmth: FloatArray | None = None
    clock = 0.0
    now: Moment | None = None
    for (_, current), until in zip(events, [*moments[1:], duration], strict=True):
        now = moment(house, [current], columns)
        now.flow = flow
        lit = np.where((now.firing[:, 0] > 0) & np.isnan(lit), clock, lit)
        if warmth is None:
            warmth = now.firing * float(start == "warm")
        now.guess = pressure
        solve_moment(house, now)
        record.calm = False
        if not record.times:
            record.add(now, clock)
        for step in _steps(until - clock):
            # A heat exchanger comes up to temperature while its fire burns and cools as slowly after it.
            warmth = now.firing + (warmth - now.firing) * np.exp(-step / house.fires.lag)[:, None]
            _advance(house, now, warmth, step, CALM if record.calm else UNSETTLED)
            clock += step
            record.add(now, clock)
        columns, flow = now.columns, now.flow
        pressure = now.guess
    assert now is not None  # there is at least one event
    return record.close(lit, state_of(house, now, (events[-1][1],)))


def _advance(house: VentedHouse, now: Moment, warmth: FloatArray, step: float, tolerance: float) -> None:
    """Move a moment on by one step, repeated with the flow that it led to until that flow stays."""
    before = now.columns
    for _ in range(PASSES):
        assert now.solution is not None  # the step starts from a solved moment
        pressure = now.solution.pressure
        now.columns = advance(
            house.pipes, house.fires, before, now.flow, now.around, now.firing, warmth, step
        )
        solve_moment(house, now)
        if np.abs(now.solution.pressure - pressure).max() < tolerance:
            return


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
        self.calm = False
        self.rows: list[tuple[NDArray[Any], ...]] = []

    def add(self, now: Moment, clock: float) -> None:
        vents = vent_state(self.house, now)
        solution = now.solution
        assert solution is not None  # called after solve_moment
        zones = len(self.house.prepared.dwelling.zones)
        heights = np.zeros(solution.pressure.shape[0])
        heights[:zones] = reading_heights(self.house.prepared.dwelling)
        pressure = now.built.zone_pressure(solution, heights)[:zones, 0]
        self.calm = not (vents.spilling.any() or vents.reversed.any())
        self.times.append(clock)
        self.rows.append(
            (
                vents.draft[:, 0],
                vents.spillage[:, 0],
                vents.spilling[:, 0],
                vents.temperature[:, 0],
                pressure,
            )
        )

    def close(self, lit: FloatArray, final: State) -> WarmUp:
        draft, spillage, spilling, temperature, pressure = (
            np.stack(row, axis=1) for row in zip(*self.rows, strict=True)
        )
        run = WarmUp(
            time=np.array(self.times),
            appliances=tuple(user.name for user in self.house.pipes.appliances),
            lit=lit,
            draft=draft,
            spillage=spillage,
            spilling=spilling,
            vent_temperature=temperature,
            zone_pressure=pressure,
            spillage_time=np.full(lit.shape, np.nan),
            final=final,
        )
        for index in np.flatnonzero(~np.isnan(lit)):
            run.spillage_time[index] = run.spillage_between(int(index), float(lit[index]), self.times[-1])
        return run


def _until_it_stops(time: FloatArray, spilling: BoolArray) -> float:
    """Return the time of the first record after the last one that spills; 0 where none does, endless if the last."""
    found = np.flatnonzero(spilling)
    if found.size == 0:
        return 0.0
    return float("inf") if found[-1] == time.size - 1 else float(time[found[-1] + 1])
