"""What-if: a house made from a sheet, the command, the board's model, and every refusal as one sentence."""

import json
import re

import numpy as np
import pytest

from hvaclib.boards.what_if import WhatIfBoard
from hvaclib.boards.what_if.pictures import band_chart, read_chart
from hvaclib.cli import main
from hvaclib.errors import FileError, InputError
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import parse_dwelling, read_dwelling
from hvaclib.review.fit import dwelling_from_visit, fit
from hvaclib.review.fit.source import source_of
from hvaclib.review.what_if import Changes, what_if
from hvaclib.review.what_if_words import verdict_words
from hvaclib.units import kinds, parse_si
from hvaclib.visit import from_document, to_text

CLOSED = demo_dwellings()["closed_bedrooms"]
ENTRIES = (
    ("outdoor-temperature", "38 °F", ""),
    ("baseline-pressure", "-1.0 Pa", "basement"),
    ("worst-case-pressure", "-2.6 Pa", "basement"),
    ("draft-natural", "-4.6 Pa", "water heater"),
    ("draft-worst-case", "-4.1 Pa", "water heater"),
    ("spillage-worst-case", "3 s", "water heater"),
)


def document(entries=ENTRIES, **appliance):
    """An invented visit to a house with one water heater in the basement."""
    return {
        "format": "hvaclib visit 1",
        "job": {"id": "J-7", "contractor": "an invented contractor", "date": "2025-02-11", "invented": True},
        "appliance": [
            {
                "name": "water heater", "kind": "draft-hood water heater", "fuel": "natural gas", "zone": "basement",
                "input": "40 kBtu/h", "vent": {"kind": "double-wall", "diameter": "4 in", "height": "20 ft"}, **appliance,
            }
        ],
        "entry": [{"item": item, "value": value, "where": where} for item, value, where in entries],
    }  # fmt: skip


def visit(entries=ENTRIES, **appliance):
    return from_document(document(entries, **appliance))


@pytest.fixture(scope="module")
def fitted():
    return fit(None, visit())


def test_a_sheet_alone_makes_a_house_and_says_what_it_assumed(fitted):
    made = dwelling_from_visit(visit())
    assert made.dwelling.zone_names[0] == "basement"
    assert made.dwelling.vents[0].diameter == pytest.approx(parse_si("4 in", kinds.LENGTH))
    assert made.dwelling.weather.outdoor_temperature == pytest.approx(parse_si("38 °F", kinds.TEMPERATURE))
    assert any("was assumed" in text for text in made.assumptions)
    assert fitted.assumptions == made.assumptions
    assert fitted.explains, fitted.sentences()
    assert all(item.spread >= 0.4 for item in fitted.unknowns)


def test_what_the_sheet_does_not_tell_of_the_vent_is_named():
    said = dwelling_from_visit(visit(vent=None, input="")).assumptions
    assert any("vent of the water heater" in text and "height" in text for text in said)


def test_a_furnace_brings_ducts_and_a_shared_vent():
    content = document()
    content["appliance"].append(
        {"name": "furnace", "kind": "fan-assisted furnace", "fuel": "natural gas", "zone": "basement",
         "input": "80 kBtu/h", "vent_shared_with": "water heater"}
    )  # fmt: skip
    made = dwelling_from_visit(from_document(content)).dwelling
    assert made.air_handler is not None
    assert {item.vent for item in made.appliances} == {"vent of water heater"}


def test_a_visit_without_a_vent_is_refused():
    with pytest.raises(InputError, match="no appliance of the visit has a draft"):
        dwelling_from_visit(visit(kind="two-pipe sealed water heater", vent=None))


def test_an_unreadable_entry_is_left_out_and_told():
    found = fit(None, visit((*ENTRIES[:5], ("spillage-worst-case", "soon", "water heater"))))
    assert any("soon" in text for text in found.sheet.left)
    assert len(found.sheet.used) == 4


