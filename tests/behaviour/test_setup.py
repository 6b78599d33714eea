"""Setups and their combinations: pure data, changed by functions, named as in the file."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError
from pathlib import Path

import numpy as np
import pytest

from hvaclib.errors import InputError
from hvaclib.house.columns import setup_columns, setup_of
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import parse_dwelling, read_dwelling
from hvaclib.house.scenarios import combinations, controls, main_effects

HERE = Path(__file__).parent
DEMOS = sorted((HERE.parents[1] / "data" / "demo").glob("*.toml"))


@pytest.fixture(scope="module")
def dwelling() -> Dwelling:
    return parse_dwelling((HERE / "good_dwelling.toml").read_text(encoding="utf-8"))


def test_default_setup_is_what_the_file_says(dwelling):
    setup = dwelling.default_setup()
    assert dict(setup.fans) == {"range hood": 0.0, "bath fan": 0.0}
    assert dict(setup.doors) == {"hall door": True}
    assert dict(setup.windows) == {"kitchen window": False}
    assert setup.air_handler is False
    assert dict(setup.firing) == {"water heater": False, "furnace": False}
    assert setup.outdoor_temperature == pytest.approx((30 + 459.67) * 5 / 9)
    assert setup.wind_direction == pytest.approx(1.5 * np.pi)


def test_changes_return_a_new_setup(dwelling):
    setup = dwelling.default_setup()
    other = (
        setup.with_fan("range hood", 0.5)
        .with_door("hall door", open=False)
        .with_window("kitchen window", open=True)
        .with_air_handler(on=True)
        .with_firing("water heater")
        .with_outdoor_temperature(260.0)
        .with_wind(3.0, 0.1)
    )
    assert setup == dwelling.default_setup()
    assert (other.fans["range hood"], other.doors["hall door"], other.windows["kitchen window"]) == (
        0.5,
        False,
        True,
    )
    assert (other.air_handler, other.firing["water heater"]) == (True, True)
    assert (other.outdoor_temperature, other.wind_speed, other.wind_direction) == (260.0, 3.0, 0.1)
    assert other.with_wind(4.0).wind_direction == 0.1
    assert set(setup.with_fans(1.0).fans.values()) == {1.0}


def test_setup_is_frozen_hashable_and_travels(dwelling):
    setup = dwelling.default_setup().with_fan("bath fan")
    with pytest.raises(FrozenInstanceError):
        setup.air_handler = True
    with pytest.raises(TypeError):
        setup.fans["bath fan"] = 0.0
    copy = pickle.loads(pickle.dumps(setup))
    assert copy == setup
    assert hash(copy) == hash(setup)
    assert setup != dwelling.default_setup()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda s: s.with_fan("rang hood"), "setup: no fan has this name; found 'rang hood'; expected 'range hood'."),
        (lambda s: s.with_fan("range hood", 1.5), "fan \"range hood\": a fan's speed is out of range; found 1.5; expected 0 (off) to 1 (full)."),
        (lambda s: s.with_door("x", open=True), "setup: no door has this name; found 'x'; expected one of hall door."),
        (lambda s: s.with_outdoor_temperature(30.0), "setup: the outdoor temperature is out of range; found '−406 °F'; expected −99.7 °F to 152 °F."),
        (lambda s: s.with_wind(-1.0), "setup: the wind speed is out of range; found '−2.2 mph'; expected 0 mph to 134 mph."),
    ],
    ids=["fan", "speed", "door", "temperature", "wind"],
)  # fmt: skip
def test_what_cannot_be_is_refused(dwelling, change, sentence):
    with pytest.raises(InputError) as caught:
        change(dwelling.default_setup())
    assert str(caught.value) == sentence


def test_setups_of_another_dwelling_are_refused(dwelling):
    other = read_dwelling(DEMOS[0]).default_setup()
    with pytest.raises(InputError, match="setup: the dwelling has no such fan; found 'dryer'"):
        setup_columns(dwelling, [other])
    with pytest.raises(InputError, match="there is no setup"):
        setup_columns(dwelling, [])


def test_controls_leave_outer_doors_out(dwelling):
    outer = dwelling.with_part("doors", "hall door", between=("main floor", "outdoors"))
    assert [control.name for control in controls(dwelling)] == [
        "range hood",
        "bath fan",
        "hall door",
        "air handler",
    ]
    assert "hall door" not in [control.name for control in controls(outer)]


def test_every_combination_occurs_once(dwelling):
    found = combinations(dwelling)
    assert found.bits.shape == (4, 16)
    assert len({tuple(column) for column in found.bits.T}) == 16
    assert len(set(found.setups())) == 16
    for index in range(16):
        setup = found.setup(index)
        on = [setup.fans["range hood"] == 1.0, setup.fans["bath fan"] == 1.0]
        assert [*on, not setup.doors["hall door"], setup.air_handler] == found.bits[:, index].tolist()
    worst = found.index(["range hood", "hall door"])
    assert found.describe(worst) == "range hood on, hall door closed"
    assert found.describe(0) == "everything off, all inner doors open"
    with pytest.raises(InputError, match="no control has this name; found 'oven'"):
        found.index(["oven"])


def test_columns_and_setups_are_two_views_of_one_thing(dwelling):
    found = combinations(dwelling, dwelling.default_setup().with_window("kitchen window", open=True))
    again = setup_columns(dwelling, found.setups())
    for name in ("fans", "doors", "windows", "air_handler", "firing", "outdoor_temperature"):
        np.testing.assert_array_equal(getattr(again, name), getattr(found.columns, name))
    assert setup_of(dwelling, again, 5) == found.setup(5)


def test_first_demo_has_ten_controls():
    dwelling = read_dwelling(next(path for path in DEMOS if path.stem == "passes"))
    found = combinations(dwelling)
    assert len(found.controls) == 10
    assert found.columns.scenarios == 1024


def test_too_many_controls_are_refused(dwelling):
    many = controls(dwelling) * 5
    with pytest.raises(InputError, match="too many fans and doors to combine; found 20; expected at most 16"):
        combinations(dwelling, chosen=many)


def test_main_effects_of_the_pilot_plant():
    # Box, Hunter and Hunter, Statistics for Experimenters, 2nd ed., ch. 5, pilot plant: yields of a 2**3 design in
    # standard order and its main effects (recalled, arithmetic redone): temperature 23, concentration -5, catalyst 1.5
    bits = (np.arange(8) >> np.arange(3)[:, None] & 1).astype(bool)
    yields = np.array([60.0, 72.0, 54.0, 68.0, 52.0, 83.0, 45.0, 80.0])
    np.testing.assert_allclose(main_effects(bits, yields), [23.0, -5.0, 1.5], rtol=1e-14)
