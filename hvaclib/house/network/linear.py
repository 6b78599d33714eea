"""The linear system of one step: conductances between zones and to outdoors, solved for all scenarios at once."""

from __future__ import annotations

import numpy as np

from hvaclib.house.network.arrays import FloatArray
from hvaclib.house.network.assemble import Topology, product

FEW_SCENARIOS = 96
"""Below this number of scenarios the dense solver of numpy is quicker than `star_mesh`: the two were
measured equal at about 100, with 6 zones and with 10."""

ALIKE = 1e9
"""Ratio of conductances up to which the dense solver keeps seven digits of a step; beyond it `star_mesh` is used."""


def step(topology: Topology, slope: FloatArray, imbalance: FloatArray) -> FloatArray:
    """Pressure changes that would balance every zone if each path followed its slope.

    Parameters
    ----------
    topology : Topology
        The constant part of the network.
    slope : ndarray, shape (P + F, S)
        kg/s/Pa, not negative.
    imbalance : ndarray, shape (Z, S)
        kg/s into each zone.

    Returns
    -------
    ndarray, shape (Z, S)
        Pa.
    """
    if slope.shape[1] < FEW_SCENARIOS and _alike(slope):
        return _dense(topology, slope, imbalance)
    return star_mesh(topology, slope, imbalance)


def _alike(slope: FloatArray) -> bool:
    """Whether all open paths conduct well enough beside the best one for a matrix in double precision."""
    best = float(slope.max(initial=0.0))
    return best < ALIKE * float(slope.min(where=slope > 0.0, initial=best))


def _dense(topology: Topology, slope: FloatArray, imbalance: FloatArray) -> FloatArray:
    zones = topology.zones
    matrix = product(topology.square, slope)
    if slope.shape[1] == 1:
        return np.asarray(np.linalg.solve(matrix.reshape(zones, zones), imbalance), dtype=np.float64)
    stacked = matrix.T.reshape(-1, zones, zones)
    return np.ascontiguousarray(np.linalg.solve(stacked, imbalance.T[:, :, None])[:, :, 0].T)


def star_mesh(topology: Topology, slope: FloatArray, imbalance: FloatArray) -> FloatArray:
    """`step` by eliminating one zone after another, written over all scenarios.

    Notes
    -----
    A zone with conductances g to its neighbours, outdoors among them, is replaced by a mesh of
    ``g_i g_j / sum(g)`` between them. This is the factorisation L D L^T of the symmetric positive definite
    Jacobian with every pivot formed as a sum of positive conductances: nothing is ever subtracted, so a leak
    a thousand million times smaller than the doorway beside it keeps all its digits, where the diagonal of the
    Jacobian would have rounded it away.

    References
    ----------
    .. [1] Grassmann, Taksar, Heyman, Operations Research 33 (1985): elimination without subtraction (from memory).
    """
    zones = topology.zones
    packed = product(topology.pairs, slope)
    carried = imbalance.copy()
    rows: list[FloatArray] = []  # of zone k: its conductances to k+1, ..., Z-1, outdoors
    begin = 0
    for zone in range(zones):
        rows.append(packed[begin : begin + zones - zone])
        begin += zones - zone
    shares: list[FloatArray] = []
    for zone, row in enumerate(rows):
        inverse = 1.0 / (row.sum(axis=0) if len(row) > 1 else row[0])
        share = row[:-1] * inverse
        shares.append(share)
        for offset in range(len(share)):
            rows[zone + 1 + offset][:-1] += row[offset] * share[offset + 1 :]
            rows[zone + 1 + offset][-1] += row[-1] * share[offset]
        if len(share):
            carried[zone + 1 :] += share * carried[zone]
        carried[zone] *= inverse
    for zone in range(zones - 2, -1, -1):
        carried[zone] += np.einsum("js,js->s", shares[zone], carried[zone + 1 :])
    return carried
