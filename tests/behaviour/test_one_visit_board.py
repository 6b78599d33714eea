"""The board of one visit without widgets: states of the steps, entries with their verdicts, papers, files good and bad.

What the demo sheets hold is known by what was planted in them (the values that their files state).
"""

import re

import pytest

from hvaclib.boards.base.files import ExportPanel, UploadControl
from hvaclib.boards.finished_sheets import LARGEST, demo_sheets
from hvaclib.boards.one_visit import OneVisitBoard
from hvaclib.boards.one_visit.reading import lines_of, sheet_of
from hvaclib.errors import InputError, UnitError
from hvaclib.paper import PAPERS, label_lines
from hvaclib.plots.visit_steps import StepMark, label_picture, step_ladder
from hvaclib.review import review_visit
from hvaclib.rules import load
from hvaclib.visit import Entry, steps, to_text
from hvaclib.visit.sheets import write_csv

VISITS = {visit.job.id: visit for each in demo_sheets() for visit in each.visits}
GAS = next(step.number for step in steps() if step.key == "gas")
FLUE = next(step.number for step in steps() if step.key == "flue-gas")
FIRING = next(step.number for step in steps() if step.key == "firing")
STATIC = next(step.number for step in steps() if step.key == "static")
MANUALS = next(step.number for step in steps() if step.key == "manuals")
WORST = next(step.number for step in steps() if step.key == "worst-case")


def opened(sheet="INVENTED-202", step=1, **values):
    board = OneVisitBoard(**values)
    board.sheet, board.step = sheet, float(step)
    assert board.refresh(), board.blockers
    return board


def table(board, title):
    return next((each for each in board.page().tables if each.title == title), None)


def states(board):
    return {mark.number: mark.state for mark in board.outputs.states}


def test_the_step_control_reaches_every_step():
    trait = OneVisitBoard().declared()["step"]
    assert trait.slider("field") == (1, len(steps()), 1)
    # a page's slider keeps shares of its length, and says 7.999999999999999 for 8
    said = [1 + 23 * (number - 1) / 23 * (1 - 1e-16) - 1e-15 for number in range(1, 25)]
    assert [trait.from_slider(number, "field") for number in said] == [step.number for step in steps()]


@pytest.mark.parametrize("step", [1, GAS, len(steps())])
def test_stop_and_call_is_said_first_whatever_step_is_read(step):
    page = opened(step=step).page()
    assert page.answer[0].startswith("STOP AND CALL: ")
    assert "gas leak" in page.answer[0]
    assert page.tables[0].title == "Stop and call"
    assert page.verdict == "fail"
    assert "get everyone out" in page.cautions[0]


def test_the_step_is_in_the_first_sentence_and_what_to_do_is_a_sentence_of_its_own():
    said = opened("INVENTED-102", WORST).page().answer
    assert said[0] == f"INVENTED-102: fail. Step {WORST}, Worst-case draft: wrong."
    assert any(sentence.startswith("To do (installer): ") for sentence in said)


def test_nothing_to_stop_for_says_no_such_thing():
    page = opened("INVENTED-101").page()
    assert not any("STOP" in sentence for sentence in page.answer)
    assert page.verdict == "pass"
    assert table(opened("INVENTED-101"), "Stop and call") is None


PLANTED = [
    ("INVENTED-202", GAS, "stop and call"),  # the leak test found a leak
    ("INVENTED-102", WORST, "fail"),  # a draft of 0.8 Pa at worst case
    (
        "INVENTED-301",
        next(s.number for s in steps() if s.key == "rise"),
        "fail",
    ),  # 77 °F above a plate of 40 to 70
    ("INVENTED-302", FIRING, "out of order"),  # the leak test was moved behind it
    ("INVENTED-203", FLUE, "look again"),  # 11.6 % CO2 beside 6 % O2
    ("INVENTED-303", next(s.number for s in steps() if s.key == "client"), "missing"),  # instruction left out
    (
        "INVENTED-101",
        next(s.number for s in steps() if s.key == "liner"),
        "not needed",
    ),  # no liner in its scope
    ("INVENTED-101", WORST, "pass"),
]


@pytest.mark.parametrize(("sheet", "step", "state"), PLANTED)
def test_each_step_has_the_state_that_was_planted(sheet, step, state):
    assert states(opened(sheet))[step] == state


def test_every_remark_of_a_sheet_belongs_to_a_step_or_to_the_whole():
    for visit in VISITS.values():
        review = review_visit(visit, load("stricter"))
        sheet = sheet_of(review)
        assert sorted(map(id, review.remarks)) == sorted(
            id(each) for found in sheet.remarks.values() for each in found
        )


def test_every_entry_is_shown_as_written_in_exactly_one_step():
    for name, visit in VISITS.items():
        sheet = opened(name).outputs
        shown = [line.entry for step in steps() for line in lines_of(sheet, step.number) if line.entry]
        assert sorted(map(id, shown)) == sorted(map(id, visit.entry))


def test_a_reading_stands_with_verdict_margin_and_probability():
    rows = table(opened("INVENTED-303", STATIC), "As written in this step").rows
    row = next(each for each in rows if each["item"].startswith("Total external static"))
    assert row["as written"] == "0.50 in. w.c."
    assert row["verdict"] == "too close to call"
    # JCGM 106:2012, 8.3: a reading on its limit conforms with probability one half, whatever its uncertainty.
    assert row["conforms with probability"] == "50 %"
    rows = table(opened("INVENTED-201", STATIC), "As written in this step").rows
    row = next(each for each in rows if each["item"].startswith("Total external static"))
    assert row["verdict"] == "fail"
    assert "0.240 in. w.c." in row["margin"]  # 0.74 above a plate of 0.50


