"""Review of a visit: each sort of remark has a planted example, and the sound sheet beside it stays silent."""

from __future__ import annotations

import datetime as dt
import pickle

import pytest

from hvaclib.review import KINDS, readings_with_derived, review_many, review_visit
from hvaclib.review.across.taken import brought
from hvaclib.review.impact import impact
from hvaclib.rules import load
from hvaclib.visit import Appliance, Entry, Job, Visit, demands, items
from hvaclib.visit.checklist import item

TODAY = dt.date(2026, 6, 1)
PLAIN = load("plain")
# An invented condensing furnace; every value meets the plate and the rules of 'plain'.
FURNACE = Appliance(
    name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement", condensing=True,
    input="60000 Btu/h", efficiency="95 %", rise=("40 °F", "70 °F"), maximum_static="0.50 in. w.c.",
    manifold_pressure="3.5 in. w.c.", gas_supply=("4.5 in. w.c.", "10.5 in. w.c."), new=True,
)  # fmt: skip
HEATER = Appliance(
    name="water heater", kind="draft-hood water heater", fuel="natural gas", zone="basement", new=True,
    input="60000 Btu/h", manifold_pressure="3.5 in. w.c.", gas_supply=("4.5 in. w.c.", "10.5 in. w.c."),
)  # fmt: skip
VALUES = {
    "gas-smell": "no", "gas-leak-test": "no", "ambient-co-arrival": "0 ppm", "ambient-co-worst-case": "0 ppm",
    "gas-supply-pressure": "7.0 in. w.c.", "manifold-pressure": "3.5 in. w.c.", "clocked-input": "59800 Btu/h",
    "flue-oxygen": "6.0 %", "flue-co-air-free": "23 ppm", "stack-temperature": "118 °F", "steady-efficiency": "95 %",
    "outdoor-temperature": "35 °F", "draft-natural": "-6 Pa", "draft-worst-case": "-5 Pa",
    "baseline-pressure": "-0.5 Pa", "worst-case-pressure": "-1.5 Pa", "spillage-worst-case": "20 s",
    "return-temperature": "68 °F", "supply-temperature": "122 °F", "temperature-rise": "54 °F",
    "static-hole-2": "-0.20 in. w.c.", "static-hole-3": "0.18 in. w.c.", "external-static": "0.38 in. w.c.",
    "room-pressure": "1 Pa",
}  # fmt: skip


def visit_with(changes=None, *, drop=(), extra=(), times=True, appliances=(FURNACE, HEATER), **job) -> Visit:
    """A complete invented sheet, with other values for some items, without others, or with more entries."""
    row = {
        "id": "A-1",
        "contractor": "Invented Heating",
        "date": dt.date(2026, 3, 4),
        "invented": True,
        **job,
    }
    bare = Visit(job=Job(**row), appliance=appliances)
    given = {**VALUES, **(changes or {})}
    entries = []
    for number, demand in enumerate(demands(bare)):
        if demand.item.key in drop:
            continue
        at = f"{8 + number // 15}:{number % 15 * 4:02d}" if times else ""
        value = given.get(demand.item.key, "yes")
        entries.append(Entry(item=demand.item.key, value=value, where=demand.where, at=at))
    return Visit(job=bare.job, appliance=appliances, entry=(*entries, *extra))


def kinds_of(visit, about="step"):
    found = review_visit(visit, PLAIN, today=TODAY).remarks
    return [(each.kind, each.item) for each in found if KINDS[each.kind].about == about]


@pytest.mark.parametrize("times", [True, False])
def test_a_sound_sheet_gets_no_remark_about_steps_or_rules(times) -> None:
    found = review_visit(visit_with(times=times), PLAIN, today=TODAY)
    assert [each for each in found.remarks if each.severity != "note"] == []
    assert found.severity == "pass"


