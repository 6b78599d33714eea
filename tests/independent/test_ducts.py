"""Ducts, fittings and the crossing of fan and system against `fluids` and scipy, which know nothing of this suite."""

import fluids
import numpy as np
import pytest
from scipy.optimize import brentq

from hvaclib.physics import air
from hvaclib.physics.air_delivery import (
    ConstantAirflow,
    FanTable,
    duct_component,
    duct_friction,
    duct_loss,
    fitting_coefficient,
    fitting_loss,
    operating_point_of_each,
    operating_point_si,
)
from hvaclib.physics.air_delivery.ducts import colebrook
from hvaclib.physics.pipe_flow import friction_factor

ROUGHNESSES = [1e-5, 1e-4, 3e-4, 1e-3, 1e-2, 2e-2]


@pytest.mark.parametrize("rough", ROUGHNESSES)
def test_colebrook(rough):
    reynolds = np.geomspace(4000, 1e6, 60)
    expected = [fluids.friction.Colebrook(Re, rough, tol=-1) for Re in reynolds]
    assert colebrook(reynolds, rough) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("rough", ROUGHNESSES)
def test_difference_from_the_equation_for_vents_is_as_stated(rough):
    reynolds = np.geomspace(4000, 1e6, 200)
    apart = np.abs(friction_factor(reynolds, rough) / colebrook(reynolds, rough) - 1)
    assert apart.max() < 0.032
    assert apart[reynolds > 20000].max() < 0.016


def test_laminar_flow_and_no_jump_on_the_way_to_turbulent():
    assert colebrook(1500.0, 1e-3) == pytest.approx(fluids.friction_factor(Re=1500.0, eD=1e-3))
    reynolds = np.linspace(2000, 5000, 3001)
    assert np.abs(np.diff(colebrook(reynolds, 3e-4))).max() < 3e-5


@pytest.mark.parametrize(("flow", "diameter", "roughness"), [(0.035, 0.127, 9.144e-5), (0.45, 0.36, 3e-3)])
@pytest.mark.parametrize(("altitude", "kelvin"), [(0.0, 294.26), (1900.0, 325.0)])
def test_friction_of_a_duct(flow, diameter, roughness, altitude, kelvin):
    rho = air.density.si(temperature=kelvin, altitude=altitude)
    mu = air.viscosity.si(temperature=kelvin)
    speed = flow / (np.pi / 4 * diameter**2)
    factor = fluids.friction_factor(Re=rho * speed * diameter / mu, eD=roughness / diameter)
    expected = fluids.dP_from_K(factor * 12.0 / diameter, rho, speed)
    ours = duct_friction.si(
        airflow=flow,
        diameter=diameter,
        length=12.0,
        roughness=roughness,
        altitude=altitude,
        temperature=kelvin,
    )
    # fluids takes Clamond's solution of Colebrook's equation
    assert ours == pytest.approx(expected, rel=1e-6)


def test_component_of_a_duct_follows_its_friction_as_stated():
    geometry = {"diameter": 0.3, "length": 15.0, "heads": 1.4}
    component = duct_component("trunk", "supply", at=0.5, **geometry)
    flows = np.linspace(0.25, 0.75, 11)
    assert component.loss_at(flows) == pytest.approx(duct_loss(flows, **geometry), rel=0.015)
    assert component.loss_at(0.5) == pytest.approx(float(duct_loss(0.5, **geometry)))


def test_entrances_and_mitered_elbow():
    # same handbooks as ours, implemented elsewhere
    assert float(fitting_coefficient("entrance")) == pytest.approx(fluids.entrance_sharp(method="Idelchik"))
    rounded = fluids.entrance_rounded(Di=0.3, rc=0.06, method="Idelchik")
    assert float(fitting_coefficient("rounded entrance")) == pytest.approx(rounded)
    # another handbook, round pipe: 5 %
    mitered = fluids.bend_miter(90.0, Di=0.25, Re=1.4e5, method="Rennels")
    assert float(fitting_coefficient("mitered elbow", aspect=1.0)) == pytest.approx(mitered, rel=0.05)


