"""What if, of a real house: a fitted dwelling in another state, with the band that the readings leave."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.procedures.preconditions import facts_of
from hvaclib.readings import Reading, Readings
from hvaclib.review import what_if_words
from hvaclib.review.fit.batch import FINE, Burnt, burn, pressures
from hvaclib.review.fit.steps import worst_setup
from hvaclib.review.fit.varied import VariedHouse, varied_house
from hvaclib.rules import judge

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.house.setup import Setup
    from hvaclib.review.fit import Fit
    from hvaclib.rules import Finding, Rule, RuleSet

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
SAMPLES = 64
"""Houses drawn from what the readings leave open."""
OPENING = "combustion air (what if)"
JUDGED = ("caz_pressure", "caz_pressure_change", "draft", "spillage_time", "outdoor_temperature")
GRAVE = ("fail", "stop and call")


@dataclass(frozen=True, slots=True)
class Changes:
    """What is changed in the fitted house; what is left out stays as it is.

    Parameters
    ----------
    outdoor : float, optional
        Outdoor temperature, K.
    exhaust : float, optional
        Stated airflow of the largest exhaust fan, m³/s.
    doors : mapping of str to bool, optional
        Door to whether it stands open during the test; the others stand as the worst case wants them.
    liner : float, optional
        Inside diameter of a new liner in every vent of the zone, m.
    opening : float, optional
        Free area of a new combustion-air opening from the zone to outdoors, m².
    """

    outdoor: float | None = None
    exhaust: float | None = None
    doors: Mapping[str, bool] = field(default_factory=dict)
    liner: float | None = None
    opening: float | None = None


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
    from hvaclib.rules import load

    book = load("plain") if rules is None else rules
    house, quiet, factors = changed_house(fit, changes or Changes(), fit.sample(samples))
    middle = _middle(fit, factors)
    worst = worst_setup(house, quiet, middle) if search else _standing(fit.sheet.worst, quiet)
    worst = with_doors(worst, (changes or Changes()).doors)
    state = pressures(house, [quiet, worst], factors)[house.dwelling.zone_names.index(house.zone)]
    order = fit.sheet.order
    burnt, natural = _burnt(fit, house, worst, quiet, factors, steps)
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
    return _judged(found, fit, house, quiet, book)


def changed_house(
    fit: Fit, changes: Changes, factors: Mapping[str, FloatArray]
) -> tuple[VariedHouse, Setup, dict[str, FloatArray]]:
    """The starting dwelling with the changes, its baseline set-up, and the factors that still hold."""
    dwelling, quiet, kept = fit.start, fit.sheet.quiet, dict(factors)
    if changes.outdoor is not None:
        quiet = quiet.with_outdoor_temperature(changes.outdoor)
    if changes.exhaust is not None:
        dwelling = dwelling.with_fan_flow(largest_fan(dwelling), max(changes.exhaust, 1e-6))
    if changes.liner is not None:
        for name in dict.fromkeys(str(dwelling.part("appliances", each).vent) for each in fit.sheet.order):
            old = dwelling.part("vents", name)
            kind = "lined masonry" if old.kind == "masonry" else old.kind
            dwelling = dwelling.with_part("vents", name, diameter=changes.liner, blockage=0.0, kind=kind)
        kept.pop("vent", None)
    if changes.opening:
        zone = dwelling.zone(fit.sheet.house.zone)
        height = max(zone.ceiling - 0.3, 0.1)
        dwelling = dwelling.with_opening(OPENING, (zone.name, "outdoors"), changes.opening, height)
    if not kept:
        kept = {"vent": np.ones(next(iter(factors.values())).size)}
    return varied_house(dwelling, fit.sheet.house.zone), quiet, kept


def largest_fan(dwelling: Dwelling) -> str:
    """Name of the exhaust fan with the largest airflow.

    Raises
    ------
    InputError
        If no fan blows outdoors.
    """
    flows = {
        fan.name: float(fan.flow or (fan.curve[0][1] if fan.curve else 0.0))
        for fan in dwelling.fans
        if fan.to == "outdoors" and fan.direction == "exhaust"
    }
    if not flows:
        raise InputError(
            "no exhaust fan to change", where=dwelling.name, expected="a [[fan]] that blows outdoors"
        )
    return max(flows, key=lambda name: flows[name])


def with_doors(setup: Setup, doors: Mapping[str, bool]) -> Setup:
    """A set-up with these doors open (True) or shut (False)."""
    for name, is_open in doors.items():
        setup = setup.with_door(name, open=is_open)
    return setup


def along(
    fit: Fit, changes: Changes, control: str, values: Sequence[float], rules: RuleSet | None = None,
    *, samples: int = SAMPLES, search: bool = False,
) -> Iterator[WhatIf]:  # fmt: skip
    """Answers along one control, one at a time.

    Parameters
    ----------
    fit, rules, samples, search
        As for `what_if`.
    changes : Changes
        Everything else.
    control : {"outdoor", "exhaust", "liner", "opening"}
        What takes the values.
    values : sequence of float
        SI.

    Yields
    ------
    WhatIf
        One a value, in order.
    """
    for value in values:
        yield what_if(fit, changed(changes, control, value), rules, samples=samples, search=search)


def changed(changes: Changes, control: str, value: float) -> Changes:
    """The changes with one control at a value, SI.

    Raises
    ------
    InputError
        If there is no such control.
    """
    known = ("outdoor", "exhaust", "liner", "opening")
    if control not in known:
        raise InputError("no such control", where="what-if", given=control, expected=" or ".join(known))
    moved: dict[str, Any] = {control: value}
    return replace(changes, **moved)


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
) -> tuple[Burnt, FloatArray]:
    """Fires at worst case, and the draft with all fans off."""
    order, start = fit.sheet.order, fit.sheet.start
    if start == "cold":
        both = burn(house, [worst, quiet], factors, order, "cold", steps)
        return both, both.draft[:, 1]
    hot = burn(house, [worst], factors, order, start, steps)
    return hot, burn(house, [quiet], factors, order, "cold", steps).draft[:, 0]


def _judged(found: WhatIf, fit: Fit, house: VariedHouse, quiet: Setup, rules: RuleSet) -> WhatIf:
    """Let the rules judge every house, and say which of them are broken and how often."""
    facts = facts_of(house.dwelling, fit.sheet.start)
    count = found.met.size
    met, broken, known = np.ones(count, dtype=bool), Counter[str](), {}
    middle = int(np.argsort(found.pressure)[count // 2])
    telling: tuple[Finding, ...] = ()
    for number in range(count):
        findings = judge(_readings(found, number, fit, quiet), rules, facts)
        bad = [item for item in findings if item.reading is not None and item.verdict == "fail"]
        broken.update({item.rule.id for item in bad})
        known.update({item.rule.id: item.rule for item in bad})
        met[number] = not any(item.severity in GRAVE for item in bad)
        if number == middle:
            telling = tuple(item for item in findings.ranked if item.reading is not None)
    shares = tuple((known[name], times / count) for name, times in broken.most_common())
    return replace(found, met=met, broken=shares, findings=telling)


def _readings(found: WhatIf, number: int, fit: Fit, quiet: Setup) -> Readings:
    """What would be known of one of the houses, without error."""
    zone, home = fit.sheet.house.zone, fit.start.name
    before, low = float(found.baseline[number]), float(found.pressure[number])
    rows = [
        Reading("outdoor_temperature", quiet.outdoor_temperature, home, "baseline", computed=True),
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
