"""What could be wrong: one reading, a page in another unit, or two readings in each other's place, and how well the laws
would then agree.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import sheet_figures, usual
from hvaclib.review.plausibility.sheet import Name, Value, uncertainty_at
from hvaclib.review.plausibility.slips import pages_of, slips_of, swaps_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hvaclib.review.plausibility.law import Check
    from hvaclib.review.plausibility.sheet import Sheet

_FREE, _SLIP, _DECIMAL, _SWAP = math.log(0.5), math.log(0.1), math.log(0.03), math.log(0.2)
"""Prior weights: any other value; a slip of unit or sign; of the decimal point; two readings exchanged."""
_STEPS = 40
_PLACES = 9


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One explanation.

    Parameters
    ----------
    changes : tuple of (Name, Value)
        What the readings would be.
    slip : str
        How the value was written, in words; empty where it is just another value.
    weight : float
        Logarithm of how well it explains the sheet; only differences have a meaning.
    explains : frozenset of int
        Numbers of the broken checks that then hold.
    """

    changes: tuple[tuple[Name, Value], ...]
    slip: str
    weight: float
    explains: frozenset[int]

    @property
    def names(self) -> tuple[Name, ...]:
        """The readings that would be wrong."""
        return tuple(name for name, _ in self.changes)


class Case:
    """A sheet with checks that fail.

    Parameters
    ----------
    sheet : Sheet
    values : mapping of Name to Value
        As they are written, or as earlier explanations have mended them.
    checks : sequence of Check
    scores : sequence of float
        Of the checks at these values.
    limit : float
        Score beyond which a check fails.
    """

    def __init__(
        self,
        sheet: Sheet,
        values: Mapping[Name, Value],
        checks: Sequence[Check],
        scores: Sequence[float],
        limit: float,
    ) -> None:
        self.sheet, self.values, self.checks = sheet, dict(values), checks
        self.scores, self.limit = scores, limit
        self.broken = frozenset(number for number, score in enumerate(scores) if abs(score) > limit)
        self._touching: dict[Name, list[int]] = {}
        for number, check in enumerate(checks):
            for name in check.names:
                self._touching.setdefault(name, []).append(number)

    def hypotheses(self) -> Iterator[Hypothesis]:
        """Every explanation that mends at least one failing check and breaks none."""
        suspects = dict.fromkeys(name for number in sorted(self.broken) for name in self.checks[number].names)
        for name in suspects:
            for slip in slips_of(name.item):
                prior = _DECIMAL if slip.key in ("tenfold", "tenth") else _SLIP
                yield from self._judged(((name, slip.again(self.values[name].x)),), slip.words, prior)
            yield from self._freed(name)
        yield from self._pages(suspects)
        for first, second in swaps_of(self.sheet):
            if first in suspects or second in suspects:
                changes = ((first, self.values[second].x), (second, self.values[first].x))
                yield from self._judged(changes, "exchanged", _SWAP)

    def _pages(self, suspects: Mapping[Name, None]) -> Iterator[Hypothesis]:
        """Pages in another unit: most of their numbers look unusual, or the unit would merely shrink all differences."""
        for words, rows in pages_of(self.sheet):
            page = tuple((name, again(self.values[name].x)) for name, again in rows if name in self._touching)
            unusual = sum(not _is_usual(name.item, self.values[name].x) for name, _ in page)
            if len(page) > 1 and 2 * unusual > len(page) and any(name in suspects for name, _ in page):
                yield from self._judged(page, words, _SLIP)

    def _judged(
        self, changes: tuple[tuple[Name, float], ...], slip: str, prior: float
    ) -> Iterator[Hypothesis]:
        for name, x in changes:
            low, high = usual(name.item)
            if not low <= x <= high:
                return
        new = tuple((name, Value(x, uncertainty_at(name.item, x))) for name, x in changes)
        values = {**self.values, **dict(new)}
        touched = {number for name, _ in changes for number in self._touching.get(name, ())}
        gain, mended = prior, set()
        for number in touched:
            score = self.checks[number].score(values)
            gain += 0.5 * (self.scores[number] ** 2 - score * score)
            if abs(score) <= self.limit:
                mended.add(number)
            elif number not in self.broken:
                return
        explained = frozenset(mended & self.broken)
        if explained:
            unusual = sum(not _is_usual(name.item, self.values[name].x) for name, _ in changes)
            gain -= unusual * math.log(sheet_figures().unusual)
            yield Hypothesis(new, slip, gain, explained)

    def _freed(self, name: Name) -> Iterator[Hypothesis]:
        """The reading at the value that lets the checks that it takes part in agree best."""
        low, high = usual(name.item)
        best: Hypothesis | None = None
        for number in self._touching[name]:
            if number not in self.broken:
                continue
            root = self._root(self.checks[number], name, low, high)
            if root is None:
                continue
            for x in (root, self._improved(name, root, low, high)):
                occam = math.log(min(self._width(name, x) * math.sqrt(2.0 * math.pi) / (high - low), 1.0))
                for found in self._judged(((name, x),), "", _FREE + occam):
                    if best is None or found.weight > best.weight:
                        best = found
        if best is not None:
            yield best

    def _root(self, check: Check, name: Name, low: float, high: float) -> float | None:
        """Value nearest to the written one at which a check holds."""
        numbers = [self.values[each].x for each in check.names]
        place = check.names.index(name)

        def residual(x: float) -> float:
            numbers[place] = x
            return check.residual(*numbers)

        start = self.values[name].x
        sign = residual(start)
        grid = sorted(
            (low + (high - low) * number / (_PLACES - 1) for number in range(_PLACES)),
            key=lambda x: abs(x - start),
        )
        other = next((x for x in grid if residual(x) * sign <= 0.0), None)
        if other is None:
            return None
        wrong, right = start, other
        for _ in range(_STEPS):
            middle = 0.5 * (wrong + right)
            if residual(middle) * sign > 0.0:
                wrong = middle
            else:
                right = middle
        return min(max(right, low), high)

    def _slopes(self, name: Name, x: float) -> list[tuple[float, float]]:
        """Score and its slope at a value, for every check that the reading takes part in."""
        step = uncertainty_at(name.item, x) or 1e-3 * abs(x) or 1e-6
        here = {**self.values, name: Value(x, step)}
        there = {**self.values, name: Value(x + step, step)}
        found = []
        for number in self._touching[name]:
            score = self.checks[number].score(here)
            found.append((score, (self.checks[number].score(there) - score) / step))
        return found

    def _improved(self, name: Name, x: float, low: float, high: float) -> float:
        """One step of least squares towards the best agreement of all checks."""
        slopes = self._slopes(name, x)
        square = sum(slope * slope for _, slope in slopes)
        if square == 0.0:
            return x
        return min(max(x - sum(score * slope for score, slope in slopes) / square, low), high)

    def _width(self, name: Name, x: float) -> float:
        """Standard uncertainty of the value that the checks ask for; endless where they ask only for a side."""
        square = sum(slope * slope for _, slope in self._slopes(name, x))
        return 1.0 / math.sqrt(square) if square > 0.0 else math.inf


def _is_usual(key: str, x: float) -> bool:
    low, high = usual(key)
    return low <= x <= high
