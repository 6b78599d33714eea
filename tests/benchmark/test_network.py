"""Speed of the batch network beside a loop over scipy.optimize.root, both in this process, on the same houses.

Run `python -m pytest tests/benchmark/test_network.py --benchmark-enable -s`; set OMP_NUM_THREADS=1 beforehand to
keep the linear algebra of both to one thread. Without that option the file checks the answers and no times.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import root

from hvaclib.house.network import OUTDOORS, Network, audit, largest_flow, solve
from hvaclib.house.network.laws import LAMINAR_PRESSURE

SCENARIOS = 20_000
SAMPLE = 200
ROUNDS = 10
RATIO = 60.0
ONE_SOLVE = 5e-4  # s, a house of 10 zones and 40 paths from the pressures of the moment before


def six_zones(scenarios: int) -> Network:
    """Six zones, 17 paths: a leak each, five doorways in a row, four ducts across, two vents; one exhaust fan."""
    rng = np.random.default_rng(60)
    start = np.array([0, 1, 2, 3, 4, 5, 0, 1, 2, 3, 4, 0, 1, 2, 0, 0, 5])
    end = np.array([*[OUTDOORS] * 6, 1, 2, 3, 4, 5, 3, 4, 5, 5, OUTDOORS, OUTDOORS])
    shape = (start.size, scenarios)
    supply = np.zeros((6, scenarios))
    supply[2] = -rng.uniform(0.0, 0.3, scenarios)
    return Network(
        zones=6,
        start=start,
        end=end,
        exponent=np.where(np.arange(start.size) % 2 == 0, 0.5, 0.65),
        coefficient=10.0 ** rng.uniform(-3.5, -1, shape),
        drive=rng.normal(0, 4, shape),
        supply=supply,
    )


def loop_over_scipy(network: Network, sample: slice) -> np.ndarray:
    """Zone pressures of a sample of the scenarios, one call of hybr each, from zero, with a vectorised residual."""
    nodes = np.zeros((network.paths, network.zones + 1))
    nodes[np.arange(network.paths), network.start] += 1.0
    nodes[np.arange(network.paths), network.end] -= 1.0
    across = nodes[:, :-1].copy()
    into = -across.T.copy()
    half = 0.5 * (network.exponent - 1.0)

    def imbalance(p: np.ndarray, c: np.ndarray, drive: np.ndarray, supply: np.ndarray) -> np.ndarray:
        x = across @ p + drive
        return into @ (c * x * (x * x + LAMINAR_PRESSURE**2) ** half) + supply

    columns = [
        np.ascontiguousarray(part[:, sample].T)
        for part in (network.coefficient, network.drive, network.supply)
    ]
    found = np.full((network.zones, len(columns[0])), np.nan)
    for scenario, parts in enumerate(zip(*columns, strict=True)):
        answer = root(imbalance, np.zeros(network.zones), args=parts)
        if answer.success:
            found[:, scenario] = answer.x
    return found


def processor_seconds(job: Callable[[], object]) -> float:
    """Processor time of this process, all its threads together: a second thread would count against its owner."""
    began = time.process_time()
    job()
    return time.process_time() - began


def test_batch_against_a_loop_over_scipy(benchmark: BenchmarkFixture) -> None:
    network = six_zones(SCENARIOS)
    solution = benchmark.pedantic(solve, args=(network,), rounds=3, warmup_rounds=1)
    theirs = loop_over_scipy(network, slice(0, SAMPLE))

    solved = np.isfinite(theirs).all(axis=0)
    assert solved.mean() > 0.8
    np.testing.assert_allclose(solution.pressure[:, :SAMPLE][:, solved], theirs[:, solved], rtol=0, atol=1e-4)
    assert (np.abs(audit(network, solution)).max(axis=0) <= 1e-9 * largest_flow(network, solution)).all()
    print(f"mean iterations {solution.iterations.mean():.2f}, most {solution.iterations.max()}")
    assert solution.iterations.mean() <= 6.0
    if benchmark.enabled:
        ours, scipy = [], []
        for part in range(ROUNDS):  # in turn, so that a busy machine slows both alike
            sample = slice(part * SAMPLE // ROUNDS, (part + 1) * SAMPLE // ROUNDS)
            ours.append(processor_seconds(partial(solve, network)) / SCENARIOS)
            scipy.append(processor_seconds(partial(loop_over_scipy, network, sample)) / (SAMPLE // ROUNDS))
        each_ours, each_scipy = statistics.median(ours), statistics.median(scipy)
        ratio = each_scipy / each_ours
        benchmark.extra_info.update(ratio=ratio, iterations=float(solution.iterations.mean()))
        print(
            f"{each_ours * 1e6:.2f} us a scenario, scipy {each_scipy * 1e6:.0f} us: {ratio:.0f} times, one process"
        )
        assert ratio >= RATIO


@pytest.mark.parametrize("start", ["from nothing", "from the moment before"])
def test_one_house_at_a_time(benchmark: BenchmarkFixture, start: str) -> None:
    """A simulation in time solves one house after another, each from the pressures of the one before."""
    rng = np.random.default_rng(10)
    first = np.concatenate([np.arange(10), rng.integers(0, 10, 30)])
    last = np.concatenate([np.full(10, OUTDOORS), (first[10:] + rng.integers(1, 10, 30)) % 10])
    network = Network(
        zones=10,
        start=first,
        end=last,
        exponent=np.where(np.arange(40) % 2 == 0, 0.5, 0.65),
        coefficient=10.0 ** rng.uniform(-3.5, -1, (40, 1)),
        drive=rng.normal(0, 4, (40, 1)),
        supply=np.zeros((10, 1)),
    )
    settled = solve(network)
    guess = settled.pressure + rng.normal(0, 0.05, (10, 1)) if start == "from the moment before" else None
    solution = benchmark(solve, network, guess)
    np.testing.assert_allclose(solution.pressure, settled.pressure, rtol=0, atol=1e-7)
    if benchmark.enabled and guess is not None:
        assert statistics.median(benchmark.stats.stats.data) <= ONE_SOLVE
