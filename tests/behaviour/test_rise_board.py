"""The rise board's model: verdict, what moves the rise, airflow back from two thermometers, refusals."""

import numpy as np
import pytest

from hvaclib.boards.rise import RiseBoard
from hvaclib.boards.rise.page import lines_of
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.dwelling import Nameplate
from hvaclib.house.file import dwelling_text, read_dwelling
from hvaclib.plots.rise import rise_chart
from hvaclib.units import kinds, parse_si, shown

PUBLISHED = {"input": "80 kBtu/h", "efficiency": "80 %", "altitude": "0 ft", "return_temperature": "70 °F"}


@pytest.fixture
def board():
    return RiseBoard()


def answered(board):
    assert board.refresh(), board.blockers
    return board.page()


def put(board, **texts):
    for name, text in texts.items():
        setattr(board, name, board.declared()[name].read(text, "field"))


def rise_shown(board):
    answered(board)
    return float(shown(board.outputs.rise, kinds.TEMPERATURE_DIFFERENCE))


def test_every_demo_furnace_has_an_answer_with_its_rule(board):
    for name in demo_dwellings():
        board.house = name
        page = answered(board)
        assert page.verdict == "pass"
        assert page.answer[0].startswith("Yes: a rise of")
        assert any("Temperature rise within the range on the rating plate" in line for line in page.answer)
        assert page.pictures[0].picture.words


def test_airflow_from_the_published_example(board):
    # Supply-house note: 80 MBh in, 80 %, 40 °F rise gives 1481 cfm by the 1.08 rule; true air at 70 °F within 1 %
    put(board, **PUBLISHED, supply_temperature="110 °F")
    board.known = "thermometers"
    page = answered(board)
    flow = float(shown(board.outputs.now.airflow, kinds.VOLUME_FLOW))
    assert flow * (1.0 + board.outputs.rule.error) == pytest.approx(1481.0, rel=2e-3)
    assert flow == pytest.approx(1481.0, rel=0.01)
    assert "1.08 rule" in page.answer[1]


def test_thinner_air_raises_the_rise_by_the_density_ratio(board):
    # U.S. Standard Atmosphere, 1976: pressure ratio 0.8321 at 5000 ft and 0.7428 at 8000 ft, same temperature
    put(board, **PUBLISHED, airflow="1481 cfm")
    low = rise_shown(board)
    for altitude, ratio in (("5000 ft", 0.8321), ("8000 ft", 0.7428)):
        put(board, altitude=altitude)
        assert rise_shown(board) == pytest.approx(low / ratio, rel=1e-3)
        assert board.outputs.rule.error == pytest.approx(
            ratio - 1.0, abs=0.015
        )  # the rule knows sea level only


def test_each_control_has_its_own_arrow_from_the_same_start(board):
    page = answered(board)
    start = board.outputs.start
    assert all(item.tried for item in board.outputs.what_ifs)
    assert "10 % more input" in page.pictures[0].caption
    put(board, input="90 kBtu/h", altitude="4000 ft")
    answered(board)
    by_control = {item.control: item for item in board.outputs.what_ifs}
    assert [name for name, item in by_control.items() if not item.tried] == ["input", "altitude"]
    assert board.outputs.start == start
    reference = board.outputs.reference
    # rise = output over density, specific heat and airflow: proportional to the input
    assert by_control["input"].rise == pytest.approx(
        start * parse_si("90 kBtu/h", kinds.CAPACITY) / reference.input
    )
    assert by_control["airflow"].rise == pytest.approx(start / 0.8)  # inversely to the airflow
    both = by_control["input"].rise * by_control["altitude"].rise / start
    assert board.outputs.rise == pytest.approx(both)


def test_a_thermometer_in_sight_reads_high_and_the_curve_stays(board):
    answered(board)
    before, curve = board.outputs.rise, board.outputs.curve
    board.in_sight = True
    page = answered(board)
    assert board.outputs.rise > before
    assert board.outputs.true_rise == pytest.approx(before)
    np.testing.assert_allclose(board.outputs.curve, curve)
    assert any("sees the heat exchanger" in line for line in page.answer)


