"""The pile board without widgets: its order and filters, files good and bad, what is kept, and what the picture counts.

What the demo sheets hold is known by what was planted in them (the values that their files state); what the counts must
be is counted anew here from the reviews.
"""

import json
import random
import re
from collections import Counter
from pathlib import Path

import pytest

from hvaclib.boards.base.files import UploadControl
from hvaclib.boards.finished_sheets import LARGEST, demo_sheets, sheets_in
from hvaclib.boards.pile import PileBoard, model, rows
from hvaclib.errors import FileError, InputError
from hvaclib.house.demo import demo_folder
from hvaclib.plots.pile import PileMark, PileRow, pile_chart
from hvaclib.review import review_visit
from hvaclib.rules import load
from hvaclib.visit import read_visit
from hvaclib.visit.sheets import write_csv, write_xlsx

VISITS = [read_visit(path) for path in sorted((demo_folder() / "visits").glob("*.toml"))]
BLAMES = re.compile(r"fraud|cheat|fake|falsif|dishonest|invented the reading|accus", re.IGNORECASE)


@pytest.fixture
def board():
    return loaded(VISITS)


def loaded(visits, **values):
    """The board with these visits as an uploaded file."""
    made = PileBoard(**values)
    made.receive("sheets", "sheets.json", rows_as_json(visits))
    settle(made)
    return made


def rows_as_json(visits):
    return json.dumps({"visit": [visit.model_dump(mode="json", by_alias=True) for visit in visits]}).encode()


def settle(board):
    """Work the page out to its end, as the page does when the hand rests."""
    assert board.refresh(), board.blockers
    for part in board.compute_later(board.inputs(), board.outputs):
        if part is not None:
            board.later = part
    return board.page()


def sheets_shown(board):
    tables = [table for table in settle(board).tables if table.title.startswith("Sheets ")]
    return [row["sheet"] for table in tables for row in table.rows]


def test_the_demo_says_that_it_is_invented_and_every_sheet_is():
    page = settle(PileBoard())
    assert any("invented" in sentence for sentence in page.answer)
    assert all(visit.job.invented for each in demo_sheets() for visit in each.visits)


def test_the_planted_gas_leak_comes_first_and_gravity_never_rises(board):
    assert sheets_shown(board)[0] == "INVENTED-202"
    grave = {visit.job.id: review_visit(visit, load("plain")).severity for visit in VISITS}
    rank = [
        ["stop and call", "fail", "look again", "pass"].index(grave[name]) for name in sheets_shown(board)
    ]
    assert rank == sorted(rank)
    assert len(rank) == len(VISITS)
    assert settle(board).verdict == "fail"


@pytest.mark.parametrize("name", ["plain", "stricter"])
def test_the_answer_counts_what_the_reviews_say(board, name):
    board.rule_set = name
    counts = Counter(review_visit(visit, load(name)).severity for visit in VISITS)
    said = next(sentence for sentence in settle(board).answer if sentence.startswith("In the pile"))
    assert f"{counts['stop and call']} stop and call, {counts['fail']} fail" in said
    assert f"{counts['look again']} look again" in said


def test_order_by_date_and_by_contractor(board):
    board.order = "date"
    dates = {visit.job.id: visit.job.date for visit in VISITS}
    shown = sheets_shown(board)
    assert [dates[name] for name in shown] == sorted(dates.values())
    board.order = "contractor"
    crews = {visit.job.id: visit.job.contractor for visit in VISITS}
    assert [crews[name] for name in sheets_shown(board)] == sorted(crews.values())


def test_filters_let_through_what_they_name(board):
    board.kind = "fuel-triangle"
    assert sheets_shown(board) == ["INVENTED-203"]  # 11.6 % CO2 beside 6 % O2 was planted there
    board.kind = "out-of-order"
    assert sheets_shown(board) == ["INVENTED-302"]  # its leak test was moved to the end
    board.kind, board.contractor = "all", "Invented crew Cedar"
    assert set(sheets_shown(board)) == {"INVENTED-301", "INVENTED-302", "INVENTED-303"}
    board.severity = "stop and call"
    page = settle(board)
    assert page.answer[0] == "No sheet has what the filters ask for."
    assert page.verdict == ""


