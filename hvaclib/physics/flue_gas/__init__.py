"""Flue gas: excess air, CO air-free, dew point, losses and efficiency, condensate, and readings that cannot be."""

from hvaclib.physics.flue_gas.analysis import co2_from_o2, co_air_free, excess_air
from hvaclib.physics.flue_gas.consistency import consistency
from hvaclib.physics.flue_gas.losses import efficiency, losses
from hvaclib.physics.flue_gas.siegert import siegert_loss
from hvaclib.physics.flue_gas.water import condensate, dew_point

__all__ = [
    "co2_from_o2", "co_air_free", "condensate", "consistency", "dew_point", "efficiency", "excess_air", "losses",
    "siegert_loss",
]  # fmt: skip
