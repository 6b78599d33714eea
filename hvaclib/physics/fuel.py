"""What a fuel gas needs and what it leaves: air, products and their heat, from its composition.

Everything follows from counting atoms. Amounts are per joule of gross (higher) heating value, because that is
what a nameplate states.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import InputError
from hvaclib.reference import load

FloatArray = NDArray[np.float64]

#: kg/mol, IUPAC 2021 standard atomic weights (abridged), dry air from ISO 6976:2016, 6.2.
ATOMIC_MASS = {"C": 12.011e-3, "H": 1.008e-3, "O": 15.999e-3, "N": 14.007e-3}
DRY_AIR_MOLAR_MASS = 28.9655e-3
#: Mole fraction of oxygen in dry air (US Standard Atmosphere 1976, Table 3); the rest is counted as nitrogen.
OXYGEN_IN_AIR = 0.209476
CO2_MOLAR_MASS, H2O_MOLAR_MASS = 44.009e-3, 18.015e-3
O2_MOLAR_MASS = 31.998e-3
#: "Nitrogen" of the air carries argon too, so that the mass of dry air closes exactly.
N2_OF_AIR_MOLAR_MASS = (DRY_AIR_MOLAR_MASS - OXYGEN_IN_AIR * O2_MOLAR_MASS) / (1.0 - OXYGEN_IN_AIR)
#: J/(mol K); CODATA 2018, exact.
MOLAR_GAS_CONSTANT = 8.314462618
#: J/kg, latent heat of water at 25 °C; IAPWS-95 (2442 kJ/kg).
LATENT_HEAT = 2.442e6


@dataclass(frozen=True, slots=True)
class Fuel:
    """One fuel gas, per mole of it.

    Attributes
    ----------
    molar_mass : float
        kg/mol.
    gross_heating_value : float
        J/mol, ideal gas, 60 °F.
    oxygen : float
        Moles of O2 that burn one mole of fuel completely.
    carbon_dioxide, water, nitrogen : float
        Moles in the products of one mole of fuel (nitrogen: the fuel's own only).
    """

    name: str
    molar_mass: float
    gross_heating_value: float
    oxygen: float
    carbon_dioxide: float
    water: float
    nitrogen: float


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


@cache
def fuel(name: str) -> Fuel:
    """Return the named fuel from the reference table.

    Parameters
    ----------
    name : str
        A name in ``reference/fuels.toml``, e.g. ``"natural gas"``.

    Raises
    ------
    InputError
        If the table has no such fuel.
    """
    table = load("fuels")
    fuels = {row["name"]: row for row in table["fuel"]}
    if name not in fuels:
        raise InputError("no such fuel", where="fuel", given=name, expected=" or ".join(sorted(fuels)))
    return mixture(name, fuels[name]["composition"])


def mixture(name: str, composition: dict[str, float]) -> Fuel:
    """Return the fuel made of the given mole fractions (they are scaled to add up to one).

    Parameters
    ----------
    name : str
        What to call it.
    composition : dict
        Gas name to mole fraction; names as in ``reference/fuels.toml``.
    """
    gases = {row["name"]: row for row in load("fuels")["gas"]}
    unknown = sorted(set(composition) - set(gases))
    if unknown:
        raise InputError(
            "no such gas", where="composition", given=unknown[0], expected=", ".join(sorted(gases))
        )
    total = sum(composition.values())
    if not total > 0 or min(composition.values()) < 0:
        raise InputError("shares must be positive", where="composition", given=composition)
    mass = heat = carbon = hydrogen = oxygen = nitrogen = 0.0
    for key, share in composition.items():
        part, atoms = share / total, gases[key]["formula"]
        mass += part * sum(ATOMIC_MASS[atom] * count for atom, count in atoms.items())
        heat += part * 1e3 * gases[key]["gross_heating_value"]["value"]
        carbon += part * atoms.get("C", 0)
        hydrogen += part * atoms.get("H", 0)
        oxygen += part * atoms.get("O", 0)
        nitrogen += part * atoms.get("N", 0)
    if heat <= 0:
        raise InputError("nothing in it burns", where="composition", given=composition)
    return Fuel(
        name=name,
        molar_mass=mass,
        gross_heating_value=heat,
        oxygen=carbon + hydrogen / 4 - oxygen / 2,
        carbon_dioxide=carbon,
        water=hydrogen / 2,
        nitrogen=nitrogen / 2,
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
    air = gas.oxygen / OXYGEN_IN_AIR * (1.0 + extra)
    oxygen = gas.oxygen * extra
    air_nitrogen = air * (1.0 - OXYGEN_IN_AIR)
    dry = gas.carbon_dioxide + oxygen + air_nitrogen + gas.nitrogen
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
    air = gas.oxygen / OXYGEN_IN_AIR
    dry = gas.carbon_dioxide + gas.nitrogen + air * (1.0 - OXYGEN_IN_AIR)
    most = gas.carbon_dioxide / dry
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
    air = gas.oxygen / OXYGEN_IN_AIR
    dry = gas.carbon_dioxide + gas.nitrogen + air * (1.0 - OXYGEN_IN_AIR)
    # share = O·e / (dry + A·e), with A = air: one mole of extra air adds one mole of dry gas.
    return np.asarray(share * dry / (gas.oxygen - share * air), dtype=float)
