"""Units: values by definition, what people type, and laws that hold for every kind."""

import math
import pickle
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hvaclib.errors import UnitError
from hvaclib.units import (
    KINDS,
    from_shown,
    kinds,
    parse,
    parse_si,
    quantity_si,
    show,
    shown,
    ureg,
)

# NIST Special Publication 811 (2008), Appendix B: factors to SI, exact unless the number of digits says otherwise.
DEFINITIONS = [
    ("in", 0.0254, "meter"),
    ("ft", 0.3048, "meter"),
    ("mi", 1609.344, "meter"),
    ("mil", 2.54e-5, "meter"),
    ("gallon", 3.785411784e-3, "meter**3"),
    ("cfm", 0.3048**3 / 60, "meter**3/second"),
    ("cfh", 0.3048**3 / 3600, "meter**3/second"),
    ("fpm", 5.08e-3, "meter/second"),
    ("mph", 0.44704, "meter/second"),
    ("lb", 0.45359237, "kilogram"),
    ("inH2O", 249.08891, "pascal"),  # 'inch of water, conventional' 2.490 889 E+02
    ("inH2O_60F", 248.84, "pascal"),  # 'inch of water (60 °F)' 2.4884 E+02
    ("inHg", 3386.389, "pascal"),  # 'inch of mercury, conventional' 3.386 389 E+03
    ("psi", 6894.757, "pascal"),
    ("psig", 6894.757, "pascal"),
    ("mbar", 100.0, "pascal"),
    ("Btu", 1055.05585262, "joule"),  # International Table, exact
    ("kBtu/h", 293.0710702, "watt"),
    ("MBH", 293.0710702, "watt"),
    ("MBtu/h", 293.0710702, "watt"),  # the trade's M is a thousand
    ("therm", 105505585.262, "joule"),  # 100 000 Btu(IT): 1.055 06 E+08
    ("hp", 745.6999, "watt"),
    ("Btu/h/ft^2/delta_degF", 5.678263, "watt/meter**2/kelvin"),
    ("Btu/h/ft/delta_degF", 1.730735, "watt/meter/kelvin"),
    ("Btu/lb/delta_degF", 4186.8, "joule/kilogram/kelvin"),
    ("Btu/ft^3", 37258.95, "joule/meter**3"),
    ("ppm", 1e-6, "dimensionless"),
    ("percent", 0.01, "dimensionless"),
    ("deg", math.pi / 180, "radian"),
]


@pytest.mark.parametrize(("unit", "factor", "si"), DEFINITIONS)
def test_unit_has_its_defined_value(unit, factor, si):
    assert ureg.Quantity(1.0, unit).to(si).magnitude == pytest.approx(factor, rel=2e-7)


@pytest.mark.parametrize(
    "unit",
    [
        "ft^3/min",
        "inH2O",
        "degF",
        "delta_degF",
        "in^2",
        "percent",
        "ppm",
        "kBtu/h",
        "Btu/hour",
        "inHg",
        "psi",
        "degC",
        "K",
        "kPa",
        "kW",
        "kWh",
        "L/s",
        "gal",
        "lb/ft^3",
    ],
)
def test_own_definitions_agree_with_pint(unit):
    # pint's own registry: its Btu is the ISO one, 1.4e-7 higher
    theirs = pint.UnitRegistry()
    si = theirs.Quantity(7.3, unit).to_base_units()
    ours = ureg.Quantity(7.3, unit).to(str(si.units) or "dimensionless")
    assert ours.magnitude == pytest.approx(si.magnitude, rel=2e-7)