def test_a_high_rise_says_what_to_check_and_what_can_hurt(board):
    board.airflow = 0.55 * board.airflow
    page = answered(board)
    assert page.verdict == "fail"
    assert page.answer[0].startswith("No: a rise of")
    assert "too high" in page.answer[0]
    order = page.answer[-1]
    assert order.startswith("Check in this order: 1. the reading itself")
    assert order.index("air filter") < order.index("over-fired") < order.index("heat exchanger")
    assert "carbon monoxide" in page.cautions[0]
    assert "power off" in page.cautions[1]


def test_a_low_rise_says_so(board):
    board.airflow = 2.2 * board.airflow
    page = answered(board)
    assert page.verdict == "fail"
    assert "too low" in page.answer[0]
    assert "under-fired" in page.answer[-1]
    assert "power off" in page.cautions[0]
    assert "overheats" not in " ".join(page.cautions[:2])


def test_close_to_the_limit_it_is_too_close_to_call(board):
    answered(board)
    band = board.outputs.side.rise_range
    board.airflow = board.airflow * board.outputs.rise / band[1]
    page = answered(board)
    assert page.verdict == "unsure"  # JCGM 106:2012: half the probability lies on either side
    assert page.answer[0].startswith("Too close to call")


def test_two_thermometers_turn_the_rise_around(board):
    answered(board)
    flow, rise = board.outputs.now.airflow, board.outputs.true_rise
    board.supply_temperature = board.return_temperature + rise
    board.known = "thermometers"
    answered(board)
    assert board.outputs.now.airflow == pytest.approx(flow)
    assert board.outputs.airflow_uncertainty == pytest.approx(flow * board.outputs.uncertainty / rise)


@pytest.mark.parametrize(
    ("supply", "in_sight", "part"),
    [
        (0.0, False, "supply and return are equally warm"),
        (-5.0, False, "the two thermometers may be exchanged"),
        (1.0, True, "explains the whole rise"),
    ],
)
def test_impossible_thermometers_get_a_sentence_and_the_picture_stays(board, supply, in_sight, part):
    answered(board)
    board.known = "thermometers"
    board.in_sight = in_sight
    board.supply_temperature = board.return_temperature + supply
    assert not board.refresh()
    assert len(board.blockers) == 1
    assert part in board.blockers[0]
    assert board.page().pictures


def test_no_airflow_gets_a_sentence(board):
    board.airflow = 0.0
    assert not board.refresh()
    assert "without airflow" in board.blockers[0]


def test_a_dwelling_without_an_air_handler_or_a_plate(board):
    dwelling = read_dwelling(demo_dwellings()["passes"])
    plain = dwelling.changed(air_handler=dwelling.air_handler.model_copy(update={"nameplate": Nameplate()}))
    board.receive("dwelling", "plain.toml", dwelling_text(plain).encode())
    page = answered(board)
    assert page.verdict == "unsure"
    assert "states no range of the rating plate" in page.answer[0]
    board.receive("dwelling", "none.toml", dwelling_text(dwelling.changed(air_handler=None)).encode())
    assert not board.refresh()
    assert "no air handler" in board.blockers[0]


def test_link_settings_and_units(board):
    put(board, input="95 kBtu/h", airflow="840 cfm", return_temperature="62 °F")
    board.system = "si"
    other = RiseBoard()
    assert other.from_link(board.to_link()) == []
    assert other.inputs()["airflow"] == pytest.approx(board.airflow)
    page = answered(other)
    assert "K" in page.answer[0]
    assert "L/s" in page.answer[1]
    assert "temperature rise, K" in [mark.text for mark in page.pictures[0].picture.marks.labels]
    assert "rise" in other.export_table().splitlines()[1].lower() or other.export_table()


@pytest.mark.parametrize("width", ["wide", "narrow"])
@pytest.mark.parametrize("system", ["field", "si"])
def test_the_chart_says_what_the_answer_says(board, width, system):
    put(board, altitude="5280 ft", airflow="700 cfm")
    answered(board)
    picture = rise_chart(lines_of(board.outputs, system), width, system)
    assert "outside the nameplate band" in picture.words
    texts = [mark.text for mark in picture.marks.labels]
    assert any(text.startswith("nameplate ") for text in texts)
    assert any("±" in text for text in texts)
    assert min(mark.size for mark in picture.marks.labels) >= 11.0
