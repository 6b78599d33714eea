"""What a technician would read in many variants of a dwelling at once: pressures at rest, and fires lit in turn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import ConvergenceError
from hvaclib.house.coupled import Moment, solve_moment
from hvaclib.house.setup import Setup
from hvaclib.house.state import reading_heights, vent_state
from hvaclib.house.steady import STANDBY_PASSES, Start, settle_moment
from hvaclib.house.vents.columns import Columns, advance, cold, hot, lift, settle
from hvaclib.house.warm_up import CALM, PASSES, UNSETTLED, natural
from hvaclib.procedures.firing import BURN
from hvaclib.procedures.parts import last
from hvaclib.procedures.preconditions import with_fires
from hvaclib.review.fit.varied import Factors, VariedHouse, count_of

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
FINE = (2.0, 2.0, 6.0, 6.0, 14.0, 14.0, 24.0, *(46.4,) * 5)
"""Seconds of the steps of five minutes. Against the steps of a warm-up, three times as many, a draft after five minutes
moves by 0.02 Pa in the mean and 0.1 Pa where a vent turns over, on every demo dwelling."""
QUICK = (2.0, 6.0, 14.0, 28.0, *(62.5,) * 4)
"""Fewer still, for a control that is being moved: 0.03 Pa in the mean, 0.1 Pa where a vent turns over."""
SWINGS, SWING_SHARE = 60, 0.1
"""Passes, and share of the way in each, for vents that swing."""
SETTLED = 0.001
"""Pa: a column whose lift a pass moves by less stands idle; a hundredth of what a manometer shows."""


def pressures(house: VariedHouse, setups: Sequence[Setup], factors: Factors) -> FloatArray:
    """Pressure of every zone with idle vents.

    Parameters
    ----------
    house : VariedHouse
    setups : sequence of Setup
        K of them, nothing burning.
    factors : mapping of str to ndarray, shape (V,)

    Returns
    -------
    ndarray, shape (Z, K, V)
        Pa against outdoors, as a manometer shows it.
    """
    now = _settled(house, lambda: _idle(house, setups, factors))
    return zone_pressures(house, now).reshape(-1, len(setups), count_of(factors))


def _settled(house: VariedHouse, begin: Callable[[], Moment]) -> Moment:
    """Let the vents of a moment come to rest.

    A vent near standstill can swing to and fro by some hundredths of a pascal for ever. Of many variants one may do so;
    then all go on in small shares of the way, and the mean of the swing is taken.
    """
    now = begin()
    try:
        settle_moment(house.house, now, firing=now.firing)
    except ConvergenceError:
        return _swinging(house, begin())
    return now


def _swinging(house: VariedHouse, now: Moment) -> Moment:
    """Come to rest in small shares of the way."""
    for _ in range(SWINGS):
        solve_moment(house.house, now)
        wanted = settle(house.house.pipes, house.house.fires, now.columns, now.flow, now.around, now.firing)
        old = now.columns
        now.columns = Columns(
            gas=old.gas + SWING_SHARE * (wanted.gas - old.gas),
            gas_constant=old.gas_constant + SWING_SHARE * (wanted.gas_constant - old.gas_constant),
            wall=old.wall + SWING_SHARE * (wanted.wall - old.wall),
        )
    solve_moment(house.house, now)
    return now


def zone_pressures(house: VariedHouse, now: Moment) -> FloatArray:
    """Pressure of every zone in a solved moment, Pa, shape (Z, scenarios)."""
    solution = now.solution
    assert solution is not None  # called after a solve
    zones = len(house.dwelling.zones)
    heights = np.zeros(solution.pressure.shape[0])
    heights[:zones] = reading_heights(house.dwelling)
    found: FloatArray = now.built.zone_pressure(solution, heights)[:zones]
    return found


def _idle(house: VariedHouse, setups: Sequence[Setup], factors: Factors) -> Moment:
    """Vents as warm as their surroundings, left to breathe with nothing burning."""
    quiet = [with_fires(house.dwelling, setup, ()) for setup in setups]
    now = house.moment(quiet, factors)
    now.columns = cold(now.around)
    pipes, fires, steps = house.house.pipes, house.house.fires, house.house.steps
    for _ in range(STANDBY_PASSES):
        solve_moment(house.house, now)
        before = lift(steps, now.columns, now.around)
        now.columns = settle(pipes, fires, now.columns, now.flow, now.around, now.firing)
        if np.abs(lift(steps, now.columns, now.around) - before).max() < SETTLED:
            break
    return now


@dataclass(frozen=True, slots=True)
class Burnt:
    """What is read of A vented appliances lit one after the other, in K setups and V variants.

    Attributes
    ----------
    draft, spilt, seconds : ndarray, shape (A, K, V)
        Pa at the test hole after its five minutes; largest share of flue gas that entered the room at any round; s
        from lighting until spillage at its hood stopped, endless where it did not. NaN for what was not lit.
    pressure : ndarray, shape (Z, K, V)
        Pa of each zone at the end, with everything burning.
    """

    draft: FloatArray
    spilt: FloatArray
    seconds: FloatArray
    pressure: FloatArray


def burn(
    house: VariedHouse,
    setups: Sequence[Setup],
    factors: Factors,
    order: Sequence[str],
    start: Start = "cold",
    steps: Sequence[float] = FINE,
) -> Burnt:
    """Light appliances one after the other, five minutes apart, and read each as the test does.

    Parameters
    ----------
    house : VariedHouse
    setups : sequence of Setup
        K of them; burners are set here.
    factors : mapping of str to ndarray, shape (V,)
    order : sequence of str
        Appliances in the order they are lit; each burns on.
    start : {"cold", "warm"}
        Cold: idle vents. Warm: vents that have run with every fan off.
    steps : sequence of float, optional
        s of the steps that follow each lighting; stretched to the five minutes of the test.

    Returns
    -------
    Burnt

    Notes
    -----
    The laws of `hvaclib.house.warm_up`; a step is repeated until every variant has settled. The end
    of spillage is interpolated between steps, so that it moves smoothly with the factors.
    """
    return last(burn_parts(house, setups, factors, order, start, steps))


def burn_parts(
    house: VariedHouse,
    setups: Sequence[Setup],
    factors: Factors,
    order: Sequence[str],
    start: Start = "cold",
    steps: Sequence[float] = FINE,
) -> Iterator[Burnt | None]:
    """Do what `burn` does with a pause (None) after each step; the readings come last."""
    log = _Log(house, len(setups) * count_of(factors))
    now = _before(house, setups, factors, order, start)
    yield None
    warmth = now.firing * float(start == "warm")
    for number in range(len(order)):
        lit = [with_fires(house.dwelling, setup, order[: number + 1]) for setup in setups]
        following = house.moment(lit, factors, now.columns)
        following.flow, following.guess = now.flow, now.guess
        now = following
        solve_moment(house.house, now)
        log.note(now, 0.0)
        calm, clock = False, 0.0
        for step in np.array(steps) * (BURN / sum(steps)):
            warmth = now.firing + (warmth - now.firing) * np.exp(-step / house.house.fires.lag)[:, None]
            _advance(house, now, warmth, step, CALM if calm else UNSETTLED)
            clock += step
            calm = log.note(now, clock)
            yield None
        log.read(order[number], order, now)
    shape = (-1, len(setups), count_of(factors))
    yield Burnt(
        draft=log.draft.reshape(shape),
        spilt=log.share.reshape(shape),
        seconds=log.seconds().reshape(shape),
        pressure=zone_pressures(house, now).reshape(shape),
    )


def _before(
    house: VariedHouse, setups: Sequence[Setup], factors: Factors, order: Sequence[str], start: Start
) -> Moment:
    if start == "cold":
        return _idle(house, setups, factors)
    lit = [natural(with_fires(house.dwelling, setup, order[:1])) for setup in setups]

    def running() -> Moment:
        now = house.moment(lit, factors)
        now.columns = hot(house.house.pipes, house.house.fires, now.around, now.firing)
        return now

    return _settled(house, running)


def _advance(house: VariedHouse, now: Moment, warmth: FloatArray, step: float, tolerance: float) -> None:
    """Move on by one step, repeated with the flow that it led to until that flow stays."""
    before = now.columns
    for _ in range(PASSES):
        assert now.solution is not None  # the step starts from a solved moment
        pressure = now.solution.pressure
        pipes, fires = house.house.pipes, house.house.fires
        now.columns = advance(pipes, fires, before, now.flow, now.around, now.firing, warmth, step)
        solve_moment(house.house, now)
        if np.abs(now.solution.pressure - pressure).max() < tolerance:
            return


class _Log:
    """What is kept while the appliances burn."""

    def __init__(self, house: VariedHouse, scenarios: int) -> None:
        self.house = house
        self.names = [item.name for item in house.house.pipes.appliances]
        shape = (len(self.names), scenarios)
        self.draft, self.share = np.full(shape, np.nan), np.full(shape, np.nan)
        self.ended, self.never = np.full(shape, np.nan), np.zeros(shape, dtype=bool)
        self.spills = np.zeros(shape)
        self.clock = 0.0
        self.room = np.zeros(shape)

    def note(self, now: Moment, clock: float) -> bool:
        """Follow each hood's spillage; say whether every hood draws."""
        fires = self.house.house.fires.flow[:, None] * now.firing
        room = (
            now.flow[: len(self.names)] - fires
        )  # kg/s of room air that the hood takes in; below zero it spills
        hood = ~self.house.house.pipes.fan_assisted[:, None]
        spilling = (room < 0.0) & hood & (fires > 0.0)
        if clock == 0.0:
            self.spills = np.where(spilling, np.inf, 0.0)
        else:
            drop = np.where(room - self.room > 0.0, room - self.room, 1.0)
            turned = clock - (clock - self.clock) * np.clip(room / drop, 0.0, 1.0)
            self.spills = np.where(spilling, np.inf, np.where(np.isinf(self.spills), turned, self.spills))
        self.clock, self.room = clock, room
        return not bool((spilling | (now.flow[: len(self.names)] < 0.0)).any())

    def read(self, lit: str, order: Sequence[str], now: Moment) -> None:
        """Read the draft of the appliance just tested and look at every hood that is in the test."""
        vents = vent_state(self.house.house, now)
        row = self.names.index(lit)
        self.draft[row] = vents.draft[row]
        self.ended[row] = self.spills[row]
        for name in order:
            other = self.names.index(name)
            self.share[other] = np.fmax(self.share[other], vents.spillage[other])
            self.never[other] |= vents.spilling[other]

    def seconds(self) -> FloatArray:
        """Seconds from lighting until spillage stopped; endless where a hood spills at any round."""
        lit = ~np.isnan(self.ended)
        return np.where(lit & self.never, np.inf, self.ended)