# The same quantity as different people type it; the value is arithmetic with the definitions above.
TYPED = [
    (("1,200 cfm", "1200 CFM", "1200 ft³/min", "1200 cubic feet per minute", "1,200.0 ft^3/min", "1.2e3cfm"), "VOLUME_FLOW", 1200 * 4.719474432e-4),
    (("3/4 in", "0.75in", ".75 inch", '3/4"', "¾ in", "+0.75 inches"), "LENGTH", 0.01905),
    (("5 1/2 in", "5-1/2 in", "5½ in", "5.5 in.", "139.7 mm"), "SIZE", 0.1397),
    (("6 ft 8 in", "6' 8\"", "6'-8\"", "6′8″", "80 in", "6 ft 8 inches", "6 2/3 ft"), "LENGTH", 2.032),
    (("-7 ft 6 in", "−7.5 ft", "–7.5 ft", "- 7.5 ft"), "LENGTH", -2.286),
    (("−3 Pa", "-3 Pa", "-3 pascals", "-3PA"), "PRESSURE_DIFFERENCE", -3.0),
    (("0.5 in. w.c.", "0.5 in wc", "0.5 inH2O", "0.5 in. H2O", '0.5" w.c.', "0.5 inches of water column", "1/2 in. w.g.", "0.5 IWC", "0.5 WC", "0.5'' w.c."), "GAUGE_PRESSURE", 124.544455),
    (("2 psig", "2 psi", "32 osi"), "GAUGE_PRESSURE", 2 * 6894.757293168),
    (("29.92 in. Hg", "29.92 inHg", "29.92 inches of mercury"), "PRESSURE", 29.92 * 3386.38864),
    (("50 sq in", "50 sq. in.", "50 in²", "50 in^2", "50 in2", "50 square inches", "50 in**2"), "AREA", 50 * 6.4516e-4),
    (("40 kBtu/h", "40,000 Btu/h", "40000 Btu/hr", "40000 BTUH", "40 MBH", "40 MBtu/h", "40000 btu per hour"), "POWER", 40 * 293.07107017),
    (("70 °F", "70°F", "70 F", "70 degF", "70 deg F", "70 ° F", "21.111111111 °C"), "TEMPERATURE", 294.26111111),
    (("45 °F", "45 delta_degF", "45 Δ°F", "45 F", "25 K", "25 °C"), "TEMPERATURE_DIFFERENCE", 25.0),
    (("12%", "12 %", "12 percent", "0.12", "12 pct"), "FRACTION", 0.12),
    (("0.4 Btu/(h·ft²·°F)", "0.4 Btu/h·ft²·°F", "0.4 Btu/hr-ft2-F", "0.4 Btu/h/ft^2/delta_degF", "0.4 Btu/h ft² F"), "U_VALUE", 0.4 * 5.678263341),
    (("1 min 30 s", "90 s", "1.5 min", "90 seconds"), "TIME", 90.0),
    (("0.35 ACH", "0.35 /h", "0.35 1/h", "0.35 per hour"), "AIR_CHANGES", 0.35 / 3600),
    (("1 therm", "100,000 Btu", "100 kBtu"), "ENERGY", 105505585.262),
    (("270 deg", "270°", "270 degrees"), "ANGLE", 1.5 * math.pi),
    (("35 ppm",), "CONCENTRATION", 35e-6),
    (("5 mil",), "SIZE", 5 * 2.54e-5),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [(text, kind, si) for texts, kind, si in TYPED for text in texts],
    ids=str,
)
def test_typed_quantity(text, kind, si):
    assert parse_si(text, KINDS[kind]) == pytest.approx(si, rel=1e-9)
    unit = KINDS[kind].si or "dimensionless"
    assert parse(text, KINDS[kind]).to(unit).magnitude == pytest.approx(si, rel=1e-9)


REFUSED = [
    ("50", "VOLUME_FLOW", "without its unit"),
    ("35", "CONCENTRATION", "without its unit"),
    ("50 Pa", "VOLUME_FLOW", "Pa is not a unit of air flow"),
    ("5 cfn", "VOLUME_FLOW", "'cfn' is not known (did you mean 'cfm'?)"),
    ("70 degF", "TEMPERATURE_DIFFERENCE", "a temperature is given where a temperature difference"),
    ("70 delta_degF", "TEMPERATURE", "a temperature difference is given where a temperature"),
    ("70 Δ°F", "TEMPERATURE", "a temperature difference is given where a temperature"),
    ("70°", "TEMPERATURE", "deg is not a unit of temperature"),
    ("2 psig", "PRESSURE", "psig is not a unit of absolute pressure"),
    ("15 psia", "GAUGE_PRESSURE", "psia is not a unit"),
    ("1000 Btu/ft^3", "PRESSURE_DIFFERENCE", "is not a unit of pressure difference"),
    ("5 Pa", "HEATING_VALUE", "is not a unit of heating value"),
    ("30 deg", "FRACTION", "is not a unit of fraction"),
    ("30 %", "ANGLE", "is not a unit of angle"),
    ("1,5 in", "LENGTH", "a decimal point is '.'"),
    ("1,2000 in", "LENGTH", "a decimal point is '.'"),
    ("1.2.3 m", "LENGTH", "cannot be read"),
    ("1 2 m", "LENGTH", "cannot be read"),
    ("1/0 in", "LENGTH", "over zero"),
    ("3 ft 4 ft", "LENGTH", "more than one number"),
    ("8 in 6 ft", "LENGTH", "more than one number"),
    ("5 cfm 3 cfm", "VOLUME_FLOW", "more than one number"),
    ("", "LENGTH", "nothing is entered"),
    ("about 5 ft", "LENGTH", "no number"),
    ("nan ft", "LENGTH", "no number"),
    ("inf ft", "LENGTH", "no number"),
    ("1e999 ft", "LENGTH", "too large"),
    ("5 m**99999999", "LENGTH", "is not known"),
    ("5 (((", "LENGTH", "is not known"),
    ("5 ft/0", "LENGTH", "is not known"),
    ("5 __class__", "LENGTH", "is not known"),
]


