"""The shipped sets against a whole commissioning visit, and the differences of readings that they ask for.

Where a limit is recalled, its rule says so; the checks here hold two recalled forms against each other, or a limit against
arithmetic, never against what the code printed before.
"""

import math
import time
import tomllib
from importlib import resources

import pytest

from hvaclib import rules
from hvaclib.readings import VOCABULARY, Reading, Readings, standard_uncertainty
from hvaclib.rules.facts import NUMBERS
from hvaclib.units import kinds, parse_si

SETS = {name: rules.load(name) for name in rules.available()}
IN_WC = 249.08891  # Pa, conventional inch of water
PLATE = {
    "rise_least": 35 * 5 / 9, "rise_most": 65 * 5 / 9, "maximum_static": 0.5 * IN_WC, "input": 23446.0,
    "manifold_pressure": 3.5 * IN_WC, "gas_supply_least": 4.5 * IN_WC, "gas_supply_most": 10.5 * IN_WC,
    "efficiency": 0.95, "condensing": "yes",
}  # fmt: skip
FURNACE = {"zone": "basement", "appliance_kind": "two-pipe sealed furnace", "vent_shared_with": "nothing", "fuel": "natural gas"}  # fmt: skip
HEATER = {**FURNACE, "appliance_kind": "draft-hood water heater"}
FACTS = rules.Facts({"start": "cold"}, {"furnace": {**FURNACE, **PLATE}, "water heater": HEATER})
NOT_JUDGED = {
    "airflow", "caz_pressure", "combustion_air_temperature", "outdoor_temperature", "return_temperature",
    "static_pressure", "supply_temperature", "anticipator_setting",
}  # fmt: skip
"""Readings that no rule limits: they serve others (weather, differences, plausibility)."""


def judged(name, quantity, value, where="furnace", when="", **more):
    """Verdict of each rule of a set about one reading, and of a weather of 50 °F."""
    weather = Reading("outdoor_temperature", parse_si("50 °F", kinds.TEMPERATURE), "house", computed=True)
    readings = Readings([weather, Reading(quantity, value, where, when, **more)])
    found = rules.judge(readings, SETS[name], FACTS)
    return {each.rule.id: each.verdict for each in found if each.reading is readings[1]}


@pytest.mark.parametrize("name", SETS)
def test_every_reading_of_the_record_is_judged_or_named_as_not_judged(name):
    text = resources.files("hvaclib.visit").joinpath("items.toml").read_text(encoding="utf-8")
    recorded = {item["quantity"] for item in tomllib.loads(text)["item"] if "quantity" in item}
    missing = recorded - {rule.quantity for rule in SETS[name].rules}
    assert missing == NOT_JUDGED & recorded


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(
    "quantity",
    [
        "gas_leak_found", "sediment_trap_present", "vent_connector_fastened", "vent_connector_rises", "liner_fits",
        "combustion_air_adequate", "terminations_clear", "condensate_drain_works", "dedicated_circuit",
        "emergency_switch_works", "filter_fits", "filter_arrow_right", "co_alarm_works", "combustibles_clear",
        "forms_signed",
    ],
)  # fmt: skip
def test_a_wrong_answer_is_found_and_a_right_one_passes(name, quantity):
    where = {"house": "house", "zone": "basement", "appliance": "furnace"}[VOCABULARY[quantity].place]
    right = 0.0 if quantity == "gas_leak_found" else 1.0
    assert set(judged(name, quantity, right, where).values()) == {"pass"}
    assert set(judged(name, quantity, 1.0 - right, where).values()) == {"fail"}


@pytest.mark.parametrize("name", SETS)
def test_where_a_wrong_answer_can_hurt_the_rule_is_grave_and_warns(name):
    grave = {rule.quantity: rule for rule in SETS[name].rules if rule.severity in ("fail", "stop and call")}
    for quantity in (
        "gas_leak_found", "sediment_trap_present", "co_alarm_works", "emergency_switch_works", "vent_connector_fastened",
        "vent_connector_rises", "combustibles_clear", "liner_fits", "condensate_drain_works",
    ):  # fmt: skip
        assert grave[quantity].cautions
        assert VOCABULARY[quantity].caution
    assert grave["gas_leak_found"].severity == "stop and call"


@pytest.mark.parametrize("name", SETS)
def test_no_new_reading_is_demanded_of_a_test_that_does_not_take_it(name):
    """What a visit must hold stands in its list of items; a simulated draft test must not be told to find a filter."""
    needed = {rule.quantity for rule in SETS[name].rules if rule.required}
    assert needed == {"solid_fuel_operating", "co_ambient", "draft", "spillage_time", "caz_pressure_change"}


