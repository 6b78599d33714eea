"""A visit made by simulating a dwelling comes back from file through review with what the simulation implies."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from hvaclib.errors import InputError
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import read_dwelling
from hvaclib.physics.flue_gas.losses import efficiency
from hvaclib.physics.fuel import FUEL
from hvaclib.readings import Readings
from hvaclib.review import KINDS, review_visit
from hvaclib.review.simulated import Burner, simulated_readings, visit_of
from hvaclib.rules import Facts, completed, judge, load
from hvaclib.visit import demands, facts_of, read_visit, readings_of, write_visit
from hvaclib.visit.sheets import read_sheets, write_csv, write_xlsx

TODAY = dt.date(2026, 6, 1)


@pytest.fixture(scope="module", params=sorted(demo_dwellings()))
def house(request):
    dwelling = read_dwelling(demo_dwellings()[request.param])
    return dwelling, simulated_readings(dwelling)


def verdicts(findings):
    """Rule, place and verdict of every finding about a number."""
    return {
        (each.rule.id, each.where, each.verdict)
        for each in findings.items
        if each.reading is not None and each.reading.measurable.kind is not None
    }


def implied(visit, readings, rules):
    """Findings of the simulation's own readings that the sheet asks for, without any file between."""
    asked = {(each.quantity, each.where, each.when) for each in readings_of(visit)}
    facts = Facts.from_mapping(facts_of(visit))
    shown = Readings(each for each in readings if (each.quantity, each.where, each.when) in asked)
    return verdicts(judge(completed(shown, facts), rules, facts))


@pytest.mark.parametrize("rules", ["plain", "stricter"])
@pytest.mark.parametrize("form", ["toml", "json", "wide csv", "long csv", "xlsx"])
def test_a_simulated_visit_comes_back_with_what_the_simulation_implies(house, rules, form, tmp_path) -> None:
    dwelling, readings = house
    visit = visit_of(dwelling, readings=readings)
    path = tmp_path / f"visit.{form.split()[-1]}"
    if form in ("toml", "json"):
        write_visit(visit, path)
        back = read_visit(path)
    else:
        if form == "xlsx":
            write_xlsx([visit], path)
        else:
            write_csv([visit], path, form=form.split()[0])
        understood = read_sheets(path)
        assert not understood.refusals, understood.words()
        (back,) = understood.visits
    review = review_visit(back, load(rules), today=TODAY)
    found = verdicts(review.findings)
    assert found == implied(visit, readings, load(rules))
    assert len(found) >= 10
    # A careful technician left nothing out, and exact readings of one house can all be true; but this one goes on with
    # the sheet where a finding says stop.
    stops = {(each.item, each.where) for each in review.stops}
    others = [each for each in review.remarks if KINDS[each.kind].about != "rule" and each.severity != "note"]
    assert {(each.kind, each.item, each.where) for each in others} <= {("worked-on", *stop) for stop in stops}


def test_every_line_that_the_job_needs_is_answered(house) -> None:
    dwelling, readings = house
    visit = visit_of(dwelling, readings=readings)
    answered = {(each.item, each.where) for each in visit.entry if each.taken}
    assert {(each.item.key, each.where) for each in demands(visit)} <= answered


def test_the_sheet_holds_the_simulated_numbers(house) -> None:
    dwelling, readings = house
    for system in ("field", "si"):
        back = readings_of(visit_of(dwelling, readings=readings, system=system))
        for each in readings:
            there = back.get(each.quantity, each.where, each.when)
            if there is not None:
                assert there.value == pytest.approx(each.value, rel=1e-9, abs=1e-12)
        assert len([each for each in back if each.measurable.kind]) >= 15


def test_noise_is_repeatable_and_of_the_instruments_size(house) -> None:
    dwelling, readings = house
    one, same, other = (
        visit_of(dwelling, readings=readings, noise=np.random.default_rng(seed)) for seed in (1, 1, 2)
    )
    assert one == same
    assert one != other
    exact = readings.get("stack_temperature", one.appliance[0].name)
    shown = readings_of(one).get("stack_temperature", one.appliance[0].name)
    assert 0.0 < abs(shown.value - exact.value) < 20.0


def test_the_flue_gas_carries_off_what_the_appliance_does_not_keep(house) -> None:
    dwelling, readings = house
    for each in dwelling.appliances:
        if each.solid_fuel or each.efficiency is None:
            continue

        def of(quantity, name=each.name):
            return readings.get(quantity, name).value

        found = efficiency.si(
            fuel=FUEL.to_si(each.fuel, "fuel"),
            stack_temperature=of("stack_temperature"), air_temperature=of("combustion_air_temperature"),
            o2=of("oxygen_flue"), co=of("co_flue"), altitude=dwelling.site.altitude,
        )  # fmt: skip
        assert float(found) == pytest.approx(each.efficiency, abs=1e-9)


def test_a_burner_that_cannot_be_is_refused_in_one_sentence() -> None:
    dwelling = read_dwelling(demo_dwellings()["passes"])
    name = next(each.name for each in dwelling.appliances if each.kind == "draft-hood water heater")
    with pytest.raises(InputError, match="no flue-gas temperature gives this efficiency"):
        simulated_readings(
            dwelling.with_part("appliances", name, efficiency=0.55), {name: Burner(oxygen=0.02)}
        )
