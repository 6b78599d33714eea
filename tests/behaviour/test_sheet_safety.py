"""Files of visits that could harm: bounds on size and depth, archives that blow up, cells that a spreadsheet would run."""

import csv
import datetime as dt
import faulthandler
import gc
import io
import json
import re
import zipfile

import openpyxl
import pytest
import sheet_example as example

from hvaclib.visit import Appliance, Entry, Job, Visit
from hvaclib.visit.sheets import read_content, read_sheets, stream, write_csv, write_xlsx
from hvaclib.visit.sheets.draft import Draft
from hvaclib.visit.sheets.table import LARGEST, MOST_COLUMNS, MOST_ROWS
from hvaclib.visit.sheets.understood import MOST_REFUSALS

DANGEROUS = ("=cmd|' /C calc'!A0", "+1+cmd", "-2+3", "@SUM(A1)", "\t=1+1", "\r=1+1", "=HYPERLINK(\"x\")", "＝1+1", " =1")  # fmt: skip
RUNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


def only_sentence(content, source="pile.xlsx"):
    found = read_content(content, source)
    assert found.visits == ()
    assert len(found.refusals) == 1
    assert found.refusals[0].sentence.startswith(source)
    return found.refusals[0].sentence


def archive(parts):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as book:
        for name, text in parts.items():
            book.writestr(name, text)
    return held.getvalue()


def changed(content, part, old, new):
    """A workbook with text of one of its parts changed."""
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    assert old in parts[part]
    parts[part] = parts[part].replace(old, new)
    return archive(parts)


def wide_book():
    return example.workbook({"visits": example.rows({})})


def test_a_file_too_large_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "pile.csv"
    with path.open("wb") as file:
        file.truncate(LARGEST + 1)  # a file with a hole: it takes no room
    (refusal,) = read_sheets(path).refusals
    assert (
        refusal.sentence
        == f"pile.csv: the file is too large; found '{LARGEST + 1:,} bytes'; expected at most {LARGEST:,} bytes."
    )
    assert [str(each) for each in stream(path)] == [refusal.sentence]
    assert "too large" in only_sentence(b"x" * (LARGEST + 1), "upload.csv")


@pytest.mark.parametrize("size", [150_000_000])
def test_an_archive_that_blows_up_is_never_unpacked(size):
    bomb = archive({"[Content_Types].xml": "<x/>", "xl/worksheets/sheet1.xml": b" " * size})
    assert len(bomb) < 1_000_000
    sentence = only_sentence(bomb)
    assert "the workbook unpacks to more than it may" in sentence
    assert "found '150,000,004 bytes in 2 parts'" in sentence


def test_an_archive_that_lies_about_its_size_is_damaged():
    """The unpacked size in the directory is a claim: a part that holds more than it says is refused as damage."""
    book = bytearray(wide_book())
    for found in list(re.finditer(rb"PK\x01\x02", bytes(book))):
        book[found.start() + 24 : found.start() + 28] = (10).to_bytes(4, "little")
    assert "damaged" in only_sentence(bytes(book))


def test_an_archive_of_very_many_parts_is_refused():
    parts = {f"xl/{number}.xml": "" for number in range(2_001)}
    assert "2,002 parts" in only_sentence(archive({"[Content_Types].xml": "<x/>", **parts}))


@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml"])
def test_entities_are_refused_in_every_part(part):
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
    beginning = zipfile.ZipFile(io.BytesIO(wide_book())).read(part)[:12]
    sentence = only_sentence(changed(wide_book(), part, beginning, laughs + beginning))
    assert "the workbook declares entities, which no spreadsheet does" in sentence
    assert "expected a file that a spreadsheet saved" in sentence


def test_a_sheet_that_lies_about_its_size_is_read_for_what_it_holds():
    true = read_content(wide_book(), "pile.xlsx")
    lie = changed(wide_book(), "xl/worksheets/sheet1.xml", b'ref="A1:T3"', b'ref="A1:XFD1048576"')
    found = read_content(lie, "pile.xlsx")
    assert found.refusals == ()
    assert found.visits == true.visits


def test_a_cell_far_to_the_right_is_refused():
    def far(book):
        book.active["XFD2"] = "far"

    sentence = only_sentence(example.workbook({"visits": example.rows({})}, far))
    assert "row 2: there are too many columns" in sentence
    assert f"expected at most {MOST_COLUMNS:,}" in sentence


def test_a_cell_far_below_ends_no_reading():
    def far(book):
        book.active["A1048576"] = "far"

    found = read_content(example.workbook({"visits": example.rows({})}, far), "pile.xlsx")
    assert [visit.name for visit in found.visits] == ["A-1", "A-2"]


