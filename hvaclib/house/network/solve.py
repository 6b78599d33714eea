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
    in_single_precision,
    product,
    rows_of,
    straight_lines,
    tangents_at_flow,
    topology_of,
)
from hvaclib.house.network.doctor import refuse_isolated
from hvaclib.house.network.line import Point, Step, evaluate, search
from hvaclib.house.network.linear import FEW_SCENARIOS, star_mesh, step

BLOCK = 65536
"""Entries (rows times scenarios) worked on together: enough to hide the cost of a numpy call, few enough to stay
in the processor's cache (measured: a quarter of it or the whole job at once takes longer)."""

DRAFT = 4
"""Passes made in single precision when many scenarios start from nothing; hardly any are done before the fifth."""

ROUTINE = 16
"""Passes after which a scenario is handed to the careful search (ordinary houses need 3 to 11)."""

CALM = 5
"""Passes after which a scenario is looked at for air that stands still."""

CAREFUL = 200
"""Passes after which the solver gives up."""

SETTLED = 2e-5
"""Last pressure change, Pa, at which a balanced scenario is taken as found; the error left is its square."""

POLISH = 3
"""Passes a balanced scenario may go on if its pressures have not settled, before rounding is to blame."""

REFINEMENTS = 12
"""Times at most that the careful search corrects its linear solution by what that leaves out of balance."""

SUMMED = 4.0 * float(np.finfo(np.float64).eps)
"""Imbalance as a share of what passes through a zone that the adding up of its flows alone can leave."""

DETOUR = 1e3
"""Ratio of differences across the paths, before and now, that makes the careful search start them afresh."""

ROUNDING = 1e-12
"""Pressure, Pa, that is nothing: below it a house without a running fan is taken as still."""


@dataclass(slots=True)
class _Work:
    """The scenarios of a block that are not done yet, and what is known of them."""

    rows: Rows
    point: Point
    columns: IntArray  # their numbers in the whole network
    passes: int  # linear solves so far, the same for all of them
    balanced: IntArray  # passes that ended in balance
    reach: FloatArray  # largest difference across a row since the careful search last took them from the pressures

    def keep(self, left: IntArray) -> _Work:
        """The same work with fewer scenarios."""
        parts = self.columns[left], self.passes, self.balanced[left], self.reach[left]
        return _Work(self.rows.keep(left), self.point.keep(left), *parts)


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
    width = max(BLOCK // len(topology.incidence), 256)
    for begin in range(0, network.scenarios, width):
        block = slice(begin, min(begin + width, network.scenarios))
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
    """The first pressures: the guess, or a draft."""
    if guess is not None:
        pressure, passes = guess, 0
    elif rows.supply.shape[1] < FEW_SCENARIOS:
        pressure, passes = _two_linear_houses(rows).pressure, 2
    else:
        pressure, passes = _draft(rows)
    width = pressure.shape[1]
    columns = np.arange(begin, begin + width)
    return _Work(
        rows, evaluate(rows, pressure), columns, passes, np.zeros(width, dtype=np.intp), np.zeros(width)
    )


def _two_linear_houses(rows: Rows) -> Point:
    """Each law as a straight line: by its chord, and then by its tangent at the flow that the chords gave."""
    offset, slope = straight_lines(rows)
    pressure = step(rows.topology, slope, imbalance(rows, offset + slope * rows.drive))
    across = differences(rows, pressure)
    offset, slope = tangents_at_flow(rows, offset + slope * across, across)
    return evaluate(rows, step(rows.topology, slope, imbalance(rows, offset + slope * rows.drive)))


def _draft(rows: Rows) -> tuple[FloatArray, int]:
    """First pressures of many scenarios, in single precision, and the passes spent.

    No scenario is judged by it. Where the shorter numbers overflow, the draft is made again with the full ones.
    """
    with np.errstate(all="ignore"):
        short = in_single_precision(rows)
        point = _two_linear_houses(short)
        for _ in range(DRAFT - 2):
            change = step(short.topology, point.slope, point.imbalance)
            point = search(short, point, Step(change, None))[0]
    if np.isfinite(point.imbalance).all():
        return point.pressure.astype(np.float64), DRAFT
    return _two_linear_houses(rows).pressure, 2


def _advance(work: _Work) -> FloatArray:
    """One Newton step with its line search; returns the pressure change of each zone, Pa."""
    if work.passes < ROUTINE:
        move = Step(step(work.rows.topology, work.point.slope, work.point.imbalance), None)
    else:
        _anchor(work)
        move = _exact_step(work.rows, work.point)
    work.point, share = search(work.rows, work.point, move)
    work.passes += 1
    return move.change * share


def _exact_step(rows: Rows, point: Point) -> Step:
    """A Newton step known across each path to its last digits, not as a difference of two large pressures."""
    topology = rows.topology
    passing = product(np.abs(topology.gather), np.abs(point.flow)) + np.abs(rows.supply)
    rest = np.where(np.abs(point.imbalance) <= SUMMED * passing, 0.0, point.imbalance)
    wanted = 1e-9 * np.abs(rest).max(axis=0)
    change, along = np.zeros_like(rest), np.zeros_like(point.slope)
    for _ in range(REFINEMENTS):
        more = star_mesh(topology, point.slope, rest - product(topology.gather, point.slope * along))
        change += more
        along += product(topology.incidence, more)
        if (np.abs(rest - product(topology.gather, point.slope * along)).max(axis=0) <= wanted).all():
            break
    return Step(change, along)


def _anchor(work: _Work) -> None:
    """Take the differences from the pressures again where a detour through far larger ones has blurred them."""
    size = np.abs(work.point.across).max(axis=0)
    np.maximum(work.reach, size, out=work.reach)
    stale = np.flatnonzero(work.reach > DETOUR * size)
    if stale.size:
        work.point.put(stale, evaluate(work.rows.keep(stale), work.point.pressure.take(stale, axis=1)))
        work.reach[stale] = size[stale]


def _finish(work: _Work, change: FloatArray, solution: Solution, tolerance: float) -> _Work:
    """Write down the scenarios that are done and go on with the others."""
    point = work.point
    if work.passes >= CALM:
        _calm(work)
    residual = np.abs(point.imbalance).max(axis=0)
    scale = np.maximum(point.flow.max(axis=0, initial=0.0), -point.flow.min(axis=0, initial=0.0))
    np.maximum(scale, np.abs(work.rows.supply).max(axis=0), out=scale)
    balanced = residual <= tolerance * scale
    work.balanced += balanced
    settled = (np.abs(change) <= SETTLED + 1e-8 * np.abs(point.pressure)).all(axis=0)
    done = balanced & (settled | (work.balanced > POLISH))
    if not done.any():
        return work
    _write(work, np.flatnonzero(done), residual, solution)
    return work.keep(np.flatnonzero(~done))


def _calm(work: _Work) -> None:
    """Where no fan runs and nothing but rounding moves the air, the air is still."""
    point = work.point
    still = (np.abs(point.flow) <= ROUNDING * point.slope).all(axis=0) & ~work.rows.supply.any(axis=0)
    point.flow[:, still] = 0.0
    point.imbalance[:, still] = 0.0


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
