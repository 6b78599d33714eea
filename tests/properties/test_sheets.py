"""What is written as a table reads back to the same visits, in every form."""

from __future__ import annotations

import datetime as dt
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hvaclib.visit import Appliance, Entry, InstrumentNote, Job, Visit, items
from hvaclib.visit.model import Scope
from hvaclib.visit.plate import ApplianceKind, Fuel, VentNote
from hvaclib.visit.sheets import from_frame, read_content, read_sheets, to_frame, write_csv, write_xlsx

NASTY = (
    "=1+1", "+1", "-1", "@x", "-", "—", "n/a", "'", "''", "'tis", " padded ", "two  spaces", "tab\there", "a\nb", "a\r\nb", "a\rb",
    'say "so"', '"', "a,b", "a;b", "a|b", "a @ b", "a: b", "a #2", "Total", "sum", "[1]", '["a"]', "[", "never", "yes", "Y", "x",
    "0", "<1", "> 2", "2,5", "1,200", "1.200", "−3 Pa", "03/04/2026", "_x0041_", "_x000D_", "\x07", "\u200b", "Ünïcode ✓",
    "job", "item", "house", "instrument 1", "draft", "hole 1", "worst case", "furnace", "Furnace", "FURNACE", "basement", "inf",
    "\u2028", "\u00a0x", "＝1", "Pa", "\x85", "a\\b", "\ufeffx",
)  # fmt: skip
NUMBERS = (
    "-2.5 Pa", "1.200 Pa", "1,200 Btu/h", "0.5 in. w.c.", "-0.02 in. w.c.", "60 kBtu/h", "121 °F", "50 °C", "6.0 %", "0.06", "12 ppm",
    "35 s", "1 min 30 s", "5 1/2 in", "6 ft 8 in", "+3 Pa", "-2.50 Pa", "007 ppm", "1e3 W", "5  Pa", "never", "hot", "", "2,5 Pa",
    "1 200 cfm", "3.5 in. w.c. approx", "1000 Btu/(h)", "100000000000000000000 W", ".5 A", "5. A", "<5 Pa",
)  # fmt: skip
CHARACTERS = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")
TEXT = st.one_of(
    st.sampled_from(NASTY), st.text(CHARACTERS, max_size=12), st.just(""), st.just("plain words")
)
NAME = st.one_of(
    st.sampled_from([each for each in NASTY if each]), st.text(CHARACTERS, min_size=1, max_size=8), st.just("water heater")
)  # fmt: skip
PAIRS = st.sampled_from([None, ("40 °F", "70 °F"), ("20 K", "40 K"), ("20 K", "90 delta_degF")])
SUPPLY = st.sampled_from(
    [None, ("4.5 in. w.c.", "10.5 in. w.c."), ("-1 Pa", "1,200 Pa"), ("1.200 Pa", "1.5 kPa")]
)
BLOWER = st.sampled_from(
    [(), (("0.1 in. w.c.", "1,200 cfm"), ("0.5 in. w.c.", "1000 cfm")), (("-1 Pa", "5 m**3/s"),)]
)
LENGTHS = st.sampled_from(["", "4 in", "5 1/2 in", "20 ft", "1.200 m", "6 ft 8 in"])
VENTS = st.one_of(
    st.none(),
    st.builds(
        VentNote,
        kind=st.sampled_from(["double-wall", "masonry"]),
        diameter=LENGTHS,
        height=LENGTHS,
        lateral=st.sampled_from(["", "0 ft", "8 ft"]),
        elbows=st.integers(0, 12),
    ),
)
APPLIANCES = st.builds(
    Appliance,
    name=NAME,
    kind=st.sampled_from(get_args(ApplianceKind)),
    fuel=st.sampled_from(get_args(Fuel)),
    zone=NAME,
    new=st.booleans(),
    condensing=st.booleans(),
    input=st.sampled_from(["", "60000 Btu/h", "1,200 Btu/h", "60 kBtu/h", "17.6 kW"]),
    efficiency=st.sampled_from(["", "80 %", "0.8", "95.5 %"]),
    rise=PAIRS,
    maximum_static=st.sampled_from(["", "0.50 in. w.c.", "-5 Pa"]),
    manifold_pressure=st.sampled_from(["", "3.5 in. w.c.", "10 in. w.c."]),
    gas_supply=SUPPLY,
    blower=BLOWER,
    vent=VENTS,
    vent_damper=st.booleans(),
    start=st.sampled_from(["cold", "warm"]),
)
KEYS = [each.key for each in items()]
TIMES = st.sampled_from(["", "14:05", "2:05 pm", " 9:00", "09:00"])


