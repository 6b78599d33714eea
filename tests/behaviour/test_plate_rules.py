"""Rules whose limit stands on the furnace's rating plate, and the one about closed rooms."""

from __future__ import annotations

import math

import pytest

from hvaclib import rules
from hvaclib.errors import InputError
from hvaclib.readings import Reading, Readings, standard_uncertainty

PLAIN = rules.load("plain")
# 35 to 65 °F and 0.50 in. w.c., by definition: 5/9 K per °F; 249.089 Pa per in. w.c. (ISO 80000, conventional water)
PLATE = {"rise_least": 35 * 5 / 9, "rise_most": 65 * 5 / 9, "maximum_static": 0.5 * 249.08891}


def judged(
    quantity: str, value: float, where: str = "furnace", uncertainty: float | None = None, **plate: float
):
    """Findings about one reading, the furnace's plate known."""
    readings = Readings([Reading(quantity, value, where, standard_uncertainty=uncertainty)])
    facts = rules.Facts({}, {"furnace": {"zone": "basement", **plate}})
    found = [item for item in rules.judge(readings, PLAIN, facts).items if item.rule.quantity == quantity]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("fahrenheit", "verdict"),
    [(50.0, "pass"), (36.5, "pass"), (75.0, "fail"), (30.0, "fail"), (65.1, "too close to call")],
)
def test_the_rise_is_judged_by_the_plate(fahrenheit, verdict):
    finding = judged("temperature_rise", fahrenheit * 5 / 9, **PLATE)
    assert finding.verdict == verdict
    assert finding.rule.id == "rise-within-nameplate"
    assert "35 °F (19.4 K) and at most 65 °F (36.1 K)" in finding.sentence


def test_another_plate_gives_another_verdict_for_the_same_reading():
    assert judged("temperature_rise", 75 * 5 / 9, **{**PLATE, "rise_most": 85 * 5 / 9}).verdict == "pass"


def test_the_probability_is_that_of_the_normal_distribution():
    # JCGM 106:2012, 7.4: one standard uncertainty below a one-sided limit conforms with probability Φ(1) = 0.8413
    finding = judged("external_static", PLATE["maximum_static"] - 4.0, uncertainty=4.0, **PLATE)
    assert finding.probability == pytest.approx(0.841345, abs=1e-6)
    assert finding.verdict == "too close to call"


def test_without_the_plate_nothing_is_judged_and_the_sentence_says_why():
    finding = judged("temperature_rise", 25.0, rise_least=19.0)
    assert finding.verdict == "not measured"
    assert "the greatest temperature rise on the rating plate is not given" in finding.sentence


def test_two_thermometers_are_less_sure_than_one():
    # JCGM 100:2008, 4.3.7: 0.5 K bounds are 0.5/√3; two of them, and two displays of 0.1 K: times √2
    once = math.hypot(0.5 / math.sqrt(3), 0.1 / math.sqrt(12))
    assert standard_uncertainty(Reading("temperature_rise", 25.0, "furnace")) == pytest.approx(
        math.sqrt(2) * once
    )


@pytest.mark.parametrize(
    ("pascal", "verdict"), [(2.0, "pass"), (-2.0, "pass"), (6.0, "fail"), (-6.0, "fail")]
)
def test_closed_rooms_stay_within_four_pascals(pascal, verdict):
    finding = judged("room_pressure", pascal, "east bedroom")
    assert finding.verdict == verdict
    assert finding.source == "common practice, no source"


def test_a_plate_that_is_no_number_is_refused():
    with pytest.raises(InputError, match="must be a temperature difference in kelvin"):
        rules.Facts({}, {"furnace": {"rise_least": "35 °F"}})
