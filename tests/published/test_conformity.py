"""Conformity under measurement uncertainty against JCGM 106:2012 and JCGM 100:2008 (GUM).

The two examples of JCGM 106 are recalled (from memory); the arithmetic was redone by hand from a table of the
normal distribution and agrees to the digits shown. The formulas are also checked against scipy's normal distribution.
"""

import math

import pytest
from scipy import integrate, stats

from hvaclib import rules
from hvaclib.readings import Reading, Readings, instruments, standard_uncertainty, uncertainty_of
from hvaclib.rules import Bounds, conformance_probability, guard_band
from hvaclib.units import kinds, parse_si

FAHRENHEIT = kinds.TEMPERATURE


def test_breakdown_voltage_of_a_diode():
    """JCGM 106:2012 ch. 7, example: y −5.47 V, u 0.05 V, upper limit −5.40 V: Φ(1.4) = 0.92 (recalled)."""
    p = conformance_probability(-5.47, 0.05, Bounds(upper=-5.40))
    assert p == pytest.approx(0.92, abs=0.005)
    assert p == pytest.approx(stats.norm.cdf(1.4), abs=1e-12)


def test_viscosity_of_an_engine_oil():
    """JCGM 106:2012 ch. 7, example: y 13.6, u 1.8, limits 12.5 to 16.3 mm²/s: Φ(1.5) − Φ(−0.61) = 0.66 (recalled)."""
    p = conformance_probability(13.6, 1.8, Bounds(lower=12.5, upper=16.3))
    assert p == pytest.approx(0.66, abs=0.005)
    assert p == pytest.approx(stats.norm.cdf(1.5) - stats.norm.cdf(-1.1 / 1.8), abs=1e-12)


def test_guard_band_of_95_percent():
    """JCGM 106:2012 ch. 8: g = 1.645 u for 95 % conformance at one limit (recalled)."""
    assert guard_band(0.4, 0.95) == pytest.approx(1.645 * 0.4, rel=5e-4)
    assert guard_band(1.0, 0.95) == pytest.approx(stats.norm.ppf(0.95), abs=1e-9)


@pytest.mark.parametrize("uncertainty", [0.03, 0.7, 12.0])
def test_guard_band_of_two_uncertainties(uncertainty):
    """JCGM 106:2012 ch. 8: at the acceptance limit w = U = 2u inside, 2.3 % do not conform (recalled, redone)."""
    limit = 5.3
    chance = 1.0 - conformance_probability(limit - 2.0 * uncertainty, uncertainty, Bounds(upper=limit))
    assert chance == pytest.approx(0.023, abs=0.0005)


@pytest.mark.parametrize("value", [-4.1, -0.35, 0.02, 0.6, 9.0])
def test_against_the_normal_distribution_of_scipy(value):
    """Formula of JCGM 106:2012 ch. 7 with scipy.stats.norm as the reference, one limit and two."""
    u, low, high = 0.8, -1.3, 2.1
    p = stats.norm.cdf((high - value) / u) - stats.norm.cdf((low - value) / u)
    assert conformance_probability(value, u, Bounds(lower=low, upper=high)) == pytest.approx(p, abs=1e-12)
    assert conformance_probability(value, u, Bounds(lower=low)) == pytest.approx(
        stats.norm.sf((low - value) / u), abs=1e-12
    )


def test_rectangular_accuracy_and_resolution():
    """GUM (JCGM 100:2008) 4.3.7: a/√3; F.2.2.1: r/√12 = 0.289 r (recalled); both together in quadrature."""
    assert uncertainty_of(accuracy=3.0) == pytest.approx(1.7321, abs=1e-4)
    assert uncertainty_of(accuracy=0.0, resolution=2.0) == pytest.approx(2.0 * 0.289, abs=1e-3)
    assert uncertainty_of(accuracy=3.0, resolution=2.0) == pytest.approx(
        math.sqrt(3.0 + 1.0 / 3.0), abs=1e-12
    )


@pytest.mark.parametrize(("celsius", "tolerance"), [(100.0, 2.5), (333.0, 2.5), (400.0, 3.0), (800.0, 6.0)])
def test_type_k_thermocouple_class_2(celsius, tolerance):
    """IEC 60584-1:2013, type K class 2: the greater of 2.5 °C and 0.0075 t (from memory)."""
    row = next(each for each in instruments() if each.name == "thermocouple")
    assert row.accuracy(celsius + 273.15) == pytest.approx(tolerance, abs=1e-6)


