"""How a cold vent starts in mild and hot weather, and what may keep it from starting.

What says so: a hotter day takes lift from a vent and never gives it any; hot gas climbs against a stream slower than
0.64 sqrt(g H (hot - cold) / hot) (NFPA 92, opposed airflow, from memory); in summer a sound vent that no fan pulls on
starts after a short spillage (common practice, no source).
"""

from pathlib import Path

import numpy as np
import pytest

from hvaclib.house.coupled import vented_house
from hvaclib.house.file import read_dwelling
from hvaclib.house.steady import start_moment
from hvaclib.house.vents import standstill
from hvaclib.house.warm_up import natural, warm_up

DEMO = Path(__file__).parents[2] / "data" / "demo"
SOUND = [read_dwelling(DEMO / f"{name}.toml") for name in ("passes", "closed_door_fails")]


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.parametrize("dwelling", SOUND, ids=lambda item: item.name)
def test_a_sound_vent_starts_on_any_still_day_and_draws_less_the_hotter_it_is(dwelling):
    drafts, times = [], []
    for outdoor in (-30, 0, 35, 55, 62, 65, 67, 68, 70, 73, 80, 90, 105):
        still = natural(dwelling.default_setup()).with_wind(0.0)
        run = warm_up(dwelling, still.with_outdoor_temperature(kelvin(outdoor)).with_firing("water heater"))
        row = run.appliances.index("water heater")
        drafts.append(run.draft[row, -1])
        times.append(run.spillage_time[row])
    assert np.array(drafts).max() < -1.0
    assert (np.diff(drafts) > 0).all()
    assert max(times[:4]) < 2.0  # cool air outdoors: the idle vent draws already
    assert 0.0 < times[-1] <= 60.0


def test_a_fan_that_pulls_hard_still_keeps_a_cold_vent_from_starting():
    dwelling = SOUND[0].with_fan_flow("range hood", 0.5)
    setup = natural(dwelling.default_setup()).with_fan("range hood").with_firing("water heater")
    run = warm_up(dwelling, setup)
    assert np.isinf(run.spillage_time[0])
    assert (run.draft[0] > 0).all()


def test_hot_gas_climbs_against_a_stream_up_to_the_published_speed():
    """Speed at which none enters any more, worked by hand for a 4 in connector, 300 °C over 20 °C air."""
    house = vented_house(SOUND[0])
    speed = 0.64 * np.sqrt(9.80665 * 0.1016 * (573.15 - 293.15) / 573.15)
    assert house.pipes.diameter[0] == pytest.approx(0.1016, rel=1e-3)
    area = np.pi * 0.1016**2 / 4
    down = -speed * standstill.STANDSTILL_DENSITY * area * np.array([0.0, 0.5, 0.98, 1.02])
    fire, above = np.full((1, 4), 573.15), np.full((1, 4), 293.15)
    share = standstill.rising_share(house.pipes, np.tile(down, (2, 1)), fire, above)[0]
    np.testing.assert_allclose(share, [0.5, 0.25, 0.01, 0.0], atol=2e-3)
    cool = standstill.rising_share(house.pipes, np.tile(down, (2, 1)), above, above)[0]
    assert cool[1] == 0.0  # air of the room does not climb against such a stream


def test_a_vent_before_the_fire_is_lit_is_an_idle_vent():
    """Conservation of mass: neither fuel nor a fan of the appliance moves anything before the burner is lit."""
    dwelling = SOUND[1]
    house = vented_house(dwelling)
    idle = dwelling.default_setup()
    for item in dwelling.appliances:
        idle = idle.with_firing(item.name, on=False)
    lit = idle.with_firing("water heater").with_firing("furnace")
    before = start_moment(house, [lit], "cold")
    np.testing.assert_allclose(before.flow, start_moment(house, [idle], "cold").flow, rtol=1e-9)
    assert before.firing.all()


def test_connectors_that_share_a_vent_pay_for_the_tee():
    """Sum by hand of the coefficients of the ASHRAE chimney chapter: hood 1.5 or inlet 1.0, elbow 0.75, tee 1.25."""
    shared, alone = vented_house(SOUND[1]).pipes, vented_house(SOUND[0]).pipes
    turns = {item.name: item.connector.elbows for item in (*shared.appliances, *alone.appliances)}
    heads = dict(zip((item.name for item in shared.appliances), shared.heads, strict=False))
    assert heads["water heater"] == pytest.approx(1.5 + 0.75 * 2 + 1.25)
    assert heads["furnace"] == pytest.approx(1.0 + 0.75 * 2 + 1.25)
    assert alone.heads[0] == pytest.approx(1.5 + 0.75 * turns[alone.appliances[0].name])