def test_too_many_rows_and_columns_of_text_are_refused():
    assert f"expected at most {MOST_ROWS:,}" in only_sentence(
        b"job,item,value\n" + b"\n" * MOST_ROWS, "a.csv"
    )
    assert f"expected at most {MOST_COLUMNS:,}" in only_sentence(
        b"job,contractor,date\n" + b"a," * (MOST_COLUMNS + 1), "a.csv"
    )


@pytest.mark.parametrize(
    ("source", "content"),
    [
        ("a.json", b"[" * 200_000),
        ("a.json", b"[" * 200_000 + b"]" * 200_000),
        ("a.json", b'{"job":' * 100_000),
        ("a.toml", b"a=" + b"[" * 100_000),
    ],
)
def test_brackets_without_end_are_refused(source, content):
    sentence = only_sentence(content, source)
    assert "brackets are nested too deeply" in sentence
    assert len(sentence) < 300


def test_a_number_of_very_many_digits_is_refused():
    assert "4300 digits" in only_sentence(b'{"job": ' + b"9" * 100_000 + b"}", "a.json")


@pytest.mark.parametrize("text", DANGEROUS)
def test_a_cell_that_a_spreadsheet_would_run_is_text_here(text):
    """In words it stays what it is, in a number it is refused, and in neither case is anything worked out."""
    found = read_content(
        example.content({"quoted": True, "set": {"remarks": text, "technician": text, "co": text}}),
        "pile.csv",
    )
    visit = found.visits[0]
    assert visit.job.technician == text.strip()
    assert next(each.value for each in visit.entry if each.item == "remarks") == text.strip()
    assert "flue-co" not in {each.item for each in visit.entry}
    (refusal,) = found.refusals
    assert "row 2, column O" in refusal.sentence


def test_a_formula_of_a_workbook_is_never_worked_out():
    """The value that the file holds beside the formula is what was seen; without one the cell is refused."""
    book = changed(
        example.workbook({"visits": example.rows({"set": {"rise": "=50+4", "remarks": '=WEBSERVICE("x")'}})}),
        "xl/worksheets/sheet1.xml",
        b"<f>50+4</f><v></v>" if b"<f>50+4</f><v></v>" in _sheet() else b"<f>50+4</f><v />",
        b"<f>50+4</f><v>61</v>",
    )
    found = read_content(book, "pile.xlsx")
    entries = {each.item: each.value for each in found.visits[0].entry}
    assert entries["temperature-rise"] == "61 °F"
    assert "remarks" not in entries
    (refusal,) = found.refusals
    assert "row 2, column T" in refusal.sentence
    assert "a formula whose value the workbook does not hold" in refusal.sentence


def _sheet():
    content = example.workbook({"visits": example.rows({"set": {"rise": "=50+4"}})})
    return zipfile.ZipFile(io.BytesIO(content)).read("xl/worksheets/sheet1.xml")


def dangerous_visits():
    job = Job(
        id="=1+1",
        contractor="@Heating",
        technician="+1 555",
        client="\t=x",
        date=dt.date(2026, 3, 14),
        rooms=("=a", "-b"),
    )
    furnace = Appliance(name="=furnace", kind="fan-assisted furnace", fuel="propane", zone="@zone")
    entries = tuple(
        Entry(item="remarks", where="house", value=text, note=text, photo=text) for text in DANGEROUS
    )
    return [
        Visit(
            job=job,
            appliance=(furnace,),
            entry=(*entries, Entry(item="flue-co", where="=furnace", value="=1 ppm")),
        )
    ]


@pytest.mark.parametrize("form", ["long", "wide"])
def test_csv_for_spreadsheets_runs_nothing_and_reads_back(tmp_path, form):
    """CWE-1236: no cell begins with a sign that a spreadsheet takes for a formula, unless it is a plain number."""
    path = tmp_path / "out.csv"
    pile = dangerous_visits()
    write_csv(pile, path, form)
    with path.open(encoding="utf-8-sig", newline="") as file:
        cells = [cell for row in csv.reader(file) for cell in row]
    runs = [cell for cell in cells if cell.lstrip(" ").startswith(RUNS)]
    assert all(re.fullmatch(r"-?\d+(\.\d+)?", cell) for cell in runs)
    assert sum(cell.startswith("'") for cell in cells) >= 3 * len(DANGEROUS)
    found = read_sheets(path)
    assert found.refusals == ()
    assert list(found.visits) == pile


