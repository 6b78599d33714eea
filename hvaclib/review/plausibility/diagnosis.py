"""From checks that fail to what is most likely wrong: one explanation for each group of checks."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import sheet_figures
from hvaclib.review.plausibility.hypotheses import Case, Hypothesis
from hvaclib.review.plausibility.law import threshold

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.review.plausibility.law import Check
    from hvaclib.review.plausibility.sheet import Name, Sheet, Value

_MOST_GROUPS = 6
_HARDLY = 2.0
"""In the logarithm of the weight."""


@dataclass(frozen=True, slots=True)
class Group:
    """Checks that fail together, and why.

    Parameters
    ----------
    checks : tuple of (Check, float)
        With their scores, worst first.
    likely : Hypothesis or None
        The explanation that stands out; ``None`` where none does.
    values : dict of Name to Value
        The readings as the group was judged.
    """

    checks: tuple[tuple[Check, float], ...]
    likely: Hypothesis | None
    values: dict[Name, Value]

    @property
    def names(self) -> tuple[Name, ...]:
        """The readings that cannot all be true."""
        return tuple(dict.fromkeys(name for check, _ in self.checks for name in check.names))


def groups_of(sheet: Sheet, checks: Sequence[Check]) -> Iterator[Group]:
    """Groups of checks that fail on a sheet.

    Parameters
    ----------
    sheet : Sheet
    checks : sequence of Check
        All that the sheet can be held against.

    Yields
    ------
    Group
        Each with its own explanation; the clearest first.
    """
    limit = threshold(len(checks))
    values = dict(sheet.values)
    scores = [check.score(values) for check in checks]
    for _ in range(_MOST_GROUPS):
        case = Case(sheet, values, checks, scores, limit)
        if not case.broken:
            return
        found = sorted(case.hypotheses(), key=lambda each: -each.weight)
        if not found:
            yield from _unexplained(case)
            return
        best = found[0]
        members = best.explains
        yield Group(_worst_first(case, members), _standing_out(found), dict(values))
        values.update(best.changes)
        scores = [0.0 if number in members else check.score(values) for number, check in enumerate(checks)]
        # What only the supposed value breaks is no remark of its own.
        scores = [new if abs(old) > limit else 0.0 for new, old in zip(scores, case.scores, strict=True)]


def _standing_out(found: Sequence[Hypothesis]) -> Hypothesis | None:
    """The best explanation where its readings carry enough of the weight of all that explain the same checks."""
    best = found[0]
    rivals = [each for each in found if each.explains & best.explains]
    weights = [math.exp(max(each.weight - best.weight, -700.0)) for each in rivals]
    own = sum(
        weight for each, weight in zip(rivals, weights, strict=True) if set(each.names) <= set(best.names)
    )
    if own < sheet_figures().weigh * sum(weights):
        return None
    # A slip says how it came about: it goes before another value of the same reading that fits hardly better.
    slips = (
        each for each in rivals if each.slip and each.names == best.names and each.explains >= best.explains
    )
    return next((each for each in slips if each.weight > best.weight - _HARDLY), best)


def _worst_first(case: Case, members: frozenset[int]) -> tuple[tuple[Check, float], ...]:
    pairs = [(case.checks[number], case.scores[number]) for number in sorted(members)]
    return tuple(sorted(pairs, key=lambda pair: -abs(pair[1])))


def _unexplained(case: Case) -> Iterator[Group]:
    """Failing checks that no single reading explains, joined where they share a reading."""
    left = set(case.broken)
    while left:
        group = {left.pop()}
        names = {name for number in group for name in case.checks[number].names}
        while more := {number for number in left if names & set(case.checks[number].names)}:
            group |= more
            left -= more
            names |= {name for number in more for name in case.checks[number].names}
        yield Group(_worst_first(case, frozenset(group)), None, dict(case.values))
