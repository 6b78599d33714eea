"""The air side of a furnace against scipy's root finder, psychrolib's density and a duct law written out here."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import psychrolib
import pytest
from scipy.optimize import brentq

from hvaclib.house.air_side import AirSide, AirState, air_path, air_side_of, solve_air_side, solve_cases
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import read_dwelling
from hvaclib.physics.air_delivery import ConstantAirflow, FanTable

DEMO = Path(__file__).parents[2] / "data" / "demo"
INCH = 249.08891  # Pa per in. w.c.
CFM = 0.3048**3 / 60


@pytest.fixture(scope="module")
def dwelling() -> Dwelling:
    return read_dwelling(DEMO / "passes.toml")


@pytest.fixture(scope="module")
def side(dwelling) -> AirSide:
    return air_side_of(dwelling)


def crossing(side: AirSide) -> float:
    """Airflow at which table and losses agree, by bracketing; components inside the unit do not count."""
    static, flow = side.fan.static, side.fan.flow

    def surplus(q: float) -> float:
        lost = sum(
            float(item.loss) * (q / item.at) ** item.exponent
            for item in side.components
            if side.supply_hole == 3 or item.kind != "coil"
        )
        return float(np.interp(q, flow[::-1], static[::-1])) - lost

    return float(brentq(surplus, flow[-1], flow[0], xtol=1e-14))


@pytest.mark.parametrize("tap", ["low", "medium", "high"])
@pytest.mark.parametrize("hole", [3, 4])
def test_airflow_is_where_table_and_losses_cross(side, tap, hole):
    other = replace(side.with_tap(tap), supply_hole=hole)
    state = solve_air_side(other)
    assert state.flow[0] == pytest.approx(crossing(other), rel=1e-9)
    assert state.external_static[0] == pytest.approx(
        np.interp(state.flow[0], other.fan.flow[::-1], other.fan.static[::-1]) * state.density_ratio[0],
        rel=1e-9,
    )


@pytest.mark.parametrize("altitude", [0.0, 610.0, 1524.0, 2438.0, 3048.0])
def test_rise_follows_the_density_at_altitude(side, altitude):
    # psychrolib: standard atmosphere and dry-air density, ASHRAE Fundamentals chapter 1; specific heat 1006 J/(kg·K)
    psychrolib.SetUnitSystem(psychrolib.SI)
    celsius = side.return_temperature - 273.15
    density = psychrolib.GetDryAirDensity(celsius, psychrolib.GetStandardAtmPressure(altitude))
    state = solve_air_side(side.with_altitude(altitude))
    assert state.flow[0] == pytest.approx(
        crossing(side), rel=1e-9
    )  # volume flow does not change with density
    assert state.rise[0] == pytest.approx(side.output / (density * 1006.0 * state.flow[0]), rel=2e-4)


def test_return_temperature_is_the_mixture_that_the_grilles_draw(dwelling):
    # shares and temperatures of the file, mixed by hand: 94 % at 70 °F from the rooms, 6 % at 64 °F from the basement
    expected = (0.94 * 70.0 + 0.06 * 64.0 + 459.67) * 5.0 / 9.0
    assert air_side_of(dwelling).return_temperature == pytest.approx(expected, rel=1e-9)


def test_a_cold_attic_leak_cools_the_return(dwelling):
    handler = dwelling.air_handler
    leak = handler.return_leakage[0].model_copy(update={"zone": "outdoors"})
    leaking = dwelling.changed(air_handler=handler.model_copy(update={"return_leakage": (leak,)}))
    cold = air_side_of(leaking, 255.372)  # 0 °F
    assert cold.return_temperature == pytest.approx((0.94 * 70.0 + 0.06 * 0.0 + 459.67) * 5.0 / 9.0, rel=1e-6)


def test_a_larger_return_drop_loses_as_the_friction_chart_says(side):
    # Darcy, Colebrook by bracketing, Huebscher 1948 and one mitered elbow of 1.2 velocity heads, written out here
    def lost(width: float, height: float, flow: float) -> float:
        diameter = 1.30 * (width * height) ** 0.625 / (width + height) ** 0.25
        speed = flow / (np.pi / 4 * diameter**2)
        density, viscosity = 1.2001, 1.82e-5  # dry air of 70 °F at sea level
        reynolds, rough = density * speed * diameter / viscosity, 9.144e-5 / diameter
        friction = brentq(
            lambda f: 1 / np.sqrt(f) + 2 * np.log10(rough / 3.7 + 2.51 / (reynolds * np.sqrt(f))), 0.005, 0.1
        )
        heads = 1.2 * (flow / (width * height)) ** 2
        return 0.5 * density * (friction * 2.1336 / diameter * speed**2 + heads)

    for width, height in ((0.508, 0.254), (0.6096, 0.3048)):
        drop = side.with_return_drop(width, height).component("return drop")
        assert float(drop.loss) == pytest.approx(lost(width, height, drop.at), rel=5e-3)


def test_a_constant_airflow_blower_hides_the_filter_until_its_motor_gives_out():
    side = air_side_of(read_dwelling(DEMO / "closed_bedrooms.toml"))
    assert isinstance(side.fan, ConstantAirflow)
    state = solve_air_side(side.with_factor("filter", np.array([1.0, 2.0, 3.0, 8.0])))
    np.testing.assert_allclose(state.flow[:3], 950 * CFM, rtol=1e-9)
    assert (np.diff(state.external_static) > 0.0).all()
    assert state.flow[3] < 950 * CFM
    assert state.within_table.tolist() == [True, True, True, False]


def test_cases_with_several_taps_in_one_call_are_those_solved_one_by_one(side):
    cases = [
        side,
        side.with_tap("high"),
        side.with_factor("filter", np.array([2.0, 3.0])),
        side.with_altitude(2000.0),
    ]
    together = solve_cases(cases)
    alone = [solve_air_side(case) for case in cases]
    for name in ("flow", "external_static", "rise", "holes"):
        parts = [getattr(state, name) for state in alone]
        np.testing.assert_allclose(getattr(together, name), np.concatenate(parts, axis=-1), rtol=1e-9)


def test_the_air_path_begins_and_ends_in_the_room_and_passes_the_holes(side):
    state: AirState = solve_air_side(side)
    path = air_path(side, state)
    assert path[0].pressure[0] == 0.0
    assert path[-1].pressure[0] == pytest.approx(0.0, abs=1e-9)
    at_holes = {station.hole: station.pressure[0] for station in path if station.hole}
    np.testing.assert_allclose([at_holes[hole] for hole in (1, 2, 3, 4)], state.holes[:, 0])
    assert state.holes[2, 0] - state.holes[1, 0] == pytest.approx(state.external_static[0])


def test_a_blower_table_is_used_as_the_file_has_it(side):
    table = side.fans["medium"]
    assert isinstance(table, FanTable)
    assert float(table.flow_at(0.4 * INCH)) == pytest.approx(915 * CFM, rel=1e-6)