@pytest.mark.parametrize(("celsius", "tolerance"), [(-100.0, 0.8), (0.0, 0.3), (100.0, 0.8), (200.0, 1.3)])
def test_platinum_thermometer_class_b(celsius, tolerance):
    """IEC 60751:2008, class B: 0.3 °C + 0.005 |t| (from memory)."""
    row = next(each for each in instruments() if each.name == "thermometer")
    assert row.accuracy(celsius + 273.15) == pytest.approx(tolerance, abs=1e-6)


def test_difference_of_two_readings_is_less_certain_by_root_two():
    """GUM (JCGM 100:2008) 5.1.2: u² = u1² + u2² for the difference of two independent readings."""
    once = standard_uncertainty(Reading("caz_pressure", -3.2, "basement"))
    change = standard_uncertainty(Reading("caz_pressure_change", -3.2, "basement"))
    assert change == pytest.approx(once * 2**0.5, rel=1e-12)


LINE = """
format = "hvaclib rule set 1"
name = "line"
title = "Draft not weaker than a line"
version = "1.0"
[decision]
fails_up_to = "5 %"
passes_from = "95 %"
source = "program decision"
[[rule]]
id = "draft-line"
title = "Draft not weaker than the outdoor temperature asks for"
quantity = "draft"
limit = {{ at_most = {{ along = "outdoor_temperature", points = [{points}] }} }}
severity = "fail"
source = "BPI Technical Standards for the Building Analyst, editions before 2015, from memory, unverified"
do = ["Find out why the vent draws so little."]
"""
IN_FIELD_UNITS = '["10 °F", "-2.5 Pa"], ["90 °F", "-0.5 Pa"]'
IN_SI = '["260.92777777777778 K", "-2.5 Pa"], ["305.37222222222222 K", "-0.5 Pa"]'


@pytest.mark.parametrize("points", [IN_FIELD_UNITS, IN_SI])
@pytest.mark.parametrize(
    ("outdoors", "least_draft"),
    [
        ("10 °F", -2.50),
        ("20 °F", -2.25),
        ("50 °F", -1.50),
        ("90 °F", -0.50),
        ("-15 °F", -2.5),
        ("103 °F", -0.5),
        ("8 °F", -2.5),
        ("92 °F", -0.5),
    ],
)
def test_draft_line(points, outdoors, least_draft):
    """Dmin = Tout/40 − 2.75 Pa, held below 10 °F and above 90 °F (BPI, before 2015: from memory, unverified)."""
    (rule,) = rules.from_text(LINE.format(points=points)).rules
    assert rule.unverified
    assert rule.bounds(parse_si(outdoors, FAHRENHEIT)).upper == pytest.approx(least_draft, abs=1e-9)


@pytest.mark.parametrize(
    ("draft", "verdict"), [(-2.26, "pass"), (-2.24, "fail"), (-2.4, "pass"), (-0.3, "fail")]
)
def test_draft_line_judges_at_the_outdoor_temperature_of_the_visit(draft, verdict):
    """20 °F asks for −2.25 Pa by the same formula (from memory, unverified)."""
    outdoors = Reading("outdoor_temperature", parse_si("20 °F", FAHRENHEIT), "house", computed=True)
    readings = Readings([outdoors, Reading("draft", draft, "water heater", computed=True)])
    (finding,) = rules.judge(readings, rules.from_text(LINE.format(points=IN_FIELD_UNITS)))
    assert finding.verdict == verdict
    assert finding.margin == pytest.approx(-2.25 - draft, abs=1e-9)


def test_draft_line_without_an_outdoor_temperature_is_not_judged():
    """A limit that follows the outdoor temperature cannot be known without it (common practice, no source)."""
    readings = Readings([Reading("draft", -2.3, "water heater")])
    (finding,) = rules.judge(readings, rules.from_text(LINE.format(points=IN_FIELD_UNITS)))
    assert finding.verdict == "not measured"
    assert "the outdoor temperature is not given" in finding.sentence


def test_guarded_acceptance_between_two_limits():
    """JCGM 106:2012 ch. 8, two limits with g = 1.645 u on both sides: at the edge of acceptance 5 % lie beyond the near
    limit and, where the tolerance is ten u wide, nothing to speak of beyond the far one (recalled; redone with scipy)."""
    u, bounds = 0.7, Bounds(lower=20.0, upper=27.0)
    for edge in (bounds.lower + guard_band(u, 0.95), bounds.upper - guard_band(u, 0.95)):
        p = conformance_probability(edge, u, bounds)
        assert p == pytest.approx(0.95, abs=1e-6)
        near = stats.norm.cdf(bounds.upper, edge, u) - stats.norm.cdf(bounds.lower, edge, u)
        assert p == pytest.approx(near, abs=1e-12)


