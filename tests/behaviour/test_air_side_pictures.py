"""Charts of the air side in many states: no word leaves its sheet, no curve leaves its frame, numbers are drawn where they are."""

import itertools

import numpy as np
import pytest

from hvaclib.boards.rise import RiseBoard
from hvaclib.boards.rise.page import lines_of
from hvaclib.boards.static import StaticBoard
from hvaclib.boards.static.pictures import curves_of, path_of
from hvaclib.errors import InputError
from hvaclib.house.demo import demo_dwellings
from hvaclib.plots.air_path import AirPath, Hole, Part, air_path_chart
from hvaclib.plots.letters import label_box
from hvaclib.plots.marks import Marks
from hvaclib.plots.moves import signed
from hvaclib.plots.operating_point import operating_chart
from hvaclib.plots.pointers import arrow, between, key_row, key_rows
from hvaclib.plots.rise import rise_chart
from hvaclib.plots.style import CHART_SHEETS

WIDTHS = list(itertools.product(("wide", "narrow"), ("field", "si")))


def on_its_sheet(picture):
    for label in picture.marks.labels:
        left, bottom, right, top = label_box(label)
        assert left >= 0.0, label.text
        assert bottom >= -1.0, label.text
        assert right <= picture.sheet.width, label.text
        assert top <= picture.sheet.height + 1.0, label.text
    for stroke in picture.marks.strokes:
        for x, y in stroke.points:
            assert -1.0 <= x <= picture.sheet.width + 1.0
            assert -1.0 <= y <= picture.sheet.height + 1.0


@pytest.mark.parametrize("house", list(demo_dwellings()))
def test_rise_charts_keep_their_words(house):
    board = RiseBoard()
    for airflow, altitude, in_sight in itertools.product((1.0, 0.5, 2.0), (0.0, 2500.0), (False, True)):
        board.house = house
        board.airflow, board.altitude, board.in_sight = (
            airflow * board.default_of("airflow"),
            altitude,
            in_sight,
        )
        assert board.refresh()
        for width, system in WIDTHS:
            on_its_sheet(rise_chart(lines_of(board.outputs, system), width, system))


@pytest.mark.parametrize("house", list(demo_dwellings()))
def test_crossing_and_path_keep_their_words(house):
    board = StaticBoard()
    board.house = house
    taps = list(board.options["tap"])
    for tap, loaded, typed in itertools.product(taps, (1.0, 4.0), (False, True)):
        board.tap, board.filter_loaded = tap, loaded
        pressures = (-20.0, -60.0, 50.0, 20.0) if typed else (None,) * 4
        with board.held():
            board.hole_1, board.hole_2, board.hole_3, board.hole_4 = pressures
        assert board.refresh(), board.blockers
        for width, system in WIDTHS:
            on_its_sheet(operating_chart(curves_of(board.outputs), width, system))
            on_its_sheet(air_path_chart(path_of(board.outputs), width, system))


def test_the_same_picture_height_whatever_is_changed():
    board = StaticBoard()
    heights = []
    for loaded in (1.0, 3.0):
        board.filter_loaded = loaded
        assert board.refresh()
        heights.append([p.picture.sheet.height for p in board.page().pictures])
    assert heights[0] == heights[1]


def test_a_profile_that_does_not_fit_its_parts_is_refused():
    parts, holes = [Part("filter", "filter"), Part("coil", "coil")], [Hole(1, 0), Hole(2, 1), Hole(3, 2)]
    with pytest.raises(InputError, match="3 pressures"):
        AirPath(parts, [0.0, -10.0], holes, (2, 3))
    with pytest.raises(InputError, match="finite"):
        AirPath(parts, [0.0, np.nan, 10.0], holes, (2, 3))


def test_a_name_from_a_file_is_escaped():
    holes = [Hole(1, 0), Hole(2, 1), Hole(3, 2), Hole(4, 2)]
    path = AirPath([Part("<b>&coil", "coil"), Part("odd", "no such kind")], [0.0, -5.0, 4.0], holes, (2, 3))
    svg = air_path_chart(path).svg()
    assert "<b>" not in svg
    assert "&lt;b&gt;&amp;coil" in svg


def test_changes_carry_their_sign():
    # 5 K are 9 °F (definition of the degree Fahrenheit)
    assert signed(5.0, "field") == "+9.0"
    assert signed(-5.0, "si") == "−5.0"
    assert signed(0.001, "field") == "0"


def test_arrows_end_where_they_point_and_short_ones_are_ticks():
    marks = Marks()
    arrow(marks, (10.0, 10.0), (10.0, 60.0))
    assert (10.0, 60.0) in [tuple(corner) for corner in marks.polygons[0].corners]
    arrow(marks, (10.0, 10.0), (10.0, 10.5))
    assert len(marks.polygons) == 1
    between(marks, (0.0, 0.0), (5.0, 0.0))
    assert len(marks.polygons) == 1


def test_the_key_takes_as_many_rows_as_were_counted():
    sheet = CHART_SHEETS["narrow"]
    entries = [(f"line of the chart {i}", "#000000", 2.0, None) for i in range(5)]
    marks = Marks()
    low = key_row(marks, sheet, (10.0, 300.0), entries, sheet.width - 10.0)
    assert round((300.0 - low) / (1.5 * sheet.small)) + 1 == key_rows(sheet, entries, sheet.width - 20.0)
