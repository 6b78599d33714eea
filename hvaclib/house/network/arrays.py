"""What goes into the network solver and what comes out: named arrays, rows first, scenarios last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.intp]
BoolArray: TypeAlias = NDArray[np.bool_]

OUTDOORS = -1
"""The index that stands for outdoors, whose pressure is zero by definition."""


@dataclass(frozen=True, slots=True)
class FanCurve:
    """A fan with a falling table of flow against pressure rise, one table for all scenarios.

    Parameters
    ----------
    start, end : int
        Zone the air is taken from and zone it is blown into; ``OUTDOORS`` is allowed for either.
    pressures : array_like, shape (K,)
        Pressure rise from start to end, Pa, strictly rising, K >= 2.
    flows : array_like, shape (K,)
        Mass flow at each rise, kg/s, strictly falling.
    switch : array_like, shape (S,)
        Share of the table's flow that runs, 0 (off and closed) to 1. It scales the flow at every
        pressure; for another speed of the same fan use `at_speed`.
    drive : array_like, shape (S,), optional
        Pa added to ``p[start] - p[end]``, as for any path; zero when left out.

    Raises
    ------
    InputError
        If the table does not rise in pressure and fall in flow, or an entry is not a number.

    Notes
    -----
    Between the points the flow is linear in the rise; beyond the ends the last segment is continued,
    so that the flow keeps falling and the balance of the house keeps exactly one solution.
    """

    start: int
    end: int
    pressures: FloatArray
    flows: FloatArray
    switch: FloatArray
    drive: FloatArray | None = None

    def __post_init__(self) -> None:
        """Turn the table into arrays and refuse one that does not fall."""
        where = f"fan curve from {place(self.start)} to {place(self.end)}"
        for name in ("pressures", "flows", "switch"):
            _store(self, name, _floats(getattr(self, name), 1, f"{where}: {name}"))
        if self.drive is not None:
            _store(self, "drive", _floats(self.drive, 1, f"{where}: drive"))
        if self.pressures.size != self.flows.size or self.pressures.size < 2:
            raise InputError(
                "pressures and flows do not pair up",
                where=where,
                given=f"{self.pressures.size} pressures and {self.flows.size} flows",
                expected="two points or more, one flow for each pressure",
            )
        if not (np.diff(self.pressures) > 0).all():
            raise InputError("pressures do not rise", where=where, expected="each pressure above the last")
        rises = np.flatnonzero(np.diff(self.flows) >= 0)
        if rises.size:
            at = int(rises[0])
            raise InputError(
                f"the flow does not fall from {self.pressures[at]:g} Pa to {self.pressures[at + 1]:g} Pa",
                where=where,
                given=f"{self.flows[at]:g} kg/s, then {self.flows[at + 1]:g} kg/s",
                expected="a flow that falls as the pressure rises",
            )
        if not ((self.switch >= 0) & (self.switch <= 1)).all():
            raise InputError("a switch is out of range", where=where, expected="0 (off) to 1 (on)")

    def at_speed(self, fraction: float, switch: FloatArray | None = None) -> FanCurve:
        """The same fan at another speed by the fan laws: flow as the speed, pressure as its square.

        Parameters
        ----------
        fraction : float
            Speed as a share of the table's, above 0.
        switch : array_like, shape (S,), optional
            Switch of the new row; the same as before when left out.

        Returns
        -------
        FanCurve

        Raises
        ------
        InputError
            If the fraction is not above 0.

        References
        ----------
        .. [1] Affinity laws of fans: flow with the speed, pressure with its square. Standard relation.
        """
        if not fraction > 0:
            raise InputError(
                "speed of a fan", given=fraction, expected="a fraction above 0; off is switch = 0"
            )
        return FanCurve(
            self.start,
            self.end,
            self.pressures * fraction**2,
            self.flows * fraction,
            self.switch if switch is None else switch,
            self.drive,
        )


@dataclass(frozen=True, slots=True)
class Network:
    """One topology of zones and paths with S scenarios of openings, drives and fans.

    Parameters
    ----------
    zones : int
        Number of zones with unknown pressure, Z; they are numbered from 0 and outdoors is ``OUTDOORS``.
    start, end : array_like of int, shape (P,)
        Zone each path leaves and zone it enters; positive flow runs from start to end.
    exponent : array_like, shape (P,)
        Exponent n of each path's power law, 0.5 (orifice) to 1 (laminar).
    coefficient : array_like, shape (P, S)
        Flow coefficient C of each path, kg/s/Pa**n; 0 = closed.
    drive : array_like, shape (P, S)
        Pa added to ``p[start] - p[end]``: stack, wind, column.
    supply : array_like, shape (Z, S)
        Mass flow blown into each zone by fixed-flow fans and ducts, kg/s; taken out: negative.
    curves : sequence of FanCurve, optional
        Fans with a falling curve.
    names : sequence of str, optional
        Names of the zones, used by messages.

    Raises
    ------
    InputError
        If shapes disagree or a value cannot be: named with its path or zone.
    """

    zones: int
    start: IntArray
    end: IntArray
    exponent: FloatArray
    coefficient: FloatArray
    drive: FloatArray
    supply: FloatArray
    curves: tuple[FanCurve, ...] = ()
    names: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Turn everything into contiguous arrays and refuse what cannot be."""
        for name in ("start", "end"):
            _store(self, name, np.ascontiguousarray(getattr(self, name), dtype=np.intp))
        _store(self, "exponent", _floats(self.exponent, 1, "exponent"))
        for name in ("coefficient", "drive", "supply"):
            _store(self, name, _floats(getattr(self, name), 2, name))
        _store(self, "curves", tuple(self.curves))
        _store(self, "names", tuple(self.names))
        _check_shapes(self)
        _check_values(self)

    @property
    def paths(self) -> int:
        """Number of paths with a power law, P."""
        return int(self.start.size)

    @property
    def scenarios(self) -> int:
        """Number of scenarios, S."""
        return int(self.supply.shape[1])

    def zone_name(self, zone: int) -> str:
        """The zone as messages call it."""
        return self.names[zone] if self.names and zone >= 0 else place(zone)


