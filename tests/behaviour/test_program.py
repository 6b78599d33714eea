"""The demo program: sixty invented visits with planted defects, what a review finds of them, and its false alarms.

The sheets are made by ``demo_program`` beside this file. What was planted, and what a review must say, stands in
``data/demo/program/planted.toml``; limits that a house truly breaks are taken from its readings without noise.
"""

import io
from collections import Counter

import openpyxl
import pytest
from demo_program.houses import CONTRACTORS, EACH, VISITS
from demo_program.making import defects, exact, files, folder, sheets, simulated, sound
from demo_program.report import SCORE, score_text
from demo_program.scoring import score, true_findings

from hvaclib.review.plausibility.figures import sheet_figures
from hvaclib.review.remark import KINDS
from hvaclib.rules import load
from hvaclib.visit import demands
from hvaclib.visit.sheets import read_sheets, stream

NAMES = tuple(files())


@pytest.fixture(scope="module")
def reports():
    """What was understood of each file."""
    return {name: read_sheets(folder() / name) for name in NAMES}


@pytest.fixture(scope="module")
def read(reports):
    """Visits by name and refusals, as they come from the files."""
    visits = {visit.job.id: visit for each in reports.values() for visit in each.visits}
    return visits, [refusal for each in reports.values() for refusal in each.refusals]


@pytest.fixture(scope="module")
def outcomes(read):
    """Score by rule set."""
    return {name: score(*read, load(name)) for name in ("plain", "stricter")}


@pytest.fixture(params=["plain", "stricter"])
def outcome(request, outcomes):
    return outcomes[request.param]


def test_the_list_is_long_and_of_many_sorts_and_half_of_the_sheets_are_sound() -> None:
    assert [each["id"] for each in defects()] == list(range(1, len(defects()) + 1))
    assert len(defects()) >= 40
    kinds = {each["expect"][0]["kind"][0] for each in defects()}
    assert len(kinds) >= 15
    assert {kind for each in defects() for want in each["expect"] for kind in want["kind"]} <= {
        *KINDS,
        "refusal",
    }
    bad = {each["visit"] for each in defects() if "visit" in each}
    assert bad < set(VISITS)
    assert len(VISITS) - len(bad) >= 25
    for each in defects():
        assert each["did"]
        assert "found" not in each or each["why"], "what cannot be found has its reason beside it"


def test_every_file_is_as_the_generator_makes_it() -> None:
    assert {path.name for path in folder().iterdir()} == {*NAMES, SCORE, "planted.toml"}
    for name, content in files().items():
        there = (folder() / name).read_bytes()
        if name.endswith(".xlsx"):  # a workbook holds the time at which it was saved
            assert cells(there) == cells(content)
        else:
            assert there == content, name


def cells(content):
    book = openpyxl.load_workbook(io.BytesIO(content))
    return {sheet.title: list(sheet.values) for sheet in book}


@pytest.mark.parametrize("visit", ["ASH-02", "ELM-07"])
def test_the_kept_readings_are_those_of_the_simulation(visit) -> None:
    """Two houses, one with a fault in it; the others follow from the same lines of code."""
    kept = {(each.quantity, each.where, each.when): each.value for each in exact()[visit]}
    made = {(key, where, when): value for key, where, when, value in simulated(visit)}
    assert made.keys() == kept.keys()
    for key, value in made.items():
        assert kept[key] == pytest.approx(value, rel=1e-4, abs=1e-3), key


def test_five_forms_are_read_whole(read, reports) -> None:
    visits, refusals = read
    assert list(visits) == list(VISITS)
    assert Counter(each.job.contractor for each in visits.values()) == dict.fromkeys(
        (f"Invented contractor {name}" for name in CONTRACTORS), EACH
    )
    assert all(each.job.invented for each in visits.values())
    assert [
        each.sentence for each in refusals if "'ok'" not in each.sentence
    ] == []  # 'ok' in place of oxygen is planted
    forms = list(reports.values())[:5]
    assert [each.form.strip() for each in forms] == ["wide CSV", "long CSV", "long XLSX", "JSON", "TOML"]
    assert [each.encoding for each in forms[:2]] == ["UTF-8 with byte-order mark", "Windows-1252"]


def test_a_stream_brings_the_same_visits_one_by_one(read) -> None:
    some = [name for name in NAMES if name.endswith((".json", ".toml"))]
    found = list(stream([folder() / name for name in some]))
    assert found == [visit for name, visit in read[0].items() if name.startswith(("OAK", "YEW"))]


def test_what_is_read_is_what_was_written(read) -> None:
    """Ash writes a room's zero of carbon monoxide as '<1', Elm altitude in whole metres; a workbook drops zeros at the end."""
    visits, _ = read
    for name, visit in sheets().items():
        back = visits[name]
        others = set(map(line, visit.entry)) ^ set(map(line, back.entry))
        assert {key for key, *_ in others} <= {
            "ambient-co-arrival",
            "ambient-co-worst-case",
            "flue-oxygen",
        }, name
        assert {each[2] for each in others} <= {(0.0, "ppm"), (1.0, "ppm"), ("ok",)}, name
        assert {each.name: each for each in back.appliance} == {each.name: each for each in visit.appliance}
        assert back.job.model_copy(update={"altitude": ""}) == visit.job.model_copy(update={"altitude": ""})


def line(entry):
    """An entry with its number as a number."""
    first, *rest = entry.value.split(" ")
    try:
        value = (float(first), *rest)
    except ValueError:
        value = (entry.value,)
    return entry.item, entry.where, value, entry.at


def test_a_sheet_without_planted_defect_answers_every_line() -> None:
    bad = {each["visit"] for each in defects() if "visit" in each}
    for name in set(VISITS) - bad:
        taken = {(each.item, each.where) for each in sheets()[name].entry if each.taken}
        assert {(each.item.key, each.where) for each in demands(sound(name))} <= taken


def test_every_planted_defect_is_found_but_those_that_physics_hides(outcome) -> None:
    hidden = {each["id"] for each in defects() if not each.get("found", True)}
    missed = {number for number, found in outcome.found.items() if not found}
    assert missed == hidden
    assert len(hidden) <= 2
    assert sum(outcome.named.values()) >= 0.75 * len(outcome.named), outcome.named


def test_the_page_with_the_score_is_that_of_this_review(outcomes) -> None:
    """``python -m demo_program`` in this folder writes it again."""
    text = score_text(outcomes)
    print(text)
    assert (folder() / SCORE).read_text(encoding="utf-8") == text


def test_false_alarms_are_as_few_as_stated(outcome) -> None:
    """One sound sheet in a hundred may show a remark between readings: of sixty, more than three do so once in 300 times."""
    assert sheet_figures().false_alarm == 0.01
    assert len(outcome.false) <= 3, [(name, each.kind, each.sentence) for name, each in outcome.false]


def test_a_limit_that_a_house_truly_breaks_is_told(outcome) -> None:
    assert [(name, each.sentence) for name, each in outcome.untold] == []


def test_few_sound_readings_are_too_close_to_call(outcome, read) -> None:
    """Inputs are allowed 5 % and clocked within 3 %: most of those that cannot be called are these."""
    readings = sum(each.taken for visit in read[0].values() for each in visit.entry)
    assert len(outcome.close) < 0.02 * readings


def test_most_houses_keep_every_limit() -> None:
    broken = [name for name in VISITS if any(each.verdict == "fail" for each in true_findings(name, "plain"))]
    planted = {each["visit"] for each in defects() if "house" in each}
    assert set(broken) - planted == {
        "YEW-02"
    }  # on a mild day this one cannot hold its draft; nothing was done to it
