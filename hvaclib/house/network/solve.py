"""Pressures at which every zone of every scenario is in balance: Newton's method that cannot run away.

The balance is the gradient of a strictly convex energy, because every law rises with its pressure difference.
A Newton step therefore always leads downhill, and the line search only has to keep it from going too far.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaclib.errors import ConvergenceError, InputError
from hvaclib.house.network.arrays import FloatArray, IntArray, Network, Solution
from hvaclib.house.network.assemble import (
    Rows,
    differences,
    imbalance,
    rows_of,
    straight_lines,
    tangents_at_flow,
    topology_of,
)
from hvaclib.house.network.doctor import refuse_isolated
from hvaclib.house.network.line import Point, evaluate, search
from hvaclib.house.network.linear import star_mesh, step

BLOCK = 2048
"""Scenarios worked on together: enough to hide the cost of a numpy call, few enough to stay in the cache."""

ROUTINE = 16
"""Passes after which a scenario is handed to the careful search (ordinary houses need 3 to 8)."""

CAREFUL = 200
"""Passes after which the solver gives up."""

SETTLED = 2e-5
"""Last pressure change, Pa, at which a balanced scenario is taken as found; the error left is its square."""

POLISH = 3
"""Passes a balanced scenario may go on if its pressures have not settled, before rounding is to blame."""

ROUNDING = 1e-13
"""Pressure, Pa, that is nothing: the careful search accepts an imbalance that such a pressure would drive."""


@dataclass(slots=True)
class _Work:
    """The scenarios of a block that are not done yet, and what is known of them."""

    rows: Rows
    point: Point
    columns: IntArray  # their numbers in the whole network
    passes: int  # linear solves so far, the same for all of them
    balanced: IntArray  # passes that ended in balance


def solve(network: Network, guess: FloatArray | None = None, tolerance: float = 1e-10) -> Solution:
    """Find the zone pressures and path flows of all scenarios.

    Parameters
    ----------
    network : Network
        Z zones, P paths, S scenarios.
    guess : ndarray, shape (Z, S) or (Z, 1), optional
        Pressures to start from, Pa, for instance those of the moment before. Any finite values will do.
    tolerance : float, optional
        Largest imbalance of a zone as a share of the largest flow in its scenario, 1e-14 to 1e-3.

    Returns
    -------
    Solution
        Every scenario converged.

    Raises
    ------
    InputError
        If a zone has no open way to outdoors, or guess or tolerance cannot be.
    ConvergenceError
        Naming the first scenario that did not converge and its worst zone; nothing partial is handed out.

    Notes
    -----
    Law of each path: `laws.power_law`. Residual of each zone: inflow minus outflow plus supply, kg/s. Pressures
    are settled to better than 1e-6 Pa wherever double precision can tell.

    References
    ----------
    .. [1] Walton, AIRNET: a computer program for building airflow network modeling, NISTIR 89-4072, 1989
       (Newton's method on zone mass balances; from memory).
    .. [2] Todini and Pilati, A gradient method for the analysis of pipe networks, 1987 (tangents taken at the
       flow instead of at the pressure, used here for the start; from memory).
    """
    guess = _checked_guess(network, guess)
    if not 1e-14 <= tolerance <= 1e-3:
        raise InputError("out of range", where="tolerance", given=tolerance, expected="1e-14 to 1e-3")
    refuse_isolated(network)
    solution = _nothing_yet(network)
    topology = topology_of(network)
    for begin in range(0, network.scenarios, BLOCK):
        block = slice(begin, min(begin + BLOCK, network.scenarios))
        rows = rows_of(network, topology, block)
        work = _start(rows, None if guess is None else guess[:, block], begin)
        while work.columns.size and work.passes < CAREFUL:
            change = _advance(work)
            work = _finish(work, change, solution, tolerance)
        if work.columns.size:
            raise _failure(network, work)
    return solution


def _checked_guess(network: Network, guess: FloatArray | None) -> FloatArray | None:
    if guess is None:
        return None
    guess = np.asarray(guess, dtype=np.float64)
    if guess.shape not in {network.supply.shape, (network.zones, 1)} or not np.isfinite(guess).all():
        shape = f"finite pressures of shape {network.supply.shape}"
        raise InputError(
            "cannot start from these pressures", where="guess", given=str(guess.shape), expected=shape
        )
    return np.broadcast_to(guess, network.supply.shape)


def _nothing_yet(network: Network) -> Solution:
    scenarios = network.scenarios
    return Solution(
        pressure=np.full((network.zones, scenarios), np.nan),
        flow=np.full((network.paths, scenarios), np.nan),
        curve_flow=np.full((len(network.curves), scenarios), np.nan),
        converged=np.zeros(scenarios, dtype=np.bool_),
        iterations=np.zeros(scenarios, dtype=np.intp),
        residual=np.full(scenarios, np.nan),
    )


def _start(rows: Rows, guess: FloatArray | None, begin: int) -> _Work:
    """First pressures: the guess, or two linear houses, by chords and then by tangents at the chords' flows."""
    passes = 0
    if guess is None:
        offset, slope = straight_lines(rows)
        for passes in (1, 2):
            pressure = step(rows.topology, slope, imbalance(rows, offset + slope * rows.drive))
            if passes == 1:
                across = differences(rows, pressure)
                offset, slope = tangents_at_flow(rows, offset + slope * across, across)
    else:
        pressure = guess
    columns = np.arange(begin, begin + pressure.shape[1])
    return _Work(rows, evaluate(rows, pressure), columns, passes, np.zeros(columns.size, dtype=np.intp))


def _advance(work: _Work) -> FloatArray:
    """One Newton step with its line search; returns the pressure change of each zone, Pa."""
    careful = work.passes >= ROUTINE
    solver = star_mesh if careful else step
    change = solver(work.rows.topology, work.point.slope, work.point.imbalance)
    work.point, share = search(work.rows, work.point, change, careful)
    work.passes += 1
    return change * share


def _finish(work: _Work, change: FloatArray, solution: Solution, tolerance: float) -> _Work:
    """Write down the scenarios that are done and go on with the others."""
    point = work.point
    residual = np.abs(point.imbalance).max(axis=0)
    scale = np.abs(point.flow).max(axis=0, initial=0.0)
    np.maximum(scale, np.abs(work.rows.supply).max(axis=0), out=scale)
    balanced = residual <= tolerance * scale
    if work.passes > ROUTINE:
        balanced |= residual <= ROUNDING * point.slope.max(axis=0, initial=0.0)
    work.balanced += balanced
    settled = (np.abs(change) <= SETTLED + 1e-8 * np.abs(point.pressure)).all(axis=0)
    done = balanced & (settled | (work.balanced > POLISH))
    if not done.any():
        return work
    _write(work, np.flatnonzero(done), residual, solution)
    left = np.flatnonzero(~done)
    if not left.size:
        work.columns = work.columns[:0]
        return work
    return _Work(work.rows.keep(left), point.keep(left), work.columns[left], work.passes, work.balanced[left])


def _write(work: _Work, done: IntArray, residual: FloatArray, solution: Solution) -> None:
    columns = work.columns[done]
    order = work.rows.topology.order
    flow = work.point.flow.take(done, axis=1)
    solution.pressure[:, columns] = work.point.pressure.take(done, axis=1)
    solution.flow[order[:, None], columns] = flow[: order.size]
    solution.curve_flow[:, columns] = flow[order.size :]
    solution.converged[columns] = True
    solution.iterations[columns] = work.passes
    solution.residual[columns] = residual[done]


def _failure(network: Network, work: _Work) -> ConvergenceError:
    imbalances = np.abs(work.point.imbalance[:, 0])
    zone = int(np.argmax(np.where(np.isfinite(imbalances), imbalances, np.inf)))
    return ConvergenceError(
        f"the air balance of {network.zone_name(zone)} was not found after {work.passes} passes",
        where=f"scenario {int(work.columns[0]) + 1} of {network.scenarios}",
        given=f"an imbalance of {imbalances[zone]:.3g} kg/s",
        expected="openings, drives and fans of an ordinary size",
    )
