"""The map of allowed places against a brute-force test of single points, written anew from the table's own inches."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib.physics.terminations import Item, Wall, allowed_region, is_allowed, judge_wall, pairs_too_close
from hvaclib.reference import load

INCH, BTUH = 0.0254, 0.29307107017
KINDS = ("window", "door", "gravity inlet", "forced inlet", "appliance inlet", "dryer terminal", "meter",
         "regulator vent", "direct vent", "mechanical draft", "fixed window")  # fmt: skip
OPENINGS = KINDS[:4]  # the first item of each wall is one of these, so that no run is without its rules
NEAR = 1e-6  # in: at the very edge either answer is right


def margin(rule, one, other):
    """How far (in) two boxes are out of a rule's reach; negative within it. Boxes: middle and half sizes, in inches."""
    dx, dy = one[0] - other[0], one[1] - other[1]
    side = abs(dx) - one[2] - other[2]
    over, under = dy - one[3] - other[3], -dy - one[3] - other[3]
    if rule["shape"] == "around":
        px, py = max(side, 0), max(over, under, 0)  # the box shrunk to a point, the other grown by its size
        return math.sqrt(px * px + py * py) - rule["value"]
    if rule["shape"] == "beside":
        return max(side - rule["value"], under - rule["below"], over - rule["above"])
    if rule["shape"] == "over":
        return max(side - rule["within"], over - rule["value"])
    if rule["shape"] == "column":
        return max(abs(dx) - one[2] - rule["value"], over - rule["height"], -(over + 2 * one[3]))
    return max(side, over - rule["value"])


def holds(rule, kind, other, rate, column):
    return (
        kind in rule["terminals"] and other in rule["neighbours"] and rule["column"] == column
        and rule.get("over", -1) < rate <= rule.get("up_to", math.inf)
    )  # fmt: skip


def least_margin(wall, kind, rate, column, x, y, half):
    """The smallest margin (in) of one place of a terminal's centre over every rule, the wall's edges and overlaps."""
    width, height, items = wall
    here = (x, y, half, half)
    margins = [x - half, width - x - half, y - half, height - y - half]
    ground = [("grade", (width / 2, 0, width / 2, 0), 0)]
    for other, box, other_rate in [*items, *ground]:
        if other != "grade":
            margins.append(max(abs(x - box[0]) - half - box[2], abs(y - box[1]) - half - box[3]))
        for rule in load("terminations")["rule"]:
            if holds(rule, kind, other, rate, column):
                margins.append(margin(rule, here, box))
            if holds(rule, other, kind, other_rate, column):
                margins.append(margin(rule, box, here))
    return min(margins)


@st.composite
def walls(draw):
    """Width and height in inches, and items as kind, box and Btu/h; sizes in whole tenths of an inch."""
    width, height = draw(st.integers(60, 600)), draw(st.integers(60, 240))
    items = []
    for number in range(draw(st.integers(2, 6))):
        half_w = draw(st.integers(10, 250)) / 10
        half_h = draw(st.integers(10, 250)) / 10
        x = half_w + draw(st.integers(0, 1000)) / 1000 * (width - 2 * half_w)
        y = half_h + draw(st.integers(0, 1000)) / 1000 * (height - 2 * half_h)
        items.append(
            (
                draw(st.sampled_from(KINDS if number else OPENINGS)),
                (x, y, half_w, half_h),
                draw(st.sampled_from([0, 8e3, 40e3, 120e3])),
            )
        )
    return width, height, items


def built(wall):
    width, height, items = wall
    things = [
        Item(f"{kind} {n}", kind, (x - w) * INCH, (y - h) * INCH, 2 * w * INCH, 2 * h * INCH, rate * BTUH)
        for n, (kind, (x, y, w, h), rate) in enumerate(items)
    ]
    return Wall(width * INCH, height * INCH, tuple(things))


every = pytest.mark.parametrize(
    ("kind", "column"),
    [
        ("mechanical draft", "US"),
        ("direct vent", "US"),
        ("mechanical draft", "Canada"),
        ("direct vent", "Canada"),
    ],
)


@every
@settings(max_examples=75, deadline=None)
@given(wall=walls(), rate=st.sampled_from([9e3, 10e3, 30e3, 50e3, 80e3, 140e3]), half=st.integers(10, 80))
def test_the_map_is_the_point_test(kind, column, wall, rate, half):
    half /= 10
    new = Item("new", kind, 0.0, 0.0, 2 * half * INCH, 2 * half * INCH, rate * BTUH)
    region = allowed_region(built(wall), new, step=0.9, column=column)
    for row, y in enumerate(region.y / INCH):
        for col, x in enumerate(region.x / INCH):
            least = least_margin(wall, kind, rate, column, x, y, half)
            if abs(least) > NEAR:
                assert region.allowed[row, col] == (least > 0), (x, y, least)


