"""Clearances of terminals against the codes' lists and the columns of appliance manuals' tables, in both unit systems."""

from dataclasses import replace

import pytest

from hvaclib.errors import HvacError, InputError
from hvaclib.physics import terminations
from hvaclib.physics.terminations import Item, Wall, pairs_too_close
from hvaclib.reference import load

INCH, FOOT = 0.0254, 0.3048

# IFGC 503.8 / NFPA 54 12.9 as read in the US or Canadian column of appliance manuals' tables (ANSI Z223.1/NFPA 54, CSA
# B149.1), exact inches. The 6 in of a direct vent up to 10 000 Btu/h is from memory.
ROWS = [
    ("mechanical draft", "window", 75, "US", {"beside": 48, "below": 48, "above": 12}),
    ("mechanical draft", "door", 30, "US", {"beside": 48, "below": 48, "above": 12}),
    ("mechanical draft", "gravity inlet", 120, "US", {"beside": 48, "below": 48, "above": 12}),
    ("direct vent", "window", 9, "US", {"any direction": 6}),
    ("direct vent", "window", 40, "US", {"any direction": 9}),
    ("direct vent", "door", 50, "US", {"any direction": 9}),
    ("direct vent", "gravity inlet", 60, "US", {"any direction": 12}),
    ("direct vent", "grade", 60, "US", {"above": 12}),
    ("mechanical draft", "grade", 60, "US", {"above": 12}),
    ("mechanical draft", "public walkway", 60, "US", {"above": 84}),
    ("mechanical draft", "forced inlet", 60, "US", {"above, where within 10 ft to the side": 36}),
    ("mechanical draft", "window", 9, "Canada", {"any direction": 6}),
    ("mechanical draft", "window", 100, "Canada", {"any direction": 12}),
    ("mechanical draft", "gravity inlet", 101, "Canada", {"any direction": 36}),
    ("direct vent", "forced inlet", 60, "Canada", {"any direction": 72}),
    ("direct vent", "regulator vent", 60, "Canada", {"any direction": 36}),
    ("direct vent", "public walkway", 60, "Canada", {"above": 84}),
    ("direct vent", "meter", 60, "Canada", {"to each side of its centre line, up to 15 ft above": 36}),
    ("dryer terminal", "window", 0, "US", {"any direction": 36}),  # IRC M1502.3
]


@pytest.mark.parametrize(("terminal", "neighbour", "kbtuh", "column", "expected"), ROWS)
def test_rows_of_the_tables(terminal, neighbour, kbtuh, column, expected):
    for rate in (f"{kbtuh} kBtu/h", f"{kbtuh * 0.29307107} kW"):
        found = terminations.clearances(
            terminal=terminal, neighbour=neighbour, input_rate=rate, column=column
        )
        said = {item.direction: item.distance.to("in").magnitude for item in found.all_that_apply}
        assert said == pytest.approx(expected)
        assert found.main.to("mm").magnitude == pytest.approx(25.4 * max(expected.values()))
        assert all(item.source for item in found.all_that_apply)


def test_what_rests_on_no_source_says_so():
    # the US column says "by local rules": 3 ft is common practice
    found = terminations.clearances(terminal="direct vent", neighbour="meter", input_rate="60 kBtu/h")
    assert "no source" in found.all_that_apply[0].source
    assert found.all_that_apply[0].certainty == "common practice"


def test_a_row_says_what_else_to_know():
    # IFGC (2018) 503.8 item 3: direct vents beyond 150 000 Btu/h by the manufacturer's instructions
    found = terminations.clearances(terminal="direct vent", neighbour="window", input_rate="175 kBtu/h")
    assert "150 000 Btu/h" in found.all_that_apply[0].condition
    assert (
        "snow"
        in terminations.clearances(terminal="direct vent", neighbour="grade").all_that_apply[0].condition
    )


def test_every_row_of_the_table_has_a_passport_and_known_words():
    for row in load("terminations")["rule"]:
        assert set(row["terminals"]) <= set(terminations.TERMINALS)
        assert set(row["neighbours"]) <= set(terminations.NEIGHBOURS)
        assert row["column"] in terminations.COLUMNS
        assert row["shape"] in {"around", "beside", "over", "column", "height"}
    ids = [row["id"] for row in load("terminations")["rule"]]
    assert len(set(ids)) == len(ids)