@pytest.mark.parametrize(("text", "kind", "sentence"), REFUSED)
def test_refused_in_one_sentence_that_names_what_is_expected(text, kind, sentence):
    with pytest.raises(UnitError) as caught:
        parse_si(text, KINDS[kind])
    message = str(caught.value)
    assert sentence in message
    assert f"found {text!r}" in message
    assert KINDS[kind].examples.rstrip(".") in message
    assert message.endswith(".")
    assert "\n" not in message


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("system", ["field", "si"])
@given(number=st.floats(min_value=1e-3, max_value=1e6))
@settings(max_examples=25)
def test_what_is_shown_can_be_typed_back(kind, system, number):
    si = from_shown(number, kind, system)
    text = show(si, kind, system, digits=9)
    if kind.name == "TEMPERATURE_DIFFERENCE":
        assert "Δ" not in text  # a difference is shown as people write it
    # nine decimals are written
    assert shown(parse_si(text, kind), kind, system) == pytest.approx(number, rel=1e-9, abs=1e-9)
    assert shown(si, kind, system) == pytest.approx(number, rel=1e-9, abs=1e-9)


@given(
    number=st.floats(min_value=-1e7, max_value=1e7),
    text=st.sampled_from(["cfm", "ft^3/min", "L/s", "m**3/h", "cfh"]),
)
def test_reading_is_what_pint_makes_of_number_and_unit(number, text):
    expected = ureg.Quantity(number, text).to("meter**3/second").magnitude
    assert parse_si(f"{number!r} {text}", kinds.VOLUME_FLOW) == pytest.approx(expected, rel=1e-12)


def outcome(text, kind):
    """What became of a text: a finite number, or a sentence."""
    try:
        return parse_si(text, kind)
    except UnitError as error:
        return str(error)


def is_read_or_refused(result):
    return (
        result.endswith(".") and "; expected " in result if isinstance(result, str) else math.isfinite(result)
    )


@given(text=st.text(max_size=20), kind=st.sampled_from(list(KINDS.values())))
@settings(max_examples=300)
def test_any_text_is_read_or_refused_in_a_sentence(text, kind):
    assert is_read_or_refused(outcome(text, kind))


NEAR = "0123456789.,/-+ eE()*^·°%'\"ftinFCKBuhmsgPapw²½"


@given(text=st.text(alphabet=NEAR, max_size=14), kind=st.sampled_from(list(KINDS.values())))
@settings(max_examples=500)
def test_near_misses_are_read_or_refused_in_a_sentence(text, kind):
    assert is_read_or_refused(outcome(text, kind))


def test_screens_show_proper_signs_and_sensible_digits():
    assert show(-3.214, kinds.PRESSURE_DIFFERENCE) == "−3.21 Pa"
    assert show(-0.001, kinds.PRESSURE_DIFFERENCE) == "0 Pa"
    assert show(294.2611, kinds.TEMPERATURE) == "70 °F"
    assert show(294.2611, kinds.TEMPERATURE, "si") == "21.1 °C"
    assert show(25.0, kinds.TEMPERATURE_DIFFERENCE) == "45 °F"
    assert show(25.0, kinds.TEMPERATURE_DIFFERENCE, "si") == "25 K"
    assert show(0.6, kinds.VOLUME_FLOW) == "1,271 cfm"
    assert show(124.5, kinds.GAUGE_PRESSURE) == "0.500 in. w.c."
    assert show(math.inf, kinds.TIME) == "∞ s"
    assert show(math.nan, kinds.TIME) == "– s"
    assert show(math.pi, kinds.ANGLE) == "180°"
    assert show(-2.0, kinds.PRESSURE_DIFFERENCE, digits=1) == "−2.0 Pa"
    with pytest.raises(ValueError, match="'field' or 'si'"):
        show(1.0, kinds.TIME, "imperial")


def test_the_application_registry_is_left_alone():
    assert pint.get_application_registry().get() is not ureg
    with pytest.raises(pint.UndefinedUnitError):
        pint.get_application_registry()("1 psig")


def _twice(quantity):
    return quantity + quantity


def test_a_quantity_survives_the_way_to_a_worker_and_back():
    flow, warm = ureg.Quantity(50.0, "cfm"), ureg.Quantity(70.0, "degF")
    assert pickle.loads(pickle.dumps(warm)).to("degC").magnitude == pytest.approx(21.11, abs=0.01)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        assert (pool.submit(_twice, flow).result() + flow).to("cfm").magnitude == pytest.approx(150)


@given(number=st.floats(allow_nan=False, allow_infinity=False, min_value=-1e9, max_value=1e9))
def test_temperatures_and_differences_convert_as_their_own_kind(number):
    difference = quantity_si(ureg.Quantity(number, "delta_degF"), kinds.TEMPERATURE_DIFFERENCE)
    assert difference == pytest.approx(number * 5 / 9)
    assume(number > -459)
    temperature = quantity_si(ureg.Quantity(number, "degF"), kinds.TEMPERATURE)
    assert temperature == pytest.approx((number + 459.67) * 5 / 9)
