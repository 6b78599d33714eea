"""The airflow network of a house: plain arrays in, pressures and flows out, many scenarios at once."""

from __future__ import annotations

from hvaclib.house.network.arrays import OUTDOORS, FanCurve, Network, Solution
from hvaclib.house.network.doctor import audit, connected, largest_flow
from hvaclib.house.network.solve import solve

__all__ = ["OUTDOORS", "FanCurve", "Network", "Solution", "audit", "connected", "largest_flow", "solve"]
