"""Air delivery: temperature rise, duct friction and fittings, fans, and where fan and duct system meet."""

from hvaclib.physics.air_delivery.ducts import (
    duct_friction,
    duct_loss,
    equivalent_diameter,
    velocity_pressure,
)
from hvaclib.physics.air_delivery.fan import ConstantAirflow, FanTable, fan_speed
from hvaclib.physics.air_delivery.fittings import fitting_coefficient, fitting_loss
from hvaclib.physics.air_delivery.operating import operating_point
from hvaclib.physics.air_delivery.rise import (
    airflow_from_rise,
    rise_from_airflow,
    standard_airflow_rule_error,
)
from hvaclib.physics.air_delivery.system import (
    Component,
    coefficients_of,
    duct_component,
    operating_point_of_each,
    operating_point_si,
)
from hvaclib.physics.air_delivery.thermometer import thermometer_radiation_error

__all__ = [
    "Component", "ConstantAirflow", "FanTable",
    "airflow_from_rise", "coefficients_of", "duct_component", "duct_friction", "duct_loss", "equivalent_diameter",
    "fan_speed", "fitting_coefficient", "fitting_loss", "operating_point", "operating_point_of_each",
    "operating_point_si", "rise_from_airflow", "standard_airflow_rule_error", "thermometer_radiation_error",
    "velocity_pressure",
]  # fmt: skip
