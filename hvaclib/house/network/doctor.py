"""Is the network fit to be solved, and is what came out true: isolated zones, and an audit from flows alone."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.network.arrays import BoolArray, FloatArray, IntArray, Network, Solution


def refuse_isolated(network: Network) -> None:
    """Refuse a network in which a zone has no open way to outdoors: its pressure would be anything.

    Parameters
    ----------
    network : Network

    Raises
    ------
    InputError
        Naming the first scenario with such a zone, and the zone.
    """
    found = np.argwhere(~connected(network).T)
    if found.size:
        scenario, zone = (int(i) for i in found[0])
        raise InputError(
            f"{network.zone_name(zone)} has no opening to outdoors, directly or through other zones",
            where=f"scenario {scenario + 1} of {network.scenarios}",
            expected="a path with a coefficient above 0 that leads to outdoors",
        )


def connected(network: Network) -> BoolArray:
    """Which zones are joined to outdoors by open paths, directly or through one another.

    Parameters
    ----------
    network : Network

    Returns
    -------
    ndarray of bool, shape (Z, S), or (Z, 1) if all scenarios are open alike

    Notes
    -----
    A path is open when its coefficient is above 0, a fan with a curve when its switch is.
    """
    is_open = network.coefficient > 0.0
    start, end = network.start, network.end
    if network.curves:
        is_open = np.concatenate([is_open, [curve.switch > 0.0 for curve in network.curves]])
        start = np.concatenate([start, [curve.start for curve in network.curves]])
        end = np.concatenate([end, [curve.end for curve in network.curves]])
    if is_open.shape[1] and bool((is_open == is_open[:, :1]).all()):
        return _spread_of_one(network.zones, start.tobytes(), end.tobytes(), is_open[:, 0].tobytes())
    return _spread(network.zones, start, end, is_open)


@lru_cache(maxsize=256)
def _spread_of_one(zones: int, start: bytes, end: bytes, is_open: bytes) -> BoolArray:
    """One pattern of open paths; remembered, because a simulation asks for the same one at every moment."""
    reached = _spread(
        zones,
        np.frombuffer(start, dtype=np.intp),
        np.frombuffer(end, dtype=np.intp),
        np.frombuffer(is_open, dtype=np.bool_)[:, None],
    )
    reached.flags.writeable = False
    return reached


def _spread(zones: int, start: IntArray, end: IntArray, is_open: BoolArray) -> BoolArray:
    reached = np.zeros((zones + 1, is_open.shape[1]), dtype=np.bool_)
    reached[-1] = True  # index -1 is outdoors
    before = -1
    while before < (now := int(np.count_nonzero(reached))):
        before = now
        for path, (a, b) in enumerate(zip(start, end, strict=True)):
            both = (reached[a] | reached[b]) & is_open[path]
            reached[a] |= both
            reached[b] |= both
    return reached[:-1]


def audit(network: Network, solution: Solution) -> FloatArray:
    """Each zone's balance recomputed from the flows alone, path by path and without the solver's matrices.

    Parameters
    ----------
    network : Network
    solution : Solution

    Returns
    -------
    ndarray, shape (Z, S)
        Inflow minus outflow plus supply, kg/s.
    """
    balance = network.supply.copy()
    lines = list(zip(network.start, network.end, solution.flow, strict=True))
    lines += [(c.start, c.end, flow) for c, flow in zip(network.curves, solution.curve_flow, strict=True)]
    for start, end, flow in lines:
        if start >= 0:
            balance[start] -= flow
        if end >= 0:
            balance[end] += flow
    return balance


def largest_flow(network: Network, solution: Solution) -> FloatArray:
    """The largest flow of each scenario, fixed-flow fans included, kg/s, shape (S,)."""
    parts = [
        np.abs(rows).max(axis=0, initial=0.0) for rows in (solution.flow, solution.curve_flow, network.supply)
    ]
    return np.asarray(np.max(parts, axis=0), dtype=np.float64)
