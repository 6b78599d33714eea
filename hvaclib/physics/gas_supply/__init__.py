"""Gas supply: clocking the meter, altitude, orifices and manifold pressure, pipes and the pressure at the appliance."""

from hvaclib.physics.gas_supply.altitude import ALTITUDE_RULES, AltitudeRule, altitude_derate, altitude_rule
from hvaclib.physics.gas_supply.arguments import drills, pipes
from hvaclib.physics.gas_supply.correction import FiringCorrection, firing_correction
from hvaclib.physics.gas_supply.metering import input_rate, meter_flow, volume_correction
from hvaclib.physics.gas_supply.orifices import OrificeSize, manifold_for, orifice_flow, orifice_size
from hvaclib.physics.gas_supply.piping import density_multiplier, nominal_for, pipe_capacity, pipe_drop
from hvaclib.physics.gas_supply.tree import Pipe, PipeState, PipeTree

__all__ = [
    "ALTITUDE_RULES", "AltitudeRule", "FiringCorrection", "OrificeSize", "Pipe", "PipeState", "PipeTree",
    "altitude_derate", "altitude_rule", "density_multiplier", "drills", "firing_correction", "input_rate",
    "manifold_for", "meter_flow", "nominal_for", "orifice_flow", "orifice_size", "pipe_capacity", "pipe_drop", "pipes",
    "volume_correction",
]  # fmt: skip
