"""Inputs of a board whose options come from the data, and readings that may be left empty."""

import pytest

from hvaclib.boards.base import BoardModel, BoardView, MemberChoice, Number, Page, Typed
from hvaclib.errors import InputError, UnitError
from hvaclib.units import kinds


class Furnace(BoardModel):
    name = "furnace"
    tap = MemberChoice(label="Tap", group="Fan")
    hole = Typed(kinds.GAUGE_PRESSURE, low="-4 in. w.c.", high="4 in. w.c.", label="Hole 1", group="Measured")

    def compute(self, inputs):
        return inputs.tap, inputs.hole

    def present(self, inputs, outputs, later):
        del inputs, later
        return Page(answer=[str(outputs)])


@pytest.fixture
def furnace():
    model = Furnace()
    model.set_options("tap", {"low": "low speed", "high": "high speed"}, "low")
    return model


def test_options_come_from_the_data_and_follow_it(furnace):
    view = BoardView(furnace)
    drop = view.controls["tap"].list
    assert drop.options == (("low speed", "low"), ("high speed", "high"))
    drop.value = "high"
    assert furnace.tap == "high"
    furnace.set_options("tap", {"one": "1", "two": "2"}, "two")
    assert drop.options == (("1", "one"), ("2", "two"))
    assert drop.value == "two"
    furnace.tap = "one"
    furnace.reset()
    assert furnace.tap == "two"


def test_a_choice_that_is_not_there_is_refused(furnace):
    with pytest.raises(InputError, match="one of: low, high"):
        furnace.tap = "turbo"
    assert furnace.tap == "low"
    assert Furnace().tap == ""


def test_a_reading_may_be_left_empty(furnace):
    view = BoardView(furnace)
    box = view.controls["hole"].text
    assert box.value == ""
    assert furnace.hole is None
    box.value = "-0.25"
    assert furnace.hole == pytest.approx(-0.25 * 249.0889, rel=1e-4)  # 1 in. w.c. = 249.0889 Pa, NIST SP 811
    furnace.system = "si"
    assert box.value.endswith("Pa")
    box.value = ""
    assert furnace.hole is None


def test_a_reading_that_is_no_pressure_is_refused_beside_its_box(furnace):
    view = BoardView(furnace)
    control = view.controls["hole"]
    for typed, part in (("banana", "Hole 1"), ("9 in. w.c.", "outside what the board covers")):
        control.text.value = typed
        assert part in control.message.value
        assert furnace.hole is None
    with pytest.raises(UnitError):
        furnace.declared()["hole"].read("70 °F", "field")


def test_a_link_keeps_both_and_settings_empty_them(furnace):
    furnace.tap, furnace.hole = "high", -50.0
    query = furnace.to_link()
    other = Furnace()
    other.set_options("tap", {"low": "low speed", "high": "high speed"}, "low")
    assert other.from_link(query) == []
    assert (other.tap, other.hole) == ("high", pytest.approx(-50.0))
    assert other.from_link("hole=") == []
    assert other.hole is None
    assert "turbo" in other.from_link("tap=turbo")[0]


def test_files_made_right_after_a_change_stay_until_the_next_one(furnace):
    view = BoardView(furnace)
    furnace.tap = "high"
    view.export.make()
    view.export.follow()
    assert "board-download" in view.export.files.value
    furnace.hole = -10.0
    view.export.follow()
    assert view.export.files.value == ""


@pytest.mark.parametrize(
    ("typed", "si"),
    # One Btu(IT) a cubic foot is 37 258.9 J/m3 (exact conversion factors).
    [("950 Btu/ft³", 950), ("950 Btu/ft3", 950), ("950 Btu/ft^3", 950), ("950", 950), ("1,050.", 1050)],
)
def test_a_unit_that_ends_in_a_figure_is_a_unit(typed, si):
    class Gas(BoardModel):
        heat = Number(
            kinds.HEATING_VALUE, "1000 Btu/ft³", low="800 Btu/ft³", high="1200 Btu/ft³", step=1, label="Heat"
        )

    assert Gas().declared()["heat"].read(typed, "field") == pytest.approx(si * 37258.9458, rel=1e-6)
