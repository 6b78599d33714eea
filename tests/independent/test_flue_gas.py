"""Enthalpies and dew points against CoolProp."""

import numpy as np
import pytest

from hvaclib.physics import flue_gas
from hvaclib.physics.flue_gas.enthalpy import liquid_water, molar

CoolProp = pytest.importorskip("CoolProp.CoolProp")
FLUIDS = {
    "nitrogen": "Nitrogen",
    "oxygen": "Oxygen",
    "carbon_dioxide": "CarbonDioxide",
    "water": "Water",
    "argon": "Argon",
}


@pytest.mark.parametrize("gas", FLUIDS)
def test_enthalpy_of_the_gases(gas):
    """Ideal-gas heat capacity of the reference equations, integrated; the fits differ by up to 0.15 % from 274 K on."""
    t = np.linspace(274.0, 1000.0, 400)
    heat = np.array([CoolProp.PropsSI("CP0MOLAR", "T", x, "P", 1.0, FLUIDS[gas]) for x in t])
    expected = np.trapezoid(heat, t)
    assert float(molar(gas, 1000.0) - molar(gas, 274.0)) == pytest.approx(expected, rel=1.5e-3)
    middle = np.trapezoid(heat[t <= 600.0], t[t <= 600.0])
    low, high = 274.0, float(t[t <= 600.0][-1])
    assert float(molar(gas, high) - molar(gas, low)) == pytest.approx(middle, rel=2e-3)


@pytest.mark.parametrize("celsius", [5.0, 20.0, 45.0, 70.0])
def test_latent_heat(celsius):
    """IAPWS-95; the vapour is counted as ideal, which is worth 0.3 % at 70 °C."""
    t = celsius + 273.15
    expected = CoolProp.PropsSI("HMOLAR", "T", t, "Q", 1, "Water") - CoolProp.PropsSI(
        "HMOLAR", "T", t, "Q", 0, "Water"
    )
    assert float(molar("water", t) - liquid_water(t)) == pytest.approx(expected, rel=4e-3)


@pytest.mark.parametrize("excess", [0.0, 0.35, 1.7, 6.0])
@pytest.mark.parametrize("altitude", ["0 ft", "5280 ft"])
@pytest.mark.parametrize(
    ("name", "water", "dry", "air"), [("methane", 2.0, 8.5476, 9.5476), ("propane", 4.0, 21.869, 23.869)]
)
def test_dew_point(name, water, dry, air, excess, altitude):
    """Saturation temperature of IAPWS-95 at the vapour's partial pressure; 0.05 K (Hyland and Wexler's equation)."""
    pressure = {"0 ft": 101325.0, "5280 ft": 83436.0}[altitude]  # U.S. Standard Atmosphere at 1609.3 m
    share = water / (water + dry + excess * air)
    expected = CoolProp.PropsSI("T", "P", share * pressure, "Q", 1, "Water")
    found = flue_gas.dew_point(fuel=name, excess_air=excess, altitude=altitude).to("kelvin").magnitude
    assert found == pytest.approx(expected, abs=0.05)
