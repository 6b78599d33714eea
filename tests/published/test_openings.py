"""Openings and leakage against published values, in both unit systems."""

import pytest

from hvaclib.physics import openings

SQUARE_INCH = 6.4516  # cm², exact
CFM = 0.4719474432  # L/s, exact


# BSC RR-0005 (2004), transfer grille sizing at 3 Pa: free area a supply flow needs. 1.07 A √Δp rounds the constant
# (1.0747 with a coefficient of 0.61), hence 0.5 %.
@pytest.mark.parametrize(
    ("flow", "area"), [(50, 27.0), (100, 54.0), (125, 67.4), (225, 121.4), (300, 161.9), (350, 188.9)]
)
def test_transfer_area_of_the_grille_chart(flow, area):
    field = openings.orifice_area(flow=f"{flow} cfm", pressure_difference="3 Pa")
    assert field.to("sq_in").magnitude == pytest.approx(area, rel=6e-3)
    metric = openings.orifice_area(flow=f"{flow * CFM} L/s", pressure_difference="3 Pa")
    assert metric.to("cm^2").magnitude == pytest.approx(area * SQUARE_INCH, rel=6e-3)


# BSC RR-0005: Q = 1.07 A √Δp in cfm, in², Pa; the constant has three digits. With other coefficients the constant is
# Cd √(2/ρ), recomputed by hand in air of 1.2041 kg/m³: five digits.
@pytest.mark.parametrize(
    ("coefficient", "constant", "tolerance"),
    [("default", 1.07, 0.005), ("0.60", 1.0571, 1e-4), ("0.65", 1.1452, 1e-4), ("1", 1.7618, 1e-4)],
)
def test_orifice_constant(coefficient, constant, tolerance):
    field = openings.orifice_flow(area="37 in²", pressure_difference="2.6 Pa", coefficient=coefficient)
    assert field.to("cfm").magnitude == pytest.approx(constant * 37 * 2.6**0.5, rel=tolerance)
    metric = openings.orifice_flow(area="37 cm²", pressure_difference="2.6 Pa", coefficient=coefficient)
    expected = constant * 37 / SQUARE_INCH * 2.6**0.5 * CFM
    assert metric.to("L/s").magnitude == pytest.approx(expected, rel=tolerance)


def test_velocity_pressure_without_a_coefficient():
    # ASHRAE convention V = 4005 √VP (fpm, in. w.c.) in air of 0.075 lb/ft³: 2 ft² at 0.05 in. pass 1790 cfm
    flow = openings.orifice_flow(
        area="2 sq ft", pressure_difference="0.05 in. w.c.", coefficient="1", density="0.075 lb/ft³"
    )
    assert flow.to("cfm").magnitude == pytest.approx(1790, rel=2e-3)


# ASHRAE Fundamentals 2009, chapter 16, equations 41 and 42, evaluated with ρ = 1.2 kg/m³ and n = 0.65: ELA at 4 Pa with a
# coefficient of 1, EqLA at 10 Pa with 0.611.
@pytest.mark.parametrize(
    ("flow", "effective", "equivalent"), [(1000, 54.9, 103.0), (1500, 82.3, 154.5), (2500, 137.2, 257.6)]
)
def test_leakage_area_by_both_conventions(flow, effective, equivalent):
    ela = openings.leakage_area(flow_at_50=f"{flow} cfm", density="1.2 kg/m³")
    assert ela.to("in²").magnitude == pytest.approx(effective, abs=0.06)
    eqla = openings.leakage_area(flow_at_50=f"{flow} cfm", reference_pressure="10 Pa", density="1.2 kg/m³")
    assert eqla.to("in²").magnitude == pytest.approx(equivalent, abs=0.06)
    metric = openings.leakage_area(flow_at_50=f"{flow * CFM} L/s", density="1.2 kg/m³")
    assert metric.to("cm²").magnitude == pytest.approx(effective * SQUARE_INCH, rel=1e-3)


def test_leakage_area_rule_of_thumb():
    # Sherman, LBNL: ELA in in² is the flow at 50 Pa in cfm over 18; the rule rounds 18.2
    assert openings.leakage_area(flow_at_50="2160 cfm").to("in²").magnitude == pytest.approx(
        2160 / 18, rel=0.012
    )


def test_power_law_reaches_the_flow_of_the_test_and_the_table_at_4_pascal():
    # ASHRAE Fundamentals 2009, chapter 16: 1000 cfm at 50 Pa with n = 0.65 are 193.6 cfm at 4 Pa
    density = 1.2
    coefficient = openings.power_law_coefficient.si(
        flow_at_50=1000 * CFM / 1000, exponent=0.65, density=density
    )
    at_four = openings.power_law_flow.si(coefficient=coefficient, pressure_difference=-4.0, exponent=0.65)
    assert at_four / density / CFM * 1000 == pytest.approx(-193.6, abs=0.06)


def test_openings_in_series():
    # hand-solvable: 1/A² = 1/30² + 1/40² gives 24; two equal ones give A/√2
    assert openings.series_area(areas="30 sq in, 40 sq in").to("in²").magnitude == pytest.approx(24)
    assert openings.series_area(areas="70 cm², 70 cm²").to("cm²").magnitude == pytest.approx(70 / 2**0.5)
    assert openings.series_area(areas="30 sq in, 0 sq in").magnitude == 0