def terminal(x, y, kind="mechanical draft", rate=60e3, size=4):
    """A terminal with its centre so many inches along and up."""
    return Item(
        "terminal",
        kind,
        (x - size / 2) * INCH,
        (y - size / 2) * INCH,
        size * INCH,
        size * INCH,
        rate * 0.29307107,
    )


WINDOW = Item(
    "window", "window", 200 * INCH, 60 * INCH, 36 * INCH, 48 * INCH
)  # 200 to 236 in along, 60 to 108 up


# IFGC 503.8 item 2 at its limits, terminal 4 in square: the nearest edge 47.9 or 48.1 in from the window's.
@pytest.mark.parametrize(
    ("x", "y", "broken"),
    [(150.1, 80, True), (149.9, 80, False), (285.9, 80, True), (286.1, 80, False), (218, 14.5, True),
     (218, 121.9, True), (218, 122.1, False), (150.1, 122.1, False)],
)  # fmt: skip
def test_four_feet_below_or_beside_or_one_foot_above(x, y, broken):
    wall = Wall(40 * FOOT, 16 * FOOT, (WINDOW, terminal(x, y)))
    found = [item.rule.id for item in pairs_too_close(wall)]
    assert ("mechanical-opening" in found) is broken


def test_four_feet_below_a_high_window_is_enough():
    high = Item("high", "window", 200 * INCH, 100 * INCH, 36 * INCH, 48 * INCH)
    wall = Wall(40 * FOOT, 16 * FOOT, (high, terminal(218, 49)))  # its top at 51 in, 49 in below the sill
    assert pairs_too_close(wall) == ()
    (broken,) = pairs_too_close(wall.with_item(terminal(218, 51)))
    assert broken.direction == "below"
    assert broken.present / INCH == pytest.approx(47)
    assert broken.needed / INCH == pytest.approx(48)


def test_fixing_one_clearance_breaks_another():
    """IFGC 503.8 items 1 and 2: away from the window at the left leads within 10 ft of the forced inlet at the right."""
    inlet = Item("fresh air", "forced inlet", 330 * INCH, 60 * INCH, 8 * INCH, 8 * INCH)
    wall = Wall(40 * FOOT, 9 * FOOT, (WINDOW, inlet))
    by_window = {item.rule.id for item in pairs_too_close(wall.with_item(terminal(190, 40)))}
    by_inlet = {item.rule.id for item in pairs_too_close(wall.with_item(terminal(290, 40)))}
    assert by_window == {"mechanical-opening"}
    assert by_inlet == {"forced-inlet"}


# IFGC 503.8 and the Canadian column: "up to 50 000 Btu/h" holds at 50 000 itself, also when the figure comes from a unit whose
# last digit is rounded up; 14 653.55351 W are 50 000.000005 Btu/h (1055.05585262 J each).
@pytest.mark.parametrize(
    ("rate", "inches"),
    [("14.65355351 kW", 9), ("50 kBtu/h", 9), ("50.01 kBtu/h", 12), ("10 kBtu/h", 6), ("10.01 kBtu/h", 9)],
)
def test_an_input_at_a_limit_counts_as_the_limit(rate, inches):
    found = terminations.clearances(terminal="direct vent", neighbour="window", input_rate=rate)
    assert found.main.to("in").magnitude == pytest.approx(inches)


def test_the_least_move_out_of_a_forced_inlets_reach_may_be_sideways():
    # IFGC 503.8 item 1: 3 ft above within 10 ft; 110 in beside it and level with it, 10 in more beside are the least move
    inlet = Item("fresh air", "forced inlet", 330 * INCH, 60 * INCH, 8 * INCH, 8 * INCH)
    (broken,) = pairs_too_close(Wall(40 * FOOT, 9 * FOOT, (inlet, terminal(330 - 110 - 2, 64))))
    assert (broken.direction, broken.needed / INCH) == ("beside", pytest.approx(120))
    assert broken.present / INCH == pytest.approx(110)


def test_over_a_meter_the_least_move_is_beside_its_centre_line():
    # CSA B149.1: 3 ft to each side of the centre line, to 15 ft above; the edge stands 20 in beside it
    meter = Item("meter", "meter", 200 * INCH, 20 * INCH, 14 * INCH, 16 * INCH)  # its middle at 207 in
    (broken,) = pairs_too_close(Wall(40 * FOOT, 9 * FOOT, (meter, terminal(207 + 22, 60))), "Canada")
    assert (broken.direction, broken.needed / INCH) == ("beside its centre line", pytest.approx(36))
    assert broken.present / INCH == pytest.approx(20)
    assert pairs_too_close(Wall(40 * FOOT, 9 * FOOT, (meter, terminal(207 + 38.1, 60))), "Canada") == ()