def test_who_must_act_chooses_the_sheets_and_the_remark_that_is_shown(board):
    board.who = "gas fitter"
    assert (
        sheets_shown(board)[0] == "INVENTED-202"
    )  # its gas leak was planted; the gas fitter's by the checklist
    acts = {visit.job.id: review_visit(visit, load("plain")).remarks for visit in VISITS}
    expected = {
        name
        for name, found in acts.items()
        if any(r.acts == "gas fitter" and r.severity != "note" for r in found)
    }
    assert set(sheets_shown(board)) == expected
    assert all(row["who acts"] == "gas fitter" for row in settle(board).tables[0].rows)
    said = settle(board).answer
    assert said[1].startswith("To do there (gas fitter): ")
    board.who, board.kind = "electrician", "fuel-triangle"
    assert settle(board).answer[0] == "No sheet has what the filters ask for."


def test_a_sheet_that_cannot_be_reviewed_holds_up_none_of_the_others(monkeypatch):
    def review(visit, rules):
        if visit.job.id == "INVENTED-101":
            raise InputError("no true value can be there", where="static", given=-94)
        return review_visit(visit, rules)

    monkeypatch.setattr(rows, "review_visit", review)
    board = loaded(VISITS[:3])
    assert set(sheets_shown(board)) == {visit.job.id for visit in VISITS[:3]}
    row = next(row for row in settle(board).tables[0].rows if row["sheet"] == "INVENTED-101")
    assert row["worst"] == "look again"
    assert "could not be reviewed" in row["first remark"]
    assert "found -94" in row["first remark"]


def test_the_demo_program_is_read_beside_the_page_and_a_link_may_name_its_crew(monkeypatch):
    monkeypatch.setattr(model, "program_sheets", demo_sheets)
    board = PileBoard()
    assert board.from_link("?pile=program&contractor=Invented%20crew%20Cedar&who=installer") == []
    assert board.refresh()
    assert "being read" in board.page().answer[0]
    shown = sheets_shown(board)
    assert shown
    assert set(shown) <= {"INVENTED-301", "INVENTED-302", "INVENTED-303"}
    assert "Invented crew Alder" in board.options["contractor"]
    assert any("invented" in sentence for sentence in settle(board).answer)


def test_the_whole_order_and_the_punch_list_can_be_kept(board):
    board.time_for = 2.0
    settle(board)
    files = {each.name: each.content for each in board.extra_files()}
    assert files["sheets.csv"].decode("utf-8-sig").count("INVENTED-") == len(VISITS)
    assert files["punch list.pdf"].startswith(b"%PDF-")
    words = files["punch list.html"].decode()
    assert "INVENTED-202" in words
    assert "INVENTED-303" not in words  # the eighth in this order
    (visit,) = sheets_in(files["INVENTED-202.toml"], "INVENTED-202.toml").visits
    assert visit == next(each for each in VISITS if each.job.id == "INVENTED-202")


def test_time_is_counted_in_whole_sheets_and_moves_only_the_underlines(board):
    heights = set()
    for number in (1, 5, 9, 60):
        board.time_for = float(number)
        page = settle(board)
        heights.add(page.pictures[0].picture.sheet.height)
        assert page.tables[0].title == "Sheets that there is time for"
        assert len(page.tables[0].rows) == min(number, len(VISITS))
    assert len(heights) == 1
    with pytest.raises(InputError, match=r"2\.5"):
        board.time_for = 2.5


def test_each_sheet_is_reviewed_once_for_each_rule_set(board, monkeypatch):
    settle(board)
    monkeypatch.setattr(model, "rows_of", lambda *_: pytest.fail("reviewed again"))
    for name in ("stricter", "plain"):
        for order in rows.ORDERS:
            board.rule_set, board.order = name, order
            assert len(sheets_shown(board)) == len(VISITS)


