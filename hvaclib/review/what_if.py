"""What if, of a real house: a fitted dwelling in another state, with the band that the readings leave."""

from __future__ import annotations

from collections import Counter
from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.procedures.parts import last
from hvaclib.procedures.preconditions import facts_of
from hvaclib.readings import Reading, Readings
from hvaclib.review import what_if_words
from hvaclib.review.fit.batch import FINE, Burnt, burn_parts, pressures
from hvaclib.review.fit.changes import Changes, changed_house, largest_fan, with_doors
from hvaclib.review.fit.steps import worst_setup
from hvaclib.review.fit.varied import VariedHouse
from hvaclib.rules import Facts, judge

if TYPE_CHECKING:
    from hvaclib.house.setup import Setup
    from hvaclib.review.fit import Fit
    from hvaclib.rules import Finding, Rule, RuleSet

__all__ = [
    "SAMPLES", "Band", "Changes", "WhatIf", "band_of", "changed_house", "judged", "largest_fan",
    "what_if", "what_if_parts",
]  # fmt: skip

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
SAMPLES = 64
"""Houses drawn from what the readings leave open."""
GRAVE = ("fail", "stop and call")


@dataclass(frozen=True, slots=True)
class Band:
    """Median and 90 % interval of a quantity over what the readings leave open, SI."""

    median: float
    low: float
    high: float


def band_of(values: FloatArray) -> Band:
    """Median and 5th to 95th percentile of values."""
    low, median, high = np.quantile(values, [0.05, 0.5, 0.95], method="inverted_cdf")
    return Band(float(median), float(low), float(high))


@dataclass(frozen=True)
class WhatIf:
    """The fitted house in another state.

    Attributes
    ----------
    changes : Changes
        What was asked.
    worst : Setup
        The worst-case set-up there.
    appliances : tuple of str
        A appliances in the order they are lit.
    hoods : tuple of bool
        Which of them have a draft hood.
    baseline, pressure : ndarray, shape (V,)
        Zone against outdoors with everything off, and at worst case before anything burns, Pa.
    draft, natural, seconds, spilt : ndarray, shape (A, V)
        Draft at worst case and with all fans off, Pa; s until spillage at worst case stops, endless where it does not;
        largest share of flue gas spilled at worst case.
    met : ndarray of bool, shape (V,)
        Whether every grave rule about draft and spillage is met.
    broken : tuple of (Rule, float)
        Rules that are broken in some of the houses, and in which share of them, the most frequent first.
    findings : tuple of Finding
        What the rules say of the median house.
    """

    changes: Changes
    worst: Setup
    appliances: tuple[str, ...]
    hoods: tuple[bool, ...]
    baseline: FloatArray
    pressure: FloatArray
    draft: FloatArray
    natural: FloatArray
    seconds: FloatArray
    spilt: FloatArray
    met: BoolArray
    broken: tuple[tuple[Rule, float], ...]
    findings: tuple[Finding, ...]

    @property
    def probability(self) -> float:
        """Share of the houses that the readings leave open in which the rules are met."""
        return float(self.met.mean())

    def sentences(self, system: str = "field") -> list[str]:
        """The answer in words, the verdict first."""
        return what_if_words.answer(self, system)

    def to_record(self) -> dict[str, Any]:
        """Plain mapping for JSON."""
        return what_if_words.record(self)


def what_if(
    fit: Fit,
    changes: Changes | None = None,
    rules: RuleSet | None = None,
    *,
    samples: int = SAMPLES,
    steps: Sequence[float] = FINE,
    search: bool = True,
) -> WhatIf:
    """Ask what a change would do to a fitted house.

    Parameters
    ----------
    fit : Fit
        The fitted dwelling.
    changes : Changes, optional
        What is changed; nothing by default.
    rules : RuleSet, optional
        Judges each house; the shipped plain one by default.
    samples : int, optional
        Houses drawn from what the readings leave open; a power of two.
    steps : sequence of float, optional
        s of the steps of five minutes of burning.
    search : bool, optional
        Whether the worst case is searched again in the changed house; else it is that of the fit.

    Returns
    -------
    WhatIf

    Raises
    ------
    InputError
        If there is no such door, no exhaust fan to change, or a value that cannot be.

    Notes
    -----
    The band holds what the readings leave open about the house. It does not hold what the model itself may be off, nor
    wind. A new liner has none of what stood in the old vent: its factor of resistance is 1.
    """
    return last(what_if_parts(fit, changes, rules, samples=samples, steps=steps, search=search))