@pytest.mark.parametrize("ratio", [0.75, 1.0, 1.5, 2.0])
def test_round_elbow_differs_from_pipe_correlations_as_stated(ratio):
    pipe = fluids.bend_rounded(
        Di=0.25, angle=90, bend_diameters=ratio, Re=1.4e5, roughness=9e-5, method="Rennels"
    )
    ours = float(fitting_coefficient("round elbow", ratio))
    assert 1.3 < pipe / ours < 1.8


FANS = [
    FanTable(np.array([25.0, 75, 125, 200]), np.array([0.61, 0.57, 0.5, 0.34])),
    FanTable(np.array([0.0, 90, 180]), np.array([0.75, 0.6, 0.0])),
    ConstantAirflow(0.55, 180.0),
]


def test_operating_point_against_a_root_finder():
    rng = np.random.default_rng(7)
    exponents = np.array([1.0, 1.4, 1.8, 2.0, 2.0])
    coefficients = rng.uniform(0.0, 1.0, (5, 150)) * np.geomspace(5, 2e4, 150)
    choice = rng.integers(0, 3, 150)
    flow, static = operating_point_of_each(FANS, choice, coefficients, exponents)
    for s, which in enumerate(choice):
        corner_p, corner_q = FANS[which].nodes
        loss = lambda q, s=s: float(np.sum(coefficients[:, s] * q**exponents))
        gap = lambda p, loss=loss, cp=corner_p, cq=corner_q: p - loss(np.interp(p, cp, cq))
        expected = brentq(gap, 0.0, corner_p[-1], xtol=1e-10)
        assert static[s] == pytest.approx(expected, abs=1e-6)
        assert flow[s] == pytest.approx(np.interp(expected, corner_p, corner_q), abs=1e-8)


def test_each_scenario_with_its_own_fan_is_that_fan_alone():
    coefficients = np.array([[80.0, 200.0, 900.0], [150.0, 40.0, 300.0]])
    together = operating_point_of_each(FANS, [2, 0, 1], coefficients, [1.4, 2.0])
    for s, which in enumerate([2, 0, 1]):
        alone = operating_point_si(FANS[which], coefficients[:, [s]], [1.4, 2.0])
        assert together[0][s] == alone[0][0]
        assert together[1][s] == alone[1][0]


def test_fittings_of_a_rectangular_duct_count_in_its_true_section():
    # 8 × 20 in passes at 1000 cfm; friction by the round duct of equal friction, fittings by the true speed
    width, height, flow, heads = 0.2032, 0.508, 0.472, 2.08
    diameter = 1.30 * (width * height) ** 0.625 / (width + height) ** 0.25
    rho, mu = air.density.si(temperature=294.2611), air.viscosity.si(temperature=294.2611)
    speed = flow / (np.pi / 4 * diameter**2)
    factor = fluids.friction_factor(Re=rho * speed * diameter / mu, eD=9.144e-5 / diameter)
    friction = fluids.dP_from_K(fluids.K_from_f(factor, 3.0, diameter), rho, speed)
    turns = fluids.dP_from_K(heads, rho, flow / (width * height))
    ours = duct_loss(flow, diameter=diameter, length=3.0, heads=heads, area=width * height)
    assert float(ours) == pytest.approx(friction + turns, rel=1e-6)


@pytest.mark.parametrize("altitude", [0.0, 2200.0])
def test_fitting_at_altitude(altitude):
    lost = fitting_loss.si(
        airflow=0.3, fitting="mitered elbow", width=0.25, height=0.5, altitude=altitude, temperature=320.0
    )
    rho = air.density.si(temperature=320.0, altitude=altitude)
    assert lost.loss == pytest.approx(fluids.dP_from_K(1.1, rho, 0.3 / 0.125))
