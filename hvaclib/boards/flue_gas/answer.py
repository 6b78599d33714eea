"""The answer of the flue-gas board: what the readings say of each other, the losses, the rules' findings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.physics import flue_gas
from hvaclib.physics.flue_gas.analysis import AMBIENT_OXYGEN
from hvaclib.physics.fuel import Fuel, fuel, local_gas
from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.rules import Facts, judge, load
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.physics.flue_gas.consistency import Consistency
    from hvaclib.physics.flue_gas.losses import FlueLosses
    from hvaclib.rules import Finding, RuleSet

APPLIANCE = "this appliance"
RULE_FUELS = {"natural gas": "natural gas", "propane": "propane", "No. 2 oil": "fuel oil"}
STACKS = tuple(parse_si(f"{t} °F", kinds.TEMPERATURE) for t in (110, 140, 200, 300, 400, 500, 600, 800, 1000))
"""Stack temperatures of the pale curves, K."""
CURVE = 60  # points of a curve
REACHES = (1.0, 2.0, 4.0, 8.0, 40.0)
"""How far the axis of excess air may reach: whole steps of its ticks."""
_rules = lru_cache(maxsize=4)(load)
burnt = lru_cache(maxsize=256)(local_gas)


@dataclass(frozen=True, slots=True)
class Sample:
    """What was read at one moment: mole fractions of the dry gas, K."""

    o2: float
    co: float
    stack: float


@dataclass(frozen=True, slots=True)
class Curves:
    """Loss against excess air: at the present stack temperature, and at `STACKS`, shape (M, N)."""

    excess: npt.NDArray[np.float64]
    stacks: npt.NDArray[np.float64]
    family: npt.NDArray[np.float64]
    now: npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FlueAnswer:
    """What the board knows as soon as a control has moved.

    Attributes
    ----------
    fuel : Fuel
        What burns, with the local heating value.
    sample : Sample
        The readings; the oxygen reckoned from the CO2 where that was read.
    co2 : float
        Measured, or reckoned from the oxygen.
    measured : bool
        Whether the CO2 was measured beside the oxygen.
    checked : Consistency
        What the readings say of each other.
    losses : FlueLosses or None
        None where the readings allow no sum.
    co_air_free, co_uncertainty : float or None
        CO air-free and its standard uncertainty.
    condensate : float
        kg/s, at the present stack temperature.
    before : FlueLosses or None
        Losses of the sample before the burner was set.
    before_sample : Sample or None
        That sample.
    curves : Curves or None
        For the chart.
    findings : tuple of Finding
        What the rules say of the CO; where the readings allow no sum, only rules that it is out of as read.
    rules : RuleSet
        The rule set.
    sealed : bool
        Whether the appliance is a sealed one, which may be made for condensing.
    before_refused : bool
        Whether readings before were given that allow no sum of losses.
    """

    fuel: Fuel
    sample: Sample
    co2: float
    measured: bool
    checked: Consistency
    losses: FlueLosses | None
    co_air_free: float | None
    co_uncertainty: float | None
    condensate: float
    before: FlueLosses | None
    before_sample: Sample | None
    curves: Curves | None
    findings: tuple[Finding, ...]
    rules: RuleSet
    sealed: bool
    before_refused: bool


@dataclass(frozen=True, slots=True)
class Place:
    """What stands where: kind of appliance, combustion air (K), altitude (m), input (W)."""

    kind: str
    air: float
    altitude: float
    input: float


def fuel_of(name: str, heating_value: float) -> Fuel:
    """The fuel as it burns here: natural gas with the utility's heating value, another as it is."""
    return burnt(fuel(name), heating_value) if name == "natural gas" else fuel(name)


def oxygen_of(burning: Fuel, co2: float) -> float:
    """Oxygen that goes with a CO2 reading; below zero where the fuel cannot give so much CO2."""
    most = burning.maximum_carbon_dioxide
    return float(burning.oxygen / burning.air * (1.0 - co2 / most))


def carbon_dioxide_of(burning: Fuel, o2: float) -> float:
    """CO2 on the fuel's line at an oxygen reading; below zero beyond that of air."""
    return float(burning.maximum_carbon_dioxide * (1.0 - o2 * burning.air / burning.oxygen))


