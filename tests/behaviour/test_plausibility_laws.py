"""Each law between readings at a worked example from outside, and what a remark says."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from hvaclib.physics.flue_gas.losses import losses
from hvaclib.physics.fuel import FUEL
from hvaclib.readings import Reading, Readings, instrument_for
from hvaclib.review.plausibility import LAWS, plausibility
from hvaclib.review.plausibility.figures import laws
from hvaclib.review.plausibility.heat import table_flow
from hvaclib.review.plausibility.law import threshold
from hvaclib.review.plausibility.loss import burned
from hvaclib.review.plausibility.sheet import sheet_of
from hvaclib.review.plausibility.slips import as_celsius, as_fahrenheit
from hvaclib.visit import Appliance, Entry, Job, Visit, reading_of
from hvaclib.visit.plate import VentNote

# Invented throughout.
TABLE = (("0.2 in. w.c.", "1300 cfm"), ("0.4 in. w.c.", "1200 cfm"), ("0.8 in. w.c.", "900 cfm"))
SMALL_ZONE = {"outdoor-temperature": "house"}
ZONE = ("baseline-pressure", "worst-case-pressure", "ambient-co-worst-case")


def sheet(entries, *, altitude="0 ft", **plate) -> Visit:
    given = {
        "name": "furnace", "kind": "draft-hood furnace", "fuel": "natural gas", "zone": "basement", "input": "80000 Btu/h",
        "efficiency": "80 %", "manifold_pressure": "3.5 in. w.c.", "blower": TABLE, "vent": VentNote(height="20 ft"), **plate,
    }  # fmt: skip
    job = Job(
        id="L-1",
        contractor="Invented Heating",
        date=dt.date(2026, 3, 4),
        altitude=altitude,
        invented=True,
    )

    def place(key):
        if key.startswith("static-hole"):
            return f"hole {key[-1]}"
        return "basement" if key in ZONE else SMALL_ZONE.get(key, "furnace")

    rows = tuple(Entry(item=key, value=value, where=place(key)) for key, value in entries.items())
    return Visit(job=job, appliance=(Appliance(**given),), entry=rows)


def read(visit) -> Readings:
    return Readings(found for entry in visit.entry if (found := reading_of(entry, visit)) is not None)


def said(entries, **plate):
    visit = sheet(entries, **plate)
    return plausibility(visit, read(visit))


# (law's kind, a sheet that agrees, one that does not, who says so)
EXAMPLES = [
    # 1.08 x cfm x rise: 64 000 = 1.08 x 1481 x 40 (trade rule at sea level)
    ("air-heat-balance", {"clocked-input": "80000 Btu/h", "steady-efficiency": "80 %", "airflow": "1481 cfm", "temperature-rise": "40 °F"},
     {"clocked-input": "80000 Btu/h", "steady-efficiency": "80 %", "airflow": "1481 cfm", "temperature-rise": "60 °F"}),
    # US EPA Method 3B: fuel factor of natural gas 1.749 = (20.9 - O2) / CO2
    ("fuel-triangle", {"flue-oxygen": "5.0 %", "flue-carbon-dioxide": "9.09 %"}, {"flue-oxygen": "5.0 %", "flue-carbon-dioxide": "11.0 %"}),
    # 87 ppm at 5 % O2 are 114 ppm air-free: 87 x 20.9 / 15.9
    ("co-air-free", {"flue-co": "87 ppm", "flue-oxygen": "5 %", "flue-co-air-free": "114 ppm"}, {"flue-co": "87 ppm", "flue-oxygen": "5 %", "flue-co-air-free": "60 ppm"}),
    # US Department of Energy, Steam Tip Sheet 4 (2006): 15 % excess air (3 % O2), 400 °F above the air: 79.9 %
    ("efficiency", {"flue-oxygen": "3.0 %", "stack-temperature": "470 °F", "combustion-air-temperature": "70 °F", "steady-efficiency": "79.9 %"},
     {"flue-oxygen": "3.0 %", "stack-temperature": "470 °F", "combustion-air-temperature": "70 °F", "steady-efficiency": "88 %"}),
    # straight line between two rows of the table: 1050 cfm at 0.60
    ("blower-table", {"external-static": "0.60 in. w.c.", "airflow": "1050 cfm"}, {"external-static": "0.60 in. w.c.", "airflow": "1500 cfm"}),
    # the filter can only lose pressure
    ("static-order", {"static-hole-1": "-0.10 in. w.c.", "static-hole-2": "-0.25 in. w.c."}, {"static-hole-1": "-0.25 in. w.c.", "static-hole-2": "-0.10 in. w.c."}),
    ("difference", {"static-hole-2": "-0.25 in. w.c.", "static-hole-3": "0.30 in. w.c.", "external-static": "0.55 in. w.c."},
     {"static-hole-2": "-0.25 in. w.c.", "static-hole-3": "0.30 in. w.c.", "external-static": "0.40 in. w.c."}),
    ("difference", {"supply-temperature": "125 °F", "return-temperature": "70 °F", "temperature-rise": "55 °F"},
     {"supply-temperature": "125 °F", "return-temperature": "70 °F", "temperature-rise": "48 °F"}),
    # ASHRAE: 20 ft at 300 °F against 60 °F pull 23.1 Pa
    ("draft-physics", {"draft-natural": "-20 Pa", "outdoor-temperature": "60 °F", "stack-temperature": "300 °F", "baseline-pressure": "0 Pa"},
     {"draft-natural": "-34 Pa", "outdoor-temperature": "60 °F", "stack-temperature": "300 °F", "baseline-pressure": "0 Pa"}),
    ("zone-pressure", {"baseline-pressure": "-1 Pa", "worst-case-pressure": "-5 Pa"}, {"baseline-pressure": "-6 Pa", "worst-case-pressure": "-1.5 Pa"}),
    ("zone-pressure", {"draft-natural": "-12 Pa", "draft-worst-case": "-8 Pa", "baseline-pressure": "0 Pa", "worst-case-pressure": "-5 Pa"},
     {"draft-natural": "-15 Pa", "draft-worst-case": "-3 Pa", "baseline-pressure": "0 Pa", "worst-case-pressure": "-5 Pa"}),
    ("co-room-flue", {"ambient-co-worst-case": "9 ppm", "flue-co": "40 ppm"}, {"ambient-co-worst-case": "100 ppm", "flue-co": "40 ppm"}),
    # orifice: input goes with the square root; 2.8 in. w.c. of 3.5 give 89.4 % of 80 000 Btu/h
    ("firing", {"clocked-input": "71554 Btu/h", "manifold-pressure": "2.8 in. w.c."}, {"clocked-input": "98000 Btu/h", "manifold-pressure": "2.8 in. w.c."}),
    # blowers of furnaces shut off below 3 in. w.c. (common practice, no source)
    # second law: air of 70 °F cools nothing below 70 °F; 34 °C of a condensing furnace was written as °F
    ("efficiency", {"stack-temperature": "93 °F", "return-temperature": "70 °F"}, {"stack-temperature": "34 °F", "return-temperature": "70 °F"}),
    ("static-order", {"external-static": "0.90 in. w.c."}, {"external-static": "90 in. w.c."}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "agrees", "differs"),
    EXAMPLES,
    ids=[f"{row[0]} {number}" for number, row in enumerate(EXAMPLES)],
)
def test_each_law_at_a_worked_example(kind, agrees, differs) -> None:
    assert said(agrees) == ()
    remark = said(differs)[0]
    assert kind in (remark.kind, *(laws()[law.key].kind for law in LAWS if remark.kind == "unit-slip"))
    assert set(remark.suspects) <= set(differs)
    assert remark.source
    assert remark.false_alarm == 0.01


def test_a_page_in_another_unit_is_told_as_one_slip() -> None:
    """64 000 Btu/h = 1.08 x 1481 cfm x 40 °F; and 0.55 in. w.c. are 137 Pa."""
    heat = {"clocked-input": "80000 Btu/h", "steady-efficiency": "80 %", "airflow": "1481 cfm"}
    warm = {"return-temperature": "70 °C", "supply-temperature": "110 °C", "temperature-rise": "40 K"}
    static = {
        "static-hole-2": "-62 in. w.c.",
        "static-hole-3": "75 in. w.c.",
        "external-static": "137 in. w.c.",
    }
    for rows, page in ((heat | warm, warm), (static, static)):
        (remark,) = said(rows, blower=())
        assert remark.kind == "unit-slip"
        assert remark.likely in page
        assert set(page) <= set(remark.suspects)
        assert "look as if all were written in" in remark.sentence


def test_carbon_monoxide_is_not_explained_by_a_decimal_point() -> None:
    """A meter shows whole ppm: the room's 46 ppm beside 12 ppm in the flue came from somewhere else."""
    (remark,) = said({"ambient-co-worst-case": "46 ppm", "flue-co": "12 ppm"})
    assert remark.kind == "co-room-flue"
    assert "decimal point" not in remark.sentence