PLANTED = [
    ({"drop": ("sediment-trap",)}, ("missing-item", "sediment-trap")),
    ({"changes": {"stack-temperature": ""}}, ("not-taken", "stack-temperature")),
    ({"changes": {"gas-shutoff": "no"}}, ("wrong-answer", "gas-shutoff")),
    ({"changes": {"stack-temperature": "hot"}}, ("unreadable", "stack-temperature")),
    ({"changes": {"outdoor-temperature": "hot"}}, ("unreadable", "outdoor-temperature")),
    ({"extra": (Entry(item="filter-arrow", value="no", where="attic", at="20:00"),)}, ("unreadable", "filter-arrow")),
    ({"changes": {"gas-smell": "yes"}}, ("worked-on", "gas-smell")),
    ({"date": dt.date(2026, 6, 2)}, ("date", "")),
    ({"date": dt.date(1999, 12, 31)}, ("date", "")),
    (
        {"drop": ("gas-leak-test",), "extra": (Entry(item="gas-leak-test", value="no", where="house", at="20:00"),)},
        ("out-of-order", "manifold-pressure"),
    ),
    (
        {"drop": ("clocked-input",), "extra": tuple(
            Entry(item="clocked-input", value="59800 Btu/h", where=name, at="20:00") for name in ("furnace", "water heater")
        )},
        ("out-of-order", "temperature-rise"),
    ),
    (
        {"times": False, "extra": (Entry(item="external-static", value="0.60 in. w.c.", where="furnace"),)},
        ("contradictory", "external-static"),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("plant", "expected"), PLANTED, ids=lambda each: str(each)[:60])
def test_a_planted_slip_is_found(plant, expected) -> None:
    assert expected in kinds_of(visit_with(**plant))


def test_draft_before_the_vent_was_fastened() -> None:
    late = Entry(item="vent-fastened", value="yes", where="water heater", at="20:00")
    found = kinds_of(visit_with(drop=("vent-fastened",), extra=(late,)))
    assert {("out-of-order", "draft-natural"), ("out-of-order", "draft-worst-case")} <= set(found)


def test_a_test_repeated_in_time_is_no_slip() -> None:
    again = Entry(item="external-static", value="0.30 in. w.c.", where="furnace", at="20:00")
    early = Entry(item="draft-natural", value="-6 Pa", where="water heater", at="6:00")
    assert kinds_of(visit_with(extra=(again, early))) == []


@pytest.mark.parametrize(
    ("drop", "silent"),
    [
        (("temperature-rise",), True),
        (("supply-temperature", "return-temperature"), True),
        (("external-static",), True),
        (("static-hole-2", "static-hole-3"), True),
        (("temperature-rise", "supply-temperature"), False),
        (("external-static", "static-hole-2"), False),
    ],
)
def test_what_follows_from_other_readings_is_not_missing(drop, silent) -> None:
    assert (kinds_of(visit_with(drop=drop)) == []) is silent


def test_derived_readings_are_the_arithmetic_of_the_sheet() -> None:
    sheet = visit_with(drop=("external-static", "flue-co-air-free"), extra=(
        Entry(item="flue-co", value="20 ppm", where="furnace"),
    ))  # fmt: skip
    found = readings_with_derived(sheet)
    # 0.18 - (-0.20) in. w.c., at 249.08891 Pa an inch (NIST SP 811, conventional water).
    assert found.get("external_static", "furnace").value == pytest.approx(0.38 * 249.08891, rel=1e-4)
    # CO 20.9 / (20.9 - O2), the convention of the trade's articles on CO testing.
    assert found.get("co_air_free", "furnace").value == pytest.approx(20e-6 * 20.9 / 14.9, rel=1e-3)


def test_a_reading_beyond_its_rule_fails_with_margin_and_probability() -> None:
    found = review_visit(visit_with({"temperature-rise": "90 °F"}), PLAIN, today=TODAY)
    (remark,) = (each for each in found.of("rule") if each.item == "temperature-rise")
    assert remark.severity == "fail"
    assert all((remark.rule, remark.do, remark.source))
    assert "fails by 20 °F" in remark.sentence  # 90 less the plate's 70


def test_a_reading_at_its_limit_is_a_close_call() -> None:
    found = review_visit(visit_with({"temperature-rise": "70 °F"}), PLAIN, today=TODAY)
    assert [each.item for each in found.of("close-call")] == ["temperature-rise"]


def test_remarks_come_gravest_first() -> None:
    sheet = visit_with({"gas-smell": "yes", "temperature-rise": "90 °F", "client-instructed": "no"})
    found = review_visit(sheet, PLAIN, today=TODAY)
    gravities = [each.gravity for each in found.remarks]
    assert gravities == sorted(gravities, reverse=True)
    assert found.severity == "stop and call"


@pytest.mark.parametrize("demand", demands(visit_with()), ids=lambda each: f"{each.item.key}, {each.where}")
def test_an_entry_left_out_is_one_missing_item_more(demand) -> None:
    full = visit_with()
    kept = tuple(e for e in full.entry if (e.item, e.where) != (demand.item.key, demand.where))
    found = [
        each
        for each in kinds_of(Visit(job=full.job, appliance=full.appliance, entry=kept))
        if each[0] == "missing-item"
    ]
    told = demand.item.key in (
        "temperature-rise", "supply-temperature", "return-temperature",
        "external-static", "static-hole-2", "static-hole-3",
    )  # fmt: skip
    assert found == ([] if told else [("missing-item", demand.item.key)])


def test_the_order_of_lines_does_not_matter_where_times_are_given() -> None:
    full = visit_with({"gas-smell": "yes", "stack-temperature": "hot"}, drop=("sediment-trap",))
    turned = Visit(job=full.job, appliance=full.appliance, entry=full.entry[::-1])
    both = [review_visit(each, PLAIN, today=TODAY).remarks for each in (full, turned)]
    assert both[0] == both[1]


def test_another_rule_set_changes_only_remarks_about_rules() -> None:
    sheet = visit_with({"draft-worst-case": "-1 Pa", "gas-shutoff": "no"}, drop=("sediment-trap",))
    assert kinds_of(sheet) == [
        (each.kind, each.item)
        for each in review_visit(sheet, load("stricter"), today=TODAY).remarks
        if each.kind in ("missing-item", "wrong-answer")
    ]


def test_a_visit_and_what_it_brings_are_the_same_in_another_process() -> None:
    sheet = visit_with(
        {"flue-co": "", "draft-natural": "-6"}, extra=(Entry(item="gas-smell", photo="a.jpg", note="x"),)
    )
    there = pickle.loads(pickle.dumps(sheet))
    assert there == sheet
    assert there.model_dump() == sheet.model_dump()
    assert [type(each) for each in (*there.entry, *there.appliance, there.job)] == [
        type(each) for each in (*sheet.entry, *sheet.appliance, sheet.job)
    ]
    assert (
        review_visit(there, PLAIN, today=TODAY).to_record()
        == review_visit(sheet, PLAIN, today=TODAY).to_record()
    )
    assert pickle.loads(pickle.dumps(brought(sheet))) == brought(sheet)


def test_what_an_item_rests_on_stands_before_it_in_the_order_of_the_work() -> None:
    """The review passes a sheet that was done in this order at a glance; that is right only while this holds."""
    pairs = [(item(before).number, each.number) for each in items() for before in each.after]
    assert len(pairs) > 20
    assert all(before < number for before, number in pairs)


def test_the_plate_is_for_the_plains_unless_it_says_otherwise() -> None:
    """NFPA 54 (2002), 11.1.2: 4 % less for each 1000 ft above sea level, from 2000 ft up; 6000 ft leaves 76 %."""
    readings = {"clocked-input": "45600 Btu/h", "manifold-pressure": "2.1 in. w.c."}
    told = {
        altitude: {
            each.rule
            for each in review_visit(visit_with(readings, altitude=altitude), PLAIN, today=TODAY).of("rule")
        }
        for altitude in ("0 ft", "2000 ft", "6000 ft")
    }
    assert ["input-not-under" in found for found in told.values()] == [True, True, False]
    stated = tuple(each.model_copy(update={"input_at_altitude": "60000 Btu/h"}) for each in (FURNACE, HEATER))
    sheet = visit_with(readings, altitude="6000 ft", appliances=stated)
    assert "input-not-under" in {each.rule for each in review_visit(sheet, PLAIN, today=TODAY).of("rule")}
    at_full = visit_with(altitude="6000 ft")
    assert "input-not-over" in {each.rule for each in review_visit(at_full, PLAIN, today=TODAY).of("rule")}


@pytest.mark.parametrize("altitude", ["high", "50000 ft", "-3000 ft"])
def test_no_house_stands_above_the_clouds(altitude) -> None:
    with pytest.raises(ValueError, match="altitude"):
        visit_with(altitude=altitude)


def test_impact_names_the_visits_that_end_otherwise() -> None:
    weak = visit_with({"draft-worst-case": "-1.0 Pa"}, id="weak draft")
    changed = list(impact([visit_with(), weak], PLAIN, load("stricter"), today=TODAY))
    assert "weak draft" in [each.visit for each in changed]
    told = next(each for each in changed if each.visit == "weak draft")
    assert told.before != told.after
    assert told.come
    assert told.after in told.sentence
    assert list(impact([visit_with(), weak], PLAIN, PLAIN, today=TODAY)) == []


def test_two_processes_say_what_one_says_in_the_same_order() -> None:
    sheets = [visit_with({"temperature-rise": f"{40 + n} °F"}, id=f"A-{n}") for n in range(60)]
    one = list(review_many(sheets, PLAIN, today=TODAY))
    assert one == list(review_many(sheets, PLAIN, jobs=2, today=TODAY))
    assert [each["job"]["id"] for each in one] == [each.name for each in sheets]