def answer(
    burning: Fuel, sample: Sample, co2: float | None, before: Sample | None, upstream: float | None, place: Place,
    rules: str,
) -> FlueAnswer:  # fmt: skip
    """Work out the answer; some 3 ms.

    Parameters
    ----------
    burning : Fuel
        What burns.
    sample, before : Sample
        Readings now, and before the burner was set.
    co2 : float or None
        CO2 by a cell of its own.
    upstream : float or None
        Oxygen nearer the burner.
    place : Place
        What stands where.
    rules : str
        Rule set.
    """
    checked = flue_gas.consistency.si(
        fuel=burning, o2=max(sample.o2, 0.0), co2=co2, co=sample.co, stack_temperature=sample.stack,
        air_temperature=place.air, upstream_o2=upstream,
    )  # fmt: skip
    if checked.possible:  # CO2 a little above the fuel's largest is within the tolerance: no oxygen is left
        sample = replace(sample, o2=max(sample.o2, 0.0))
    usable = 0.0 <= sample.o2 < AMBIENT_OXYGEN and sample.stack >= place.air
    losses = _losses(burning, sample, place) if usable else None
    if losses is not None and float(losses.total) >= 1.0:
        usable, losses = False, None
    prior = before if before is not None and before.stack >= place.air else None
    prior_losses = None if prior is None else _losses(burning, prior, place)
    if prior_losses is not None and float(prior_losses.total) >= 1.0:
        prior = prior_losses = None
    free = uncertainty = None
    if usable:
        free, uncertainty = _air_free(sample)
        readings = [
            Reading("co_air_free", free, APPLIANCE, standard_uncertainty=uncertainty),
            Reading("oxygen_flue", sample.o2, APPLIANCE),
        ]
        findings = _judged(readings, burning, place, rules)
    else:  # air-free is never less than as read: what is out of a rule as read is out of it whatever the oxygen
        least = [Reading("co_air_free", sample.co, APPLIANCE)]
        findings = tuple(item for item in _judged(least, burning, place, rules) if item.verdict == "fail")
    return FlueAnswer(
        fuel=burning,
        sample=sample,
        co2=carbon_dioxide_of(burning, sample.o2) if co2 is None else co2,
        measured=co2 is not None,
        checked=checked,
        losses=losses,
        co_air_free=free,
        co_uncertainty=uncertainty,
        condensate=_condensate(burning, sample, place) if usable else 0.0,
        before=prior_losses,
        before_sample=prior,
        curves=None if losses is None else _curves(burning, sample, prior, place),
        findings=findings,
        rules=_rules(rules),
        sealed="sealed" in place.kind,
        before_refused=before is not None and prior_losses is None,
    )  # fmt: skip


def _losses(burning: Fuel, sample: Sample, place: Place) -> FlueLosses:
    return flue_gas.losses.si(
        fuel=burning, o2=sample.o2, co=sample.co, stack_temperature=sample.stack, air_temperature=place.air,
        altitude=place.altitude,
    )  # fmt: skip


def _condensate(burning: Fuel, sample: Sample, place: Place) -> float:
    if sample.stack > 372.0:  # steam at any altitude of the suite
        return 0.0
    return float(
        flue_gas.condensate.si(
            fuel=burning, input_rate=place.input, condensing_temperature=sample.stack, o2=sample.o2,
            altitude=place.altitude,
        )
    )  # fmt: skip


def _air_free(sample: Sample) -> tuple[float, float]:
    """CO air-free, and its standard uncertainty from both cells (JCGM 100:2008, 5.1.2)."""
    free = float(flue_gas.co_air_free.si(co=sample.co, o2=sample.o2))
    factor = AMBIENT_OXYGEN / (AMBIENT_OXYGEN - sample.o2)
    of_co = standard_uncertainty(Reading("co_air_free", sample.co, APPLIANCE))
    of_o2 = standard_uncertainty(Reading("oxygen_flue", sample.o2, APPLIANCE))
    return free, sqrt((factor * of_co) ** 2 + (free * of_o2 / (AMBIENT_OXYGEN - sample.o2)) ** 2)


def _judged(readings: list[Reading], burning: Fuel, place: Place, rules: str) -> tuple[Finding, ...]:
    facts = Facts({"fuel": RULE_FUELS[burning.name]}, {APPLIANCE: {"appliance_kind": place.kind}})
    found = judge(Readings(readings), _rules(rules), facts).about("co_air_free")
    return tuple(item for item in found.ranked if item.reading is not None)


def _curves(burning: Fuel, sample: Sample, before: Sample | None, place: Place) -> Curves:
    reached = [float(flue_gas.excess_air.si(fuel=burning, o2=item.o2)) for item in (sample, before) if item]
    end = next((far for far in REACHES if far >= 1.05 * max(reached)), REACHES[-1])
    excess = np.linspace(0.0, end, CURVE)
    o2 = burning.oxygen * excess / (burning.dry_products + burning.air * excess)
    stacks = np.array([t for t in STACKS if t > place.air + 5.0])
    every = np.concatenate([stacks, [sample.stack]])[:, None]
    total = flue_gas.losses.si(
        fuel=burning,
        o2=o2[None, :],
        co=0.0,
        stack_temperature=every,
        air_temperature=place.air,
        altitude=place.altitude,
    ).total
    family = np.asarray(total)
    return Curves(excess, stacks, family[:-1], family[-1])