@pytest.mark.parametrize(
    ("quantity", "value", "where", "when", "plain", "stricter"),
    [
        ("draft", -1.0, "water heater", "worst case", "pass", "fail"),  # 50 °F asks for 1.5 Pa (recalled formula)
        ("draft", -2.0, "water heater", "worst case", "pass", "pass"),
        ("spillage_time", 100.0, "water heater", "worst case", "pass", "fail"),
        ("room_pressure", 3.5, "bedroom", "", "pass", "fail"),
        ("co_ambient", 20e-6, "basement", "", "fail", "fail"),
        ("manifold_pressure", 3.75 * IN_WC, "furnace", "", "pass", "fail"),  # 107 % of 3.5 in. w.c.
        ("temperature_rise", 63.0 * 5 / 9, "furnace", "", "pass", "fail"),  # 60 °F is 5 °F below the plate's 65
        ("stack_temperature", (144.5 - 32) * 5 / 9 + 273.15, "furnace", "", "pass", "fail"),
        ("clocked_input", 23446.0, "furnace", "", "pass", "pass"),
        ("gas_supply_pressure", 4.0 * IN_WC, "furnace", "", "fail", "fail"),
    ],
)  # fmt: skip
def test_the_two_sets_really_differ(quantity, value, where, when, plain, stricter):
    for name, verdict in (("plain", plain), ("stricter", stricter)):
        found = judged(name, quantity, value, where, when, standard_uncertainty=1e-7)
        assert ("fail" if "fail" in found.values() else "pass") == verdict, (name, found)


def test_the_line_of_the_draft_meets_the_table_in_the_middle_of_its_steps():
    """Two recalled forms of one rule (BPI, before 2015, both from memory, unverified) against each other."""
    rule = next(each for each in SETS["stricter"].rules if each.id == "draft-for-the-weather")
    for low, high, pascal in ((20, 40, -2.0), (40, 60, -1.5), (60, 80, -1.0)):
        middle = parse_si(f"{(low + high) / 2} °F", kinds.TEMPERATURE)
        assert rule.bounds(middle).upper == pytest.approx(pascal, abs=1e-9)
    for fahrenheit, pascal in ((-20, -2.5), (0, -2.5), (90, -0.5), (110, -0.5)):
        at = parse_si(f"{fahrenheit} °F", kinds.TEMPERATURE)
        assert rule.bounds(at).upper == pytest.approx(pascal, abs=1e-9)
    assert rule.unverified


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(("gas", "greatest"), [("natural gas", 0.119), ("propane", 0.138)])
def test_carbon_dioxide_and_oxygen_are_limited_alike(name, gas, greatest):
    """CO2 = CO2max (20.9 − O2)/20.9 of dry flue gas; CO2max of natural gas 11.9 %, of propane 13.8 % (handbook values)."""
    by_id = {rule.id: rule for rule in SETS[name].rules}
    oxygen = by_id["oxygen"].bounds(280.0)
    dioxide = by_id[f"carbon-dioxide-{gas.replace(' ', '-')}"].bounds(280.0)
    assert dioxide.upper == pytest.approx(greatest * (0.209 - oxygen.lower) / 0.209, abs=0.0015)
    assert dioxide.lower == pytest.approx(greatest * (0.209 - oxygen.upper) / 0.209, abs=0.0015)


def test_a_missing_number_on_the_plate_is_said():
    readings = Readings([Reading("manifold_pressure", 870.0, "furnace")])
    found = rules.judge(readings, SETS["plain"], rules.Facts({}, {"furnace": FURNACE}))
    (finding,) = [each for each in found if each.reading is readings[0]]
    assert finding.sentence == (
        "Furnace: the rule 'Manifold pressure near the plate's' cannot be judged, because the manifold pressure on the "
        "rating plate is not given."
    )


def test_every_fact_of_the_plate_serves_a_rule():
    used = {name for rule_set in SETS.values() for rule in rule_set.rules for name in rule.plate_facts}
    assert used == set(NUMBERS) - {"outdoor_temperature"}


# Differences of two readings -------------------------------------------------------------------------------


def test_differences_are_made_where_both_readings_were_taken():
    taken = Readings(
        [
            Reading("caz_pressure", -1.2, "basement", "baseline"),
            Reading("caz_pressure", -4.0, "basement", "worst case"),
            Reading("supply_temperature", 322.0, "furnace"),
            Reading("return_temperature", 294.0, "furnace"),
            Reading("thermostat_current", 0.42, "furnace"),
            Reading("anticipator_setting", 0.60, "furnace"),
            Reading("static_pressure", -20.0, "hole 1"),
            Reading("static_pressure", -55.0, "hole 2"),
        ]
    )
    made = rules.completed(taken, FACTS)
    assert made[: len(taken)] == taken
    values = {(item.quantity, item.where, item.when): item.value for item in made[len(taken) :]}
    assert values == {
        ("temperature_rise", "furnace", ""): pytest.approx(28.0),
        ("anticipator_difference", "furnace", ""): pytest.approx(0.18),
        ("caz_pressure_change", "basement", "worst case"): pytest.approx(-2.8),
        ("filter_pressure_drop", "furnace", ""): pytest.approx(35.0),
    }
    assert all(item.note for item in made[len(taken) :])


