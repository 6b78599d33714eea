"""The static board's model: the crossing before and after, four holes, which part is out of line, refusals."""

import numpy as np
import pytest

from hvaclib.boards.static import StaticBoard
from hvaclib.boards.static.answer import BEFORE, NOW
from hvaclib.boards.static.pictures import curves_of, path_of
from hvaclib.errors import FileError
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import dwelling_text, read_dwelling
from hvaclib.plots.air_path import air_path_chart
from hvaclib.plots.operating_point import operating_chart
from hvaclib.units import kinds, parse_si

HOLES = ("hole_1", "hole_2", "hole_3", "hole_4")
INCH = parse_si("1 in. w.c.", kinds.GAUGE_PRESSURE)


@pytest.fixture
def board():
    return StaticBoard()


def answered(board):
    assert board.refresh(), board.blockers
    return board.page()


def point(board, column=NOW):
    state = board.outputs.state
    return float(state.flow[column]), float(state.external_static[column]), float(state.rise[column])


def type_profile(board, pressures):
    with board.held():
        for name, pressure in zip(HOLES, pressures, strict=True):
            setattr(board, name, pressure)


def test_the_demo_with_too_much_static_fails_and_says_what_to_check(board):
    assert board.house == "blocked_vent"
    page = answered(board)
    assert page.verdict == "fail"
    assert page.answer[0].startswith("No: the total external static pressure of")
    assert "Check in this order: 1. air filter" in page.answer[-1]
    assert "power off" in page.cautions[0]
    board.house = "passes"
    page = answered(board)
    assert page.verdict == "pass"
    assert page.answer[0].startswith("Yes")


def test_the_point_lies_on_both_curves(board):
    for name in demo_dwellings():
        board.house = name
        answered(board)
        data = curves_of(board.outputs)
        flow, static, _ = point(board)
        assert np.interp(flow, data.ducts.flow, data.ducts.static) == pytest.approx(static, rel=2e-3)
        order = np.argsort(data.fan.static, kind="stable")
        on_fan = np.interp(static, data.fan.static[order], data.fan.flow[order])
        assert on_fan == pytest.approx(flow, rel=1e-6)


def test_a_loaded_filter_moves_the_point_up_the_fan_curve(board):
    answered(board)
    before = point(board)
    board.filter_loaded = 3.0
    page = answered(board)
    flow, static, rise = point(board)
    assert flow < before[0]
    assert static > before[1]
    # the heat goes into less air: rise times airflow stays (energy balance, same density)
    assert rise * flow == pytest.approx(before[2] * before[0])
    assert point(board, BEFORE) == pytest.approx(before)
    assert page.answer[1].startswith("With filter loss 3 times: ")
    assert "Before: " in page.answer[1]


def test_remedies_lower_the_static_pressure_and_raise_the_airflow(board):
    answered(board)
    before = point(board)
    for name, value in (("filter_area", 2.0), ("coil", 0.5), ("registers", 1.5), ("drop_width", 0.6)):
        setattr(board, name, value)
        answered(board)
        flow, static, _ = point(board)
        assert flow > before[0], name
        assert static < before[1], name
        setattr(board, name, board.default_of(name))
    board.filter_area, board.coil = 2.0, 0.5
    answered(board)
    rows = board.page().tables[0].rows
    assert [row["variant"] for row in rows][-2:] == [
        "filter of 2 times the area alone",
        "coil loss 0.5 times alone",
    ]
    assert point(board)[0] > max(float(v) for v in board.outputs.state.flow[NOW + 1 :])


def test_a_faster_tap_is_no_cure(board):
    board.house = "passes"
    answered(board)
    before = point(board)
    board.tap = "high"
    answered(board)
    flow, static, rise = point(board)
    assert flow > before[0]
    assert static > before[1]
    assert rise < before[2]
    board.tap = "low"
    answered(board)
    assert point(board)[1] < before[1]


def test_a_blower_that_holds_its_airflow(board):
    board.house = "closed_bedrooms"
    page = answered(board)
    before = point(board)
    assert any("holds its airflow" in line for line in page.answer)
    board.filter_loaded = 1.5
    answered(board)
    flow, static, _ = point(board)
    assert flow == pytest.approx(before[0], rel=1e-6)
    assert static > before[1]


