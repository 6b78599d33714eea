"""Room pressure by laws and against the whole airflow network."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hvaclib.house.network import Network, solve
from hvaclib.physics import room_pressure
from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.physics.openings import orifice_coefficient, orifice_flow, power_law_coefficient, series_area

CFM = 4.719474432e-4
SQUARE_INCH = 6.4516e-4
ROOMS = 1000
BODY, ROOM, SECOND, THIRD, BASEMENT = range(5)
OUTSIDE = -1
LEAKS = [
    (BODY, OUTSIDE), (ROOM, OUTSIDE), (SECOND, OUTSIDE), (THIRD, OUTSIDE), (BASEMENT, OUTSIDE), (BASEMENT, BODY)
]  # fmt: skip
DOORS = [(ROOM, BODY), (SECOND, BODY), (THIRD, BODY), (BASEMENT, BODY)]
DOOR = len(LEAKS)
"""Row of the door of the room that is sized."""


@pytest.fixture(scope="module")
def houses():
    """A thousand houses whose room is out of its limit: random leaks, doors, duct air, stack pressures and limits."""
    draw = np.random.default_rng(20260)
    many = 1200
    low = np.array([400, 40, 40, 40, 100, 60])[:, None]
    high = np.array([2200, 260, 260, 260, 700, 500])[:, None]
    leak_at_50 = draw.uniform(low, high, (6, many))
    doors = draw.uniform(8, 40, (4, many))
    coefficient = np.vstack(
        [
            power_law_coefficient.si(flow_at_50=leak_at_50 * CFM, exponent=0.65),
            orifice_coefficient.si(area=doors * SQUARE_INCH),
        ]
    )
    drive = np.vstack([draw.uniform(-1.5, 1.5, (5, many)), np.zeros((1 + len(DOORS), many))])
    net = draw.uniform(60, 280, (3, many)) * np.where(draw.random((3, many)) < 0.25, -1.0, 1.0)
    supply = np.vstack([-net.sum(axis=0), net, np.zeros(many)]) * CFM * STANDARD_DENSITY
    limit = draw.uniform(2.0, 5.0, many)
    ends = np.array(LEAKS + DOORS)
    exponent = np.array([0.65] * len(LEAKS) + [0.5] * len(DOORS))
    whole = Network(5, ends[:, 0], ends[:, 1], exponent, coefficient, drive, supply)
    shut = doors[0] * SQUARE_INCH
    out = np.flatnonzero(np.abs(solved(whole, shut)[0]) > limit)[:ROOMS]
    assert out.size == ROOMS
    part = replace(whole, coefficient=coefficient[:, out], drive=drive[:, out], supply=supply[:, out])
    return part, shut[out], leak_at_50[ROOM, out] * CFM, net[0, out] * CFM, limit[out]


def solved(network, area):
    """Pressure of the room against the body, and of the body, with this free area of the room's door."""
    coefficient = network.coefficient.copy()
    coefficient[DOOR] = orifice_coefficient.si(area=area)
    pressure = solve(replace(network, coefficient=coefficient)).pressure
    return pressure[ROOM] - pressure[BODY], pressure[BODY]


def predicted(houses):
    """Relief by calculation from two readings of each house: the body's pressure with the door shut, and open.

    Between them the body moves in proportion to the air that the room's walls lose.
    """
    network, shut, leak, net, limit = houses
    found, body = solved(network, shut)
    ajar, relieved = solved(network, np.full(ROOMS, 1.5))
    stack = network.drive[ROOM]

    def lost(room, house):
        across = room + house + stack
        return leak * np.sign(across) * np.abs(across / 50.0) ** 0.65

    least, most = lost(ajar, relieved), lost(found, body)
    house = relieved
    for _ in range(20):
        share = (lost(np.sign(found) * limit, house) - least) / (most - least)
        house = 0.5 * (house + relieved + share * (body - relieved))
    return room_pressure.relief_area.si(
        net_flow=net, limit=limit, leakage_at_50=leak, house_pressure=house + stack
    )


