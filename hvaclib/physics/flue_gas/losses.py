"""Heat that leaves with the flue gas, part by part, and the efficiency that remains on both bases."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from hvaclib.physics.air import barometric_pressure
from hvaclib.physics.flue_gas.analysis import check_probes, excess_of, plain
from hvaclib.physics.flue_gas.enthalpy import RANGE, liquid_water, molar, rest_of_air
from hvaclib.physics.flue_gas.water import dew_temperature, vapor_left
from hvaclib.physics.fuel import FUEL, Fuel
from hvaclib.physics.fuel.burning import COMBUSTION_TEMPERATURE
from hvaclib.physics.fuel.gases import gases, interpolated
from hvaclib.units import FloatOrArray, calculation, checks, choice, kinds

__all__ = ["FlueLosses", "efficiency", "losses"]

_CO_HEAT = interpolated(gases()["carbon monoxide"].gross_heating_values, COMBUSTION_TEMPERATURE, "combustion")
_AIR = (230.0, 340.0)
_MOST_CO = 0.1
BASES = ("HHV", "LHV")


@dataclass(frozen=True, slots=True)
class FlueLosses:
    """Where the heat of the fuel goes; every loss is a share of the higher heating value.

    Attributes
    ----------
    total : float
        All that leaves with the flue gas.
    dry_gas : float
        Heat of the dry gas.
    latent : float
        Heat that would come back if the vapour that leaves condensed at the air's temperature.
    water : float
        Heat of that vapour, and of the condensate, above the air's temperature.
    carbon_monoxide : float
        Heat of the CO that did not burn.
    efficiency_hhv, efficiency_lhv : float
        Useful heat over the higher and over the lower heating value.
    excess_air : float
        Fraction.
    dew_point : float
        K.
    condensed : float
        Share of the water that has condensed at the stack temperature.
    """

    total: Annotated[FloatOrArray, kinds.FRACTION]
    dry_gas: Annotated[FloatOrArray, kinds.FRACTION]
    latent: Annotated[FloatOrArray, kinds.FRACTION]
    water: Annotated[FloatOrArray, kinds.FRACTION]
    carbon_monoxide: Annotated[FloatOrArray, kinds.FRACTION]
    efficiency_hhv: Annotated[FloatOrArray, kinds.FRACTION]
    efficiency_lhv: Annotated[FloatOrArray, kinds.FRACTION]
    excess_air: Annotated[FloatOrArray, kinds.FRACTION]
    dew_point: Annotated[FloatOrArray, kinds.TEMPERATURE]
    condensed: Annotated[FloatOrArray, kinds.FRACTION]


@calculation(
    fuel=FUEL,
    stack_temperature=kinds.TEMPERATURE,
    air_temperature=kinds.TEMPERATURE,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    co=kinds.CONCENTRATION,
    altitude=kinds.LENGTH,
    gives=FlueLosses,
)
def losses(
    *,
    fuel: Fuel,
    stack_temperature: FloatOrArray,
    air_temperature: FloatOrArray,
    o2: FloatOrArray | None = None,
    co2: FloatOrArray | None = None,
    co: FloatOrArray = 0.0,
    altitude: float = 0.0,
) -> FlueLosses:
    """Heat that leaves with the flue gas, part by part.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    stack_temperature : temperature
        Of the flue gas where it leaves the appliance, up to 1340 °F; not below that of the air.
    air_temperature : temperature
        Of the combustion air (and the fuel), -45 °F to 152 °F.
    o2 : fraction, optional
        Oxygen of the dry flue gas.
    co2 : fraction, optional
        Carbon dioxide of the dry flue gas instead.
    co : concentration, default 0 ppm
        Carbon monoxide of the dry flue gas, up to 10 %.
    altitude : length, default 0 ft
        Above sea level; it moves the dew point.

    Returns
    -------
    FlueLosses
        Shares in %, dew point in °F; broadcast shape.

    Raises
    ------
    InputError
        If a value is out of range, not exactly one reading is given, or the stack is colder than the air.

    Notes
    -----
    Enthalpies by polynomials of each gas; argon of the air is counted. Below the dew point the gas leaves saturated and
    the rest of its water liquid. The heating value at 60 °F is taken for any temperature of the air (0.15 % over 45 °F).
    CO is counted as heat that was not released; the CO2 and water that it replaces are not.

    References
    ----------
    .. [1] NASA seven-coefficient polynomials after the JANAF thermochemical tables.
    .. [2] US Department of Energy, Steam Tip Sheet 4 (2006).

    Examples
    --------
    >>> parts = losses(fuel="natural gas", o2="5 %", stack_temperature="370 °F", air_temperature="70 °F")
    >>> round(parts.efficiency_hhv, 1), round(parts.efficiency_lhv, 1)
    (<Quantity(82.6, 'percent')>, <Quantity(91.6, 'percent')>)
    """
    _check(stack_temperature, air_temperature)
    checks.within(co, 0.0, _MOST_CO, "co", kinds.CONCENTRATION)
    excess = np.asarray(excess_of(fuel, o2, co2))
    pressure = barometric_pressure.si(altitude=altitude)
    stack, air = np.asarray(stack_temperature, dtype=np.float64), np.asarray(air_temperature)
    dry, gross = _dry_moles(fuel, excess), fuel.gross_heating_value
    vapor = vapor_left(fuel, excess, stack, pressure)
    dry_gas = sum(moles * (_enthalpy(name, stack) - _enthalpy(name, air)) for name, moles in dry.items())
    latent = vapor * (molar("water", air) - liquid_water(air))
    sensible = vapor * (molar("water", stack) - molar("water", air))
    sensible = sensible + (fuel.water - vapor) * (liquid_water(stack) - liquid_water(air))
    monoxide = np.asarray(co) * sum(dry.values()) * _CO_HEAT
    total = (dry_gas + latent + sensible + monoxide) / gross
    return FlueLosses(
        total=plain(total),
        dry_gas=plain(dry_gas / gross),
        latent=plain(latent / gross + 0.0 * total),
        water=plain(sensible / gross),
        carbon_monoxide=plain(monoxide / gross),
        efficiency_hhv=plain(1.0 - total),
        efficiency_lhv=plain((1.0 - total) * gross / fuel.net_heating_value),
        excess_air=plain(excess),
        dew_point=plain(dew_temperature(fuel, excess, pressure) if fuel.water > 0 else np.zeros_like(excess)),
        condensed=plain(1.0 - vapor / fuel.water if fuel.water > 0 else np.zeros_like(vapor)),
    )


def _dry_moles(fuel: Fuel, excess: FloatOrArray) -> dict[str, FloatOrArray]:
    """Moles of each dry gas for one mole of fuel; the fuel's own inert gas is counted with the rest of the air."""
    moles = fuel.oxygen * np.asarray(excess)
    rest = fuel.dry_products - fuel.carbon_dioxide + fuel.air * np.asarray(excess) - moles
    return {"carbon_dioxide": fuel.carbon_dioxide, "oxygen": moles, "rest": rest}