@pytest.mark.parametrize(
    ("name", "segment"),
    [("filter_loaded", "filter"), ("coil", "coil"), ("registers", "supply duct")],
)
def test_a_degraded_part_is_named_from_its_profile(board, name, segment):
    board.house = "passes"
    setattr(board, name, 0.4 if name == "registers" else 3.0)
    answered(board)
    profile = [float(v) for v in board.outputs.state.holes[:, NOW]]
    setattr(board, name, 1.0)
    type_profile(board, profile)
    page = answered(board)
    assert board.outputs.identification.named == segment
    assert any(line.startswith(f"Out of line: the {segment}") for line in page.answer)
    odd = [part.name for part in path_of(board.outputs).parts if part.out_of_line]
    assert odd == list(next(s for s in board.outputs.identification.segments if s.name == segment).components)
    assert page.tables[0].title == "Measured against design, stretch by stretch"


def test_an_unchanged_profile_names_nothing(board):
    board.house = "passes"
    answered(board)
    type_profile(board, [float(v) for v in board.outputs.state.holes[:, NOW]])
    page = answered(board)
    assert board.outputs.identification.named == ""
    assert board.outputs.measured_flow == pytest.approx(point(board)[0], rel=1e-3)
    assert any("No stretch" in line for line in page.answer)


def test_two_readings_give_the_total(board):
    board.hole_2, board.hole_3 = -0.30 * INCH, 0.25 * INCH
    page = answered(board)
    assert board.outputs.measured_total == pytest.approx(0.55 * INCH)
    assert "0.55 in. w.c. (from two readings)" in page.answer[0]
    assert any("all four holes" in line for line in page.answer)


@pytest.mark.parametrize(
    ("pressures", "part"),
    [
        ((None, 0.4, 0.3, None), "hoses or signs may be exchanged"),
        ((None, -3.0, 0.9, None), "above the fan's shut-off"),
        ((0.1, -0.3, 0.3, 0.1), "hole 1"),
    ],
)
def test_impossible_readings_get_one_sentence_and_the_pictures_stay(board, pressures, part):
    answered(board)
    type_profile(board, [None if p is None else p * INCH for p in pressures])
    assert not board.refresh()
    assert len(board.blockers) == 1
    assert part in board.blockers[0]
    assert len(board.page().pictures) == 2


def test_a_fan_table_that_rises_is_refused_with_the_file(board):
    text = demo_dwellings()["passes"].read_text(encoding="utf-8")
    rows = [
        line for line in text.splitlines() if "cfm" in line and "in. w.c." in line and line.count("[") > 2
    ]
    assert rows, "the demo has fan tables in one line each"
    pairs = rows[0].split("], [")
    assert len(pairs) > 2
    pairs[1], pairs[2] = (
        pairs[1].split(", ")[0] + ", " + pairs[2].split(", ")[1],
        pairs[2].split(", ")[0] + ", " + pairs[1].split(", ")[1],
    )
    with pytest.raises(FileError, match="fall"):
        board.receive("dwelling", "rising.toml", text.replace(rows[0], "], [".join(pairs)).encode())


def test_a_file_without_ducts_says_what_is_missing(board):
    dwelling = read_dwelling(demo_dwellings()["passes"])
    bare = dwelling.air_handler.model_copy(update={"fan": None, "components": ()})
    board.receive("dwelling", "bare.toml", dwelling_text(dwelling.changed(air_handler=bare)).encode())
    assert not board.refresh()
    assert "blower's table" in board.blockers[0]
    assert "parts of the ducts" in board.blockers[0]


def test_link_units_and_reset(board):
    board.filter_loaded, board.tap, board.hole_2, board.system = 2.0, "low", -60.0, "si"
    other = StaticBoard()
    assert other.from_link(board.to_link()) == []
    assert (other.tap, other.hole_2) == ("low", pytest.approx(-60.0))
    page = answered(other)
    assert "Pa" in page.answer[0]
    assert "in. w.c." not in " ".join(p.picture.words for p in page.pictures)
    other.reset()
    assert other.hole_2 is None
    assert not other.refresh() or not other.outputs.changed


@pytest.mark.parametrize("width", ["wide", "narrow"])
def test_pictures_speak_and_stay_legible(board, width):
    board.filter_loaded = 2.0
    type_profile(board, [-0.15 * INCH, -0.45 * INCH, 0.25 * INCH, 0.1 * INCH])
    answered(board)
    crossing = operating_chart(curves_of(board.outputs), width)
    path = air_path_chart(path_of(board.outputs), width)
    assert "Measured: " in crossing.words
    assert "hole 2" in path.words
    assert "measured" in path.words
    for picture in (crossing, path):
        assert min(mark.size for mark in picture.marks.labels) >= 11.0
        assert ".." not in picture.words
    assert {mark.text for mark in path.marks.labels} >= {"1", "2", "3", "4", "room"}
