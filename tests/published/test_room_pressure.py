"""Room pressure against published sizing charts, in both unit systems; geometry against arithmetic on paper."""

import numpy as np
import pytest

from hvaclib.errors import InputError
from hvaclib.physics import room_pressure
from hvaclib.physics.room_pressure.crack import latch_strip, wedge

SQUARE_INCH = 6.4516  # cm², exact
CFM = 0.4719474432  # L/s, exact

# BSC RR-0005 (2004), transfer grille sizing at 3 Pa, door 32 in. wide with 0.5 in. of undercut (16 in²), free area 75 %
# of the face: supply in cfm; free area; free area after the undercut; grille heights for widths of 10, 12 and 14 in.;
# jump duct diameter. The report's constant is 1.07, ours 1.0747: 0.5 % of the free area, more of what is left of it.
CHART = [
    (50, 27.0, 11.0, (1.5, 1.2, 1.0), 3.7),
    (100, 54.0, 38.0, (5.1, 4.2, 3.6), 7.0),
    (125, 67.4, 51.4, (6.9, 5.7, 4.9), 8.1),
    (175, 94.4, 78.4, (10.5, 8.7, 7.5), 10.0),
    (225, 121.4, 105.4, (14.1, 11.7, 10.0), 11.6),
    (250, 134.9, 118.9, (15.9, 13.2, 11.3), 12.3),
    (300, 161.9, 145.9, (19.4, 16.2, 13.9), 13.6),
    (350, 188.9, 172.9, (23.0, 19.2, 16.5), 14.8),
]


@pytest.mark.parametrize(("supply", "free", "left", "heights", "duct"), CHART)
def test_transfer_grille_chart(supply, free, left, heights, duct):
    needed = room_pressure.relief_area(net_flow=f"{supply} cfm", limit="3 Pa").to("sq_in").magnitude
    assert needed == pytest.approx(free, rel=6e-3)
    metric = room_pressure.relief_area(net_flow=f"{supply * CFM} L/s", limit="3 Pa").to("cm^2").magnitude
    assert metric == pytest.approx(free * SQUARE_INCH, rel=6e-3)
    shut = room_pressure.door_crack_area(
        gap="0 in", door_width="32 in", door_height="80 in", undercut="0.5 in"
    )
    assert shut.to("sq_in").magnitude == pytest.approx(16.0)
    after = needed - shut.to("sq_in").magnitude
    assert after == pytest.approx(left, abs=6e-3 * free)
    for width, height in zip((10, 12, 14), heights, strict=True):
        # heights are printed to a tenth of an inch
        assert after / 0.75 / width == pytest.approx(height, abs=0.05 + 6e-3 * free / 0.75 / width)
    diameter = room_pressure.jump_duct_diameter(required_area=f"{left} sq in").to("inch").magnitude
    assert diameter == pytest.approx(duct, abs=0.055)


@pytest.mark.parametrize(("supply", "free"), [(row[0], row[1]) for row in CHART])
def test_a_room_with_the_charts_area_lies_at_3_pa(supply, free):
    # the chart read backwards; 1.2 % because the pressure goes with the square
    pressure = room_pressure.closed_door_pressure(supply=f"{supply} cfm", relief_area=f"{free} sq in")
    assert pressure.to("Pa").magnitude == pytest.approx(3.0, rel=1.2e-2)
    drawn = room_pressure.closed_door_pressure(
        supply="13 cfm", return_=f"{supply + 13} cfm", relief_area=f"{free} sq in"
    )
    assert drawn.to("Pa").magnitude == pytest.approx(-3.0, rel=1.2e-2)


def test_two_and_a_half_pascals_are_a_hundredth_of_an_inch():
    # Florida building code 2003, 601.4: a room against the space of the return, 0.01 in. w.c. (2.5 Pa);
    # 1.07 A √Δp of BSC RR-0005 gives 88.7 in² for 150 cfm
    by_code = room_pressure.relief_area(net_flow="150 cfm", limit="0.01 in. w.c.").to("sq_in").magnitude
    assert by_code == pytest.approx(150 / (1.07 * 2.491**0.5), rel=6e-3)
    rounded = room_pressure.relief_area(net_flow="150 cfm", limit="2.5 Pa").to("sq_in").magnitude
    assert by_code == pytest.approx(rounded, rel=3e-3)


def test_half_an_inch_of_undercut_passes_what_the_formula_says():
    # BSC RR-0005 formula for 16 in² at 3 Pa: 29.7 cfm, found in the reference list; a door measured in a tight house
    # passed about 80 cfm, because its other cracks leak too
    pressure = room_pressure.closed_door_pressure(supply="29.7 cfm", relief_area="16 sq in")
    assert pressure.to("Pa").magnitude == pytest.approx(3.0, rel=1.2e-2)


def test_quarter_inch_undercuts_explain_the_pressures_found_in_bedrooms():
    # Trade-magazine field note, 30 July 2011: bedrooms with 1/4 in. undercut, supply under 100 cfm with the door closed:
    # 20 to 28 Pa. With 30 in. doors the undercut alone (7.5 in²) would give over 100 Pa; some 11 in² more of cracks
    # round the door and in the walls are in the range that doors are given here.
    alone = room_pressure.closed_door_pressure(supply="95 cfm", relief_area="7.5 sq in").to("Pa").magnitude
    assert alone > 100
    cracks = room_pressure.closed_door_pressure(supply="95 cfm", relief_area="18.5 sq in").to("Pa").magnitude
    assert 20 <= cracks <= 28


