"""The flue-gas board's model: stories of a burner, sets that cannot be, before and after, pictures true to their numbers."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from hvaclib.boards.flue_gas import FlueGasBoard
from hvaclib.boards.flue_gas.answer import REACHES
from hvaclib.boards.flue_gas.page import loss_lines, triangle_of
from hvaclib.errors import HvacError, InputError
from hvaclib.physics import flue_gas
from hvaclib.plots.combustion_triangle import TriangleData, combustion_triangle
from hvaclib.plots.flue_loss import LossLines, flue_loss_chart
from hvaclib.plots.letters import label_box


@pytest.fixture
def board():
    return FlueGasBoard()


def put(board, **inputs):
    for name, value in inputs.items():
        trait = board.declared()[name]
        setattr(board, name, trait.read(value, "field") if hasattr(trait, "read") else value)


def answered(board, **inputs):
    put(board, **inputs)
    assert board.refresh(), board.blockers
    return board.page()


def test_a_clean_furnace(board):
    """DOE Steam Tip Sheet 4: 7 % O2 is 44.9 % excess air; 355 °F above the air about 79.7 % by its table, we 0.5 more."""
    page = answered(board)
    assert page.verdict == "pass"
    assert page.answer[0].startswith("Clean: CO is 45 ppm")
    assert "45 % excess air" in page.answer[0]
    found = 100 * float(board.outputs.losses.efficiency_hhv)
    assert found == pytest.approx(78.2 + (400 - 355) / 100 * 3.0, abs=0.8)
    assert any("Carbon monoxide has no smell" in text for text in page.cautions)


@pytest.mark.parametrize(
    ("inputs", "verdict", "beginning"),
    [
        ({"co": "500 ppm"}, "fail", "Not clean: CO is 752 ppm"),
        ({"co": "120 ppm"}, "unsure", "Look again: CO is 180 ppm"),
        ({"co": "170 ppm", "appliance": "draft-hood water heater"}, "fail", "Not clean"),
        ({"co": "67 ppm"}, "unsure", "Too close to call"),
        ({"o2": "0.6 %"}, "unsure", "Clean"),
        ({"o2": "16.5 %", "co": "0 ppm"}, "unsure", "Clean"),
        ({"stack": "115 °F"}, "unsure", "Clean"),
        ({"stack": "115 °F", "appliance": "two-pipe sealed furnace"}, "pass", "Clean"),
        ({"fuel": "No. 2 oil", "o2": "4 %"}, "pass", "Clean"),
        (
            {"o2": "20.9 %", "co": "900 ppm"},
            "fail",
            "These readings cannot be right. O2 of 20.9 % is that of plain air",
        ),
        ({"stack": "68 °F"}, "unsure", "Clean"),
        ({"stack": "900 °F"}, "unsure", "Clean"),
        ({"o2": "20.9 %"}, "unsure", "These readings cannot be right. O2 of 20.9 % is that of plain air"),
        ({"read": "co2", "co2": "13 %"}, "unsure", "These readings cannot be right. CO2 of 13.0 % is above"),
        ({"read": "both", "o2": "5 %", "co2": "10.5 %"}, "unsure", "These readings cannot be right."),
        ({"read": "both", "o2": "9 %", "co2": "5 %"}, "unsure", "These readings cannot be right."),
        ({"stack": "40 °F"}, "unsure", "These readings cannot be right. Flue gas of 40 °F (4 °C) is colder"),
    ],
)
def test_stories(board, inputs, verdict, beginning):
    page = answered(board, **inputs)
    assert page.answer[0].startswith(beginning)
    assert page.verdict == verdict
    assert all(sentence.endswith((".", "!")) for sentence in page.answer)


def test_dirty_readings_that_cannot_be_stay_red(board):
    """A wrong CO2 cell does not make 500 ppm of CO harmless."""
    page = answered(board, read="both", o2="5 %", co2="10.5 %", co="500 ppm")
    assert page.verdict == "fail"
    assert "If they were right" in page.answer[1]


def test_before_and_after(board):
    """Two rows of DOE Steam Tip Sheet 4, air of 70 °F: 7 % O2 and 600 °F above it 72.1 %, 2 % and 300 °F 83.1 %: 13.2 %
    less fuel. Our methane-like gas is 0.3 to 0.7 above the table: 0.6 point on the saving."""
    put(board, air="70 °F", o2="2 %", stack="370 °F", before_o2="7 %", before_stack="670 °F")
    page = answered(board)
    lost = board.outputs.before.efficiency_hhv / board.outputs.losses.efficiency_hhv
    assert 100 * (1 - float(lost)) == pytest.approx(100 * (1 - 72.1 / 83.1), abs=0.6)
    assert any(text.startswith("Against before") and "less fuel" in text for text in page.answer)
    assert "before" in page.tables[1].rows[0]
    assert "Before" in page.pictures[0].picture.words
    risen = answered(board, before_co="5 ppm", co="90 ppm")
    assert risen.cautions[0].startswith("The carbon monoxide has risen")
    assert "before" not in answered(board, before_o2="", before_stack="", before_co="").tables[1].rows[0]


def test_air_that_leaks_in_is_told(board):
    page = answered(board, o2="9 %", upstream_o2="5 %")
    assert page.verdict == "unsure"
    assert any("25 % of the dry gas here is air" in text for text in page.answer)  # (9 - 5) / (20.95 - 5)


def test_carbon_dioxide_reads_as_the_oxygen_that_goes_with_it(board):
    answered(board, o2="5 %")
    by_o2 = board.outputs
    co2 = flue_gas.co2_from_o2.si(fuel=by_o2.fuel, o2=0.05)
    board.read, board.co2 = "co2", float(co2)
    board.refresh()
    assert board.outputs.sample.o2 == pytest.approx(0.05, abs=1e-12)
    assert board.outputs.losses.total == pytest.approx(by_o2.losses.total, rel=1e-12)


def test_local_heating_value_moves_the_largest_carbon_dioxide(board):
    answered(board, heating_value="950")
    lean = board.outputs.fuel.maximum_carbon_dioxide
    answered(board, heating_value="1100")
    assert board.outputs.fuel.maximum_carbon_dioxide > lean + 0.002
    answered(board, fuel="propane")
    assert board.outputs.fuel.maximum_carbon_dioxide == pytest.approx(0.1372, abs=2e-4)  # an equilibrium code


@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("stack", ["100 °F", "420 °F", "1000 °F"])
@pytest.mark.parametrize("o2", ["0 %", "6.3 %", "19.5 %"])
def test_pictures_are_whole(board, system, large, stack, o2):
    """Well-formed; every word inside the sheet; no two words of the charts on each other; type of 11 px and more."""
    put(board, stack=stack, o2=o2, before_o2="11 %", before_stack="480 °F", system=system, large_type=large)
    for shown in answered(board).pictures:
        picture = shown.picture
        ET.fromstring(picture.svg())
        boxes = [label_box(label) for label in picture.marks.labels]
        assert min(label.size for label in picture.marks.labels) >= 11
        for i, box in enumerate(boxes):
            text = picture.marks.labels[i].text
            assert -1 < box[0] < box[2] < picture.sheet.width + 1, text
            assert -1 < box[1] < box[3] < picture.sheet.height + 1, text
            for j, other in enumerate(boxes[:i]):
                apart = (
                    box[0] >= other[2]
                    or other[0] >= box[2]
                    or box[1] >= other[3] - 2
                    or other[1] >= box[3] - 2
                )
                assert apart, (picture.marks.labels[i].text, picture.marks.labels[j].text)


def test_the_point_lies_on_the_drawn_curve(board):
    """Loss at the reading, read off the chart's own curve, is the loss that the table states (without the CO's share)."""
    answered(board, co="0 ppm", o2="6.5 %")
    lines = loss_lines(board.outputs)

    assert np.interp(lines.point[0], lines.excess, lines.now) == pytest.approx(lines.point[1], abs=1e-4)
    assert lines.excess[-1] in REACHES
    triangle = triangle_of(board.outputs)
    assert triangle.point[1] / triangle.fuels[0][1] == pytest.approx(1 - 0.065 / 0.209476, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("o2", "7 in", "fraction"), ("o2", "30 %", "outside what the board covers"), ("co", "-3 ppm", "outside"),
        ("stack", "hot", "temperature"), ("stack", "2000 °F", "outside"), ("air", "300 °F", "outside"),
        ("before_o2", "banana", "fraction"), ("heating_value", "20", "outside"), ("altitude", "9 mi/h", "length"),
    ],
)  # fmt: skip
def test_wrong_input_is_one_sentence(board, name, text, words):
    with pytest.raises(HvacError, match=words) as caught:
        put(board, **{name: text})
    assert "\n" not in str(caught.value)


def test_charts_refuse_what_they_cannot_draw():
    with pytest.raises(InputError, match="needs a fuel"):
        combustion_triangle(TriangleData((), (), (0.1, 0.1), True, 0.006))
    with pytest.raises(InputError, match="lines do not fit"):
        flue_loss_chart(
            LossLines(np.arange(3.0), np.arange(2.0), np.ones((2, 2)), np.ones(3), 0.1, 300.0, (1.0, 1.0))
        )


def test_too_much_carbon_monoxide_is_said_whatever_else_is_wrong(board):
    # CO air-free is CO × 20.9 / (20.9 − O2) (ANSI Z21 series): never less than CO as read
    page = answered(board, o2="20.9 %", co="900 ppm")
    assert (
        "Whatever is wrong with them: CO of 900 ppm as read is too much, and air-free it can only be more."
        in page.answer
    )
    assert any(text.startswith("Shut the furnace down") for text in page.answer)
    page = answered(board, co="20 ppm")
    assert not any("Whatever is wrong" in text for text in page.answer)


def test_another_rule_does_not_make_clean_gas_look_dirty(board):
    page = answered(board, o2="15.5 %", co="0 ppm")
    assert page.answer[0].startswith("Clean: CO is 0 ppm")
    assert page.verdict == "unsure"


@pytest.mark.parametrize(
    ("stack", "says"),
    [
        ("68 °F", "hardly any warmer. The probe may not be in the flue gas"),
        ("900 °F", "can set fire to what it passes"),
    ],
)
def test_a_stack_that_is_hardly_that_of_an_appliance_in_order(board, stack, says):
    # common practice, no source: less than 10 °F above its air, or more than 650 °F
    assert any(says in text for text in answered(board, stack=stack).answer)
    assert not any(says in text for text in answered(board, stack="420 °F").answer)


@pytest.mark.parametrize("before", [{"before_stack": "50 °F"}, {"before_o2": "20 %"}])
def test_readings_before_that_allow_no_sum_are_not_passed_over(board, before):
    assert any(
        text.startswith("The readings before allow no sum of losses")
        for text in answered(board, **before).answer
    )


def test_oxygen_taken_for_carbon_dioxide(board):
    # no fuel of the table gives more than 15.7 % (No. 2 oil); plain air holds 20.9 % of oxygen
    page = answered(board, read="co2", co2="20 %")
    assert "the oxygen may have been taken for the CO2" in page.answer[0]
    assert "swapped" not in page.answer[0]
