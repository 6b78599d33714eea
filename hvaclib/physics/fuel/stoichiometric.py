"""Air that a fuel needs and products that it leaves without excess air; a named gas brought to a local heating value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hvaclib.errors import InputError
from hvaclib.physics.fuel.burning import (
    COMBUSTION_TEMPERATURE,
    DRY_AIR_MOLAR_MASS,
    MOLAR_GAS_CONSTANT,
    Fuel,
    blend,
)
from hvaclib.physics.fuel.composition import FUEL
from hvaclib.physics.fuel.heating_value import mixture
from hvaclib.reference import value
from hvaclib.units import calculation, checks, kinds, parse_si, show

__all__ = ["Stoichiometry", "local_gas", "stoichiometry"]

_LOCAL_PRESSURE = parse_si(f"{value('fuels', 'local_reference_pressure')} psia", kinds.PRESSURE)
_ATMOSPHERE = 1e3 * value("fuels", "mixing_pressure")
_RICHER, _LEANER = "ethane", "nitrogen"


@dataclass(frozen=True, slots=True)
class Stoichiometry:
    """Complete combustion without excess air, for one volume of fuel (ideal gas; of a liquid, its liquid volume).

    Attributes
    ----------
    air : float
        Volumes of dry air at 60 °F.
    dry_products : float
        Volumes of dry products at 60 °F.
    water : float
        Volumes of water vapour, as if it stayed a gas at 60 °F.
    maximum_carbon_dioxide : float
        Mole fraction of CO2 in the dry products.
    air_by_mass : float
        Mass of air for each mass of fuel.
    higher_heating_value, lower_heating_value : float
        J/m³ of that volume; of a gas at 60 °F and 14.73 psia, real.
    """

    air: Annotated[float, kinds.DIMENSIONLESS]
    dry_products: Annotated[float, kinds.DIMENSIONLESS]
    water: Annotated[float, kinds.DIMENSIONLESS]
    maximum_carbon_dioxide: Annotated[float, kinds.FRACTION]
    air_by_mass: Annotated[float, kinds.DIMENSIONLESS]
    higher_heating_value: Annotated[float, kinds.HEATING_VALUE]
    lower_heating_value: Annotated[float, kinds.HEATING_VALUE]


@calculation(fuel=FUEL, heating_value=kinds.HEATING_VALUE, gives=Stoichiometry)
def stoichiometry(*, fuel: Fuel, heating_value: float | None = None) -> Stoichiometry:
    """Air that a fuel needs, and the dry products and the CO2 that it leaves without excess air.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        ``"natural gas"``, ``"propane"``, ``"No. 2 oil"``, one gas such as ``"methane"``, or a composition in mole
        percent such as ``"CH4 93.3, N2 6.7"``.
    heating_value : heating value of a gas volume, default that of the fuel
        The utility's higher heating value of dry gas at 60 °F and 14.73 psia; see `local_gas`.

    Returns
    -------
    Stoichiometry
        Volumes for one volume of fuel, the same in any unit of volume.

    Raises
    ------
    InputError
        If there is no such fuel, or the heating value cannot be that of this gas.

    Notes
    -----
    Atoms are counted: carbon to CO2, hydrogen to H2O, air of 20.9476 % oxygen. Published figures with air of 21 % are
    0.25 % lower in air.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, Table 3 (oxygen of dry air).
    .. [2] ASHRAE Handbook - Fundamentals, chapter Combustion and Fuels.

    Examples
    --------
    >>> round(stoichiometry(fuel="methane").air, 2)
    <Quantity(9.55, 'dimensionless')>
    """
    burnt = fuel if heating_value is None else local_gas(fuel, heating_value)
    molar_volume = MOLAR_GAS_CONSTANT * COMBUSTION_TEMPERATURE / _ATMOSPHERE
    volumes, gross = 1.0, 0.0
    if burnt.density is None:
        gross = _gross(burnt)
    else:
        volumes = molar_volume * burnt.density / burnt.molar_mass
        gross = burnt.gross_heating_value * burnt.density / burnt.molar_mass
    return Stoichiometry(
        air=volumes * burnt.air,
        dry_products=volumes * burnt.dry_products,
        water=volumes * burnt.water,
        maximum_carbon_dioxide=burnt.maximum_carbon_dioxide,
        air_by_mass=burnt.air * DRY_AIR_MOLAR_MASS / burnt.molar_mass,
        higher_heating_value=gross,
        lower_heating_value=gross * burnt.net_heating_value / burnt.gross_heating_value,
    )


def _gross(gas: Fuel) -> float:
    """Higher heating value as a utility states it, J/m³."""
    return mixture.si(composition=dict(gas.composition), pressure=_LOCAL_PRESSURE).higher_heating_value


def local_gas(gas: Fuel, heating_value: float) -> Fuel:
    """The gas with so much ethane or nitrogen mixed in that it has the utility's heating value.

    Parameters
    ----------
    gas : Fuel
        A gas, not a liquid.
    heating_value : float
        Higher heating value of dry real gas at 60 °F and 14.73 psia, J/m³.

    Returns
    -------
    Fuel
        Ethane makes it richer, nitrogen leaner; so its CO2 and air follow the heating value as those of pipeline gases do.

    Raises
    ------
    InputError
        If it is a liquid, or the value is more than 25 % from that of the gas or beyond that of ethane.

    Notes
    -----
    The heating value rises or falls steadily with the share mixed in: the share is found by halving.
    """
    checks.positive(heating_value, "heating_value", kinds.HEATING_VALUE)
    if gas.density is not None:
        raise InputError(
            "a local heating value goes with a gas",
            where="heating_value",
            given=gas.name,
            expected="natural gas or another gas",
        )
    present = _gross(gas)
    added = {_RICHER: 1.0} if heating_value > present else {_LEANER: 1.0}
    limit = mixture.si(composition=added, pressure=_LOCAL_PRESSURE).higher_heating_value
    if not (
        0.75 * present <= heating_value <= 1.25 * present and (heating_value - limit) * (present - limit) >= 0
    ):
        raise InputError(
            f"this is no heating value of {gas.name}",
            where="heating_value",
            given=show(heating_value, kinds.HEATING_VALUE),
            expected=f"within 25 % of {show(present, kinds.HEATING_VALUE)}",
        )
    mixed = gas
    low, high = 0.0, 1.0
    for _ in range(50):
        share = 0.5 * (low + high)
        mixed = _with(gas, next(iter(added)), share)
        nearer = (_gross(mixed) < heating_value) == (heating_value > present)
        low, high = (share, high) if nearer else (low, share)
    return mixed


def _with(gas: Fuel, name: str, share: float) -> Fuel:
    composition = {key: part * (1.0 - share) for key, part in gas.composition}
    composition[name] = composition.get(name, 0.0) + share
    return blend(gas.name, composition)
