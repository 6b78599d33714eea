"""Laws of fan and duct system: one crossing, more loss less air, a faster tap more air; and what is refused, in words.

What says so: a fan's flow falls with the pressure against it, a duct's loss rises with its flow.
"""

import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hvaclib.errors import HvacError, InputError
from hvaclib.physics import air_delivery as ad
from hvaclib.units import ureg

losses = st.lists(
    st.tuples(st.floats(0.0, 400.0), st.floats(0.05, 2.0), st.floats(1.0, 2.0)), min_size=1, max_size=6
)
steps = st.lists(st.tuples(st.floats(5.0, 80.0), st.floats(0.01, 0.2)), min_size=2, max_size=7)


@st.composite
def fans(draw):
    if draw(st.booleans()):
        return ad.ConstantAirflow(draw(st.floats(0.1, 1.5)), draw(st.floats(50.0, 300.0)))
    pieces = np.array(draw(steps))
    static = draw(st.floats(0.0, 50.0)) + np.cumsum(pieces[:, 0])
    flow = np.cumsum(pieces[:, 1])[::-1]
    return ad.FanTable(static, flow)


def system(rows, factor=1.0):
    components = [ad.Component("", "supply", loss * factor, at, n) for loss, at, n in rows]
    return ad.coefficients_of(components)


@given(fans(), losses)
def test_the_point_lies_on_both_curves_and_nowhere_else_do_they_meet(fan, rows):
    coefficients, exponents = system(rows)
    flow, static = ad.operating_point_si(fan, coefficients, exponents)
    lost = np.sum(coefficients[:, 0] * flow**exponents)
    assert lost == pytest.approx(static[0], rel=1e-8, abs=1e-8 * fan.shut_off)
    assert fan.flow_at(np.minimum(static, fan.shut_off)) == pytest.approx(flow, abs=1e-9)
    # the gap between the curves changes its sign once along the fan's whole curve
    trial = np.linspace(0.0, fan.shut_off, 500)
    gap = trial - np.sum(coefficients * fan.flow_at(trial) ** exponents[:, None], axis=0)
    assert (np.diff(gap) > 0).all()


@given(fans(), losses, st.floats(1.01, 20.0), st.data())
def test_more_loss_in_any_component_never_gives_more_air(fan, rows, factor, data):
    coefficients, exponents = system(rows)
    worse = coefficients.copy()
    worse[data.draw(st.integers(0, len(rows) - 1))] *= factor
    flow, static = ad.operating_point_si(fan, np.hstack([coefficients, worse]), exponents)
    assert flow[1] <= flow[0] * (1 + 1e-10)
    assert static[1] >= static[0] * (1 - 1e-10)


@given(fans(), losses, st.floats(1.01, 2.0))
def test_a_faster_tap_gives_more_air(fan, rows, speed):
    coefficients, exponents = system(rows)
    slow, _ = ad.operating_point_si(fan, coefficients, exponents)
    fast, _ = ad.operating_point_si(fan.scaled(speed), coefficients, exponents)
    assert fast[0] >= slow[0] * (1 - 1e-10)


@given(steps, losses, st.floats(0.01, 0.3))
def test_taps_keep_their_order_on_any_ducts(pieces, rows, more):
    static, flow = np.cumsum(np.array(pieces), axis=0).T
    taps = [ad.FanTable(static, flow[::-1] + extra) for extra in (0.0, more, 2.0 * more)]
    coefficients, exponents = system(rows)
    flows, statics = ad.operating_point_of_each(taps, [0, 1, 2], coefficients, exponents)
    assert (np.diff(flows) >= -1e-10).all()
    assert (np.diff(statics) >= -1e-8).all()


@given(fans().filter(lambda fan: isinstance(fan, ad.FanTable)), losses, st.floats(0.5, 2.0))
def test_fan_laws_are_exact_on_a_system_of_square_law(fan, rows, speed):
    coefficients, exponents = system([(loss, at, 2.0) for loss, at, _ in rows])
    flow, static = ad.operating_point_si(fan, coefficients, exponents)
    other_flow, other_static = ad.operating_point_si(fan.scaled(speed), coefficients, exponents)
    assert other_flow == pytest.approx(flow * speed, rel=1e-7)
    assert other_static == pytest.approx(static * speed**2, rel=1e-7, abs=1e-9)