def test_every_law_has_its_figures_and_a_source() -> None:
    assert {law.key for law in LAWS} == set(laws())
    assert all(each.model > 0.0 and each.source for each in laws().values())


def test_thin_air_carries_less_heat() -> None:
    """At 5000 ft the trade's 1.08 is 0.90 (1.08 x 0.832, US Standard Atmosphere 1976): 64 000 = 0.90 x 1778 x 40."""
    rows = {"clocked-input": "80000 Btu/h", "steady-efficiency": "80 %", "temperature-rise": "40 °F"}
    assert said({**rows, "airflow": "1778 cfm"}, altitude="5000 ft") == ()
    assert [each.kind for each in said({**rows, "airflow": "1050 cfm"}, altitude="5000 ft")] == [
        "air-heat-balance"
    ]


def test_a_condensing_furnace_may_regain_latent_heat_but_not_more_than_there_is() -> None:
    """Higher basis of natural gas: about 90 % without any condensate near 110 °F, and never 100 % and more of the rest."""
    rows = {"flue-oxygen": "6.0 %", "stack-temperature": "112 °F", "combustion-air-temperature": "60 °F"}
    for shown in ("89.5 %", "93 %", "95 %"):
        assert said({**rows, "steady-efficiency": shown}, condensing=True) == (), shown
    assert said({**rows, "steady-efficiency": "80 %"}, condensing=True)[0].kind == "efficiency"
    hot = {**rows, "stack-temperature": "300 °F", "steady-efficiency": "96 %"}
    assert said(hot, condensing=True)[0].kind == "efficiency"


