"""How long the house with its vents takes, on the demo dwelling of 1 024 states.

``pytest tests/benchmark/test_house.py --benchmark-enable`` measures and holds the bounds; a plain run checks only that
what is timed is right. Bounds: all states within 0.2 s, one warm-up of five minutes within 40 ms.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hvaclib.house.file import read_dwelling
from hvaclib.house.scenarios import combinations
from hvaclib.house.steady import steady_vents
from hvaclib.house.warm_up import warm_up

DWELLING = read_dwelling(Path(__file__).parents[2] / "data" / "demo" / "passes.toml")
BURNING = DWELLING.default_setup().with_firing("water heater")
ALL_STATES, WARM_UP = 0.2, 0.040


def held(benchmark, bound: float) -> None:
    """Hold the bound where times were taken; the least time, because the machine may have other work."""
    if benchmark.enabled:
        assert benchmark.stats.stats.min <= bound


@pytest.mark.benchmark(group="house")
def test_all_states_of_the_demo_dwelling(benchmark):
    every = combinations(DWELLING, BURNING)
    vents, pressure = benchmark(steady_vents, DWELLING, every.columns)
    assert vents.draft.shape == (1, 1024)
    assert (vents.spillage == 0).all()
    assert np.isfinite(pressure).all()
    held(benchmark, ALL_STATES)


@pytest.mark.benchmark(group="house")
def test_one_warm_up(benchmark):
    run = benchmark(warm_up, DWELLING, BURNING)
    assert run.time[-1] == 300.0
    assert run.draft[0, -1] < run.draft[0, 0] < 0.0
    assert run.spillage[0, -1] == 0.0
    held(benchmark, WARM_UP)