def test_the_answer_has_its_band_and_never_claims_certainty(fitted):
    found = what_if(fitted, Changes(outdoor=parse_si("10 °F", kinds.TEMPERATURE)), samples=16)
    said = found.sentences()
    assert re.match(r"(Very likely|Likely) (yes|no)|Too close to call", said[0])
    assert "10 °F outdoors" in said[0]
    assert "100 %" not in " ".join(said)
    assert re.search(r"−?\d\.\d Pa \(90 %: −?\d\.\d Pa to −?\d\.\d Pa\)", said[1])
    assert "°C" in what_if(fitted, found.changes, samples=16).sentences("si")[0]
    json.dumps(found.to_record(), allow_nan=False)
    json.dumps(fitted.to_record(), allow_nan=False)


def test_probabilities_in_words_follow_their_order():
    words = [verdict_words(share) for share in (0.0, 0.1, 0.5, 0.9, 1.0)]
    assert words == ["Very likely no", "Likely no", "Too close to call", "Likely yes", "Very likely yes"]


def test_the_fitted_dwelling_can_be_written_and_read(fitted):
    from hvaclib.house.file import dwelling_text

    assert parse_dwelling(dwelling_text(fitted.dwelling)).zone_names == fitted.start.zone_names


# The command -------------------------------------------------------------------------------------------------------


def run(capsys, *arguments):
    status = main(["what-if", *map(str, arguments)])
    out, err = capsys.readouterr()
    return status, out, err


def test_the_command_answers_in_words_and_as_json(capsys, tmp_path):
    path = tmp_path / "visit.toml"
    path.write_text(to_text(visit()), encoding="utf-8")
    status, out, err = run(capsys, path, "--opening", "40 sq in", "--door", "basement door=shut", "--json")
    assert (status in (0, 1), err) == (True, "")
    found = json.loads(out)
    assert found["what_if"]["changes"]["doors"] == {"basement door": False}
    assert found["what_if"]["changes"]["opening_m2"] == pytest.approx(40 * 0.0254**2)
    assert status == (0 if found["what_if"]["probability"] >= 0.95 else 1)
    status, out, err = run(capsys, CLOSED, "--exhaust", "300 cfm")
    assert (status, err) == (1, "")
    assert "(invented)" in out
    assert "carbon monoxide meter" in out


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (("nowhere.toml",), "there is no such file"),
        ((CLOSED, "--outdoor", "banana"), "--outdoor"),
        ((CLOSED, "--door", "basement"), "NAME=shut"),
        ((CLOSED, "--door", "cellar door=shut"), "no door has this name"),
        ((CLOSED, "--liner", "-4 in"), "--liner"),
        ((CLOSED, "--opening", "40 Pa"), "--opening"),
        ((CLOSED, "--dwelling", "nowhere.toml"), "there is no such file"),
        ((CLOSED, "--rules", "nobody's"), "nobody's"),
    ],
)
def test_what_cannot_be_asked_gets_one_sentence(capsys, arguments, part):
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert part in err
    assert err.count("\n") == 1


def test_a_file_that_is_no_visit_is_refused():
    with pytest.raises(FileError, match=r"letter\.toml"):
        source_of(b"Dear reader", "letter.toml")
    text = CLOSED.read_text(encoding="utf-8")
    with pytest.raises(FileError, match="has no reading"):
        source_of(text[: text.index("[[reading]]")].encode(), "bare.toml")


# The board's model -------------------------------------------------------------------------------------------------


def worked_out(board):
    assert board.refresh(), board.blockers
    board.later = None
    for part in board.compute_later(board.inputs(), board.outputs):
        board.later = part if part is not None else board.later
    return board.page()


def back(board):
    """Every control back to the day of the visit, in the same house."""
    board.reset()
    board.house = "closed_bedrooms"


@pytest.fixture(scope="module")
def ready():
    board = WhatIfBoard()
    board.house = "closed_bedrooms"
    worked_out(board)
    return board


def test_the_board_says_first_that_it_is_fitting_and_then_answers(ready):
    fresh = WhatIfBoard()
    assert fresh.refresh()
    assert "being fitted" in fresh.page().answer[0]
    page = ready.page()
    assert re.match(r"(Very likely|Likely) (yes|no)|Too close to call", page.answer[0])
    assert len(page.pictures) == 3
    assert "invented" in " ".join(page.answer)
    assert "does not replace the test" in page.cautions[0]


