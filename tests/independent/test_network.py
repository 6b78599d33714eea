"""The network against scipy.optimize.root on random houses: an equation written anew, a solver by others."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import root

from hvaclib.house.network import OUTDOORS, FanCurve, Network, solve
from hvaclib.house.network.laws import LAMINAR_PRESSURE

HOUSES = 300
RISES = np.array([0.0, 30.0, 75.0])
FLOWS = np.array([0.25, 0.18, 0.0])


def random_house(rng: np.random.Generator) -> Network:
    zones = int(rng.integers(2, 11))
    parents = np.array([OUTDOORS, *(int(rng.integers(-1, zone)) for zone in range(1, zones))])
    extra = int(rng.integers(1, 2 * zones + 2))
    start = np.concatenate([np.arange(zones), rng.integers(0, zones, extra)])
    end = np.concatenate([parents, np.full(extra, OUTDOORS)])
    coefficient = 10.0 ** rng.uniform(-3.5, -1, (start.size, 1))
    supply = rng.choice([0.0, 1.0], (zones, 1), p=[0.8, 0.2]) * rng.normal(0, 0.15, (zones, 1))
    exponent = rng.choice([0.5, 0.55, 0.65, 0.8], start.size)
    drive = rng.normal(0, 4, coefficient.shape)
    fan = FanCurve(int(rng.integers(0, zones)), OUTDOORS, RISES, FLOWS, [float(rng.choice([0.0, 1.0]))])
    return Network(zones, start, end, exponent, coefficient, drive, supply, (fan,))


def imbalance(pressure: np.ndarray, network: Network) -> np.ndarray:
    """Inflow minus outflow plus supply, one path after another."""
    out = network.supply[:, 0].copy()
    level = np.append(pressure, 0.0)
    for path in range(network.paths):
        a, b = network.start[path], network.end[path]
        x = level[a] - level[b] + network.drive[path, 0]
        flow = (
            network.coefficient[path, 0] * x / np.hypot(x, LAMINAR_PRESSURE) ** (1.0 - network.exponent[path])
        )
        for zone, sign in ((a, -1.0), (b, 1.0)):
            if zone >= 0:
                out[zone] += sign * flow
    for fan in network.curves:
        rise = level[fan.end] - level[fan.start]
        if rise > RISES[-1]:
            flow = (FLOWS[-1] - FLOWS[-2]) / (RISES[-1] - RISES[-2]) * (rise - RISES[-1])
        elif rise < RISES[0]:
            flow = FLOWS[0] + (FLOWS[1] - FLOWS[0]) / (RISES[1] - RISES[0]) * (rise - RISES[0])
        else:
            flow = float(np.interp(rise, RISES, FLOWS))
        out[fan.start] -= fan.switch[0] * flow
    return out


def test_scipy_finds_the_same_pressures() -> None:
    """All 300 within 1e-6 Pa. Where scipy stalls from zero it is started from our answer, and the count is held.

    Started there it must still find its own root: it reports success only for a residual of rounding size.
    """
    rng = np.random.default_rng(1989)
    worst, helped = 0.0, 0
    for _ in range(HOUSES):
        network = random_house(rng)
        ours = solve(network, tolerance=1e-12).pressure[:, 0]
        theirs = root(imbalance, np.zeros(network.zones), args=(network,), tol=1e-14)
        if np.abs(theirs.fun).max() > 1e-11:
            helped += 1
            nudged = ours + rng.normal(0, 0.01, ours.size)
            theirs = root(imbalance, nudged, args=(network,), tol=1e-14)
        assert np.abs(theirs.fun).max() <= 1e-11
        worst = max(worst, float(np.abs(theirs.x - ours).max()))
    print(f"{HOUSES} houses, at most {worst:.1e} Pa apart; scipy needed a better start in {helped}")
    assert worst <= 1e-6
    assert helped <= HOUSES // 3


def test_the_comparison_can_fail() -> None:
    """A coefficient one part in a thousand off moves the pressures far more than the tolerance above."""
    network = random_house(np.random.default_rng(1989))
    wrong = Network(
        network.zones,
        network.start,
        network.end,
        network.exponent,
        network.coefficient * np.where(np.arange(network.paths) == 0, 1.001, 1.0)[:, None],
        network.drive,
        network.supply,
        network.curves,
    )
    assert np.abs(solve(wrong).pressure - solve(network).pressure).max() > 1e-5
    assert np.abs(imbalance(solve(network).pressure[:, 0], network)).max() == pytest.approx(0.0, abs=1e-10)