def test_too_wide_an_instrument_never_accepts():
    """JCGM 106:2012 ch. 7, two limits: in the middle p = 2 Φ(T/2u) − 1, so that a tolerance of 2 u gives 68.3 % at best."""
    middle = conformance_probability(3.0, 1.5, Bounds(lower=1.5, upper=4.5))
    assert middle == pytest.approx(
        0.6827, abs=5e-5
    )  # one standard deviation, printed table of the normal law
    assert all(
        conformance_probability(y, 1.5, Bounds(lower=1.5, upper=4.5)) <= middle for y in (1.6, 2.4, 3.3, 4.4)
    )


def test_resolution_alone_decides_at_the_last_digit():
    """GUM F.2.2.1 with JCGM 106 ch. 7: a display of 1 Pa that shows 3 Pa against a limit of 3.5 Pa is √3 u inside."""
    u = uncertainty_of(accuracy=0.0, resolution=1.0)
    p = conformance_probability(3.0, u, Bounds(upper=3.5))
    assert p == pytest.approx(stats.norm.cdf(math.sqrt(3.0)), abs=1e-12)
    assert p == pytest.approx(0.9584, abs=5e-5)  # Φ(1.732), printed table


def test_one_uncertain_limit_is_the_difference_of_two_normal_values():
    """GUM 5.1.2: reading and limit independent, u² = u1² + u2²; against numerical integration over the limit (scipy)."""
    value, u, limit, spread = -1.9, 0.12, -1.75, 0.2
    p = conformance_probability(value, u, Bounds(upper=limit, upper_uncertainty=spread))
    exact, _ = integrate.quad(
        lambda at: stats.norm.pdf(at, limit, spread) * stats.norm.cdf((at - value) / u),
        limit - 9 * spread,
        limit + 9 * spread,
    )
    assert p == pytest.approx(exact, abs=1e-8)


@pytest.mark.parametrize(
    ("fahrenheit", "kelvin", "tolerance"),
    # Inside a segment the sum in quadrature is exact. At a bend the mean of the limit moves too, which the sum leaves out:
    # 0.02 with a thermometer good to 0.3 K, as the usual one is, 0.12 with a poor one of 2 K.
    [
        (50.0, 2.0, 1e-6),
        (22.0, 0.5, 1e-6),
        (-20.0, 3.0, 1e-6),
        (10.0, 0.3, 0.02),
        (90.0, 0.3, 0.02),
        (10.0, 2.0, 0.12),
        (90.0, 2.0, 0.12),
    ],
)
def test_a_limit_along_the_outdoor_temperature_takes_over_its_uncertainty(fahrenheit, kelvin, tolerance):
    """GUM 5.1.2 and 5.1.3, against the integral of the conformance over all outdoor temperatures (scipy)."""
    (rule,) = rules.from_text(LINE.format(points=IN_FIELD_UNITS)).rules
    at = parse_si(f"{fahrenheit} °F", FAHRENHEIT)
    u = 0.1
    value = rule.bounds(at).upper - 0.08
    p = conformance_probability(value, u, rule.bounds(at, outdoor_uncertainty=kelvin))
    exact, _ = integrate.quad(
        lambda t: stats.norm.pdf(t, at, kelvin) * stats.norm.cdf((rule.bounds(t).upper - value) / u),
        at - 8 * kelvin,
        at + 8 * kelvin,
        points=[parse_si("10 °F", FAHRENHEIT), parse_si("90 °F", FAHRENHEIT)],
        limit=400,
    )
    assert p == pytest.approx(exact, abs=tolerance)


def test_the_judge_carries_the_thermometer_into_the_limit():
    """Slope of the line 2 Pa in 80 °F (44.4 K) = 0.045 Pa/K; 4 K of uncertainty are 0.18 Pa, beside 0.1 Pa of the reading:
    u = 0.206 Pa; 0.206 Pa inside the limit conforms with Φ(1) = 0.8413 (GUM 5.1.2; JCGM 106 ch. 7)."""
    limit = 2.0 / (80.0 / 1.8)
    u = math.hypot(0.1, 4.0 * limit)
    outdoors = Reading(
        "outdoor_temperature", parse_si("50 °F", FAHRENHEIT), "house", standard_uncertainty=4.0
    )
    draft = Reading("draft", -1.5 - u, "water heater", standard_uncertainty=0.1)
    (finding,) = rules.judge(Readings([outdoors, draft]), rules.from_text(LINE.format(points=IN_FIELD_UNITS)))
    assert u == pytest.approx(0.206, abs=0.0005)
    assert finding.probability == pytest.approx(0.841345, abs=1e-5)
    assert finding.verdict == "too close to call"
    assert f"a reading of −{1.5 + 1.644854 * u:.2f} Pa or below would pass" in finding.sentence
