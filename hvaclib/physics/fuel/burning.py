"""What a fuel gas needs and what it leaves: air, products and their heat, from its composition.

Everything follows from counting atoms. Amounts are per joule of gross (higher) heating value, because that is
what a nameplate states.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import InputError
from hvaclib.physics.fuel.gases import ATOMIC_MASS, folded, gas_named, interpolated, latent_heat, temperatures
from hvaclib.reference import load

FloatArray = NDArray[np.float64]

DRY_AIR_MOLAR_MASS = 28.9655e-3
#: Mole fraction of oxygen in dry air (US Standard Atmosphere 1976, Table 3); the rest is counted as nitrogen.
OXYGEN_IN_AIR = 0.209476
CO2_MOLAR_MASS = ATOMIC_MASS["C"] + 2 * ATOMIC_MASS["O"]
H2O_MOLAR_MASS = 2 * ATOMIC_MASS["H"] + ATOMIC_MASS["O"]
O2_MOLAR_MASS = 2 * ATOMIC_MASS["O"]
#: "Nitrogen" of the air carries argon too, so that the mass of dry air closes exactly.
N2_OF_AIR_MOLAR_MASS = (DRY_AIR_MOLAR_MASS - OXYGEN_IN_AIR * O2_MOLAR_MASS) / (1.0 - OXYGEN_IN_AIR)
#: J/(mol K); CODATA 2018, exact.
MOLAR_GAS_CONSTANT = 8.314462618
#: J/kg, latent heat of water at 25 °C; IAPWS-95 (2442 kJ/kg).
LATENT_HEAT = 2.442e6
#: K, the temperature of combustion that heating values of this module refer to: 60 °F.
COMBUSTION_TEMPERATURE = float(temperatures("combustion")[2])


@dataclass(frozen=True, slots=True)
class Fuel:
    """One fuel, per mole of it; of a liquid, per mole of its carbon atoms.

    Attributes
    ----------
    name : str
        What it is called.
    molar_mass : float
        kg/mol.
    gross_heating_value : float
        J/mol, ideal gas, 60 °F.
    oxygen : float
        Moles of O2 that burn one mole of fuel completely.
    carbon_dioxide, water, nitrogen : float
        Moles in the products of one mole of fuel (nitrogen: the fuel's own only, with helium and argon).
    composition : tuple of (str, float)
        Gases with their mole fractions; empty for a liquid.
    density : float or None
        kg/m³ of a liquid; None for a gas.
    """

    name: str
    molar_mass: float
    gross_heating_value: float
    oxygen: float
    carbon_dioxide: float
    water: float
    nitrogen: float
    composition: tuple[tuple[str, float], ...] = ()
    density: float | None = None

    @property
    def net_heating_value(self) -> float:
        """J/mol, ideal gas, 60 °F: no water condenses."""
        return self.gross_heating_value - self.water * latent_heat(COMBUSTION_TEMPERATURE)

    @property
    def air(self) -> float:
        """Moles of dry air that burn one mole of fuel completely."""
        return self.oxygen / OXYGEN_IN_AIR

    @property
    def dry_products(self) -> float:
        """Moles of dry products of one mole of fuel without excess air."""
        return self.carbon_dioxide + self.nitrogen + self.air * (1.0 - OXYGEN_IN_AIR)

    @property
    def maximum_carbon_dioxide(self) -> float:
        """Mole fraction of CO2 in the dry products without excess air."""
        return self.carbon_dioxide / self.dry_products


@dataclass(frozen=True, slots=True)
class Products:
    """Wet flue gas per joule of gross input; each entry has the shape of the excess air asked for.

    Attributes
    ----------
    mass : ndarray
        kg of wet flue gas per J.
    fuel_mass : float
        kg of fuel per J.
    gas_constant : ndarray
        J/(kg K) of the wet flue gas.
    carbon_dioxide, oxygen : ndarray
        Mole fractions of the *dry* flue gas.
    latent : float
        Share of the gross heat that leaves in uncondensed water vapour.
    """

    mass: FloatArray
    fuel_mass: float
    gas_constant: FloatArray
    carbon_dioxide: FloatArray
    oxygen: FloatArray
    latent: float


def fuel_names() -> tuple[str, ...]:
    """Names of the fuels of the reference table."""
    table = load("fuels")
    return tuple(row["name"] for key in ("fuel", "liquid") for row in table[key])


@cache
def fuel(name: str) -> Fuel:
    """Return the named fuel from the reference table.

    Parameters
    ----------
    name : str
        A name in ``reference/fuels.toml``, e.g. ``"natural gas"``, or another spelling that stands there.

    Raises
    ------
    InputError
        If the table has no such fuel.
    """
    for key in ("fuel", "liquid"):
        for row in load("fuels")[key]:
            if folded(name) in {folded(spelling) for spelling in (row["name"], *row["also"])}:
                return blend(row["name"], row["composition"]) if key == "fuel" else _liquid(row)
    raise InputError("no such fuel", where="fuel", given=name, expected=" or ".join(sorted(fuel_names())))


def _liquid(row: dict[str, Any]) -> Fuel:
    carbon = row["carbon"]["value"]
    hydrogen = (1.0 - carbon) / ATOMIC_MASS["H"] / (carbon / ATOMIC_MASS["C"])
    mass = ATOMIC_MASS["C"] + hydrogen * ATOMIC_MASS["H"]
    return Fuel(
        name=row["name"],
        molar_mass=mass,
        gross_heating_value=1e6 * row["gross_heating_value"]["value"] * mass,
        oxygen=1.0 + hydrogen / 4,
        carbon_dioxide=1.0,
        water=hydrogen / 2,
        nitrogen=0.0,
        density=float(row["density"]["value"]),
    )


def blend(name: str, composition: Mapping[str, float]) -> Fuel:
    """Return the fuel made of the given mole fractions (they are scaled to add up to one).

    Parameters
    ----------
    name : str
        What to call it.
    composition : mapping
        Gas name to mole fraction; names as in ``reference/fuels.toml``.

    Raises
    ------
    InputError
        If a gas is unknown, a share negative, or nothing in it burns.
    """
    total = sum(composition.values())
    if not total > 0 or min(composition.values()) < 0:
        raise InputError("shares must be positive", where="composition", given=dict(composition))
    parts = [(gas_named(key), share / total) for key, share in composition.items()]
    carbon, hydrogen, oxygen = (
        sum(share * getattr(gas, element) for gas, share in parts)
        for element in ("carbon", "hydrogen", "oxygen")
    )
    heat = sum(
        share * interpolated(gas.gross_heating_values, COMBUSTION_TEMPERATURE, "combustion")
        for gas, share in parts
    )
    needed = carbon + hydrogen / 4 - oxygen / 2
    if heat <= 0 or needed <= 0:
        raise InputError("nothing in it burns", where="composition", given=dict(composition))
    return Fuel(
        name=name,
        molar_mass=sum(share * gas.molar_mass for gas, share in parts),
        gross_heating_value=heat,
        oxygen=needed,
        carbon_dioxide=carbon,
        water=hydrogen / 2,
        nitrogen=sum(share * (gas.nitrogen / 2 + gas.inert) for gas, share in parts),
        composition=tuple((gas.name, share) for gas, share in parts),
    )


def products(gas: Fuel, excess_air: ArrayLike) -> Products:
    """Return the wet products of complete combustion in dry air.

    Parameters
    ----------
    gas : Fuel
        What burns.
    excess_air : array_like
        Air beyond the stoichiometric amount, as a fraction of it (0.4 = 40 %). Dilution air counts too.
    """
    extra = np.asarray(excess_air, dtype=float)
    air = gas.air * (1.0 + extra)
    oxygen = gas.oxygen * extra
    dry = gas.dry_products + gas.air * extra
    mass = gas.molar_mass + air * DRY_AIR_MOLAR_MASS
    return Products(
        mass=mass / gas.gross_heating_value,
        fuel_mass=gas.molar_mass / gas.gross_heating_value,
        gas_constant=MOLAR_GAS_CONSTANT * (dry + gas.water) / mass,
        carbon_dioxide=gas.carbon_dioxide / dry,
        oxygen=oxygen / dry,
        latent=gas.water * H2O_MOLAR_MASS * LATENT_HEAT / gas.gross_heating_value,
    )


def excess_air_from_co2(gas: Fuel, carbon_dioxide: ArrayLike) -> FloatArray:
    """Return the excess air (a fraction) at which the dry products hold this mole fraction of CO2.

    Raises
    ------
    InputError
        If the CO2 is not between nothing and what the fuel gives without excess air.
    """
    share = np.asarray(carbon_dioxide, dtype=float)
    air, dry, most = gas.air, gas.dry_products, gas.maximum_carbon_dioxide
    if not np.all((share > 0) & (share <= most * (1 + 1e-12))):
        raise InputError(
            f"{gas.name} cannot give this CO2",
            where="co2",
            given=f"{100 * float(np.max(share)):.2f} %",
            expected=f"more than 0 and at most {100 * most:.2f} %",
        )
    return np.asarray((gas.carbon_dioxide / share - dry) / air, dtype=float)


def excess_air_from_o2(gas: Fuel, oxygen: ArrayLike) -> FloatArray:
    """Return the excess air (a fraction) at which the dry products hold this mole fraction of O2.

    Raises
    ------
    InputError
        If the O2 is not from zero to below that of air.
    """
    share = np.asarray(oxygen, dtype=float)
    if not np.all((share >= 0) & (share < OXYGEN_IN_AIR)):
        raise InputError(
            "O2 in flue gas out of range",
            where="o2",
            given=f"{100 * float(np.max(share)):.2f} %",
            expected="from 0 to below 20.9 %",
        )
    air, dry = gas.air, gas.dry_products
    # share = O·e / (dry + A·e), with A = air: one mole of extra air adds one mole of dry gas.
    return np.asarray(share * dry / (gas.oxygen - share * air), dtype=float)
