"""Blank sheets: the headings that a job needs, with their units, and read without a refusal once they are filled in."""

import csv
import datetime as dt

import openpyxl
import pytest

from hvaclib.errors import FileError, InputError
from hvaclib.units import parse_si
from hvaclib.visit import Appliance, Visit, demands
from hvaclib.visit.sheets import blank_sheet, read_sheets
from hvaclib.visit.sheets.blank import blank_rows

FURNACE = Appliance(
    name="old furnace (east)",
    kind="draft-hood furnace",
    fuel="propane",
    zone="crawl space",
    condensing=False,
)
BOILER = Appliance(name="boiler", kind="two-pipe sealed boiler", fuel="fuel oil", zone="=closet")
JOBS = {
    "as usual": {},
    "condensing furnace alone": {"appliances": ("two-pipe sealed furnace",), "rooms": ("bedroom 1", "den")},
    "two of a kind": {"appliances": ("draft-hood water heater", "draft-hood water heater")},
    "names that could be misread": {"appliances": (FURNACE, BOILER), "scope": ("liner", "anticipator")},
}
# What a person writes under a unit; common practice, no source.
NUMBERS = {
    "ft": "12", "m": "4", "in": "4", "mm": "100", "Btu/h": "60,000", "W": "17600", "%": "80", "in. w.c.": "0.5", "Pa": "-3", "ppm": "<1",
    "°F": "70", "°C": "21", "K": "30", "s": "20", "cfm": "1000", "m³/s": "0.5", "A": "0.45",
}  # fmt: skip
WORDS = {
    "job": "A-1", "contractor": "Invented Heating", "technician": "Tech One", "client": "C. Lient", "address": "1 Invented Road",
    "scope": "liner; chimney", "rooms": "bedroom 1; den", "fuel": "natural gas", "zone": "basement", "new": "yes",
    "condensing": "no", "vent kind": "masonry", "vent elbows": "2", "vent damper": "no", "start": "cold", "name": "manometer",
    "measures": "draft", "checked": "2026-01-10", "kind": "draft-hood boiler", "date": "2026-03-14", "vent shared with": "",
}  # fmt: skip
RANGES = {"°F": "40 to 70", "K": "20 to 40", "in. w.c.": "4.5 to 10.5", "Pa": "1100 to 2600"}


def written(what, unit):
    """What a person writes beside a heading; words of two fields stand behind the names of their owners."""
    field = what.rpartition(": ")[2]
    if field in ("rise", "gas supply range"):
        return RANGES[unit]
    if unit in NUMBERS:
        return NUMBERS[unit].strip("<") if what == "altitude" or ": " in what else NUMBERS[unit]
    return WORDS.get(field, "yes")


def parts(heading):
    what, _, unit = heading.rpartition(" (")
    return (what, unit.rstrip(")")) if what and heading.endswith(")") else (heading, "")


def filled_wide(rows, visit):
    known = {}
    for each in visit.appliance:
        for key, value in (("kind", each.kind), ("fuel", each.fuel), ("zone", each.zone)):
            known[each.name, key] = value
    cells = []
    for heading in rows[0]:
        what, unit = parts(heading)
        owner, _, field = what.rpartition(": ")
        value = known.get((owner.strip('"'), field))
        cells.append(
            written(what, unit) if value is None else f"'{value}" if value.startswith("=") else value
        )
    return [rows[0], cells]


def filled_long(rows, visit):
    found = [rows[0]]
    for number, row in enumerate(rows[1:]):
        cells = dict(zip(rows[0], row, strict=True))
        cells["job"] = "A-1" if number == 0 else ""
        cells["value"] = cells["value"] or written(cells["item"], cells["unit"])
        found.append([cells[key] for key in rows[0]])
    return found


def rows_in(path):
    if path.suffix == ".xlsx":
        sheet = openpyxl.load_workbook(path).active
        return [[cell or "" for cell in row] for row in sheet.iter_rows(values_only=True)]
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def save(rows, path):
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(path)
        for number, row in enumerate(rows, start=1):
            for column, text in enumerate(row, start=1):
                cell = book.active.cell(number, column)
                cell.value = text or None
                cell.data_type = "s" if text else "n"
        book.save(path)
        return
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows(rows)