@pytest.mark.parametrize("fuel", ["natural gas", "propane", "fuel oil"])
@pytest.mark.parametrize("stack", [310.0, 330.0, 420.0, 560.0])
def test_tables_give_the_losses_of_the_flue_gas_package(fuel, stack) -> None:
    """Same sums by two ways; the package itself is held against Cantera elsewhere."""
    gas = burned(fuel)
    for oxygen in (0.02, 0.06, 0.11):
        vapor = gas.vapor_left(oxygen, stack, 101325.0)
        whole = losses.si(
            fuel=FUEL.to_si(fuel, "fuel"), o2=oxygen, stack_temperature=stack, air_temperature=295.0
        )
        assert gas.efficiency(oxygen, stack, 295.0, vapor) == pytest.approx(whole.efficiency_hhv, abs=4e-4)


def test_one_slip_gives_one_remark_that_names_it() -> None:
    rows = {
        "clocked-input": "80 Btu/h", "manifold-pressure": "3.5 in. w.c.", "steady-efficiency": "80 %",
        "airflow": "1481 cfm", "temperature-rise": "40 °F",
    }  # fmt: skip
    (remark,) = said(rows)
    assert (remark.kind, remark.likely, remark.severity) == ("unit-slip", "clocked-input", "look again")
    assert "kBtu/h" in remark.sentence
    assert "80,000 Btu/h" in remark.sentence


def test_two_readings_of_one_law_leave_it_open_which_is_wrong() -> None:
    (remark,) = said({"flue-oxygen": "8.0 %", "flue-carbon-dioxide": "8.9 %"})
    assert remark.likely == ""
    assert set(remark.suspects) == {"flue-oxygen", "flue-carbon-dioxide"}


def test_what_follows_from_other_readings_is_no_witness() -> None:
    visit = sheet({"static-hole-2": "-0.25 in. w.c.", "static-hole-3": "0.30 in. w.c."})
    made = Reading("external_static", 10.0, "furnace", computed=True)
    assert plausibility(visit, [*read(visit), made]) == ()


def test_an_empty_sheet_and_one_without_a_plate_are_silent() -> None:
    assert said({}) == ()
    bare = {"input": "", "efficiency": "", "manifold_pressure": "", "blower": (), "vent": None}
    assert said({"airflow": "900 cfm", "temperature-rise": "50 °F", "draft-natural": "-90 Pa"}, **bare) == ()


def test_two_furnaces_share_no_test_hole() -> None:
    visit = sheet(
        {"static-hole-2": "-0.2 in. w.c.", "static-hole-3": "0.2 in. w.c.", "external-static": "0.9 in. w.c."}
    )
    second = visit.appliance[0].model_copy(update={"name": "second"})
    both = visit.model_copy(update={"appliance": (*visit.appliance, second)})
    assert plausibility(visit, read(visit)) != ()
    assert plausibility(both, read(visit)) == ()


def test_figures_of_the_method() -> None:
    """Normal quantiles of statistics tables; 20 °C is 68 °F; a table's row gives itself."""
    assert threshold(1) == pytest.approx(2.5758, abs=1e-4)
    assert threshold(10) == pytest.approx(3.289, abs=0.002)  # 0.1 % in both tails: 3.2905
    assert as_fahrenheit(68.0 + 273.15) == pytest.approx(293.15)
    assert as_celsius(as_fahrenheit(300.0)) == pytest.approx(300.0)
    assert table_flow(((50.0, 0.5), (100.0, 0.4), (200.0, 0.1)), 100.0) == pytest.approx(0.4)


def test_the_sheet_holds_each_reading_with_the_uncertainty_of_its_instrument() -> None:
    """JCGM 100:2008, 4.3.7 and F.2.2.1: two rectangles, of accuracy and of resolution; √2 for a difference (5.1.2)."""
    visit = sheet(EXAMPLES[0][1] | EXAMPLES[8][1] | EXAMPLES[6][1])
    values = sheet_of(visit, read(visit)).values
    found = {value.x: value.u for value in values.values()}
    for reading in read(visit):
        instrument = instrument_for(reading)
        assert instrument is not None
        once = math.sqrt(instrument.accuracy(reading.value) ** 2 / 3.0 + instrument.resolution**2 / 12.0)
        twice = math.sqrt(2.0) if reading.measurable.difference else 1.0
        assert math.isclose(found[reading.value], once * twice)
    assert len(values) == 11