@dataclass(frozen=True, slots=True)
class Solution:
    """Pressures and flows at which every zone takes in as much air as it gives.

    Parameters
    ----------
    pressure : ndarray, shape (Z, S)
        Pa with reference to outdoors.
    flow : ndarray, shape (P, S)
        kg/s from start to end of each path.
    curve_flow : ndarray, shape (F, S)
        kg/s from start to end of each fan with a curve.
    converged : ndarray of bool, shape (S,)
        Whether the scenario reached its tolerance; `solve` raises rather than return a False.
    iterations : ndarray of int, shape (S,)
        Linear solves used.
    residual : ndarray, shape (S,)
        Largest imbalance of a zone, kg/s.
    """

    pressure: FloatArray
    flow: FloatArray
    curve_flow: FloatArray
    converged: BoolArray
    iterations: IntArray
    residual: FloatArray


def place(zone: int) -> str:
    """A zone's number in words."""
    return "outdoors" if zone == OUTDOORS else f"zone {zone}"


def _store(record: object, name: str, value: object) -> None:
    object.__setattr__(record, name, value)


def _floats(values: object, dimensions: int, where: str) -> FloatArray:
    array = np.ascontiguousarray(values, dtype=np.float64)
    if array.ndim != dimensions:
        raise InputError(
            "wrong number of dimensions",
            where=where,
            given=array.ndim,
            expected=f"{dimensions}-dimensional array",
        )
    if not np.isfinite(array).all():
        at = tuple(int(i) for i in np.argwhere(~np.isfinite(array))[0])
        raise InputError(f"entry {at} is not a finite number", where=where, given=float(array[at]))
    return array


def _check_shapes(network: Network) -> None:
    paths, scenarios = network.paths, network.scenarios
    wanted: list[tuple[str, tuple[int, ...], tuple[int, ...]]] = [
        ("end", network.end.shape, (paths,)),
        ("exponent", network.exponent.shape, (paths,)),
        ("coefficient", network.coefficient.shape, (paths, scenarios)),
        ("drive", network.drive.shape, (paths, scenarios)),
        ("supply", network.supply.shape, (network.zones, scenarios)),
    ]
    for curve in network.curves:
        wanted.append(("switch of a fan curve", curve.switch.shape, (scenarios,)))
        if curve.drive is not None:
            wanted.append(("drive of a fan curve", curve.drive.shape, (scenarios,)))
    for name, given, expected in wanted:
        if given != expected:
            raise InputError("wrong shape", where=name, given=str(given), expected=str(expected))
    if network.zones < 1:
        raise InputError("a network needs a zone", where="zones", given=network.zones, expected="1 or more")
    if network.names and len(network.names) != network.zones:
        raise InputError(
            "one name for each zone", where="names", given=len(network.names), expected=str(network.zones)
        )


def _check_values(network: Network) -> None:
    ends = np.concatenate([network.start, network.end])
    _refuse(
        (ends < OUTDOORS) | (ends >= network.zones),
        "start and end",
        f"{OUTDOORS} to {network.zones - 1}",
        network,
    )
    _refuse(network.start == network.end, "start and end", "two different zones", network)
    _refuse((network.exponent < 0.5) | (network.exponent > 1), "exponent", "0.5 to 1", network)
    _refuse(np.asarray((network.coefficient < 0).any(axis=1)), "coefficient", "0 (closed) or more", network)
    _check_curve_ends(network.curves, network.zones)


def _refuse(wrong: BoolArray, where: str, expected: str, network: Network) -> None:
    if wrong.any():
        path = int(np.flatnonzero(wrong)[0]) % network.paths
        ends = f"{place(int(network.start[path]))} to {place(int(network.end[path]))}"
        raise InputError(f"path {path} ({ends}) is out of range", where=where, expected=expected)


def _check_curve_ends(curves: Sequence[FanCurve], zones: int) -> None:
    for number, curve in enumerate(curves):
        inside = all(OUTDOORS <= zone < zones for zone in (curve.start, curve.end))
        if not inside or curve.start == curve.end:
            raise InputError(
                "start and end of a fan curve",
                where=f"fan curve {number}",
                given=f"{curve.start} and {curve.end}",
                expected=f"two different zones, {OUTDOORS} to {zones - 1}",
            )