@given(losses)
def test_thin_air_leaves_the_flow_of_a_fan_on_square_law_and_lowers_its_pressure(rows):
    fan = ad.FanTable(np.array([20.0, 110, 190]), np.array([0.6, 0.5, 0.35]))
    coefficients, exponents = system([(loss, at, 2.0) for loss, at, _ in rows])
    flow, static = ad.operating_point_si(fan, coefficients, exponents)
    thin_flow, thin_static = ad.operating_point_si(fan.scaled(density=0.8), 0.8 * coefficients, exponents)
    assert thin_flow == pytest.approx(flow, rel=1e-7)
    assert thin_static == pytest.approx(0.8 * static, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("exponent", [1.0, 1.3, 2.0])
@pytest.mark.parametrize(
    "fan",
    [ad.FanTable(np.array([25.0, 150]), np.array([0.6, 0.4])), ad.ConstantAirflow(0.5, 150.0)],
    ids=["t", "c"],
)
def test_open_and_shut_systems_have_a_point_too(fan, exponent):
    flow, static = ad.operating_point_si(fan, np.array([[0.0, 1e-300, 1e9, 1e30, 1e300]]), [exponent])
    assert flow[0] == pytest.approx(fan.nodes[1][0])
    assert static[0] == 0.0
    assert (np.diff(flow) <= 0).all()
    assert flow[-1] == pytest.approx(0.0, abs=1e-9)
    assert static[-1] == pytest.approx(fan.shut_off)


def test_ten_thousand_scenarios_in_one_call_are_quick():
    rng = np.random.default_rng(3)
    fan = ad.FanTable(np.arange(25.0, 201, 25), np.linspace(0.62, 0.3, 8))
    coefficients = rng.uniform(10.0, 400.0, (6, 10_000))
    best = np.inf
    for _ in range(5):
        start = time.perf_counter()
        ad.operating_point_si(fan, coefficients, [1.4, 1.9, 2.0, 2.0, 1.8, 1.7])
        best = min(best, time.perf_counter() - start)
    assert best <= 0.020


@given(st.floats(0.02, 1.5), st.floats(0.02, 1.5))
def test_equal_friction_holds_for_either_order_and_is_less_than_equal_area(width, height):
    d = ad.equivalent_diameter.si(width=width, height=height)
    assert d == pytest.approx(ad.equivalent_diameter.si(width=height, height=width))
    assert np.pi / 4 * d**2 < width * height


@given(st.floats(1e-4, 3.0), st.floats(1.01, 3.0), st.floats(0.08, 0.6))
def test_duct_loss_rises_with_flow_and_falls_with_diameter(flow, factor, diameter):
    base, more, wider = ad.duct_loss(
        flow * np.array([1, factor, 1]), diameter=diameter * np.array([1, 1, factor]), length=10.0
    )
    assert more > base > wider > 0
    assert ad.duct_loss(-flow, diameter=diameter, length=10.0) == pytest.approx(-base)


@given(st.floats(1e3, 1e5), st.floats(5.0, 60.0), st.floats(0.0, 3000.0), st.floats(280.0, 310.0))
def test_rise_and_airflow_undo_each_other(output, rise, altitude, kelvin):
    conditions = {"altitude": altitude, "temperature": kelvin}
    flow = ad.airflow_from_rise.si(output=output, rise=rise, **conditions)
    assert ad.rise_from_airflow.si(output=output, airflow=flow, **conditions) == pytest.approx(rise)


def test_probe_reads_more_with_more_view_and_less_with_more_air():
    def error(view, speed):
        return ad.thermometer_radiation_error.si(
            air_temperature=320.0, surface_temperature=640.0, view=view, air_speed=speed
        )

    assert error(np.array(0.0), 3.0) == pytest.approx(0.0, abs=1e-9)
    assert error(0.3, 3.0) > error(0.1, 3.0) > error(0.1, 6.0) > 0


TABLE = "0.1 in. w.c.: 1250 cfm, 0.5 in. w.c.: 1000 cfm"


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: ad.airflow_from_rise(output="60 kBtu/h", rise="0 °F"), "equally warm"),
        (lambda: ad.airflow_from_rise(output="60 kBtu/h", rise="-35 °F"), "exchanged"),
        (lambda: ad.rise_from_airflow(output="60 kBtu/h", airflow="0 cfm"), "without airflow"),
        (lambda: ad.operating_point(fan="0.1 in. w.c.: 900 cfm, 0.5 in. w.c.: 950 cfm", system="1 Pa at 9 cfm"),
         "must fall as the static pressure rises; found '900 cfm at 0.100 in. w.c. and 950 cfm at 0.500 in. w.c.'"),
        (lambda: ad.operating_point(fan="0.5 in. w.c.: 900 cfm, 0.5 in. w.c.: 800 cfm", system="1 Pa at 9 cfm"),
         "must fall"),
        (lambda: ad.operating_point(fan="0.5 in. w.c.: 900 cfm", system="1 Pa at 9 cfm"), "two rows"),
        (lambda: ad.operating_point(fan="900 cfm", system="1 Pa at 9 cfm"), "not a fan table"),
        (lambda: ad.operating_point(fan="fast", system="1 Pa at 9 cfm"), "not a fan table"),
        (lambda: ad.operating_point(fan="0.1 in. w.c.: 1250 cfm, 1000 cfm", system="1 Pa at 9 cfm"), "fan"),
        (lambda: ad.operating_point(fan="constant 900 cfm to 0 Pa", system="1 Pa at 9 cfm"), "above zero"),
        (lambda: ad.operating_point(fan=TABLE, system="filter 0.2 in. w.c."), "not a loss at a flow"),
        (lambda: ad.operating_point(fan=TABLE, system="filter 0.2 in. w.c. at 0 cfm"), "above zero"),
        (lambda: ad.operating_point(fan=TABLE, system="filter -0.2 in. w.c. at 900 cfm"), "negative"),
        (lambda: ad.operating_point(fan=TABLE, system="filter 0.2 in. w.c. at 900 cfm exponent 3"), "out of range"),
        (lambda: ad.operating_point(fan=TABLE, system=[]), "not a list of losses"),
        (lambda: ad.operating_point(fan=TABLE, system=[{"loss": "20 Pa"}]), "'at' is missing"),
        (lambda: ad.duct_friction(airflow="90 cfm", diameter="0 in"), "above zero"),
        (lambda: ad.fitting_loss(airflow="90 cfm", fitting="round elbow", width="8 in", height="8 in"), "is round"),
        (lambda: ad.fitting_loss(airflow="90 cfm", fitting="mitered elbow", diameter="8 in"), "is rectangular"),
        (lambda: ad.fitting_loss(airflow="90 cfm", fitting="round elbow"), "missing"),
        (lambda: ad.fitting_loss(airflow="9 cfm", fitting="round elbow", diameter="8 in", radius_ratio=0.3), "radius"),
    ],
)  # fmt: skip
def test_refusals_are_one_clear_sentence(call, words):
    with pytest.raises(HvacError) as refusal:
        call()
    text = str(refusal.value)
    assert words in text
    assert text.endswith(".")
    assert "\n" not in text


