"""From paths to zones: pressure differences, imbalances and conductances as products with constant matrices."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import cast

import numpy as np

from hvaclib.house.network.arrays import FloatArray, IntArray, Network
from hvaclib.house.network.laws import (
    LAMINAR_PRESSURE,
    TINY,
    FanLine,
    fan_law,
    fan_line,
    power_law_inverse,
    sorted_power_law,
)

PRODUCT = 2**18
"""Multiplications in one matrix product up to which the linear algebra below numpy stays in its own thread.

Larger products are cut: threads that wait for one another on a busy machine cost far more than they save (measured:
several times the whole solution).
"""


@dataclass(frozen=True, slots=True)
class Topology:
    """The constant part of a network. Rows are the paths sorted by exponent, then the fan curves.

    Parameters
    ----------
    zones : int
        Z.
    order : ndarray of int, shape (P,)
        Path number of each sorted row.
    exponent : ndarray, shape (P, 1)
        Sorted exponents.
    orifices : int
        Number of leading rows with n = 0.5.
    incidence : ndarray, shape (P + F, Z)
        +1 where a row starts, -1 where it ends.
    gather : ndarray, shape (Z, P + F)
        Its transpose, contiguous.
    pairs : ndarray, shape (Z (Z + 1) / 2, P + F)
        1 where a row joins two nodes i < j, outdoors being node Z; pairs in the order 01, 02, ... 12, ...
    square : ndarray, shape (Z * Z, P + F)
        Contribution of each row's slope to the Jacobian.
    """

    zones: int
    order: IntArray
    exponent: FloatArray
    orifices: int
    incidence: FloatArray
    gather: FloatArray
    pairs: FloatArray
    square: FloatArray


@dataclass(frozen=True, slots=True)
class Rows:
    """The scenarios at work: coefficients, drives and supplies of a block, rows as in `Topology`."""

    topology: Topology
    fans: tuple[FanLine, ...]
    coefficient: FloatArray  # (P, S)
    switch: FloatArray  # (F, S)
    drive: FloatArray  # (P + F, S)
    supply: FloatArray  # (Z, S)

    def keep(self, columns: IntArray) -> Rows:
        """The same rows for fewer scenarios."""
        return Rows(
            self.topology,
            self.fans,
            self.coefficient.take(columns, axis=1),
            self.switch.take(columns, axis=1) if self.fans else self.switch[:, : columns.size],
            self.drive.take(columns, axis=1),
            self.supply.take(columns, axis=1),
        )


def topology_of(network: Network) -> Topology:
    """The constant part of a network; remembered, because a simulation asks for the same one again and again."""
    ends = tuple((curve.start, curve.end) for curve in network.curves)
    return _topology(
        network.zones, network.start.tobytes(), network.end.tobytes(), network.exponent.tobytes(), ends
    )


@lru_cache(maxsize=64)
def _topology(
    zones: int,
    start_bytes: bytes,
    end_bytes: bytes,
    exponent_bytes: bytes,
    curve_ends: tuple[tuple[int, int], ...],
) -> Topology:
    exponent = np.frombuffer(exponent_bytes, dtype=np.float64)
    order = np.argsort(exponent, kind="stable")
    curves = np.array(curve_ends, dtype=np.intp).reshape(-1, 2)
    start = np.concatenate([np.frombuffer(start_bytes, dtype=np.intp)[order], curves[:, 0]])
    end = np.concatenate([np.frombuffer(end_bytes, dtype=np.intp)[order], curves[:, 1]])
    rows = np.arange(start.size)
    nodes = np.zeros((start.size, zones + 1))
    nodes[rows, start] += 1.0  # index -1, outdoors, is the last column
    nodes[rows, end] -= 1.0
    incidence = np.ascontiguousarray(nodes[:, :zones])
    first, second = np.triu_indices(zones + 1, k=1)
    return Topology(
        zones=zones,
        order=order,
        exponent=exponent[order][:, None],
        orifices=int(np.count_nonzero(exponent == 0.5)),
        incidence=incidence,
        gather=np.ascontiguousarray(incidence.T),
        pairs=np.ascontiguousarray(np.abs(nodes[:, first] * nodes[:, second]).T),
        square=np.ascontiguousarray(
            (incidence[:, :, None] * incidence[:, None, :]).reshape(start.size, -1).T
        ),
    )


def in_single_precision(rows: Rows) -> Rows:
    """The same rows in numbers of half the length, for a first draft of the pressures."""
    top = rows.topology

    def half(array: FloatArray) -> FloatArray:
        return cast(FloatArray, array.astype(np.float32))

    matrices = (half(matrix) for matrix in (top.exponent, top.incidence, top.gather, top.pairs, top.square))
    exponent, *others = matrices
    short = Topology(top.zones, top.order, exponent, top.orifices, *others)
    numbers = (half(array) for array in (rows.coefficient, rows.switch, rows.drive, rows.supply))
    return Rows(short, rows.fans, *numbers)


def rows_of(network: Network, topology: Topology, block: slice) -> Rows:
    """The rows of a block of scenarios, copied so that they lie together in memory."""
    drive = network.drive[:, block].take(topology.order, axis=0)
    fans = tuple(fan_line(curve) for curve in network.curves)
    switch = np.empty((len(fans), drive.shape[1]))
    if fans:
        lift = np.empty_like(switch)
        for row, (fan, curve) in enumerate(zip(fans, network.curves, strict=True)):
            switch[row] = curve.switch[block]
            lift[row] = fan.shut_off if curve.drive is None else fan.shut_off + curve.drive[block]
        drive = np.concatenate([drive, lift])
    coefficient = network.coefficient[:, block].take(topology.order, axis=0)
    return Rows(topology, fans, coefficient, switch, drive, np.ascontiguousarray(network.supply[:, block]))


def product(matrix: FloatArray, columns: FloatArray) -> FloatArray:
    """A constant matrix times the columns of all scenarios, in pieces of at most `PRODUCT` multiplications."""
    scenarios = columns.shape[1]
    width = max(PRODUCT // max(matrix.size, 1), 1)
    if scenarios <= width:
        whole: FloatArray = matrix @ columns
        return whole
    result = np.empty((matrix.shape[0], scenarios), dtype=columns.dtype)
    for begin in range(0, scenarios, width):
        piece = slice(begin, begin + width)
        result[:, piece] = matrix @ columns[:, piece]
    return result


def differences(rows: Rows, pressure: FloatArray) -> FloatArray:
    """Pressure difference across each row, drive included, Pa, shape (P + F, S)."""
    across = product(rows.topology.incidence, pressure)
    across += rows.drive
    return across


def flow_and_slope(rows: Rows, across: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Flow, kg/s, and slope, kg/s/Pa, of each row at the given differences, shape (P + F, S)."""
    top = rows.topology
    paths = top.order.size
    flow, slope = sorted_power_law(rows.coefficient, top.exponent, top.orifices, across[:paths])
    if rows.fans:
        extra = [fan_law(fan, rows.switch[k], across[paths + k]) for k, fan in enumerate(rows.fans)]
        flow = np.concatenate([flow, [m for m, _ in extra]], dtype=flow.dtype, casting="same_kind")
        slope = np.concatenate([slope, [g for _, g in extra]], dtype=slope.dtype, casting="same_kind")
    return flow, slope


