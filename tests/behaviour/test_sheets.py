"""Tables of visits as the field writes them: what is refused and how, what is understood, and what cannot harm.

The cases stand in ``broken_sheets.toml`` and ``messy_sheets.toml``; the example that they change is in ``sheet_example.py``.
"""

import pathlib
import tomllib

import pytest
import sheet_example as example

from hvaclib.units import kinds, parse_si
from hvaclib.visit.sheets import read_content

HERE = pathlib.Path(__file__).parent
BROKEN = tomllib.loads((HERE / "broken_sheets.toml").read_text(encoding="utf-8"))["case"]
MESSY = tomllib.loads((HERE / "messy_sheets.toml").read_text(encoding="utf-8"))["case"]
KEYS = {
    "name", "base", "form", "file", "set", "set3", "head", "rows", "columns", "before", "after", "drop", "without", "head_rows",
    "content", "hex", "edit", "encoding", "delimiter", "newline", "quoted", "under", "visits", "day_first", "says", "left",
    "count", "job", "date", "altitude", "appliance", "input", "rise", "reads", "si", "bound", "note", "refuses", "form_read",
}  # fmt: skip


def read(case):
    return read_content(example.content(case), case.get("file", "pile.csv"), day_first=case.get("day_first"))


def sentences(found):
    return [sentence for refusal in found.refusals for sentence in refusal.sentences]


def is_one_plain_sentence(text):
    assert text.endswith(".")
    assert "\n" not in text
    assert len(text) < 700
    assert not any(word in text for word in ("Error", "Traceback", "None", "pydantic", "0x", "sys."))


def test_the_example_itself_reads_without_a_word():
    for case in (
        {},
        {"base": "long"},
        {"form": "xlsx"},
        {"form": "json", "file": "a.json"},
        {"form": "toml", "file": "a.toml"},
    ):
        found = read(case)
        assert sentences(found) == []
        assert found.notes == ()
        assert len(found.visits) == (1 if "base" in case or "file" in case else 2)


def test_the_table_of_broken_files_is_long_enough():
    assert len(BROKEN) >= 40
    assert len({case["name"] for case in BROKEN}) == len(BROKEN)
    assert all(set(case) <= KEYS for case in BROKEN)


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case["name"])
def test_what_is_wrong_is_said_in_one_sentence(case):
    found = read(case)
    said = sentences(found)
    parts = [case.get("file", "pile.csv"), *case["says"]]
    assert sum(all(part in sentence for part in parts) for sentence in said) == 1, said
    assert len(found.visits) == case["left"]
    for sentence in said:
        is_one_plain_sentence(sentence)
        assert sentence.startswith(case.get("file", "pile.csv"))


def test_the_table_of_messy_files_is_long_enough():
    assert len(MESSY) >= 25
    assert len({case["name"] for case in MESSY}) == len(MESSY)
    assert all(set(case) <= KEYS for case in MESSY)


@pytest.mark.parametrize("case", MESSY, ids=lambda case: case["name"])
def test_what_can_be_understood_is_understood_and_said(case):
    found = read(case)
    assert len(found.visits) == case.get("count", 2), found.words()
    visit = found.visits[0]
    entries = {entry.item: entry for entry in visit.entry}
    assert {key: entries[key].value for key in case.get("reads", {})} == case.get("reads", {})
    assert {key: entries[key].bound for key in case.get("bound", {})} == case.get("bound", {})
    for key, number in case.get("si", {}).items():
        kind = entries[key].line.measurable.kind
        assert parse_si(entries[key].value, kind) == pytest.approx(number, rel=1e-6), key
    facts_are_understood(case, visit)
    reported(case, found)


def facts_are_understood(case, visit):
    assert visit.job.date.isoformat() == case.get("date", "2026-03-14") or "units in a row" in case["name"]
    if "altitude" in case:
        assert parse_si(visit.job.altitude, kinds.LENGTH) == pytest.approx(case["altitude"], rel=1e-6)
    if "input" in case:
        assert visit.appliance[0].si("input") == pytest.approx(case["input"], rel=1e-6)
    if "rise" in case:
        assert visit.appliance[0].range_si("rise") == pytest.approx(case["rise"], rel=1e-6)


def reported(case, found):
    notes = [note.sentence for note in found.notes]
    if "note" in case:
        assert sum(all(part in note for part in case["note"]) for note in notes) == 1, notes
    for sentence in notes:
        is_one_plain_sentence(sentence)
    if "refuses" in case:
        assert len(sentences(found)) == 1
        assert all(part in sentences(found)[0] for part in case["refuses"])
    else:
        assert sentences(found) == []
    assert all(part in found.words()[0] for part in case.get("form_read", ()))