def _enthalpy(name: str, temperature: FloatOrArray) -> FloatOrArray:
    return rest_of_air(temperature) if name == "rest" else molar(name, temperature)


def _check(stack: FloatOrArray, air: FloatOrArray) -> None:
    check_probes(stack, air)  # first: with the probes swapped the air is out of its range as well
    checks.within(stack, *RANGE, "stack_temperature", kinds.TEMPERATURE)
    checks.within(air, *_AIR, "air_temperature", kinds.TEMPERATURE)


@calculation(
    fuel=FUEL,
    stack_temperature=kinds.TEMPERATURE,
    air_temperature=kinds.TEMPERATURE,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    co=kinds.CONCENTRATION,
    basis=choice(*BASES),
    altitude=kinds.LENGTH,
    gives=kinds.FRACTION,
    notes=("Combustion efficiency: what the jacket, the ducts and standing still lose is not in it.",),
)
def efficiency(
    *,
    fuel: Fuel,
    stack_temperature: FloatOrArray,
    air_temperature: FloatOrArray,
    o2: FloatOrArray | None = None,
    co2: FloatOrArray | None = None,
    co: FloatOrArray = 0.0,
    basis: str = "HHV",
    altitude: float = 0.0,
) -> FloatOrArray:
    """Combustion efficiency from the flue gas: the share of the fuel's heat that does not leave with it.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    stack_temperature : temperature
        Of the flue gas where it leaves the appliance, up to 1340 °F; not below that of the air.
    air_temperature : temperature
        Of the combustion air, -45 °F to 152 °F.
    o2 : fraction, optional
        Oxygen of the dry flue gas.
    co2 : fraction, optional
        Carbon dioxide of the dry flue gas instead.
    co : concentration, default 0 ppm
        Carbon monoxide of the dry flue gas.
    basis : {"HHV", "LHV"}, default "HHV"
        Higher heating value, as in American practice, or lower, as in much of Europe; the latter gives 11 % more with
        natural gas, and more than 100 % when condensing.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    fraction
        In %, broadcast shape.

    Raises
    ------
    InputError
        As `losses`.

    Notes
    -----
    See `losses`. On the lower basis the same useful heat is divided by the lower heating value. The Siegert formula,
    `siegert_loss`, is the short way of European practice.

    References
    ----------
    .. [1] US Department of Energy, Steam Tip Sheet 4 (2006): its table is 0.3 to 0.7 point below such a calculation.

    Examples
    --------
    >>> round(efficiency(fuel="natural gas", o2="5 %", stack_temperature="370 °F", air_temperature="70 °F"), 1)
    <Quantity(82.6, 'percent')>
    """
    found = losses.si(
        fuel=fuel, stack_temperature=stack_temperature, air_temperature=air_temperature, o2=o2, co2=co2, co=co,
        altitude=altitude,
    )  # fmt: skip
    return found.efficiency_hhv if basis == "HHV" else found.efficiency_lhv
