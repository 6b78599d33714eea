"""Laws of the air side: more loss is less air and more rise; sliders in one call; changes that cannot be are refused."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib.errors import InputError
from hvaclib.house.air_side import AirSide, air_side_of, solve_air_side
from hvaclib.house.file import dwelling_text, parse_dwelling, read_dwelling

DEMO = Path(__file__).parents[2] / "data" / "demo"
SIDE: AirSide = air_side_of(read_dwelling(DEMO / "passes.toml"))
NAMES = [item.name for item in SIDE.components]


@settings(max_examples=60, deadline=None)
@given(
    name=st.sampled_from(NAMES),
    factors=st.lists(st.floats(0.0, 20.0), min_size=2, max_size=6, unique=True),
    tap=st.sampled_from(sorted(SIDE.fans)),
    altitude=st.floats(0.0, 3500.0),
)
def test_more_loss_is_less_air_and_more_rise(name, factors, tap, altitude):
    side = SIDE.with_tap(tap).with_altitude(altitude).with_factor(name, np.sort(factors))
    state = solve_air_side(side)
    assert (np.diff(state.flow) <= 1e-12).all()
    assert (np.diff(state.rise) >= -1e-9).all()
    np.testing.assert_allclose(state.losses.sum(axis=0), state.external_static, rtol=1e-9)
    np.testing.assert_allclose(state.segments.sum(axis=0), state.external_static, rtol=1e-9)


def test_a_faster_tap_moves_more_air():
    flows = [float(solve_air_side(SIDE.with_tap(tap)).flow[0]) for tap in ("low", "medium", "high")]
    assert flows == sorted(flows)
    assert len(set(flows)) == 3


def test_ten_thousand_positions_of_a_slider_cost_one_call():
    sliding = SIDE.with_factor("filter", np.linspace(1.0, 5.0, 10_000))
    solve_air_side(sliding)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        state = solve_air_side(sliding)
        times.append(time.perf_counter() - start)
    assert state.flow.shape == (10_000,)
    single = [float(solve_air_side(SIDE.with_factor("filter", factor)).flow[0]) for factor in (1.0, 5.0)]
    np.testing.assert_allclose(state.flow[[0, -1]], single, rtol=1e-12)
    assert min(times) < 0.05  # 4 ms when measured; a Python loop over the positions takes a second and more


def test_changes_leave_the_original_alone():
    before = solve_air_side(SIDE).flow[0]
    for changed in (
        SIDE.with_filter_loss(80.0),
        SIDE.with_coil_loss(90.0, 0.4),
        SIDE.with_registers_open(1.0, 0.6),
        SIDE.with_return_drop(0.3, 0.2),
    ):
        assert solve_air_side(changed).flow[0] < before
    assert solve_air_side(SIDE).flow[0] == before


def test_registers_lose_by_the_square_of_their_area():
    # a hole's loss follows the velocity head: half the area, four times the loss at the same flow
    closed = SIDE.with_registers_open(1.0, 0.5).component("registers")
    assert float(closed.loss) == pytest.approx(4.0 * float(SIDE.component("registers").loss))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda side: side.with_tap("hihg"), "no tap has this name; found 'hihg'; expected 'high'"),
        (lambda side: side.with_factor("humidifier", 2.0), "no component has this name or kind"),
        (lambda side: side.with_filter_loss(-1.0), "must not be negative"),
        (lambda side: side.with_filter_loss(50.0, 0.0), "must be above zero"),
        (lambda side: side.with_factor("filter", -0.5), "must not be negative"),
        (lambda side: side.with_return_drop(0.0, 0.2), "must be above zero"),
        (lambda side: side.with_component("filter", lambda item: item.with_size(0.5, 0.2)), "size of this duct is not known"),
        (lambda side: side.with_registers_open(1.0, 0.0), "share open now: out of range"),
        (lambda side: side.with_output(0.0), "output: must be above zero"),
    ],
)  # fmt: skip
def test_changes_that_cannot_be_are_refused_in_one_sentence(change, words):
    with pytest.raises(InputError) as refused:
        change(SIDE)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_house_without_furnace_or_air_handler_says_so():
    dwelling = read_dwelling(DEMO / "passes.toml")
    with pytest.raises(InputError, match="no furnace heats the air"):
        air_side_of(dwelling.without("appliances", "furnace"))
    with pytest.raises(InputError, match="no air handler"):
        air_side_of(dwelling.changed(air_handler=None))


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_plate_blower_and_components_survive_writing_and_reading(path):
    dwelling = read_dwelling(path)
    again = parse_dwelling(dwelling_text(dwelling), path.name)
    assert again.air_handler == dwelling.air_handler
