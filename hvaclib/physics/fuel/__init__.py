"""Fuels: what a gas is worth by its composition, the air it needs and the products it leaves."""

from hvaclib.physics.fuel.burning import (
    CO2_MOLAR_MASS,
    DRY_AIR_MOLAR_MASS,
    H2O_MOLAR_MASS,
    LATENT_HEAT,
    MOLAR_GAS_CONSTANT,
    OXYGEN_IN_AIR,
    Fuel,
    Products,
    blend,
    excess_air_from_co2,
    excess_air_from_o2,
    fuel,
    fuel_names,
    products,
)
from hvaclib.physics.fuel.composition import COMPOSITION, FUEL
from hvaclib.physics.fuel.gases import ATOMIC_MASS
from hvaclib.physics.fuel.heating_value import mixture
from hvaclib.physics.fuel.stoichiometric import local_gas, stoichiometry

__all__ = [
    "ATOMIC_MASS", "CO2_MOLAR_MASS", "COMPOSITION", "DRY_AIR_MOLAR_MASS", "FUEL", "H2O_MOLAR_MASS", "LATENT_HEAT",
    "MOLAR_GAS_CONSTANT", "OXYGEN_IN_AIR", "Fuel", "Products", "blend", "excess_air_from_co2", "excess_air_from_o2",
    "fuel", "fuel_names", "local_gas", "mixture", "products", "stoichiometry",
]  # fmt: skip
