"""Openings and leakage: orifice flow, areas in series and in parallel, leakage area, the power law of cracks."""

from hvaclib.physics.openings.combined import parallel_area, series_area
from hvaclib.physics.openings.leakage import leakage_area, power_law_coefficient, power_law_flow
from hvaclib.physics.openings.orifice import orifice_area, orifice_coefficient, orifice_flow

__all__ = [
    "leakage_area", "orifice_area", "orifice_coefficient", "orifice_flow",
    "parallel_area", "power_law_coefficient", "power_law_flow", "series_area",
]  # fmt: skip
