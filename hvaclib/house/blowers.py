"""Fans and ducts of a dwelling: flows that the network takes as given, and fans with a curve."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hvaclib.house.columns import SetupColumns
from hvaclib.house.dwelling import Dwelling, Fan
from hvaclib.house.network.arrays import OUTDOORS, FanCurve, FloatArray, IntArray
from hvaclib.physics.air import GRAVITY, STANDARD_DENSITY

DUCTS = -2
"""Stands for the inside of the air handler and its ducts as an end of a flow: neither a zone nor outdoors."""


@dataclass(frozen=True, slots=True)
class FixedFlow:
    """A flow that does not answer to pressure.

    Parameters
    ----------
    name, kind : str
        Name of the fan or ``"air handler"``; ``"fan"``, ``"supply"``, ``"return"``, ``"supply leak"``, ``"return leak"``.
    start, end : int
        Zones, ``OUTDOORS`` or ``DUCTS``.
    flow : float
        Volume flow at full speed, m³/s.
    density_of : int
        Zone whose air's density turns the volume flow into a mass flow; ``OUTDOORS`` for outdoor air.
    fan : int
        Row of the fans' speeds that moves it; -1 for the air handler.
    """

    name: str
    kind: str
    start: int
    end: int
    flow: float
    density_of: int
    fan: int


@dataclass(frozen=True, slots=True)
class Blowers:
    """Everything that blows in one dwelling, K fixed flows and the fans with a curve.

    Parameters
    ----------
    fixed : tuple of FixedFlow
        Fixed flows.
    incidence : ndarray, shape (Z, K)
        +1 where a flow enters a zone, -1 where it leaves one.
    curves : tuple of (int, Fan, int, int, float)
        Row of the fan's speed, the fan, start, end and height above outdoor ground, m.
    """

    fixed: tuple[FixedFlow, ...]
    incidence: FloatArray
    curves: tuple[tuple[int, Fan, int, int, float], ...]

    def mass_flows(self, columns: SetupColumns, density: FloatArray) -> FloatArray:
        """Mass flow of each fixed flow, kg/s, shape (K, S); ``density`` has outdoors as its last row."""
        if not self.fixed:
            return np.zeros((0, columns.scenarios))
        speeds = np.vstack([columns.fans, columns.air_handler])
        rows: IntArray = np.array([flow.fan for flow in self.fixed], dtype=np.intp)
        sources: IntArray = np.array([flow.density_of for flow in self.fixed], dtype=np.intp)
        flows = np.array([[flow.flow] for flow in self.fixed])
        return np.asarray(flows * speeds[rows] * density[sources], dtype=np.float64)

    def fan_curves(
        self, columns: SetupColumns, density: FloatArray
    ) -> tuple[tuple[FanCurve, ...], tuple[int, ...]]:
        """Curves of the fans that have one, and the index of each curve's fan.

        One curve for each speed and density of the air drawn that occur among the scenarios: flow goes with the
        speed, pressure with its square and with the density.
        """
        found: list[FanCurve] = []
        owners: list[int] = []
        for row, fan, start, end, height in self.curves:
            speed, air = columns.fans[row], np.broadcast_to(density[start], (columns.scenarios,))
            drive = GRAVITY * height * (density[end] - density[start])
            for rate, rho in sorted(
                {(float(s), float(r)) for s, r in zip(speed, air, strict=True) if s > 0.0}
            ):
                switch = ((speed == rate) & (air == rho)).astype(np.float64)
                table = np.array(fan.curve, dtype=np.float64)
                found.append(
                    FanCurve(
                        start=start,
                        end=end,
                        pressures=table[:, 0] * rate**2 * rho / STANDARD_DENSITY,
                        flows=table[:, 1] * rate * rho,
                        switch=switch,
                        drive=np.broadcast_to(drive, (columns.scenarios,)).copy(),
                    )
                )
                owners.append(row)
        return tuple(found), tuple(owners)


def blowers(dwelling: Dwelling, index: Callable[[str], int], zones: int) -> Blowers:
    """Fans and ducts of a dwelling.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    index : callable
        From a zone's name to its number.
    zones : int
        Number of zones of the network, junctions included.

    Returns
    -------
    Blowers
    """
    fixed = [*_fixed_fans(dwelling, index), *_ducts(dwelling, index)]
    incidence = np.zeros((zones, len(fixed)))
    for column, flow in enumerate(fixed):
        if flow.start >= 0:
            incidence[flow.start, column] -= 1.0
        if flow.end >= 0:
            incidence[flow.end, column] += 1.0
    curves = tuple(
        (row, fan, index(fan.ends[0]), index(fan.ends[1]), _fan_height(dwelling, fan))
        for row, fan in enumerate(dwelling.fans)
        if fan.curve is not None
    )
    return Blowers(tuple(fixed), incidence, curves)


def _fan_height(dwelling: Dwelling, fan: Fan) -> float:
    zone = dwelling.zone(fan.zone)
    return 0.5 * (zone.floor + zone.ceiling) if fan.height is None else fan.height


def _fixed_fans(dwelling: Dwelling, index: Callable[[str], int]) -> list[FixedFlow]:
    found = []
    for row, fan in enumerate(dwelling.fans):
        if fan.flow is not None:
            start, end = (index(name) for name in fan.ends)
            found.append(FixedFlow(fan.name, "fan", start, end, fan.flow, start, row))
    return found


def _ducts(dwelling: Dwelling, index: Callable[[str], int]) -> list[FixedFlow]:
    """Ducts of the air handler; its mass flow is that of its volume flow in the air of the zone it stands in."""
    handler = dwelling.air_handler
    if handler is None:
        return []
    here, row = index(handler.zone), -1
    found: list[FixedFlow] = []
    sides = (
        ("supply", handler.supplies, handler.supply_leakage),
        ("return", handler.returns, handler.return_leakage),
    )
    for side, registers, leaks in sides:
        # people round shares; what is blown in must equal what is drawn back
        total = math.fsum(item.share for item in (*registers, *leaks))
        for kind, items in ((side, registers), (f"{side} leak", leaks)):
            for item in items:
                start, end = (DUCTS, index(item.zone)) if side == "supply" else (index(item.zone), DUCTS)
                found.append(
                    FixedFlow("air handler", kind, start, end, handler.flow * item.share / total, here, row)
                )
    return found


__all__ = ["DUCTS", "OUTDOORS", "Blowers", "FixedFlow", "blowers"]