def test_a_large_pile_is_reviewed_in_parts():
    many = [
        visit.model_copy(update={"job": visit.job.model_copy(update={"id": f"{visit.job.id}-{number}"})})
        for number in range(13)
        for visit in VISITS
    ]
    board = PileBoard()
    board.receive("sheets", "many.json", rows_as_json(many))
    assert board.refresh()
    assert len(board.outputs.rows) == 0
    assert "Reviewed so far: 0 of 117 sheets" in " ".join(board.page().answer)
    heights, numbers = {board.page().pictures[0].picture.sheet.height}, []
    for part in board.compute_later(board.inputs(), board.outputs):
        if part is not None:
            board.later = part
            heights.add(board.page().pictures[0].picture.sheet.height)
            numbers.append(len(part.rows))
    assert len(heights) == 1, "the picture grows while the sheets are reviewed"
    assert numbers == sorted(numbers)
    assert len(set(numbers)) > 5
    assert len(sheets_shown(board)) == 117
    assert "left_out" in board.saved_extra()


@pytest.mark.parametrize("write", [write_csv, write_xlsx])
def test_tables_are_read_as_the_sheets_are(tmp_path, write):
    path = tmp_path / f"sheets{'.csv' if write is write_csv else '.xlsx'}"
    write(VISITS, path)
    board = PileBoard()
    said = board.receive("sheets", path.name, path.read_bytes())
    assert f"{len(VISITS)} sheets" in said
    direct = loaded(VISITS)
    assert sheets_shown(board) == sheets_shown(direct)


def test_what_was_refused_stands_with_file_row_and_column(tmp_path):
    path = tmp_path / "mixed.csv"
    write_csv(VISITS[:2], path)
    lines = path.read_text(encoding="utf-8-sig").splitlines()
    heads = lines[0].split(",")
    row = next(number for number, line in enumerate(lines) if ",floors-protected," in line)
    cells = lines[row].split(",")
    cells[heads.index("item")] = "colour of the door"
    path.write_text("\n".join([*lines[:row], ",".join(cells), *lines[row + 1 :]]), encoding="utf-8")
    board = PileBoard()
    board.receive("sheets", path.name, path.read_bytes())
    page = settle(board)
    refused = next(table for table in page.tables if table.title.startswith("Refused"))
    assert "mixed.csv" in refused.rows[0]["where"]
    assert f"row {row + 1}" in refused.rows[0]["where"]
    assert refused.rows[0]["found"] == "colour of the door"
    assert refused.rows[0]["expected"]
    assert any("1 refusal (listed below)" in sentence for sentence in page.answer)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("letter.toml", b"Dear reader, this is no sheet."),
        ("picture.csv", b"\x89PNG\r\n\x1a\n\x00\x00"),
        ("empty.csv", b""),
        ("book.xlsx", b"PK\x03\x04 broken"),
        ("huge.csv", b"x" * (LARGEST + 1)),
    ],
)
def test_a_wrong_file_gets_one_sentence_and_changes_nothing(name, content):
    board = PileBoard()
    before = sheets_shown(board)
    said = UploadControl(board, board.uploads[0]).take(name, content)
    assert name in said
    assert "Something went wrong" not in said
    assert said.endswith(".")
    assert sheets_shown(board) == before


def test_of_many_files_the_refused_ones_are_said_first():
    board = PileBoard()
    control = UploadControl(board, board.uploads[0])
    files = [("a.json", rows_as_json(VISITS[:1])), ("empty.csv", b""), ("b.json", rows_as_json(VISITS[1:2]))]
    control._taken({"new": [{"name": name, "content": content} for name, content in files]})
    assert re.search(r"empty\.csv.*Loaded a\.json.*Loaded b\.json", control.message.value)
    assert len(board.visits()) == 2


