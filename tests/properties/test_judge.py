"""Laws that every judgement keeps, whatever the reading."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hvaclib import rules
from hvaclib.errors import InputError
from hvaclib.readings import Reading, Readings
from hvaclib.rules import Bounds, conformance_probability

PLAIN = rules.load("plain")
FACTS = {
    "start": "cold",
    "appliances": {
        "water heater": {
            "zone": "basement",
            "appliance_kind": "draft-hood water heater",
            "vent_shared_with": "nothing",
        }
    },
}
ORDER = {"fail": 0, "too close to call": 1, "pass": 2}
finite = st.floats(-1e6, 1e6)
spread = st.one_of(st.just(0.0), st.floats(1e-9, 1e4))


def judged(quantity, value, where="water heater", when="worst case", **more):
    reading = Reading(quantity, value, where, when, **more)
    return [
        finding
        for finding in rules.judge(Readings([reading]), PLAIN, FACTS)
        if finding.rule.quantity == quantity
    ]


@given(value=finite, uncertainty=spread, low=finite, high=finite)
def test_probability_is_between_nothing_and_certainty(value, uncertainty, low, high):
    bounds = Bounds(lower=min(low, high), upper=max(low, high))
    assert 0.0 <= conformance_probability(value, uncertainty, bounds) <= 1.0


@given(value=finite, uncertainty=spread, limit=finite)
def test_one_limit_parts_the_probability(value, uncertainty, limit):
    """Below an open limit and at or above it: together certain."""
    below = conformance_probability(value, uncertainty, Bounds(upper=limit, upper_open=True))
    above = conformance_probability(value, uncertainty, Bounds(lower=limit))
    assert below + above == pytest.approx(1.0, abs=1e-12)


@given(a=st.floats(-60.0, 60.0), b=st.floats(-60.0, 60.0), computed=st.booleans())
def test_a_stronger_draft_is_never_judged_worse(a, b, computed):
    (strong,) = judged("draft", min(a, b), computed=computed)
    (weak,) = judged("draft", max(a, b), computed=computed)
    assert ORDER[strong.verdict] >= ORDER[weak.verdict]
    assert strong.margin >= weak.margin


@given(a=st.floats(0.0, 1e4), b=st.one_of(st.floats(0.0, 1e4), st.just(math.inf)), computed=st.booleans())
def test_longer_spillage_is_never_judged_better(a, b, computed):
    (short,) = judged("spillage_time", min(a, b), computed=computed)
    (long,) = judged("spillage_time", max(a, b), computed=computed)
    assert ORDER[short.verdict] >= ORDER[long.verdict]


@given(a=st.floats(0.0, 5e-4), b=st.floats(0.0, 5e-4))
def test_more_carbon_monoxide_is_never_judged_milder(a, b):
    low, high = (
        rules.judge(Readings([Reading("co_ambient", value, "basement")]), PLAIN, FACTS)
        for value in sorted((a, b))
    )
    gravity = [
        max(each.gravity for each in found if each.rule.quantity == "co_ambient") for found in (low, high)
    ]
    assert gravity[0] <= gravity[1]


@given(value=st.floats(-1e-3, 1e-3), uncertainty=st.floats(0.01, 5.0))
def test_what_is_uncertain_near_its_limit_is_too_close_to_call(value, uncertainty):
    (finding,) = judged("draft", value, standard_uncertainty=uncertainty)
    assert finding.verdict == "too close to call"
    assert "measure again" in finding.sentence


@given(value=st.floats(-50.0, 50.0))
def test_a_computed_reading_is_decided_by_its_sign(value):
    (finding,) = judged("draft", value, computed=True)
    assert finding.verdict == ("pass" if value < 0.0 else "fail")
    assert finding.probability in (0.0, 1.0)


@pytest.mark.parametrize("uncertainty", [0.0, 2.0])
def test_an_endless_value_is_certain(uncertainty):
    assert conformance_probability(math.inf, uncertainty, Bounds(upper=300.0)) == 0.0
    assert conformance_probability(math.inf, uncertainty, Bounds(lower=300.0)) == 1.0


def test_minus_zero_is_zero():
    (finding,) = judged("draft", -0.0, computed=True)
    assert finding.verdict == "fail"
    assert math.copysign(1.0, finding.reading.value) == 1.0
    assert "−0" not in finding.sentence


def test_not_a_number_is_refused_with_a_sentence():
    with pytest.raises(InputError) as refused:
        Reading("draft", math.nan, "water heater")
    assert str(refused.value) == (
        "Draft at the test hole (water heater): the value is not a number (NaN); "
        "expected a reading; leave out what was not measured."
    )
    with pytest.raises(InputError, match="the reading is not a number"):
        conformance_probability(math.nan, 1.0, Bounds(upper=0.0))


@given(values=st.lists(st.floats(-20.0, 20.0), min_size=1, max_size=6))
def test_each_reading_is_judged_once_and_in_order(values):
    readings = Readings(Reading("draft", value, "water heater", "worst case") for value in values)
    found = [each for each in rules.judge(readings, PLAIN, FACTS) if each.rule.quantity == "draft"]
    assert [each.reading.value for each in found] == [value + 0.0 for value in values]


LINE = rules.from_text(
    """
