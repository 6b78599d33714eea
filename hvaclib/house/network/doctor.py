"""Is the network fit to be solved, and is what came out true: isolated zones, and an audit from flows alone."""

from __future__ import annotations

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.network.arrays import BoolArray, FloatArray, Network, Solution


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
    open_paths = network.coefficient > 0.0
    alike = bool((open_paths == open_paths[:, :1]).all())
    for curve in network.curves:
        alike = alike and bool(((curve.switch > 0.0) == (curve.switch[:1] > 0.0)).all())
    found = np.argwhere(~connected(network, slice(0, 1) if alike else slice(None)).T)
    if found.size:
        scenario, zone = (int(i) for i in found[0])
        raise InputError(
            f"{network.zone_name(zone)} has no opening to outdoors, directly or through other zones",
            where=f"scenario {scenario + 1} of {network.scenarios}",
            expected="a path with a coefficient above 0 that leads to outdoors",
        )


def connected(network: Network, scenarios: slice = slice(None)) -> BoolArray:
    """Which zones are joined to outdoors by open paths, directly or through one another.

    Parameters
    ----------
    network : Network
    scenarios : slice, optional
        Scenarios to look at; all when left out.

    Returns
    -------
    ndarray of bool, shape (Z, S)

    Notes
    -----
    A path is open when its coefficient is above 0, a fan with a curve when its switch is.
    """
    is_open = network.coefficient[:, scenarios] > 0.0
    start, end = network.start, network.end
    if network.curves:
        is_open = np.concatenate([is_open, [curve.switch[scenarios] > 0.0 for curve in network.curves]])
        start = np.concatenate([start, [curve.start for curve in network.curves]])
        end = np.concatenate([end, [curve.end for curve in network.curves]])
    reached = np.zeros((network.zones + 1, is_open.shape[1]), dtype=np.bool_)
    reached[-1] = True  # index -1 is outdoors
    count = 0
    while count < (count := int(np.count_nonzero(reached))):
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