def test_static_pressure_that_the_fan_cannot_meet():
    fan = ad.FanTable(np.array([25.0, 150]), np.array([0.6, 0.4]), name="high tap")
    with pytest.raises(InputError, match=r"high tap: this static pressure is above the fan's shut-off"):
        fan.flow_at(500.0)
    with pytest.raises(InputError, match="signs of the two readings"):
        fan.flow_at(-20.0)
    assert bool(fan.covers(150.0))
    assert not bool(fan.covers(160.0))


def test_a_point_beyond_the_table_says_so():
    point = ad.operating_point(fan=TABLE, system="ducts 2 in. w.c. at 1000 cfm")
    assert "beyond the rows" in point.notes[0]
    assert not ad.operating_point(fan=TABLE, system="ducts 0.3 in. w.c. at 1000 cfm").notes


@pytest.mark.parametrize(
    "fan",
    [
        TABLE, TABLE.replace(",", ";"), {"0.5 in. w.c.": "1000 cfm", "0.1 in. w.c.": "1250 cfm"},
        [("0.1 in. w.c.", "1250 cfm"), ("0.5 in. w.c.", "1,000 cfm")],
        ([0.1, 0.5] * ureg.inH2O, [1250, 1000] * ureg("ft^3/min")),
    ],
)  # fmt: skip
@pytest.mark.parametrize(
    "losses",
    [
        "filter 2 0.12 in. w.c. at 1,000 cfm exponent 1.6, ducts: 50 Pa @ 1,000 cfm exponent 2",
        ["0.12 in. w.c. at 1000 cfm exponent 1.6", "0.200732 inH2O at 1000 cfm"],
        [("filter", "0.12 in. w.c.", "1000 cfm", 1.6), ("50 Pa", 1000 * ureg("ft^3/min"))],
    ],
)  # fmt: skip
def test_fan_and_losses_as_people_write_them(fan, losses):
    point = ad.operating_point(fan=fan, system=losses)
    assert point.airflow.to("cfm").magnitude == pytest.approx(1081.1, abs=0.2)


def test_usual_exponents_come_from_the_name():
    filtered, ducts = ad.operating_point(
        fan=TABLE, system="clean filter 0.1 in. w.c. at 1081 cfm, hood 0.2 in. w.c. at 1081 cfm"
    ).losses
    flow = ad.operating_point(
        fan=TABLE, system="clean filter 0.1 in. w.c. at 1081 cfm, hood 0.2 in. w.c. at 1081 cfm"
    ).airflow.to("cfm")
    ratio = flow.magnitude / 1081
    assert filtered.to("inH2O").magnitude == pytest.approx(0.1 * ratio**1.4, rel=1e-6)
    assert ducts.to("inH2O").magnitude == pytest.approx(0.2 * ratio**2.0, rel=1e-6)