@st.composite
def visits(draw) -> Visit:
    appliances = tuple(draw(st.lists(APPLIANCES, min_size=1, max_size=3, unique_by=lambda each: each.name)))
    if len(appliances) > 1 and draw(st.booleans()):
        shared = appliances[0].model_copy(update={"vent_shared_with": appliances[1].name})
        appliances = (shared, *appliances[1:])
    job = Job(
        id=draw(st.one_of(NAME, st.sampled_from(["A-1", "A-2"]))), contractor=draw(NAME), technician=draw(TEXT), client=draw(TEXT),
        address=draw(TEXT), date=draw(st.dates(dt.date(2020, 1, 1), dt.date(2030, 12, 31))),
        altitude=draw(st.sampled_from(["0 ft", "1,200 ft", "350 m", "", "1.200 m", "-10 ft"])),
        scope=tuple(draw(st.lists(st.sampled_from(get_args(Scope)), max_size=3))),
        rooms=tuple(draw(st.lists(NAME, max_size=3))), invented=draw(st.booleans()),
    )  # fmt: skip
    instruments = tuple(
        draw(
            st.lists(
                st.builds(InstrumentNote, name=NAME, measures=NAME, accuracy=TEXT, checked=TEXT), max_size=12
            )
        )
    )
    places = [
        *(each.name for each in appliances), *(each.zone for each in appliances), *job.rooms, "house", "hole 2", "", "attic",
    ]  # fmt: skip
    entry = st.builds(
        Entry,
        item=st.sampled_from(KEYS),
        value=st.one_of(st.sampled_from(NUMBERS), st.sampled_from(["yes", "no", "Yes", ""]), TEXT),
        where=st.one_of(st.sampled_from(places), TEXT),
        when=st.one_of(st.sampled_from(["", "natural", "worst case", "Worst Case", "baseline"]), TEXT),
        at=TIMES, bound=st.sampled_from(["", "", "less than", "more than"]), instrument=TEXT, note=TEXT, photo=TEXT, found_as=TEXT,
    )  # fmt: skip
    entries = tuple(draw(st.lists(entry, max_size=6)))
    return Visit(job=job, appliance=appliances, instrument=instruments, entry=entries)


PILES = st.lists(visits(), min_size=1, max_size=3)
often = settings(
    max_examples=80,
    deadline=None,
    derandomize=True,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.function_scoped_fixture,
        HealthCheck.data_too_large,
    ],
)


def same(found, pile):
    assert [each.sentence for each in found.refusals] == []
    assert list(found.visits) == list(pile)


@often
@given(PILES)
def test_a_long_table_reads_back(tmp_path, pile):
    path = tmp_path / "long.csv"
    assert write_csv(pile, path, "long") == ()
    same(read_sheets(path), pile)


@often
@given(visits())
def test_a_wide_table_of_one_visit_reads_back(tmp_path, visit):
    path = tmp_path / "wide.csv"
    assert write_csv([visit], path, "wide") == ()
    same(read_sheets(path), [visit])


@often
@given(PILES)
def test_a_wide_table_loses_no_more_than_it_says(tmp_path, pile):
    """Where visits have their entries in several orders, the wide form says so, and only the order is lost."""
    path = tmp_path / "wide.csv"
    lost = write_csv(pile, path, "wide")
    if not lost:
        same(read_sheets(path), pile)
        return
    found = read_sheets(path)
    assert found.refusals == ()
    for read, written in zip(found.visits, pile, strict=True):
        assert read.job == written.job
        assert read.instrument == written.instrument
        assert sorted(map(repr, read.appliance)) == sorted(map(repr, written.appliance))
        assert sorted(map(repr, read.entry)) == sorted(map(repr, written.entry))


@settings(often, max_examples=40)
@given(PILES)
def test_a_workbook_reads_back(tmp_path, pile):
    path = tmp_path / "pile.xlsx"
    write_xlsx(pile, path)
    same(read_sheets(path), pile)


@settings(often, max_examples=30)
@given(PILES, st.sampled_from(["long", "wide"]))
def test_a_frame_reads_back(pile, form):
    if form == "wide":
        pile = pile[:1]
    same(from_frame(to_frame(pile, form)), pile)


@settings(often, max_examples=50)
@given(visits(), st.sampled_from(["long", "wide"]))
def test_no_cell_is_one_that_a_spreadsheet_runs(tmp_path, visit, form):
    """CWE-1236: a cell that begins with one of these and is no number could run as a formula."""
    path = tmp_path / "out.csv"
    write_csv([visit], path, form)
    import csv

    with path.open(encoding="utf-8-sig", newline="") as file:
        for row in csv.reader(file):
            for cell in row:
                if cell.lstrip(" ").startswith(
                    ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
                ):
                    float(cell)


@pytest.mark.parametrize("form", ["toml", "json"])
def test_a_list_of_visits_reads_back(form):
    import json

    import tomli_w

    from hvaclib.visit.file import to_document

    job = Job(id="A-1", contractor="Invented Heating", date=dt.date(2026, 3, 4))
    furnace = Appliance(name="furnace", kind="draft-hood furnace", fuel="propane", zone="basement")
    pile = [Visit(job=job.model_copy(update={"id": f"A-{n}"}), appliance=(furnace,)) for n in (1, 2)]
    documents = [to_document(each) for each in pile]
    text = tomli_w.dumps({"visit": documents}) if form == "toml" else json.dumps(documents)
    same(read_content(text.encode(), f"pile.{form}"), pile)