def test_a_change_that_is_computed_is_shown_as_computed():
    rows = table(opened("INVENTED-102", WORST), "As written in this step").rows
    computed = [row for row in rows if row["as written"].startswith("computed")]
    assert any("6.50 Pa" in row["as written"] for row in computed)  # −7.4 less −0.9


def test_what_is_missing_stands_among_the_entries():
    rows = table(opened("INVENTED-103", GAS), "As written in this step").rows
    missing = [row for row in rows if row["as written"] == "not on the sheet"]
    assert {row["where"] for row in missing} == {"furnace", "water heater"}
    assert all(row["verdict"] == "missing" for row in missing)
    wrong = next(row for row in rows if row["where"] == "water heater" and row["as written"] == "no")
    assert wrong["verdict"] == "must be yes"


def test_remarks_of_a_step_say_what_to_do_and_who_acts():
    (row, *_) = table(opened(step=GAS), "Remarks of this step").rows
    assert row["who acts"] == "gas fitter"
    assert "call the gas utility" in row["what to do"]
    assert row["cautions"]


def test_two_readings_of_one_thing_keep_their_own_verdicts():
    visit = VISITS["INVENTED-101"]
    again = Entry(item="external-static", where="furnace", value="0.80 in. w.c.", at="17:30")
    board = OneVisitBoard()
    board.receive(
        "sheet", "two.toml", to_text(visit.model_copy(update={"entry": (*visit.entry, again)})).encode()
    )
    board.step = float(STATIC)
    assert board.refresh()
    rows = table(board, "As written in this step").rows
    verdicts = {
        row["as written"]: row["verdict"] for row in rows if row["item"].startswith("Total external static")
    }
    assert verdicts["0.80 in. w.c."] == "fail"
    assert len(verdicts) == 2
    assert [each for each in verdicts.values() if each != "fail"] == ["pass"]


def test_the_label_is_the_one_of_the_paper():
    board = opened("INVENTED-101")
    lines = label_lines(VISITS["INVENTED-101"])
    assert [row["line"] for row in table(board, "Label for the return drop, line by line").rows] == [
        line.strip() for line in lines
    ]
    board.system, board.step = "si", float(MANUALS)
    assert board.refresh()
    drawn = [label.text for label in board.page().pictures[1].picture.marks.labels]
    assert any("K" in text or "°C" in text for text in drawn)


def test_papers_hang_at_the_export_panel():
    board = opened("INVENTED-202")
    files = {each.name: each for each in board.extra_files()}
    for name in PAPERS:
        assert files[f"INVENTED-202 {name}.pdf"].content.startswith(b"%PDF-")
        assert b"<html" in files[f"INVENTED-202 {name}.html"].content
    assert files["INVENTED-202 label.txt"].content.decode().splitlines() == list(
        label_lines(VISITS["INVENTED-202"])
    )
    panel = ExportPanel(board)
    panel.make()
    names = re.findall(r'download="([^"]+)"', panel.files.value)
    assert set(files) < set(names)
    assert "one-visit-settings.json" in names


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("letter.toml", b"Dear reader, this is no sheet."),
        ("picture.xlsx", b"\x89PNG\r\n\x1a\n\x00\x00"),
        ("empty.csv", b""),
        ("huge.csv", b"x" * (LARGEST + 1)),
    ],
)
def test_a_wrong_file_gets_one_sentence_and_changes_nothing(name, content):
    board = opened()
    said = UploadControl(board, board.uploads[0]).take(name, content)
    assert name in said
    assert "Something went wrong" not in said
    assert said.endswith(".")
    assert (board.sheet, board.step) == ("INVENTED-202", 1.0)
    assert board.refresh()


def test_a_file_with_several_sheets_offers_them_and_two_of_one_id_stay_apart(tmp_path):
    path = tmp_path / "three.csv"
    write_csv(list(VISITS.values())[:3], path)
    board = OneVisitBoard()
    said = board.receive("sheet", path.name, path.read_bytes())
    assert "Choose one of the 3 sheets" in said
    assert list(board.options["sheet"]) == list(VISITS)[:3]
    visit = VISITS["INVENTED-101"]
    board._offer([visit, visit])
    assert list(board.options["sheet"]) == ["INVENTED-101", "INVENTED-101 (2)"]


def test_settings_bring_a_loaded_sheet_back():
    board = OneVisitBoard()
    board.receive("sheet", "mine.toml", to_text(VISITS["INVENTED-301"]).encode())
    board.step, board.rule_set = 19.0, "stricter"
    assert board.refresh()
    other = OneVisitBoard()
    assert other.from_settings(board.to_settings()) == []
    assert other.refresh()
    assert other.visit == VISITS["INVENTED-301"]
    assert other.page().answer == board.page().answer


def test_a_step_that_is_no_whole_number_is_refused():
    board = OneVisitBoard()
    with pytest.raises(
        InputError, match=r"Step: only whole numbers .* found '3\.5'; expected a whole number from 1 to 24"
    ):
        board.step = 3.5
    with pytest.raises(UnitError, match="expected a whole number from 1 to 24"):
        board.declared()["step"].read("twelve", "field")
    with pytest.raises(InputError):
        board.step = 25.0


def test_the_ladder_keeps_its_height_and_refuses_a_step_that_is_not_there():
    marks = tuple(StepMark(step.number, step.title, "pass") for step in steps())
    other = tuple(StepMark(step.number, step.title, "missing") for step in steps())
    for width in ("wide", "narrow"):
        one, two = step_ladder(marks, 1, width), step_ladder(other, 24, width)
        assert one.sheet.height == two.sheet.height
        assert all(0 <= label.y <= one.sheet.height for label in one.marks.labels)
    with pytest.raises(InputError):
        step_ladder(marks, 25)
    with pytest.raises(InputError):
        label_picture(())