def test_a_moved_control_finds_its_answer_ready_and_draws_against_itself(ready):
    for name, step in (("outdoor", -4.0), ("opening", 0.01), ("liner", 0.0127), ("exhaust", 0.01)):
        back(ready)
        setattr(ready, name, getattr(ready, name) + step)
        assert ready.axis == name
        assert ready.refresh()
        page = ready.page()
        if name in ("outdoor", "opening", "exhaust"):
            assert "worked out" not in page.answer[0], name
    assert ready.new_liner is False
    back(ready)


def test_between_two_answers_lies_the_straight_line_of_each_house(ready):
    back(ready)
    assert ready.refresh()
    known = ready.outputs
    curve, fitted = known.curve, known.fit
    at = 0.5 * (curve.values[1] + curve.values[2])
    from hvaclib.rules import load

    found = curve.at(at, fitted, load("plain"))
    assert found.pressure == pytest.approx(0.5 * (curve.answers[1].pressure + curve.answers[2].pressure))
    exact = what_if(fitted, Changes(outdoor=at), samples=found.pressure.size, search=False)
    off = np.abs(found.pressure - exact.pressure)
    assert np.median(off) < 0.05
    assert off.max() < 0.5  # an idle vent that turns over in between lets other air in


def test_a_link_and_the_settings_bring_the_view_back(ready):
    back(ready)
    ready.outdoor = parse_si("20 °F", kinds.TEMPERATURE)
    ready.opening = parse_si("30 sq in", kinds.AREA)
    again = WhatIfBoard()
    assert again.from_link(ready.to_link()) == []
    assert (again.house, again.axis) == ("closed_bedrooms", "opening")
    assert again.outdoor == pytest.approx(ready.outdoor)
    other = WhatIfBoard()
    assert other.from_settings(ready.to_settings()) == []
    assert other.opening == pytest.approx(ready.opening)
    back(ready)


def test_a_visit_is_taken_kept_with_the_settings_and_asked_for_when_it_is_missing():
    board = WhatIfBoard()
    board.house = "made"
    assert not board.refresh()
    assert "No visit is loaded" in board.blockers[0]
    assert "job J-7" in board.receive("visit", "visit.json", to_text(visit(), "json").encode())
    assert board.refresh(), board.blockers
    assert board.outdoor == pytest.approx(parse_si("38 °F", kinds.TEMPERATURE))
    other = WhatIfBoard()
    other.from_settings(board.to_settings())
    assert other.source == board.source
    with pytest.raises(FileError, match=r"photo\.toml"):
        board.receive("visit", "photo.toml", b"\x89PNG")
    board.receive("visit", "house.toml", CLOSED.read_bytes())
    assert board.house == "loaded"


@pytest.mark.parametrize("width", ["wide", "narrow"])
@pytest.mark.parametrize("system", ["field", "si"])
def test_pictures_stay_inside_their_sheets_and_say_what_they_show(ready, width, system):
    from hvaclib.boards.what_if.lines import draft_lines, fit_rows, pressure_lines
    from hvaclib.plots.letters import label_box

    back(ready)
    assert ready.refresh()
    known = ready.outputs
    drawings = [
        band_chart(draft_lines(known, system), width, system),
        band_chart(pressure_lines(known, system), width, system),
        read_chart(fit_rows(known.fit, system), width, system),
    ]
    for drawing in drawings:
        for item in drawing.marks.labels:
            left, low, right, high = label_box(item)
            assert left >= -1, item.text
            assert right <= drawing.sheet.width + 1, item.text
            assert low >= -2, item.text
            assert high <= drawing.sheet.height + 1, item.text
    assert "90 % between" in drawings[0].words
    assert "Read" in drawings[2].words


def test_a_house_without_an_exhaust_fan_says_so():
    dwelling = read_dwelling(CLOSED)
    for fan in dwelling.fans:
        dwelling = dwelling.without("fans", fan.name)
    board = WhatIfBoard()
    board.loaded = dwelling
    board.house = "loaded"
    board.axis = "exhaust"
    assert not board.refresh()
    assert "No fan of this house blows outdoors" in board.blockers[0]