def test_crack_of_a_door_by_arithmetic():
    # 1.25 in. at the latch of a 31 × 79 in. door with 5/8 in. below it, by hand:
    # 1.25·79 = 98.75, two triangles of 1.25·31/2 = 19.375, 0.625·31 = 19.375
    crack = room_pressure.door_crack_area(
        gap="1.25 in", door_width="31 in", door_height="79 in", undercut="0.625 in"
    )
    assert crack.to("sq_in").magnitude == pytest.approx(98.75 + 2 * 19.375 + 19.375)
    metric = room_pressure.door_crack_area(
        gap="31.75 mm", door_width="787.4 mm", door_height="2006.6 mm", undercut="15.875 mm"
    )
    assert metric.to("cm^2").magnitude == pytest.approx((98.75 + 2 * 19.375 + 19.375) * SQUARE_INCH)


@pytest.mark.parametrize(("share", "overstated"), [(0.2, 0.005), (1.0, 0.155)])
def test_the_cosine_left_out_costs_what_the_notes_say(share, overstated):
    # the true triangle by the vertices of the door: hinge, jamb, latch edge (shoelace formula)
    width = 0.76
    half = np.arcsin(share / 2)
    latch = width * np.array([np.cos(2 * half), np.sin(2 * half)])
    true = 0.5 * abs(width * latch[1])
    assert np.hypot(width - latch[0], latch[1]) == pytest.approx(share * width)
    assert wedge(share * width, width) / true - 1 == pytest.approx(overstated, abs=6e-4)
    assert latch_strip(0.03, 2.0) == pytest.approx(0.06)


# By hand: two grilles and a cavity in series, 1/A² = Σ 1/Ai². Cavity 14.5 × 3.5 = 50.75 in² a bay (common practice, no
# source), grilles of 75 % free area (BSC RR-0005).
# 30 in² in one bay: two grilles of 52.60 in² needed; 14 × 6 in has 63.0 and makes 33.48 in².
# 60 in² in one bay: more than the cavity itself; two bays with 30 in² each do it.
# 170 in²: not even three bays.
@pytest.mark.parametrize(
    ("required", "bays", "grille", "needed", "effective", "enough", "bays_needed"),
    [
        (30, 1, "14 x 6 in", 52.601, 33.479, True, 1),
        (60, 1, "14 x 30 in", 0.0, 49.482, False, 2),
        (60, 2, "14 x 6 in", 52.601, 66.959, True, 2),
        (170, 3, "14 x 30 in", 0.0, 148.446, False, 0),
    ],
)
def test_three_restrictions_in_series_by_hand(required, bays, grille, needed, effective, enough, bays_needed):
    path = room_pressure.transfer_path(required_area=f"{required} sq in", stud_bays=bays)
    assert path.grille == grille
    assert path.needed_grille_area.to("sq_in").magnitude == pytest.approx(needed, abs=2e-3)
    assert path.effective_area.to("sq_in").magnitude == pytest.approx(effective, abs=2e-3)
    assert path.cavity_area.to("sq_in").magnitude == pytest.approx(50.75 * bays)
    assert (path.enough, path.bays_needed) == (enough, bays_needed)
    assert bool(path.next_remedy) != enough
    if required == 170:
        assert "jump duct of 16 in" in path.next_remedy  # √(4·170/π) = 14.7 in.
        assert "return" in path.next_remedy
    elif not enough:
        assert path.next_remedy.startswith("2 stud bays")


@pytest.mark.parametrize(
    ("call", "arguments", "said"),
    [
        ("relief_area", {"net_flow": "0 cfm", "limit": "3 Pa"}, "no flow to relieve"),
        ("relief_area", {"net_flow": "90 cfm", "limit": "0 Pa"}, "above zero"),
        ("closed_door_pressure", {"supply": "0 cfm", "relief_area": "9 sq in"}, "no air is blown"),
        ("closed_door_pressure", {"supply": "60 cfm", "relief_area": "0 sq in"}, "no way out"),
        ("door_crack_area", {"gap": "31 in", "door_width": "30 in", "door_height": "80 in"}, "gap is larger"),
        (
            "door_crack_area",
            {"gap": "1 in", "door_width": "36 in", "door_height": "80 in", "frame_width": "30 in"},
            "wider than its frame",
        ),
        (
            "door_crack_area",
            {"gap": "1 in", "door_width": "30 in", "door_height": "80 in", "undercut": "-0.5 in"},
            "must not be negative",
        ),
        ("transfer_path", {"required_area": "30 sq in", "stud_bays": 0}, "needs a stud bay"),
        ("transfer_path", {"required_area": "0 sq in", "stud_bays": 2}, "above zero"),
    ],
)
def test_wrong_input_is_refused_in_one_sentence(call, arguments, said):
    with pytest.raises(InputError, match=said) as refused:
        getattr(room_pressure, call)(**arguments)
    text = str(refused.value)
    assert text.endswith(".")
    assert "\n" not in text
    assert any(name in text for name in arguments)
