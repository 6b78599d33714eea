"""The three demo dwellings do what their descriptions say, in every state of their fans and doors."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import read_dwelling
from hvaclib.house.scenarios import Combinations, combinations
from hvaclib.house.steady import steady

DEMO = Path(__file__).parents[2] / "data" / "demo"


def spilling(dwelling: Dwelling, burning: str) -> tuple[Combinations, np.ndarray]:
    """Every state, and whether the appliance, burning alone from a cold vent, spills in it."""
    found = combinations(dwelling, dwelling.default_setup().with_firing(burning))
    vents = steady(dwelling, found.setups(), start="cold").vents
    return found, vents.spillage[vents.names.index(burning)] > 0.01


@pytest.fixture(scope="module")
def blocked() -> Dwelling:
    return read_dwelling(DEMO / "blocked_vent.toml")


def test_the_first_draws_in_every_state():
    states, spills = spilling(read_dwelling(DEMO / "passes.toml"), "water heater")
    assert states.bits.shape[1] == 1024
    assert not spills.any()


def test_the_second_fails_only_behind_the_closed_basement_door():
    states, spills = spilling(read_dwelling(DEMO / "closed_door_fails.toml"), "water heater")
    names = [control.name for control in states.controls]
    shut = states.bits[names.index("basement door")]
    running = states.bits[names.index("air handler")]
    np.testing.assert_array_equal(spills, shut & running)


@pytest.mark.parametrize("appliance", ["water heater", "furnace"])
def test_the_third_fails_in_every_state_until_the_nest_is_out(blocked, appliance):
    _, spills = spilling(blocked, appliance)
    assert spills.all()
    _, spills = spilling(blocked.with_blockage("common vent", 0.0), appliance)
    assert not spills.any()
