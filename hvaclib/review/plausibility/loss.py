"""Heat that leaves with the flue gas, by plain floats: the sums of `hvaclib.physics.flue_gas.losses` from tables."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from hvaclib.physics.air import saturation_pressure
from hvaclib.physics.flue_gas.enthalpy import liquid_water, molar, rest_of_air
from hvaclib.physics.fuel import FUEL, OXYGEN_IN_AIR

_LEAST, _MOST, _STEP = 233.0, 998.0, 1.0
"""K, of the tables; a temperature beyond them counts as their end."""
_BOILING = 372.0


@dataclass(frozen=True, slots=True)
class Burned:
    """One mole of a fuel after it has burned, heats as shares of its higher heating value.

    Parameters
    ----------
    dry, vapor, air, liquid : tuple of float
        Heat of the dry products, of all the vapour, of the air that the fuel needs, and of the water as liquid, over
        temperature.
    saturation : tuple of float
        Saturation pressure of water, Pa, over temperature.
    most_carbon_dioxide, oxygen : float
        Share of CO2 with no excess air; share of oxygen in air.
    dry_moles, air_moles, water : float
        Moles of dry products, of the air needed, of water.
    """

    dry: tuple[float, ...]
    vapor: tuple[float, ...]
    air: tuple[float, ...]
    liquid: tuple[float, ...]
    saturation: tuple[float, ...]
    most_carbon_dioxide: float
    oxygen: float
    dry_moles: float
    air_moles: float
    water: float

    def carbon_dioxide(self, oxygen: float) -> float:
        """CO2 that goes with an oxygen reading."""
        return self.most_carbon_dioxide * (1.0 - oxygen / self.oxygen)

    def excess(self, oxygen: float) -> float:
        """Excess air of an oxygen reading; nearly plain air counts as that with 20 % of oxygen."""
        share = min(max(oxygen, 0.0), 0.2)
        return share * self.dry_moles / (self.air_moles * (self.oxygen - share))

    def vapor_left(self, oxygen: float, stack: float, pressure: float) -> float:
        """Share of the water that is vapour where the gas leaves saturated at the stack temperature."""
        if stack >= _BOILING or self.water <= 0.0:
            return 1.0
        share = _at(self.saturation, stack) / pressure
        if share >= 1.0:
            return 1.0
        dry = self.dry_moles + self.air_moles * self.excess(oxygen)
        return min(dry * share / (1.0 - share) / self.water, 1.0)

    def efficiency(self, oxygen: float, stack: float, air: float, vapor: float) -> float:
        """Share of the higher heating value that stays, with a share of the water left as vapour."""
        excess = self.excess(oxygen)
        lost = _at(self.dry, stack) - _at(self.dry, air)
        lost += excess * (_at(self.air, stack) - _at(self.air, air))
        start = _at(self.liquid, air)
        lost += vapor * (_at(self.vapor, stack) - start) + (1.0 - vapor) * (_at(self.liquid, stack) - start)
        return 1.0 - lost


@cache
def burned(fuel: str) -> Burned:
    """Tables of a fuel.

    Parameters
    ----------
    fuel : str
        Its name.

    Returns
    -------
    Burned
    """
    burns = FUEL.to_si(fuel, "fuel")
    grid = np.arange(_LEAST, _MOST + _STEP, _STEP)
    gross = burns.gross_heating_value
    rest = burns.dry_products - burns.carbon_dioxide
    dry = burns.carbon_dioxide * molar("carbon_dioxide", grid) + rest * rest_of_air(grid)
    more = burns.oxygen * molar("oxygen", grid) + (burns.air - burns.oxygen) * rest_of_air(grid)
    wet = saturation_pressure.si(temperature=np.clip(grid, 233.0, _BOILING))
    return Burned(
        dry=tuple((dry / gross).tolist()),
        vapor=tuple((burns.water * molar("water", grid) / gross).tolist()),
        air=tuple((more / gross).tolist()),
        liquid=tuple((burns.water * liquid_water(grid) / gross).tolist()),
        saturation=tuple(np.asarray(wet).tolist()),
        most_carbon_dioxide=float(burns.maximum_carbon_dioxide),
        oxygen=OXYGEN_IN_AIR,
        dry_moles=float(burns.dry_products),
        air_moles=float(burns.air),
        water=float(burns.water),
    )


def _at(table: tuple[float, ...], temperature: float) -> float:
    place = (min(max(temperature, _LEAST), _MOST) - _LEAST) / _STEP
    number = min(int(place), len(table) - 2)
    return table[number] + (place - number) * (table[number + 1] - table[number])