def expected(job):
    """The visit whose demands the sheet must have: from the kinds alone, without the sheet."""
    from hvaclib.visit import Job

    chosen = job.get("appliances", ("fan-assisted furnace", "draft-hood water heater"))
    names = ["water heater", "water heater 2"] if len(set(chosen)) < len(chosen) else None
    appliances = tuple(
        each if isinstance(each, Appliance) else Appliance(
            name=names[number] if names else each.rpartition("furnace")[1] or "water heater",
            kind=each, fuel="natural gas", zone="basement",
        )
        for number, each in enumerate(chosen)
    )  # fmt: skip
    bare = Job(
        id="A-1",
        contractor="x",
        date=dt.date(2026, 3, 14),
        rooms=job.get("rooms", ()),
        scope=job.get("scope", ()),
    )
    return Visit(job=bare, appliance=appliances)


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize("form", ["wide", "long"])
@pytest.mark.parametrize("suffix", ["csv", "xlsx"])
def test_a_blank_sheet_filled_in_reads_without_a_refusal(tmp_path, job, system, form, suffix):
    path = tmp_path / f"blank.{suffix}"
    blank_sheet(path, form=form, system=system, **job)
    visit = expected(job)
    blank = rows_in(path)
    save((filled_wide if form == "wide" else filled_long)(blank, visit), path)
    found = read_sheets(path)
    assert [each.sentence for each in found.refusals] == []
    (read,) = found.visits
    assert [(each.name, each.kind, each.fuel, each.zone) for each in read.appliance] == [
        (each.name, each.kind, each.fuel, each.zone) for each in visit.appliance
    ]
    asked = {(each.item.key, each.where) for each in demands(visit)} | {("remarks", "house")}
    assert {(each.item, each.where) for each in read.entry} == asked
    assert len(read.instrument) == 3
    for entry in read.entry:
        thing = entry.line.measurable
        if thing is not None and thing.kind is not None:
            unit = thing.kind.label(system)
            assert entry.value.endswith(f" {unit}")
            assert parse_si(entry.value, thing.kind) == parse_si(
                f"{NUMBERS[unit].strip('<')} {unit}", thing.kind
            )
    assert all("no place is named" not in note.why for note in found.notes)


def test_an_unfilled_sheet_says_in_one_sentence_what_it_lacks(tmp_path):
    said = {
        "wide": "there are headings, and no visit below them",
        "long": "the row names no job, and is left out with those like it",
    }
    for form, sentence in said.items():
        path = tmp_path / f"{form}.csv"
        blank_sheet(path, form=form)
        found = read_sheets(path)
        assert found.visits == ()
        (refusal,) = found.refusals
        assert sentence in refusal.sentence


def test_every_heading_with_a_number_has_its_unit():
    for system in ("field", "si"):
        (heads,) = blank_rows(system=system)
        readings = [head for head in heads if "@" in head and "draft" in head]
        assert readings
        assert all(head.endswith(" (Pa)") for head in readings)
        assert f"temperature-rise @ furnace ({'°F' if system == 'field' else 'K'})" in heads
        assert "date (yyyy-mm-dd)" in heads


def test_a_sheet_that_is_there_is_never_replaced(tmp_path):
    path = tmp_path / "blank.csv"
    path.write_text("filled in by hand", encoding="utf-8")
    with pytest.raises(FileError, match=r"there is a file of that name already; expected another name\.$"):
        blank_sheet(path)
    assert path.read_text(encoding="utf-8") == "filled in by hand"


@pytest.mark.parametrize(
    ("name", "wrong", "says"),
    [
        ("a.ods", {}, r"a sheet of another sort; expected a name that ends in \.csv or \.xlsx"),
        ("a.csv", {"form": "tall"}, "form: no such form; found 'tall'; expected .*'wide'"),
        ("a.csv", {"system": "imperial"}, "system: no such system; found 'imperial'; expected"),
        (
            "a.csv",
            {"appliances": ("furnace",)},
            "appliances: no such kind of appliance; found 'furnace'; expected",
        ),
        ("a.csv", {"appliances": ()}, "appliance: empty; expected one table or more"),
        ("a.csv", {"scope": ("paint",)}, "scope.*not one of the choices; found 'paint'; expected"),
        ("a.csv", {"appliances": (BOILER, BOILER)}, "two appliances have the same name; found 'boiler'"),
    ],
)
def test_what_cannot_be_a_sheet_is_refused_and_nothing_is_written(tmp_path, name, wrong, says):
    with pytest.raises((FileError, InputError), match=says):
        blank_sheet(tmp_path / name, **wrong)
    assert list(tmp_path.iterdir()) == []
