"""What would bring the true worst case within the rule: an opening, less exhaust, or a relieved door, each sized.

The rule itself is not in here. The caller hands over a function that says whether readings are acceptable; each
remedy is the smallest change of the dwelling with which every state of fans, doors and air handler is.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.scenarios import Control
from hvaclib.house.setup import Setup
from hvaclib.house.steady import Start, steady
from hvaclib.procedures.ranking import Ranking, ranking_parts
from hvaclib.procedures.worst_case import NOTICEABLE
from hvaclib.readings import Reading, Readings

FloatArray = NDArray[np.float64]
Acceptable = Callable[[Readings], bool]


LARGEST_OPENING = 0.25
"""m2: an opening of more (2.7 sq ft) is no combustion-air opening any more."""

AREA_STEP = 0.0032258
"""m2 (5 sq in): openings are made in whole sizes; the size found is rounded up to the next."""

FLOW_STEP = 0.0023597
"""m3/s (5 cfm): a reduced fan is stated in whole settings, rounded down."""

WATCHED = 12
"""Worst states looked at while sizing; the whole set of states is solved again for what was found."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to bring the worst case within the rule.

    Attributes
    ----------
    kind : str
        "combustion air", "exhaust" or "door relief".
    what : str
        The part of the dwelling it changes.
    size : float or None
        m2 of opening or relief, or m3/s left of the exhaust; None where no size is enough.
    before : float
        The same quantity before.
    dwelling : Dwelling or None
        The dwelling with the remedy; None where no size is enough.
    draft : float
        Pa, draft in the worst state with the remedy (with its largest size where none is enough).
    """

    kind: str
    what: str
    size: float | None
    before: float
    dwelling: Dwelling | None
    draft: float

    @property
    def works(self) -> bool:
        """Whether some size is enough."""
        return self.size is not None


def readings_of(rank: Ranking, state: int) -> Readings:
    """Return what the instruments would show in one state of a ranking, at steady state."""
    return _shown(rank.appliance, float(rank.draft[state]), spills=bool(rank.spillage[state] > 0.0))


def _shown(appliance: str, draft: float, *, spills: bool) -> Readings:
    return Readings(
        [
            Reading("draft", draft, appliance, "worst case"),
            Reading("spillage_time", float("inf") if spills else 0.0, appliance, "worst case"),
        ]
    )


def acceptable_everywhere(rank: Ranking, acceptable: Acceptable) -> bool:
    """Return whether every state of a ranking is acceptable; states are asked from the worst on."""
    return not unacceptable(rank, acceptable).size


def unacceptable(rank: Ranking, acceptable: Acceptable, most: int | None = None) -> NDArray[np.intp]:
    """Return the states that are not acceptable, worst first; at most so many.

    Notes
    -----
    States are asked in the order of the ranking, and the asking ends after 16 acceptable ones in a row: a rule that
    accepts a draft accepts a stronger one.
    """
    found: list[int] = []
    good = 0
    for state in rank.order:
        if acceptable(readings_of(rank, int(state))):
            good += 1
            if good >= 16:
                break
            continue
        good = 0
        found.append(int(state))
        if most is not None and len(found) >= most:
            break
    return np.array(found, dtype=np.intp)


def remedies(rank: Ranking, acceptable: Acceptable, start: Start = "cold") -> tuple[Remedy, ...]:
    """Size the remedies of a worst case that is not acceptable.

    Parameters
    ----------
    rank : Ranking
        Every state of the dwelling as it is.
    acceptable : callable
        Says of `Readings` whether the rules accept them.
    start : {"cold", "warm"}
        Start of the vent, as in the ranking.

    Returns
    -------
    tuple of Remedy
        An opening to outdoors, less exhaust, relief of each door whose closing counts; empty where every state is
        acceptable already. A remedy without a size says that this way does not help: where none works, the vent
        itself is to be looked at.
    """
    return tuple(part for part in remedy_parts(rank, acceptable, start) if part is not None)


def remedy_parts(rank: Ranking, acceptable: Acceptable, start: Start = "cold") -> Iterator[Remedy | None]:
    """Do what `remedies` does with pauses (None) in between, each remedy as soon as it is sized."""
    if not unacceptable(rank, acceptable, most=1).size:
        return
    sizing = _Sizing(rank, acceptable, start)
    yield from sizing.opening()
    yield from sizing.exhaust()
    bits = rank.combinations.bits[:, rank.worst]
    closed = [
        (effect, control)
        for effect, control, bit in zip(rank.effects("pressure"), rank.controls, bits, strict=True)
        if bit and control.kind == "door" and effect < -NOTICEABLE
    ]
    for _, control in sorted(closed, key=lambda item: item[0]):
        yield from sizing.relief(control)


Parts: TypeAlias = Iterator[Remedy | None]


@dataclass(slots=True)
class _Sizing:
    rank: Ranking
    acceptable: Acceptable
    start: Start

    def opening(self) -> Parts:
        """Combustion-air opening from the zone to outdoors."""
        dwelling = self.rank.combinations.dwelling
        zone = dwelling.zone(self.rank.zone)
        height = float(np.clip(0.3, zone.floor + 0.1, zone.ceiling - 0.1))

        def changed(area: float) -> Dwelling:
            return dwelling.with_opening("new combustion-air opening", (zone.name, "outdoors"), area, height)

        yield from self._smallest("combustion air", zone.name, 0.0, changed, LARGEST_OPENING, AREA_STEP)

    def relief(self, control: Control) -> Parts:
        """Free area through or around a door that pulls the zone down when it is shut."""
        dwelling = self.rank.combinations.dwelling

        def changed(area: float) -> Dwelling:
            return dwelling.with_door_relief(control.name, area)

        yield from self._smallest("door relief", control.name, 0.0, changed, LARGEST_OPENING, AREA_STEP)

    def exhaust(self) -> Parts:
        """Least cut of the fan that pulls hardest; where shutting it off is not enough, of all exhaust together."""
        dwelling = self.rank.combinations.dwelling
        fans = [fan for fan in dwelling.fans if fan.to == "outdoors" and fan.direction == "exhaust"]
        flows = {
            fan.name: float(fan.flow or (fan.curve[0][1] if fan.curve else 0.0))
            for fan in fans
            if fan.flow or fan.curve
        }
        if not flows:
            yield Remedy(
                "exhaust", "no exhaust fan", None, 0.0, None, float(self.rank.draft[self.rank.worst])
            )
            return
        strongest = max(flows, key=lambda name: flows[name])
        one: Remedy | None = None
        for part in self._cut({strongest: flows[strongest]}, strongest):
            one = part
            if part is None:
                yield None
        if one is not None and (one.works or len(flows) == 1):
            yield one
        else:
            yield from self._cut(flows, "all exhaust fans together")

    def _cut(self, flows: dict[str, float], what: str) -> Parts:
        dwelling = self.rank.combinations.dwelling
        whole = sum(flows.values())

        def changed(cut: float) -> Dwelling:
            result = dwelling
            for name, flow in flows.items():
                result = result.with_fan_flow(name, max(flow * (1.0 - cut / whole), 1e-6))
            return result

        for remedy in self._smallest("exhaust", what, whole, changed, whole, FLOW_STEP):
            if remedy is None or remedy.size is None:
                yield remedy
            else:
                yield replace(remedy, size=max(whole - remedy.size, 0.0))

    def _smallest(
        self,
        kind: str,
        what: str,
        before: float,
        changed: Callable[[float], Dwelling],
        largest: float,
        step: float,
    ) -> Parts:
        """Find the smallest size, in whole steps, at which every state is acceptable."""
        watched = list(unacceptable(self.rank, self.acceptable, most=WATCHED))
        steps = int(np.ceil(largest / step - 1e-9))
        low, high = 0, steps
        if not self._good(changed(largest), watched):
            whole = yield from self._ranked(changed(largest))
            yield Remedy(kind, what, None, before, None, float(whole.draft[whole.worst]))
            return
        while True:
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (low, middle) if self._good(changed(middle * step), watched) else (middle, high)
                yield None
            size = min(high * step, largest)
            better = changed(size)
            whole = yield from self._ranked(better)
            missed = unacceptable(whole, self.acceptable, most=WATCHED)
            draft = float(whole.draft[whole.worst])
            if not missed.size:
                yield Remedy(kind, what, size, before, better, draft)
                return
            if size >= largest:
                yield Remedy(kind, what, None, before, None, draft)
                return
            watched += [state for state in missed if state not in watched]
            low, high = high, steps

    def _ranked(self, dwelling: Dwelling) -> Generator[None, None, Ranking]:
        """Rank every state of a changed dwelling, with pauses."""
        rank = self.rank
        whole = rank
        for part in ranking_parts(dwelling, self._base(), rank.appliance, self.start, rank.controls):
            if part is None:
                yield None
            else:
                whole = part
        return whole

    def _base(self) -> Setup:
        return self.rank.combinations.setup(0)

    def _good(self, dwelling: Dwelling, watched: list[int]) -> bool:
        setups = [self.rank.combinations.setup(int(state)) for state in watched]
        state = steady(dwelling, setups, self.start)
        row = state.vents.names.index(self.rank.appliance)
        return all(
            self.acceptable(
                _shown(
                    self.rank.appliance,
                    float(state.vents.draft[row, column]),
                    spills=bool(state.vents.spillage[row, column] > 0.0),
                )
            )
            for column in range(len(setups))
        )