def test_a_difference_has_the_uncertainty_of_both():
    """GUM (JCGM 100:2008) 5.1.2: u² = u1² + u2²."""
    taken = Readings([Reading("supply_temperature", 322.0, "furnace"), Reading("return_temperature", 294.0, "furnace")])  # fmt: skip
    rise = rules.completed(taken)[-1]
    expected = math.hypot(*(standard_uncertainty(item) for item in taken))
    assert standard_uncertainty(rise) == pytest.approx(expected, rel=1e-12)


def test_what_was_given_is_not_made_again():
    taken = Readings(
        [
            Reading("caz_pressure", -1.2, "basement", "baseline"),
            Reading("caz_pressure", -4.0, "basement", "worst case"),
            Reading("caz_pressure_change", -2.7, "basement", "worst case"),
        ]
    )
    assert rules.completed(taken) is taken


@pytest.mark.parametrize(
    "taken",
    [
        [Reading("caz_pressure", -4.0, "basement", "worst case")],
        [
            Reading("caz_pressure", -4.0, "basement", "worst case"),
            Reading("caz_pressure", -1.0, "attic", "baseline"),
        ],
        [
            Reading("supply_temperature", 322.0, "furnace"),
            Reading("return_temperature", 294.0, "air handler"),
        ],
        [Reading("static_pressure", -20.0, "hole 1")],
    ],
)
def test_half_a_pair_makes_nothing(taken):
    assert rules.completed(Readings(taken), FACTS) == Readings(taken)


# Speed -----------------------------------------------------------------------------------------------------


def whole_visit():
    """Some 80 readings: every measurable thing at its places, and ten rooms."""
    usual = {"TEMPERATURE": 300.0, "FRACTION": 0.08, "CONCENTRATION": 4e-6, "TEMPERATURE_DIFFERENCE": 28.0}
    places = {"house": ["house"], "zone": ["basement"], "appliance": ["furnace", "water heater"], "test hole": ["hole 1"]}  # fmt: skip
    stage = {"draft": "worst case", "spillage_time": "worst case", "caz_pressure_change": "worst case"}
    rows = [
        Reading(
            key, 1.0 if thing.kind is None else usual.get(thing.kind.name, 0.6), where, stage.get(key, "")
        )
        for key, thing in VOCABULARY.items()
        for where in places[thing.place]
    ]
    return Readings([*rows, *(Reading("room_pressure", 0.3 * n, f"room {n}") for n in range(10))])


@pytest.mark.parametrize("name", SETS)
def test_a_whole_visit_is_judged_quickly(name):
    """Some 1 ms alone on a machine; ten times that is allowed here, so that only a change of its order is caught."""
    readings = whole_visit()
    assert len(readings) >= 60
    fastest = math.inf
    for _ in range(10):
        start = time.perf_counter()
        findings = rules.judge(readings, SETS[name], FACTS)
        fastest = min(fastest, time.perf_counter() - start)
    assert len(findings) >= 60
    assert fastest < 0.010


# Words -----------------------------------------------------------------------------------------------------


def test_a_sentence_says_where_a_limit_comes_from_that_the_set_does_not_hold():
    weather = Reading("outdoor_temperature", parse_si("50 °F", kinds.TEMPERATURE), "house", computed=True)
    readings = Readings(
        [
            weather,
            Reading("manifold_pressure", 4.2 * IN_WC, "furnace"),
            Reading("draft", -0.4, "water heater", "worst case"),
            Reading("temperature_rise", 63.0 * 5 / 9, "furnace", computed=True),
        ]
    )
    found = rules.judge(readings, SETS["stricter"], FACTS)
    sentences = {each.rule.id: each.sentence for each in found if each.reading in readings.items[1:]}
    assert (
        "(95 % of the manifold pressure on the rating plate and 105 % of the manifold pressure on the rating plate)"
        in sentences["manifold-pressure"]
    )
    assert "at most −1.50 Pa at this outdoor temperature. It fails" in sentences["draft-for-the-weather"]
    assert sentences["rise-within-nameplate"].endswith(
        "at most 60 °F (33.3 K) (the greatest temperature rise on the rating plate less 5 °F (2.8 K)). It fails by 3 °F "
        "(1.7 K)."
    )