@every
@settings(max_examples=75, deadline=None)
@given(wall=walls(), place=st.tuples(st.floats(0.02, 0.98), st.floats(0.02, 0.98)))
def test_an_allowed_place_adds_no_pair_and_a_forbidden_one_does(kind, column, wall, place):
    here = built(wall)
    size = 4 * INCH
    x, y = (
        size / 2 + share * (side - size) for share, side in zip(place, (here.width, here.height), strict=True)
    )
    new = Item("new", kind, 0.0, 0.0, size, size, 60e3 * BTUH)
    allowed = bool(is_allowed(here, new, x, y, column))
    broken = [
        item for item in pairs_too_close(here.with_item(new.at(x, y)), column)
        if "new" in (item.terminal.name, item.neighbour.name)
    ]  # fmt: skip
    covers = any(
        abs(x - item.centre[0]) < (size + item.width) / 2
        and abs(y - item.centre[1]) < (size + item.height) / 2
        for item in here.items
    )
    assert allowed == (not broken and not covers)
    for item in broken:
        assert item.present < item.needed


def test_a_grid_over_the_wall_has_its_corners():
    region = allowed_region(Wall(6.0, 3.0, ()), Item("new", "direct vent", 0, 0, 0.1, 0.1, 1e4), step=0.07)
    assert (region.x[0], region.x[-1], region.y[0], region.y[-1]) == (0.0, 6.0, 0.0, 3.0)
    assert np.diff(region.x).max() <= 0.07
    assert 0.5 < region.share < 0.95
    # 12 in above grade (IFGC 503.8): the lowest allowed centre of a 0.1 m terminal
    assert region.y[region.allowed.any(axis=1)][0] == pytest.approx(0.3048 + 0.05, abs=0.07)


def test_the_share_of_a_bare_wall_is_that_of_its_area():
    # plane geometry: the centre of a box of 0.2 m in a wall of 5 m × 3 m, at least 12 in above grade (IFGC 503.8 item 3)
    wall, new = Wall(5.0, 3.0, ()), Item("new", "direct vent", 0, 0, 0.2, 0.2, 1e4)
    exact = 4.8 * (3.0 - 0.1 - 0.1 - 12 * INCH) / 15.0
    shares = [allowed_region(wall, new, step=step).share for step in (0.031, 0.011)]
    assert shares == pytest.approx([exact, exact], abs=0.012)
    assert abs(shares[1] - exact) < 0.006
    # no rule and no size: everywhere, the edges included
    assert allowed_region(wall, Item("new", "fixed window", 0, 0, 1e-12, 1e-12)).share == pytest.approx(1.0)


@settings(max_examples=60, deadline=None)
@given(
    wall=walls(),
    place=st.tuples(st.floats(0.02, 0.98), st.floats(0.02, 0.98)),
    kind=st.sampled_from(KINDS[-3:]),
)
def test_a_judged_wall_agrees_with_its_own_parts(wall, place, kind):
    here, size = built(wall), 4 * INCH
    at = tuple(
        size / 2 + share * (side - size) for share, side in zip(place, (here.width, here.height), strict=True)
    )
    judged = judge_wall(here, Item("new", kind, 0.0, 0.0, size, size, 60e3 * BTUH), at=at, step=0.11)
    assert judged.stands == (not judged.own and not judged.covered)
    assert judged.met == (not judged.lacks and not judged.covered)
    assert set(judged.own) | set(judged.others) == set(judged.lacks)
    if judged.stands:
        assert judged.nearest == pytest.approx(at)
    elif judged.nearest is not None:
        there = judge_wall(here, judged.terminal, at=judged.nearest)
        assert there.stands
        away = [math.dist(at, (x, y)) for r, y in enumerate(judged.region.y) for c, x in enumerate(judged.region.x)
                if judged.region.allowed[r, c]]  # fmt: skip
        assert math.dist(at, judged.nearest) == pytest.approx(min(away))
    else:
        assert not judged.region.allowed.any()


def test_a_wall_without_a_terminal_has_neither_place_nor_map():
    judged = judge_wall(
        Wall(5.0, 3.0, (Item("a", "window", 1, 1, 1, 1), Item("b", "dryer terminal", 2.1, 1, 0.1, 0.1)))
    )
    assert (judged.stands, judged.nearest, judged.region, judged.own) == (None, None, None, ())
    assert len(judged.others) == 1  # IRC M1502.3: 3 ft
    assert not judged.met
