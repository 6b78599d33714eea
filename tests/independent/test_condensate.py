"""Condensate line and pump against `fluids`, CoolProp, scipy and hand cases."""

import CoolProp.CoolProp as CP
import fluids
import numpy as np
import pytest
from scipy.optimize import brentq

from hvaclib import reference
from hvaclib.errors import HvacError
from hvaclib.physics import condensate

FOOT, POUND_AN_HOUR = 0.3048, 0.45359237 / 3600
DENSITY, VISCOSITY, GRAVITY = 998.0, 0.975e-3, 9.80665


def test_water_is_that_of_an_equation_of_state():
    density = CP.PropsSI("D", "T", 294.26, "P", 101325, "Water")
    viscosity = CP.PropsSI("V", "T", 294.26, "P", 101325, "Water")
    assert reference.value("condensate", "water", "density") == pytest.approx(density, rel=1e-3)
    assert reference.value("condensate", "water", "viscosity") == pytest.approx(viscosity, rel=0.01)


def head(flow, lift, length, diameter):
    """With the friction factor of `fluids`: laminar, or Colebrook beyond the transition."""
    speed = flow / (DENSITY * np.pi / 4 * diameter**2)
    number = speed * diameter * DENSITY / VISCOSITY
    factor = fluids.friction_factor(Re=number, eD=1.5e-6 / diameter)
    return lift + (factor * length / diameter + 1) * speed**2 / (2 * GRAVITY)


# Churchill's equation departs from Colebrook's by up to 3 % of the friction; the lift is exact. Laminar and turbulent
# cases, none in the transition, where no equation holds.
@pytest.mark.parametrize("pounds", [20, 45, 60, 300, 450, 700])
def test_head_of_a_line(pounds):
    flow, length, diameter = pounds * POUND_AN_HOUR, 31 * FOOT, 0.00953
    found = condensate.line_head.si(flow=flow, lift=1.9, length=length, diameter=diameter) - 1.9
    assert found == pytest.approx(head(flow, 1.9, length, diameter) - 1.9, rel=0.035)


def test_laminar_flow_by_hagen_and_poiseuille():
    # Δp = 128 μ L Q / (π d⁴), and the velocity head, at Re 900
    flow, length, diameter = 6.6e-3, 12.0, 0.0095
    speed = flow / (DENSITY * np.pi / 4 * diameter**2)
    pressure = 128 * VISCOSITY * length * (flow / DENSITY) / (np.pi * diameter**4)
    expected = pressure / (DENSITY * GRAVITY) + speed**2 / (2 * GRAVITY)
    found = condensate.line_head.si(flow=flow, lift=0.0, length=length, diameter=diameter)
    assert found == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("lift", [0.0, 1.5, 4.2])
def test_pump_meets_its_line(lift):
    # scipy.optimize.brentq on the straight pump curve against the line by fluids
    shutoff, free, length, diameter = 4.6, 0.083, 14.0, 0.0095
    crossing = brentq(lambda q: shutoff * (1 - q / free) - head(q, lift, length, diameter), 1e-6, free)
    found = condensate.pump_duty.si(
        condensate=0.001, shutoff_head=shutoff, free_flow=free, lift=lift, length=length, diameter=diameter
    )
    assert found.delivered == pytest.approx(crossing, rel=0.02)
    assert found.running == pytest.approx(0.001 / found.delivered)


def test_a_lift_beyond_the_pump():
    given = {"condensate": "8 lb/h", "shutoff_head": "15 ft", "free_flow": "660 lb/h", "length": "30 ft"}
    found = condensate.pump_duty(**given, lift="15 ft", diameter="0.375 in")
    assert found.delivered.magnitude == 0
    assert not found.enough
    assert np.isinf(found.running.magnitude)
    assert condensate.pump_duty(**given, lift="14 ft", diameter="0.375 in").enough


def test_enough_is_twice_the_condensate():
    # common practice, no source: a pump that delivers what comes has no reserve; the flow itself by fluids and brentq above
    line = {"shutoff_head": 4.6, "free_flow": 0.083, "lift": 1.5, "length": 14.0, "diameter": 0.0095}
    flow = condensate.pump_duty.si(condensate=0.0, **line).delivered
    assert condensate.pump_duty.si(condensate=0.499 * flow, **line).enough
    assert not condensate.pump_duty.si(condensate=0.501 * flow, **line).enough
    assert not condensate.pump_duty.si(condensate=1.2 * flow, **line).enough
    assert condensate.pump_duty.si(condensate=1.2 * flow, **line).running == pytest.approx(1.2)


def test_a_pump_beyond_its_lift_is_no_fault_while_nothing_condenses():
    duty = condensate.pump_duty.si(
        condensate=0.0, shutoff_head=4.6, free_flow=0.083, lift=4.7, length=14.0, diameter=0.0095
    )
    assert (duty.delivered, duty.running, duty.enough) == (0.0, 0.0, True)


def test_trap_in_inches_of_water():
    # an inch of water column is an inch of water (0.2 % apart: 998 against the conventional 1000 kg/m³)
    found = condensate.trap_depth(pressure="-0.8 in. w.c.", margin="0.5 in")
    assert found.to("inch").magnitude == pytest.approx(1.3, rel=2e-3)
    # the margin that is taken where none is given: 1 in, common practice, no source
    assert condensate.trap_depth(pressure="0 Pa").to("inch").magnitude == pytest.approx(1.0)
    assert condensate.trap_depth(pressure="200 Pa", margin="0 mm").to("mm").magnitude == pytest.approx(
        20.4, abs=0.06
    )


@pytest.mark.parametrize(
    ("name", "given", "sentence"),
    [
        ("line_head", {"flow": "-1 lb/h", "lift": "6 ft", "length": "9 ft", "diameter": "0.4 in"}, "flow: must not"),
        ("line_head", {"flow": "9 lb/h", "lift": "6 ft", "length": "9 ft", "diameter": "0 in"}, "diameter: must be"),
        ("line_head", {"flow": "9 gal/h", "lift": "6 ft", "length": "9 ft", "diameter": "0.4 in"}, "flow"),
        ("trap_depth", {"pressure": "1 Pa", "margin": "-1 in"}, "margin: must not be negative"),
        ("trap_depth", {"pressure": "14 psia"}, "pressure"),
        ("pump_duty", {"condensate": "-8 lb/h", "shutoff_head": "15 ft", "free_flow": "9 lb/h", "lift": "1 ft",
                       "length": "9 ft", "diameter": "0.4 in"}, "condensate: must not be negative"),
        ("pump_duty", {"condensate": "8 lb/h", "shutoff_head": "15 ft", "free_flow": "9 lb/h", "lift": "-1 ft",
                       "length": "9 ft", "diameter": "0.4 in"}, "lift: must not be negative"),
        ("pump_duty", {"condensate": "8 lb/h", "shutoff_head": "0 ft", "free_flow": "9 lb/h", "lift": "1 ft",
                       "length": "9 ft", "diameter": "0.4 in"}, "shutoff_head: must be above zero"),
    ],
)  # fmt: skip
def test_wrong_input_gets_one_sentence(name, given, sentence):
    with pytest.raises(HvacError) as caught:
        getattr(condensate, name)(**given)
    assert sentence in str(caught.value)