def what_if_parts(
    fit: Fit,
    changes: Changes | None = None,
    rules: RuleSet | None = None,
    *,
    samples: int = SAMPLES,
    steps: Sequence[float] = FINE,
    search: bool = True,
) -> Iterator[WhatIf | None]:
    """Do what `what_if` does with pauses (None); the answer comes last."""
    from hvaclib.rules import load

    book = load("plain") if rules is None else rules
    house, quiet, factors = changed_house(fit, changes or Changes(), fit.sample(samples))
    yield None
    middle = _middle(fit, factors)
    worst = worst_setup(house, quiet, middle) if search else _standing(fit.sheet.worst, quiet)
    worst = with_doors(worst, (changes or Changes()).doors)
    state = pressures(house, [quiet, worst], factors)[house.dwelling.zone_names.index(house.zone)]
    order = fit.sheet.order
    yield None
    burnt, natural = yield from _burnt(fit, house, worst, quiet, factors, steps)
    rows = [[item.name for item in house.house.pipes.appliances].index(name) for name in order]
    found = WhatIf(
        changes=changes or Changes(),
        worst=worst,
        appliances=order,
        hoods=tuple(fit.start.part("appliances", name).draft_hood for name in order),
        baseline=state[0],
        pressure=state[1],
        draft=burnt.draft[rows, 0],
        natural=natural[rows],
        seconds=burnt.seconds[rows, 0],
        spilt=burnt.spilt[rows, 0],
        met=np.ones(samples, dtype=bool),
        broken=(),
        findings=(),
    )
    yield judged(found, fit, quiet.outdoor_temperature, book)


def _middle(fit: Fit, factors: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    return {
        key: np.array([fit.factors.get(key, 1.0) if row.std() > 0 else 1.0]) for key, row in factors.items()
    }


def _standing(worst: Setup, quiet: Setup) -> Setup:
    """The set-up of a fit in the weather that is asked for."""
    return worst.with_outdoor_temperature(quiet.outdoor_temperature)


def _burnt(
    fit: Fit,
    house: VariedHouse,
    worst: Setup,
    quiet: Setup,
    factors: Mapping[str, FloatArray],
    steps: Sequence[float],
) -> Generator[None, None, tuple[Burnt, FloatArray]]:
    """Fires at worst case, and the draft with all fans off."""
    order, start = fit.sheet.order, fit.sheet.start
    if start == "cold":
        both = yield from _last(burn_parts(house, [worst, quiet], factors, order, "cold", steps))
        return both, both.draft[:, 1]
    hot = yield from _last(burn_parts(house, [worst], factors, order, start, steps))
    alone = yield from _last(burn_parts(house, [quiet], factors, order, "cold", steps))
    return hot, alone.draft[:, 0]


def _last(parts: Iterator[Burnt | None]) -> Generator[None, None, Burnt]:
    """Hand the pauses on and give back what came last."""
    found: Burnt | None = None
    for part in parts:
        found = part
        if part is None:
            yield None
    assert found is not None  # the readings come last
    return found


def judged(found: WhatIf, fit: Fit, outdoors: float, rules: RuleSet) -> WhatIf:
    """Let the rules judge every house, and say which of them are broken and how often.

    Parameters
    ----------
    found : WhatIf
        With its pressures, drafts and times.
    fit : Fit
        The fitted dwelling.
    outdoors : float
        Outdoor temperature, K.
    rules : RuleSet

    Returns
    -------
    WhatIf
    """
    facts = Facts.from_mapping(facts_of(fit.start, fit.sheet.start))
    count = found.met.size
    met, broken, known = np.ones(count, dtype=bool), Counter[str](), {}
    middle = int(np.argsort(found.pressure)[count // 2])
    telling: tuple[Finding, ...] = ()
    for number in range(count):
        findings = judge(_readings(found, number, fit, outdoors), rules, facts)
        bad = [item for item in findings if item.reading is not None and item.verdict == "fail"]
        broken.update({item.rule.id for item in bad})
        known.update({item.rule.id: item.rule for item in bad})
        met[number] = not any(item.severity in GRAVE for item in bad)
        if number == middle:
            telling = tuple(item for item in findings.ranked if item.reading is not None)
    shares = tuple((known[name], times / count) for name, times in broken.most_common())
    return replace(found, met=met, broken=shares, findings=telling)


def _readings(found: WhatIf, number: int, fit: Fit, outdoors: float) -> Readings:
    """What would be known of one of the houses, without error."""
    zone, home = fit.sheet.house.zone, fit.start.name
    before, low = float(found.baseline[number]), float(found.pressure[number])
    rows = [
        Reading("outdoor_temperature", outdoors, home, "baseline", computed=True),
        Reading("caz_pressure", before, zone, "baseline", computed=True),
        Reading("caz_pressure", low, zone, "worst case", computed=True),
        Reading("caz_pressure_change", low - before, zone, "worst case", computed=True),
    ]
    for row, name in enumerate(found.appliances):
        rows.append(Reading("draft", float(found.draft[row, number]), name, "worst case", computed=True))
        rows.append(Reading("draft", float(found.natural[row, number]), name, "natural", computed=True))
        if found.hoods[row]:
            seconds = float(found.seconds[row, number])
            rows.append(Reading("spillage_time", seconds, name, "worst case", computed=True))
    return Readings(rows)
