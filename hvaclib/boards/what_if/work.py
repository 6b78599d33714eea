"""What the what-if board works out: answers along one control, kept so that a moved control finds them ready."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.review.fit.batch import QUICK
from hvaclib.review.what_if import Changes, WhatIf, changed, judged, what_if
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from hvaclib.review.fit import Fit
    from hvaclib.rules import RuleSet

SAMPLES = 32
"""Houses drawn for the pictures; a power of two."""
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
        first, second = (np.where(ended, item.seconds, 0.0) for item in (one, two))
        mixed = replace(
            near,
            changes=changed(self.changes, self.control, value),
            baseline=one.baseline + share * (two.baseline - one.baseline),
            pressure=one.pressure + share * (two.pressure - one.pressure),
            draft=one.draft + share * (two.draft - one.draft),
            natural=one.natural + share * (two.natural - one.natural),
            seconds=np.where(ended, first + share * (second - first), near.seconds),
        )
        outdoors = value if self.control == "outdoor" else self.changes.outdoor
        return judged(
            mixed, fit, fit.sheet.quiet.outdoor_temperature if outdoors is None else outdoors, rules
        )


def curve_parts(
    control: str, changes: Changes, here: float, answer: Callable[[Changes], WhatIf]
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
        Gives the answer to changes; it may remember what it was asked before.

    Yields
    ------
    Curve or None
    """
    values = grid(control, here)
    answers = []
    for value in values:
        answers.append(answer(changed(changes, control, value)))
        yield None
    yield Curve(control, rest(changes, control), values, tuple(answers))


def answer_at(fit: Fit, changes: Changes, rules: RuleSet) -> WhatIf:
    """One answer: fans and doors as at the worst case of the visit, unless a door was asked for."""
    return what_if(fit, changes, rules, samples=SAMPLES, steps=QUICK, search=False)


def rest(changes: Changes, control: str) -> Changes:
    """The changes without one control."""
    return changed(changes, control, None)