format = "hvaclib rule set 1"
name = "line"
title = "Draft along the weather"
version = "1.0"
[decision]
fails_up_to = "5 %"
passes_from = "95 %"
source = "program decision"
[[rule]]
id = "draft-line"
title = "Draft not weaker than the outdoor temperature asks for"
quantity = "draft"
limit = { at_most = { along = "outdoor_temperature", points = [["10 °F", "-2.5 Pa"], ["90 °F", "-0.5 Pa"]] } }
severity = "fail"
source = "program decision"
do = ["Look into the vent."]
"""
)
SLOPE = 2.0 / (80.0 / 1.8)  # Pa/K


def along(draft, outdoors, of_draft, of_outdoors):
    readings = Readings(
        [
            Reading("outdoor_temperature", outdoors, "house", standard_uncertainty=of_outdoors),
            Reading("draft", draft, "water heater", standard_uncertainty=of_draft),
        ]
    )
    (finding,) = rules.judge(readings, LINE)
    return finding


@given(
    outdoors=st.floats(267.0, 299.0),
    off=st.floats(-3.0, 3.0),
    of_draft=st.floats(0.01, 1.0),
    of_outdoors=st.floats(0.0, 5.0),
)
def test_inside_the_line_the_thermometer_adds_in_quadrature(outdoors, off, of_draft, of_outdoors):
    """GUM (JCGM 100:2008) 5.1.2: the sensitivity is the slope, so u² = u_draft² + (slope u_outdoors)²."""
    limit = LINE.rules[0].bounds(outdoors).upper
    both = math.hypot(of_draft, SLOPE * of_outdoors)
    finding = along(limit + off, outdoors, of_draft, of_outdoors)
    assert finding.probability == pytest.approx(
        conformance_probability(limit + off, both, Bounds(upper=limit)), abs=1e-9
    )


@given(
    outdoors=st.floats(240.0, 320.0),
    off=st.floats(-3.0, 3.0),
    of_draft=st.floats(0.01, 1.0),
    more=st.tuples(st.floats(0.0, 5.0), st.floats(0.0, 5.0)),
)
def test_a_worse_thermometer_never_makes_the_judgement_surer(outdoors, off, of_draft, more):
    """Anywhere, bends and level ends included: the probability only comes nearer to one half."""
    limit = LINE.rules[0].bounds(outdoors).upper
    good, bad = (abs(along(limit + off, outdoors, of_draft, each).probability - 0.5) for each in sorted(more))
    assert bad <= good + 1e-12


@given(outdoors=st.one_of(st.floats(200.0, 255.0), st.floats(312.0, 330.0)), of_outdoors=st.floats(0.0, 1.0))
def test_where_the_line_is_level_the_thermometer_does_not_matter(outdoors, of_outdoors):
    exact, loose = (along(-1.6, outdoors, 0.2, each) for each in (0.0, of_outdoors))
    assert exact.probability == loose.probability


@given(value=finite, uncertainty=st.floats(1e-3, 1e3), spread=st.floats(0.0, 1e3), limit=finite)
def test_uncertain_limits_still_part_the_probability(value, uncertainty, spread, limit):
    below = conformance_probability(value, uncertainty, Bounds(upper=limit, upper_uncertainty=spread))
    above = conformance_probability(value, uncertainty, Bounds(lower=limit, lower_uncertainty=spread))
    assert below + above == pytest.approx(1.0, abs=1e-12)


@given(
    plate=st.floats(100.0, 4000.0),
    share=st.floats(0.8, 1.2),
)
def test_a_limit_from_the_plate_goes_with_the_plate(plate, share):
    """A share of the plate conforms or not whatever the plate says (90 % to 110 %: the set's own figures)."""
    facts = {"appliances": {"furnace": {"manifold_pressure": plate}}}
    reading = Reading("manifold_pressure", plate * share, "furnace", computed=True)
    (finding,) = [each for each in rules.judge(Readings([reading]), PLAIN, facts) if each.reading is reading]
    if min(abs(share - 0.9), abs(share - 1.1)) > 1e-9:
        assert finding.verdict == ("pass" if 0.9 < share < 1.1 else "fail")
