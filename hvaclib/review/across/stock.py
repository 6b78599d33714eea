"""What is kept of a contractor's visits: counts, sums and hashes, and never a visit."""

from __future__ import annotations

import hashlib
import math
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from hvaclib.review.across import figures
from hvaclib.review.across.chances import padded
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from hvaclib.review.across.taken import Brought, Place, Taken
    from hvaclib.visit.model import Job

MOST_VALUES = 2_000
"""Different values of a reading that are counted; the chance of a tie is then known well enough."""
MOST_JOBS = 20
"""Jobs that are named."""
FULL = 0.7
"""Share of numbers with the most decimals from which on the others are taken to have lost a zero."""


class Source(NamedTuple):
    """Readings whose last digits belong together: one quantity in one unit on one instrument."""

    quantity: str
    unit: str
    instrument: str


@dataclass(slots=True)
class Spread:
    """Mean and scatter of a stream of numbers, by Welford's recurrence, and the least of their uncertainties."""

    number: int = 0
    mean: float = 0.0
    squares: float = 0.0
    least_width: float = math.inf

    def add(self, value: float, width: float) -> None:
        """Take one more number and its standard uncertainty."""
        self.number += 1
        off = value - self.mean
        self.mean += off / self.number
        self.squares += off * (value - self.mean)
        self.least_width = min(self.least_width, width)

    @property
    def deviation(self) -> float:
        """Standard deviation."""
        return math.sqrt(self.squares / (self.number - 1)) if self.number > 1 else 0.0


@dataclass(slots=True)
class Digits:
    """Last shown digits of one source."""

    by_decimals: dict[int, list[int]] = field(default_factory=dict)
    spread: Spread = field(default_factory=Spread)
    items: set[str] = field(default_factory=set)

    def add(self, one: Taken) -> None:
        """Take one more reading."""
        if one.shown is not None:
            row = self.by_decimals.setdefault(one.shown.decimals, [0] * 10)
            row[abs(one.shown.number) % 10] += 1
            self.spread.add(one.shown.number * 10.0**-one.shown.decimals, 0.0)
            self.items.add(one.place.item)


@dataclass(slots=True)
class Raw:
    """One reading that must vary from house to house."""

    spread: Spread = field(default_factory=Spread)
    digits: Digits = field(default_factory=Digits)
    unit: float = 0.0

    def add(self, one: Taken) -> None:
        """Take one more reading."""
        if one.shown is not None:
            self.spread.add(one.value, one.width)
            self.digits.add(one)
            self.unit = max(self.unit, abs(one.shown.step) * 10.0**one.shown.decimals)

    @property
    def step(self) -> float:
        """Step in which it was written, SI: the last digit of most, or five or ten of it where all are multiples of that."""
        rows = self.digits.by_decimals
        most = max(rows)
        if sum(rows[most]) < FULL * self.spread.number:
            return self.unit * 10.0 ** -min(rows)
        digits = padded(rows)
        if sum(digits) == digits[0]:
            return self.unit * 10.0 ** (1 - most)
        return self.unit * 10.0**-most * (5.0 if sum(digits) == digits[0] + digits[5] else 1.0)


@dataclass(slots=True)
class Repeat:
    """A set of readings that stands on the sheets of several homes."""

    name: str
    places: tuple[Place, ...]
    jobs: list[str]


@dataclass(slots=True)
class Values:
    """How often each value of each reading occurs."""

    counts: dict[tuple[str, Place], Counter[str]] = field(default_factory=dict)

    def add(self, model: str, place: Place, value: str) -> None:
        """Count one value among homes of one model."""
        counter = self.counts.get((model, place))
        if counter is None:
            counter = self.counts[model, place] = Counter()
        if value in counter or len(counter) < MOST_VALUES:
            counter[value] += 1


@dataclass(slots=True)
class Stock:
    """All that is kept of one contractor.

    Notes
    -----
    A set that was seen before adds nothing to digits, sums and counts: what was copied is remarked on once.
    """

    name: str
    visits: int = 0
    first: dict[bytes, tuple[str, bytes]] = field(default_factory=dict)
    repeats: dict[bytes, Repeat] = field(default_factory=dict)
    sets: Counter[str] = field(default_factory=Counter)
    digits: dict[Source, Digits] = field(default_factory=dict)
    raw: dict[Place, Raw] = field(default_factory=dict)
    laws: dict[str, Spread] = field(default_factory=dict)
    values: Values = field(default_factory=Values)

    def add(self, job: Job, what: Brought, everyone: Values) -> None:
        """Take what one more visit brings.

        Parameters
        ----------
        job : Job
            Its id and address.
        what : Brought
        everyone : Values
            Of the whole program, which it is counted into.
        """
        home = _hash([" ".join((job.address.strip() or f"job {job.id}").lower().split())])
        found = {name: key for name, key in _sets_of(what) if not self._again(key[0], job.id, home)}
        if what.taken and not found and any(_sets_of(what)):
            return  # the same sheet of the same job, read twice
        copied: set[Place] = set()
        for name, (key, places) in found.items():
            self.sets[name] += 1
            seen = self.first.setdefault(key, (job.id, home))
            if seen == (job.id, home):
                continue
            copied.update(places)
            if seen[1] != home:
                repeat = self.repeats.setdefault(key, Repeat(name, places, [seen[0]]))
                if job.id not in repeat.jobs and len(repeat.jobs) < MOST_JOBS:
                    repeat.jobs.append(job.id)
        self.visits += 1
        for place, one in what.taken.items():
            if place not in copied and not one.constant:
                self._count(one, what.model, everyone)
        if not copied:
            for law, residual in what.residuals.items():
                self.laws.setdefault(law, Spread()).add(residual, 1.0)

    def _again(self, key: bytes, job: str, home: bytes) -> bool:
        return self.first.get(key) == (job, home)

    def _count(self, one: Taken, model: str, everyone: Values) -> None:
        rules = figures.compared()[one.place.item]
        value = f"{one.value:.7g}"
        self.values.add("", one.place, value)
        everyone.add(model, one.place, value)
        everyone.add("", one.place, value)
        if one.shown is None:
            return
        if rules.digits:
            source = Source(_quantity(one.place), one.shown.unit, one.instrument)
            self.digits.setdefault(source, Digits()).add(one)
        if rules.varies:
            self.raw.setdefault(one.place, Raw()).add(one)


def countable(places: tuple[Place, ...]) -> bool:
    """Whether readings are many enough, of separate causes enough, to be a set."""
    causes = {figures.compared()[place.item].tied for place in places}
    return len(places) >= figures.figure("repeats", "least_readings") and len(causes) >= figures.figure(
        "repeats", "least_groups"
    )


def _quantity(place: Place) -> str:
    return item(place.item).quantity


def _sets_of(what: Brought) -> Iterator[tuple[str, tuple[bytes, tuple[Place, ...]]]]:
    """Name, hash and places of each set of readings on a sheet that is large enough to be one."""
    for name, items in figures.sets().items():
        places = tuple(
            sorted(place for place, one in what.taken.items() if place.item in items and not one.constant)
        )
        if countable(places):
            values = (f"{place} {what.taken[place].value:.7g}" for place in places)
            yield name, (_hash([name, *values]), places)


def _hash(parts: Iterable[str]) -> bytes:
    """Eight bytes in place of a set: two different ones share them once in 10¹⁹."""
    return hashlib.blake2b("\x1f".join(parts).encode("utf-8"), digest_size=8).digest()