def test_a_workbook_written_holds_no_formula_and_reads_back(tmp_path):
    path = tmp_path / "out.xlsx"
    pile = dangerous_visits()
    write_xlsx(pile, path)
    cells = [cell for row in openpyxl.load_workbook(path).active.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n", "inlineStr"}
    with zipfile.ZipFile(path) as book:
        assert b"<f>" not in b"".join(book.read(name) for name in book.namelist())
    assert list(read_sheets(path).visits) == pile


def test_the_original_is_only_read(tmp_path):
    for name, case in (
        ("a.csv", {}),
        ("a.xlsx", {"form": "xlsx"}),
        ("a.json", {"form": "json"}),
        ("bad.csv", {"set": {"rise": "=1"}}),
    ):
        path = tmp_path / name
        path.write_bytes(example.content(case))
        path.chmod(0o444)
        before = path.read_bytes(), path.stat().st_mtime_ns
        assert read_sheets(path).visits
        assert list(stream(path))
        assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.csv", "a.json", "a.xlsx", "bad.csv"]


def test_a_stream_holds_no_more_than_the_row_that_is_read(tmp_path):
    """Counted in the middle of five thousand rows: neither drafts nor visits gather."""
    path = tmp_path / "many.csv"
    kept = {key: cells for key, cells in example.WIDE.items() if "heater" not in key and "draft" not in key}
    head, cells = ([column[place] for column in kept.values()] for place in (0, 1))
    lines = [",".join(f"B-{number}" if cell == "A-1" else cell for cell in cells) for number in range(5_000)]
    path.write_text("\n".join([",".join(head), *lines]), encoding="utf-8")
    count = 0
    for each in stream(path):
        assert isinstance(each, Visit)
        count += 1
        if count % 2_000 == 0:
            alive = [one for one in gc.get_objects() if isinstance(one, Draft | Visit)]
            assert 1 <= sum(isinstance(one, Draft) for one in alive) <= 3
            assert sum(isinstance(one, Visit) and one.name.startswith("B-") for one in alive) <= 3
    assert count == 5_000


# Workbooks as people leave them ------------------------------------------------------------------------------------


def typed_rows(date):
    rows = example.rows({})
    names = list(example.WIDE)
    for row in rows[1:]:
        row[names.index("date")] = date
        row[names.index("rise")] = 54.0
        row[names.index("co")] = 12
        row[names.index("filter")] = True
    return rows


def test_numbers_dates_and_truths_of_a_workbook_are_read_as_they_are_shown():
    found = read_content(example.workbook({"visits": typed_rows(dt.datetime(2026, 3, 14))}), "pile.xlsx")
    assert found.refusals == found.notes == ()
    entries = {each.item: each.value for each in found.visits[0].entry}
    assert found.visits[0].job.date == dt.date(2026, 3, 14)
    assert (entries["temperature-rise"], entries["flue-co"], entries["filter-fits"]) == (
        "54 °F",
        "12 ppm",
        "yes",
    )


@pytest.mark.parametrize(("epoch", "serial"), [(1900, 46095), (1904, 46095 - 1462)])
def test_a_day_that_has_lost_its_form_is_counted_from_the_day_of_its_workbook(epoch, serial):
    """ECMA-376 Part 1, 18.17.4.1: the two date bases are 1 462 days apart."""

    def base(book):
        book.epoch = {
            1900: openpyxl.utils.datetime.WINDOWS_EPOCH,
            1904: openpyxl.utils.datetime.MAC_EPOCH,
        }[epoch]

    found = read_content(example.workbook({"visits": typed_rows(serial)}, base), "pile.xlsx")
    assert found.visits[0].job.date == dt.date(2026, 3, 14)
    assert "a day as spreadsheets count them" in found.notes[0].sentence


def test_a_visit_below_many_blank_rows_is_not_lost():
    head, first, second = example.rows({})
    found = read_content(example.workbook({"visits": [head, first, *[[]] * 1_500, second]}), "pile.xlsx")
    assert [visit.job.id for visit in found.visits] == ["A-1", "A-2"]


def test_a_percentage_is_read_with_its_sign():
    rows = [*example.rows({})]
    rows[0].append("flue-oxygen @ furnace")
    rows[1].append(0.065)
    rows[2].append(0.07)

    def as_percent(book):
        for row in (2, 3):
            book.active.cell(row, len(rows[0])).number_format = "0.0%"

    found = read_content(example.workbook({"visits": rows}, as_percent), "pile.xlsx")
    assert found.visits[0].entry[-1].value == "6.5 %"


def test_hidden_and_empty_sheets_are_left_out_and_named():
    def hide(book):
        book["old"].sheet_state = "hidden"
        book["older"].sheet_state = "veryHidden"

    rows = example.rows({})
    old = example.rows({"set": {"job": "A-0"}})
    sheets = {"visits": rows, "old": old, "older": old, "empty": [], "to do": [["ring the client", "soon"]]}
    found = read_content(example.workbook(sheets, hide), "pile.xlsx")
    assert [visit.name for visit in found.visits] == ["A-1", "A-2"]
    assert [note.sentence for note in found.notes] == [
        'pile.xlsx, sheet "old": the sheet is hidden, and is left out.',
        'pile.xlsx, sheet "older": the sheet is hidden, and is left out.',
        'pile.xlsx, sheet "empty": the sheet is left out: there is nothing in the table.',
        'pile.xlsx, sheet "to do": the sheet is left out: no row of headings is found.',
    ]


def test_sheets_that_speak_of_one_job_are_read_together():
    plates = [row[:13] for row in example.rows({})]
    readings = [["job", "item", "where", "value", "unit"], ["A-1", "Temperature rise", "furnace", 54, "°F"]]
    found = read_content(example.workbook({"jobs": plates, "readings": readings}), "pile.xlsx")
    assert found.refusals == ()
    assert [len(visit.entry) for visit in found.visits] == [1, 0]


def test_merged_cells_of_a_workbook_hold_for_all_that_they_cover():
    rows = [
        ["job", "contractor", "date", "furnace", None, None, "Temperature rise (°F)"],
        [None, None, None, "kind", "fuel", "zone", "furnace"],
        ["A-1", "Invented Heating", "2026-03-14", "fan-assisted furnace", "propane", "attic", 54],
    ]

    def merge(book):
        book.active.merge_cells("D1:F1")

    found = read_content(example.workbook({"visits": rows}, merge), "pile.xlsx")
    assert found.refusals == ()
    assert found.visits[0].entry[0].value == "54 °F"


def test_a_record_of_the_report_can_be_kept_as_json():
    found = read_content(example.content({"set": {"co": "<1", "rise": "warm"}}), "pile.csv")
    record = json.loads(json.dumps(found.to_record()))
    assert record["visits"] == ["A-1", "A-2"]
    assert record["notes"][0]["found"] == "<1"
    assert len(record["refusals"]) == 1
    assert len(record["headings"]) == len(example.WIDE)


# Bounds on work: files made to keep a reader busy --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("source", "lines", "says"),
    [
        ("a.csv", [",".join(f"w{row} {column}" for column in range(300)) for row in range(45)], "no row of headings"),
        ("a.csv", [",".join(f"a{row}x{column}: input" for column in range(300)) for row in range(8)], "no id of the job"),
        ("a.csv", ["job,item,value", *(f"A,w{row}: kind,x" for row in range(8_000))], "no contractor"),
        ("a.csv", ["job,item,value", *(f"A,thing {row} of,1" for row in range(6_000))], "the heading is not known"),
        ("a.toml", ["a" + ".a" * 200_000 + " = 1"], "a key of more than 200 parts (at line 1)"),
    ],
    ids=["words", "appliances", "plates", "items", "dotted key"],
)  # fmt: skip
def test_a_file_made_to_keep_the_reader_busy_is_answered_soon(source, lines, says):
    """Work grows with the size of the file alone: with its square each of these would take many minutes."""
    faulthandler.dump_traceback_later(60, exit=True)
    found = read_content("\n".join(lines).encode(), source)
    faulthandler.cancel_dump_traceback_later()
    assert found.visits == ()
    assert says in found.refusals[0].sentence
    assert len(found.refusals) <= MOST_REFUSALS


def test_a_visit_of_too_many_entries_is_refused_and_the_next_is_read():
    lines = ["job,item,value,unit"]
    for job, count in (("A-1", 2_001), ("A-2", 2)):
        facts = {
            "contractor": "x",
            "date": "2026-03-14",
            "f: kind": "fan-assisted furnace",
            "f: fuel": "propane",
            "f: zone": "z",
        }
        lines += [f"{job},{item},{value}," for item, value in facts.items()]
        lines += [f"{job},temperature-rise,{number},K" for number in range(count)]
    found = read_content("\n".join(lines).encode(), "a.csv")
    assert [len(visit.entry) for visit in found.visits] == [2]
    assert "row 2: there are too many entries in one visit" in found.refusals[0].sentence
    assert "found '2,001'; expected at most 2,000" in found.refusals[0].sentence


def test_of_very_many_faults_in_one_document_the_first_are_told():
    entries = ",".join('{"item": "x"}' for _ in range(500))
    text = example.document({}).replace('"entry": [', f'"entry": [{entries},')
    (refusal,) = read_content(text.encode(), "a.json").refusals
    assert len(refusal.sentences) <= 102