def test_predicted_relief_is_that_of_the_whole_network_in_a_thousand_rooms(houses):
    # The prediction knows the room: its duct air, its leaks, two readings of the body. The network knows the whole
    # house: other rooms, basement, stack pressures.
    network, _, _, _, limit = houses
    low, high = np.zeros(ROOMS), np.full(ROOMS, 1.0)
    for _ in range(40):
        middle = 0.5 * (low + high)
        outside = np.abs(solved(network, middle)[0]) > limit
        low, high = np.where(outside, middle, low), np.where(outside, high, middle)
    off = np.abs(predicted(houses) / high - 1.0)
    assert off.max() < 0.05
    assert np.median(off) < 0.005
    retest, _ = solved(network, predicted(houses))
    np.testing.assert_allclose(np.abs(retest), limit, rtol=0.1)


def test_the_single_opening_used_three_times_in_series_fails_the_retest(houses):
    # the rule of thumb: high grille, cavity and low grille each as large as the opening; 1/√3 of it is left
    network, _, _, _, limit = houses
    needed = predicted(houses)
    thumb = series_area.si(areas=np.array([needed, needed, needed]))
    retest, _ = solved(network, thumb)
    assert (np.abs(retest) > 1.05 * limit).all()
    assert np.median(np.abs(retest) / limit) > 2.0
    built = [room_pressure.transfer_path.si(required_area=float(area), stud_bays=3) for area in needed]
    enough = np.array([path.enough for path in built])
    assert enough.sum() > 500
    retest, _ = solved(network, np.array([path.effective_area for path in built]))
    assert (np.abs(retest[enough]) <= 1.1 * limit[enough]).all()


flows = st.floats(5.0, 400.0)
areas = st.floats(3.0, 300.0)
leaks = st.floats(0.0, 600.0)


@given(supply=flows, drawn=flows, area=areas, leak=leaks, house=st.floats(-8.0, 8.0))
def test_air_is_balanced_at_the_pressure_found(supply, drawn, area, leak, house):
    pressure = room_pressure.closed_door_pressure.si(
        supply=supply * CFM, return_=drawn * CFM, relief_area=area * SQUARE_INCH,
        leakage_at_50=leak * CFM, house_pressure=house,
    )  # fmt: skip
    across = pressure + house
    outdoors = leak * CFM * np.sign(across) * (abs(across) / 50.0) ** 0.65
    door = orifice_flow.si(area=area * SQUARE_INCH, pressure_difference=pressure)
    assert door + outdoors == pytest.approx((supply - drawn) * CFM, abs=1e-7)


@given(supply=flows, limit=st.floats(0.5, 12.0), leak=leaks, house=st.floats(-5.0, 5.0))
def test_relief_area_is_the_inverse_of_the_pressure(supply, limit, leak, house):
    area = room_pressure.relief_area.si(
        net_flow=supply * CFM, limit=limit, leakage_at_50=leak * CFM, house_pressure=house
    )
    if area > 1e-7:
        back = room_pressure.closed_door_pressure.si(
            supply=supply * CFM, relief_area=area, leakage_at_50=leak * CFM, house_pressure=house
        )
        assert back == pytest.approx(limit, rel=1e-6)
    else:
        alone = leak * CFM * np.sign(limit + house) * (abs(limit + house) / 50.0) ** 0.65
        assert alone >= supply * CFM - 1e-7


@given(net=flows, limit=st.floats(0.5, 12.0))
def test_a_room_drawn_down_needs_as_much_as_one_blown_up(net, limit):
    up = room_pressure.relief_area.si(net_flow=net * CFM, limit=limit)
    down = room_pressure.relief_area.si(net_flow=-net * CFM, limit=limit)
    assert up == pytest.approx(down, rel=1e-12)
    assert room_pressure.relief_area.si(net_flow=net * CFM, limit=4 * limit) == pytest.approx(up / 2)


@given(required=st.floats(5.0, 250.0), bays=st.integers(1, 4), ratio=st.floats(0.4, 1.0))
def test_each_of_the_three_is_larger_than_what_the_path_replaces(required, bays, ratio):
    path = room_pressure.transfer_path.si(
        required_area=required * SQUARE_INCH, stud_bays=bays, grille_free_area_ratio=ratio
    )
    three = (bays * path.high_grille_area, path.cavity_area, bays * path.low_grille_area)
    assert path.effective_area < min(three)
    assert path.effective_area == pytest.approx(float(np.sum(np.array(three) ** -2.0)) ** -0.5)
    assert path.enough == (path.effective_area >= required * SQUARE_INCH * (1 - 1e-9))
    if path.enough:
        assert path.bays_needed <= bays
        assert min(three) > required * SQUARE_INCH