def test_a_second_file_adds_and_the_same_name_replaces():
    board = PileBoard()
    board.receive("sheets", "a.json", rows_as_json(VISITS[:2]))
    board.receive("sheets", "b.json", rows_as_json(VISITS[2:5]))
    assert len(sheets_shown(board)) == 5
    board.receive("sheets", "a.json", rows_as_json(VISITS[:1]))
    assert len(sheets_shown(board)) == 4


def test_too_many_sheets_are_refused_with_the_way_out(monkeypatch):
    monkeypatch.setattr(model, "MOST", 3)
    board = PileBoard()
    with pytest.raises(FileError, match=r"too many sheets.*'review'"):
        board.receive("sheets", "a.json", rows_as_json(VISITS))


def scattered(number, rng):
    """An invented sheet of another home: every reading of the first one moved by some tenths, as homes differ."""
    source = VISITS[0]
    entries = []
    for entry in source.entry:
        found = re.fullmatch(r"(-?\d+)(?:\.(\d+))?( .+)", entry.value)
        if entry.line.numeric and found:
            digits = len(found[2] or "")
            value = float(entry.value.split()[0]) * rng.uniform(0.8, 1.2)
            entries.append(entry.model_copy(update={"value": f"{value:.{digits}f}{found[3]}"}))
        else:
            entries.append(entry)
    about = {"id": f"HOME-{number}", "address": f"{number} invented street"}
    return source.model_copy(update={"job": source.job.model_copy(update=about), "entry": tuple(entries)})


def test_a_repeated_set_asks_for_another_look_and_blames_nobody():
    rng = random.Random(7)
    homes = [scattered(number, rng) for number in range(14)]
    assert "nothing that chance would not bring" in " ".join(settle(loaded(homes)).answer)
    homes[9] = homes[9].model_copy(update={"entry": homes[2].entry})
    page = settle(loaded(homes))
    table = next(each for each in page.tables if each.title == "Look again: visits side by side")
    assert "HOME-2 and HOME-9" in table.rows[0]["what"]
    assert table.rows[0]["what"].startswith("Look again")
    assert re.fullmatch(r"at most 1 program in [\d,]+", table.rows[0]["false alarms"])
    assert table.rows[0]["what to do"]
    assert not BLAMES.search(" ".join([*page.answer, *(row["what"] for row in table.rows)]))


def test_settings_bring_the_pile_back(board):
    board.rule_set, board.order = "stricter", "date"
    before = sheets_shown(board)
    other = PileBoard()
    other.from_settings(board.to_settings())
    assert sheets_shown(other) == before


def test_a_formula_in_a_sheet_stays_text_in_the_table_that_is_saved():
    visit = VISITS[0].model_copy(
        update={"job": VISITS[0].job.model_copy(update={"id": "=1+1", "contractor": "@SUM(A1)"})}
    )
    board = loaded([visit])
    text = board.export_table()
    assert "'=1+1" in text
    assert "'@SUM(A1)" in text


def test_the_picture_has_a_mark_for_each_sheet_and_its_key():
    row = PileRow("crew", tuple(PileMark(severity) for severity in ("stop and call", "fail", "pass") * 5))
    for width in ("wide", "narrow"):
        picture = pile_chart((row,), width)
        assert len(picture.marks.polygons) == 15 + 4
    assert "5 stop and call, 5 fail" in picture.words
    with pytest.raises(InputError):
        pile_chart(())


def test_a_pile_of_many_crews_says_how_many_are_not_drawn():
    many = tuple(PileRow(f"crew {n}", (PileMark("pass"),) * 500) for n in range(30))
    picture = pile_chart(many, "narrow")
    words = [label.text for label in picture.marks.labels]
    assert any("18 more contractors" in text for text in words)
    assert any(text == "and 380 more" for text in words)
    assert all(0 <= label.y <= picture.sheet.height for label in picture.marks.labels)


def test_the_demo_folder_is_part_of_the_package():
    assert len(list(Path(demo_folder() / "visits").glob("*.toml"))) == len(VISITS) >= 9
