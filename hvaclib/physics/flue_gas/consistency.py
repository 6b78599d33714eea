"""Readings of flue gas against each other: sets that no fuel gives, and what may be wrong with the probe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hvaclib.physics.flue_gas.analysis import AMBIENT_OXYGEN
from hvaclib.physics.flue_gas.losses import losses
from hvaclib.physics.fuel import FUEL, OXYGEN_IN_AIR, Fuel, fuel_names
from hvaclib.physics.fuel import fuel as fuel_named
from hvaclib.reference import value
from hvaclib.units import calculation, checks, kinds, show

__all__ = ["Consistency", "consistency"]

_TOLERANCE = value("flue_gas", "reading_tolerance")
_DILUTED = value("flue_gas", "dilution_oxygen")
_SCARCE = value("flue_gas", "scarce_oxygen")
_COLD = value("flue_gas", "cold_stack")
_HOT = value("flue_gas", "hot_stack")


@dataclass(frozen=True, slots=True)
class Consistency:
    """What the readings say of each other.

    Attributes
    ----------
    expected_co2 : float or None
        CO2 that goes with the oxygen; None where the oxygen is that of air.
    difference : float or None
        Measured CO2 above the expected; None where it was not measured.
    possible : bool
        Whether the fuel can give these readings.
    leakage : float or None
        Share of the dry gas that is air let in since the place nearer the burner; None where that was not read.
    contradictions : tuple of str
        Why not, and where to look.
    suspicions : tuple of str
        What is possible but unlikely for the flue gas of a burner.
    """

    expected_co2: Annotated[float | None, kinds.FRACTION]
    difference: Annotated[float | None, kinds.FRACTION]
    possible: bool
    leakage: Annotated[float | None, kinds.FRACTION]
    contradictions: tuple[str, ...]
    suspicions: tuple[str, ...]


@calculation(
    fuel=FUEL,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    co=kinds.CONCENTRATION,
    stack_temperature=kinds.TEMPERATURE,
    air_temperature=kinds.TEMPERATURE,
    upstream_o2=kinds.FRACTION,
    gives=Consistency,
)
def consistency(
    *,
    fuel: Fuel,
    o2: float,
    co2: float | None = None,
    co: float = 0.0,
    stack_temperature: float | None = None,
    air_temperature: float | None = None,
    upstream_o2: float | None = None,
) -> Consistency:
    """Whether readings of flue gas can belong together, and what may be wrong where they cannot.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What the analyser is set to; see ``fuel.stoichiometry``.
    o2 : fraction
        Oxygen of the dry flue gas.
    co2 : fraction, optional
        Carbon dioxide of the same gas by a cell of its own; not what an analyser reckons from the oxygen.
    co : concentration, default 0 ppm
        Carbon monoxide of the same gas.
    stack_temperature : temperature, optional
        Of the flue gas.
    air_temperature : temperature, optional
        Of the combustion air.
    upstream_o2 : fraction, optional
        Oxygen at a second place nearer the burner: more of it at the first shows air that leaks in between.

    Returns
    -------
    Consistency
        CO2 in %; sentences in words.

    Raises
    ------
    InputError
        If a share is not from 0 to 100 %, or a temperature is beyond the range of `losses`.

    Notes
    -----
    Points of complete combustion lie on the straight line from the fuel's largest CO2 to air. Carbon monoxide moves a
    point off it: CO2 + CO against O2 - CO/2 is on it again. A set is refused beyond 0.6 points of CO2. Air that leaks
    into the sample moves a point along the line, so that O2 and CO2 of one place never show it; O2 of a second place does.

    References
    ----------
    .. [1] US EPA, Method 3B: fuel factor (20.9 - O2) / CO2 as a check of an analysis.

    Examples
    --------
    >>> found = consistency(fuel="natural gas", o2="5 %", co2="12.5 %")
    >>> found.possible, round(found.expected_co2, 1)
    (False, <Quantity(9.1, 'percent')>)
    """
    checks.within(o2, 0.0, 1.0, "o2", kinds.FRACTION)
    checks.within(0.0 if co2 is None else co2, 0.0, 1.0, "co2", kinds.FRACTION)
    checks.within(co, 0.0, 1.0, "co", kinds.CONCENTRATION)
    found = list(_oxygen(o2))
    expected = None if found else _line(fuel, o2 - co / 2.0)
    difference = None
    if co2 is not None:
        found += _carbon_dioxide(fuel, o2, co2)
        if expected is not None:
            difference = co2 + co - expected
            if not found:
                found += _pair(fuel, o2, co2, difference)
    found += _temperatures(stack_temperature, air_temperature)
    if not found:
        found += _heat(fuel, o2, stack_temperature, air_temperature)
    leakage = None
    if upstream_o2 is not None:
        checks.within(upstream_o2, 0.0, AMBIENT_OXYGEN - _TOLERANCE, "upstream_o2", kinds.FRACTION)
        leakage = (o2 - upstream_o2) / (OXYGEN_IN_AIR - upstream_o2)
        if o2 < upstream_o2 - _TOLERANCE:
            found.append(_less(o2, upstream_o2))
    suspicions: tuple[str, ...] = ()
    if not found:
        suspicions = (
            *_unlikely(o2), *_leaking(o2, upstream_o2, leakage), *_rise(stack_temperature, air_temperature),
        )  # fmt: skip
    return Consistency(expected, difference, not found, leakage, tuple(found), suspicions)


def _less(o2: float, upstream: float) -> str:
    return (
        f"O2 of {_percent(o2)} is less than the {_percent(upstream)} nearer the burner: air cannot leave the gas again, so "
        "the two places were exchanged, or the burner has changed in between."
    )


def _leaking(o2: float, upstream: float | None, leakage: float | None) -> tuple[str, ...]:
    if upstream is None or leakage is None or o2 <= upstream + _TOLERANCE:
        return ()
    return (
        f"O2 rises from {_percent(upstream)} nearer the burner to {_percent(o2)}: {100 * leakage:.0f} % of the dry gas here "
        "is air that leaks in between. Reckon with the reading nearer the burner, and find the leak.",
    )


def _line(fuel: Fuel, o2: float) -> float:
    """CO2 of complete combustion at an oxygen reading; negative oxygen extends the line."""
    return fuel.maximum_carbon_dioxide * (1.0 - o2 / OXYGEN_IN_AIR)


def _percent(share: float) -> str:
    return show(share, kinds.FRACTION, digits=1)


def _degrees(temperature: float) -> str:
    """In both units: the sentence does not know which its reader uses."""
    return (
        f"{show(temperature, kinds.TEMPERATURE, digits=0)} ({show(temperature, kinds.TEMPERATURE, 'si', 0)})"
    )


def _oxygen(o2: float) -> tuple[str, ...]:
    if o2 < AMBIENT_OXYGEN:
        return ()
    if o2 > OXYGEN_IN_AIR + _TOLERANCE:
        return (
            f"O2 of {_percent(o2)} is more than air holds: the oxygen cell must be set anew in clean air.",
        )
    return (
        f"O2 of {_percent(o2)} is that of plain air: the probe is not in the flue gas, the burner is off, or air "
        "leaks into the sample.",
    )


def _carbon_dioxide(fuel: Fuel, o2: float, co2: float) -> tuple[str, ...]:
    most = fuel.maximum_carbon_dioxide
    if co2 <= most + _TOLERANCE:
        return ()
    if co2 > o2 > _TOLERANCE and abs(_line(fuel, co2) - o2) <= _TOLERANCE:
        return (_swapped(o2, co2),)
    fits = _fitting(fuel, o2, co2)
    wrong = f"the readings would fit {fits}, so the wrong fuel is set" if fits else "the wrong fuel is set"
    if co2 > max(fuel_named(name).maximum_carbon_dioxide for name in fuel_names()) + _TOLERANCE:
        wrong = "no fuel listed here gives so much, so the oxygen may have been taken for the CO2"
    return (
        f"CO2 of {_percent(co2)} is above the {_percent(most)} that {fuel.name} gives without any excess air: "
        f"{wrong}, or the CO2 cell is wrong.",
    )


def _pair(fuel: Fuel, o2: float, co2: float, difference: float) -> tuple[str, ...]:
    if abs(difference) <= _TOLERANCE:
        return ()
    if abs(_line(fuel, co2) - o2) <= _TOLERANCE:
        return (_swapped(o2, co2),)
    pair = f"O2 of {_percent(o2)} and CO2 of {_percent(co2)}"
    goes = f"{_percent(max(co2 - difference, 0.0))} of CO2 would go with this O2"
    if difference > 0:
        return (
            f"{pair} together are more than {fuel.name} can give ({goes}): {_other_fuel(fuel, o2, co2)}"
            "the two were not read in the same gas, air leaks into the oxygen line alone, or a cell is wrong.",
        )
    return (
        f"{pair} together are too little for {fuel.name} ({goes}): part of the fuel may leave unburned and unseen, "
        f"{_other_fuel(fuel, o2, co2)}or a cell reads low. Look at the CO before anything else.",
    )


def _swapped(o2: float, co2: float) -> str:
    return (
        f"O2 of {_percent(o2)} and CO2 of {_percent(co2)} fit this fuel the other way round: the two readings look "
        "swapped."
    )


def _fitting(fuel: Fuel, o2: float, co2: float) -> str:
    """Names of other fuels that the pair would fit; empty for none."""
    return " or ".join(
        name
        for name in fuel_names()
        if name != fuel.name and abs(_line(fuel_named(name), o2) - co2) <= _TOLERANCE
    )


def _other_fuel(fuel: Fuel, o2: float, co2: float) -> str:
    """Words about fuels that the pair would fit, as one item of a list."""
    fits = _fitting(fuel, o2, co2)
    return f"the readings would fit {fits}, so the wrong fuel may be set, " if fits else ""


def _temperatures(stack: float | None, air: float | None) -> tuple[str, ...]:
    if stack is None or air is None or stack >= air:
        return ()
    return (
        f"Flue gas of {_degrees(stack)} is colder than the air of "
        f"{_degrees(air)}: the two temperature probes look swapped, or nothing burns.",
    )


def _rise(stack: float | None, air: float | None) -> tuple[str, ...]:
    """Temperatures that are possible, but hardly those of an appliance in order."""
    if stack is None or air is None:
        return ()
    both = f"Flue gas of {_degrees(stack)} with air of {_degrees(air)}"
    if stack - air < _COLD:
        return (
            f"{both}: hardly any warmer. The probe may not be in the flue gas, or the burner has just been lit: read again "
            "after five minutes of burning.",
        )
    if stack - air <= _HOT:
        return ()
    return (
        f"{both}: far hotter than an appliance in order gives. Overfired, too little air or water through its exchanger, or "
        "a probe in the flame; a vent so hot can set fire to what it passes: switch the burner off and find out.",
    )


def _heat(fuel: Fuel, o2: float, stack: float | None, air: float | None) -> tuple[str, ...]:
    """A sentence where more heat would leave than the fuel gives."""
    if stack is None or air is None:
        return ()
    if losses.si(fuel=fuel, o2=o2, stack_temperature=stack, air_temperature=air).total < 1.0:
        return ()
    return (
        f"With O2 of {_percent(o2)} and a stack of {_degrees(stack)} more heat would leave than "
        "the fuel gives: the oxygen is that of a leaking sample, or the two were not read at the same place.",
    )


def _unlikely(o2: float) -> tuple[str, ...]:
    if o2 < _SCARCE:
        return (
            f"O2 of {_percent(o2)} leaves hardly any air to spare: a little more gas or dust on the burner makes carbon "
            "monoxide.",
        )
    if o2 <= _DILUTED:
        return ()
    return (
        f"O2 of {_percent(o2)} is hardly undiluted flue gas: the sample was taken behind a draft hood, or air leaks "
        "into the probe, its hose or the heat exchanger. Losses reckoned from it are too high.",
    )