def test_the_greatest_lack_comes_first_and_two_terminals_are_one_pair():
    # IFGC 503.8: 48 in beside a window, 40 in there; 12 in above grade, 2 in there: 10 in lack, then 8 in
    low = replace(WINDOW, bottom=40 * INCH)
    wall = Wall(40 * FOOT, 16 * FOOT, (low, terminal(236 + 42, 4)))
    lacks = [(item.needed - item.present) / INCH for item in pairs_too_close(wall)]
    assert lacks == sorted(lacks, reverse=True)
    assert lacks == pytest.approx([10, 8])
    other = replace(terminal(300, 60), name="another")
    (pair,) = pairs_too_close(
        Wall(40 * FOOT, 16 * FOOT, (terminal(290, 60), other))
    )  # the rule holds both ways round
    assert pair.rule.id == "terminals"


@pytest.mark.parametrize(("x", "broken"), [(97.9, False), (98.1, True), (161.9, True), (162.1, False)])
def test_a_walkway_counts_where_it_runs(x, broken):
    # IFGC 503.8: 7 ft above a public walkway that lies below; from 100 to 160 in along, the terminal reaches 2 in to each side
    wall = Wall(40 * FOOT, 16 * FOOT, (terminal(x, 80),), (100 * INCH, 160 * INCH))
    assert ("walkway" in {item.rule.id for item in pairs_too_close(wall)}) is broken


@pytest.mark.parametrize(
    ("left", "bottom", "fits"),
    [
        (0.0, 0.0, True),
        (4.0, 2.0, True),
        (-0.001, 1.0, False),
        (4.001, 1.0, False),
        (1.0, -0.001, False),
        (1.0, 2.001, False),
    ],
)
def test_a_thing_lies_within_every_edge_of_its_wall(left, bottom, fits):
    def build():
        return Wall(5.0, 3.0, (Item("thing", "door", left, bottom, 1.0, 1.0),))

    if fits:
        assert len(build().items) == 1
    else:
        with pytest.raises(InputError, match="thing: this does not lie in the wall"):
            build()


def test_a_dryer_too_near_a_window_is_found_without_a_new_terminal():
    dryer = Item("dryer", "dryer terminal", 240 * INCH, 40 * INCH, 6 * INCH, 6 * INCH)
    (broken,) = pairs_too_close(Wall(40 * FOOT, 9 * FOOT, (WINDOW, dryer)))
    assert broken.rule.id == "dryer-opening"
    assert broken.present / INCH == pytest.approx((4**2 + 14**2) ** 0.5)  # corner to corner


WRONG = [
    ({"terminal": "balloon", "neighbour": "window"}, "direct vent"),
    ({"terminal": "direct vent", "neighbour": "cat flap"}, "gravity inlet"),
    ({"terminal": "direct vent"}, "neighbour"),
    ({"terminal": "direct vent", "neighbour": "window", "input_rate": "-1 kBtu/h"}, "negative"),
    ({"terminal": "direct vent", "neighbour": "window", "input_rate": "40"}, "unit"),
    ({"terminal": "direct vent", "neighbour": "window", "column": "Mars"}, "Canada"),
    ({"terminal": "dryer terminal", "neighbour": "grade"}, "no distance between"),
    ({"terminal": "direct vent", "neighbour": "window", "size": "4 in"}, "no argument"),
]


@pytest.mark.parametrize(("arguments", "part"), WRONG)
def test_bad_input_gets_one_sentence(arguments, part):
    with pytest.raises(HvacError, match=part):
        terminations.clearances(**arguments)


@pytest.mark.parametrize(
    ("build", "part"),
    [
        (lambda: Wall(0.0, 3.0, ()), "a wall needs"),
        (lambda: Wall(5.0, 3.0, (WINDOW,)), "window"),
        (lambda: Wall(12.0, 4.0, (WINDOW, WINDOW)), "one name"),
        (lambda: Wall(5.0, 3.0, (Item("flat", "door", 1.0, 0.0, 0.0, 2.0),)), "flat"),
        (lambda: Wall(5.0, 3.0, (Item("nowhere", "door", float("nan"), 0.0, 1.0, 2.0),)), "nowhere"),
    ],
)
def test_a_wall_that_cannot_be_is_refused(build, part):
    with pytest.raises(InputError, match=part):
        build()
