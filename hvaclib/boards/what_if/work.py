"""What the what-if board works out: answers along one control, kept so that a moved control finds them ready."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.review.fit.batch import QUICK
from hvaclib.review.fit.changes import changed
from hvaclib.review.what_if import Changes, WhatIf, judged, what_if_parts
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from collections.abc import Callable, Generator, Iterator, Mapping

    from hvaclib.review.fit import Fit
    from hvaclib.rules import RuleSet

SAMPLES = 32
"""Houses drawn for the pictures; a power of two."""
CLOSER = 3
"""Values added where the vents turn over."""
TURNING = 0.25
"""Share of the houses that must turn over between two values for a third to be put between them."""
KINDS = {
    "outdoor": kinds.TEMPERATURE,
    "exhaust": kinds.VOLUME_FLOW,
    "liner": kinds.SIZE,
    "opening": kinds.AREA,
}
TITLES = {
    "outdoor": "outdoor temperature",
    "exhaust": "largest exhaust fan",
    "liner": "new liner, diameter",
    "opening": "combustion-air opening",
}
_GRID = {
    "outdoor": ("-10 °F", "10 °F", "25 °F", "40 °F", "55 °F", "70 °F", "82 °F", "95 °F"),
    "exhaust": ("20 cfm", "100 cfm", "200 cfm", "350 cfm", "550 cfm", "850 cfm", "1200 cfm"),
    "liner": ("3 in", "3.5 in", "4 in", "4.5 in", "5 in", "6 in", "7 in", "8 in"),
    "opening": ("0 sq in", "8 sq in", "20 sq in", "40 sq in", "70 sq in", "120 sq in", "200 sq in"),
}


@cache
def _grid(control: str) -> tuple[float, ...]:
    return tuple(parse_si(text, KINDS[control]) for text in _GRID[control])


def grid(control: str, here: float) -> tuple[float, ...]:
    """Values of a control at which the answer is worked out, the present one among them, SI."""
    return tuple(sorted({*_grid(control), here}))


@dataclass(frozen=True, slots=True)
class Curve:
    """Answers along one control, everything else as in ``changes``."""

    control: str
    changes: Changes
    values: tuple[float, ...]
    answers: tuple[WhatIf, ...]

    def at(self, value: float, fit: Fit, rules: RuleSet) -> WhatIf:
        """The answer between two that were worked out: pressures along the straight line of each house, then judged."""
        right = int(np.clip(np.searchsorted(self.values, value), 1, len(self.values) - 1))
        low, high = self.values[right - 1], self.values[right]
        share = float(np.clip((value - low) / (high - low), 0.0, 1.0))
        one, two = self.answers[right - 1], self.answers[right]
        if share in (0.0, 1.0):
            return replace(one if share == 0.0 else two, changes=changed(self.changes, self.control, value))
        near = one if share < 0.5 else two
        ended = np.isfinite(one.seconds) & np.isfinite(two.seconds)
        # A vent that draws on one side and is turned over on the other is never in between.
        alike = np.isfinite(one.seconds) == np.isfinite(two.seconds)
        first, second = (np.where(ended, item.seconds, 0.0) for item in (one, two))
        mixed = replace(
            near,
            changes=changed(self.changes, self.control, value),
            baseline=one.baseline + share * (two.baseline - one.baseline),
            pressure=one.pressure + share * (two.pressure - one.pressure),
            draft=np.where(alike, one.draft + share * (two.draft - one.draft), near.draft),
            natural=one.natural + share * (two.natural - one.natural),
            seconds=np.where(ended, first + share * (second - first), near.seconds),
        )
        outdoors = value if self.control == "outdoor" else self.changes.outdoor
        return judged(
            mixed, fit, fit.sheet.quiet.outdoor_temperature if outdoors is None else outdoors, rules
        )


def curve_parts(
    control: str, changes: Changes, here: float, answer: Callable[[Changes], Generator[None, None, WhatIf]]
) -> Iterator[Curve | None]:
    """Work out a curve with a pause (None) after each value; the curve comes last.

    Parameters
    ----------
    control : str
        Key of `KINDS`.
    changes : Changes
        Everything else.
    here : float
        A value that is among those worked out, SI.
    answer : callable
        Works the answer to changes out in parts; it may remember what it was asked before.

    Yields
    ------
    Curve or None
    """
    found: dict[float, WhatIf] = {}
    for value in grid(control, here):
        found[value] = yield from answer(changed(changes, control, value))
    for _ in range(CLOSER):
        middle = _between(found)
        if middle is None:
            break
        found[middle] = yield from answer(changed(changes, control, middle))
    values = tuple(sorted(found))
    yield Curve(control, rest(changes, control), values, tuple(found[value] for value in values))


def _between(found: Mapping[float, WhatIf]) -> float | None:
    """A value in the middle of where most vents turn over from one answer to the next; None where few do."""
    values = sorted(found)
    spilling = np.array([np.isinf(found[value].seconds).mean(axis=1).max(initial=0.0) for value in values])
    jumps = np.abs(np.diff(spilling))
    row = int(np.argmax(jumps))
    return 0.5 * (values[row] + values[row + 1]) if jumps[row] > TURNING else None


def answer_parts(fit: Fit, changes: Changes, rules: RuleSet) -> Iterator[WhatIf | None]:
    """One answer in parts: fans and doors as at the worst case of the visit, unless a door was asked for."""
    return what_if_parts(fit, changes, rules, samples=SAMPLES, steps=QUICK, search=False)


def rest(changes: Changes, control: str) -> Changes:
    """The changes without one control."""
    return changed(changes, control, None)