def imbalance(rows: Rows, flow: FloatArray) -> FloatArray:
    """Inflow minus outflow plus supply of each zone, kg/s, shape (Z, S)."""
    left: FloatArray = rows.supply - product(rows.topology.gather, flow)
    return left


def straight_lines(rows: Rows) -> tuple[FloatArray, FloatArray]:
    """Each law as a straight line: flow at zero difference, kg/s, and slope, kg/s/Pa, shape (P + F, S).

    Notes
    -----
    A power law is replaced by its chord from zero to a typical pressure of its scenario: the root mean
    square of the drives, plus what the fans would make against all openings to outdoors together.
    """
    top = rows.topology
    paths = top.order.size
    outside = np.abs(top.incidence[:paths].sum(axis=1))
    leak = outside @ rows.coefficient + TINY
    drive = rows.drive[:paths]
    typical = np.sqrt(np.einsum("ps,ps->s", drive, drive) / max(paths, 1))
    blown = np.abs(rows.supply).sum(axis=0)
    if rows.fans:
        chords = np.array([fan.chord for fan in rows.fans])
        shut_off = np.array([fan.shut_off for fan in rows.fans])
        blown = blown + np.abs(chords[:, 0] + chords[:, 1] * shut_off) @ rows.switch
    typical += np.minimum(blown / leak, 1e6) ** 1.6
    typical += 1e-3
    slope = np.empty_like(rows.drive)
    slope[: top.orifices] = rows.coefficient[: top.orifices] / np.sqrt(typical)
    slope[top.orifices : paths] = rows.coefficient[top.orifices :] * typical ** (
        top.exponent[top.orifices :] - 1.0
    )
    offset = np.zeros_like(slope)
    if rows.fans:
        offset[paths:] = chords[:, :1] * rows.switch
        slope[paths:] = chords[:, 1:] * rows.switch
    return offset, slope


def tangents_at_flow(rows: Rows, flow: FloatArray, across: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Each law's tangent where it would pass the given flow: flow at zero difference, and slope.

    Notes
    -----
    For a law of roots this is Newton's step for its inverse, a law of squares, which overshoots far less. The plain
    law's slope at flow m and difference x is ``n m / x``; near zero the laminar pressure bounds it.
    A fan curve, made of straight pieces, takes its tangent at the present difference.
    """
    top = rows.topology
    paths = top.order.size
    at = across.copy()
    at[:paths] = power_law_inverse(rows.coefficient, top.exponent, top.orifices, flow[:paths])
    slope = np.abs(flow)
    slope[:paths] += rows.coefficient * LAMINAR_PRESSURE**top.exponent
    slope[:paths] *= top.exponent
    slope[:paths] /= np.abs(at[:paths]) + LAMINAR_PRESSURE
    passed = flow.copy()
    for row, fan in enumerate(rows.fans, start=paths):
        passed[row], slope[row] = fan_law(fan, rows.switch[row - paths], at[row])
    at *= slope
    passed -= at
    return passed, slope
