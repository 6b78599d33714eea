"""Flue gas against published analyses and against an atom count done by hand.

Combustion tables are printed to three digits at best and differ in the gas and in the moisture of the air; each
tolerance says why.
"""

from __future__ import annotations

import numpy as np
import pytest

from hvaclib.errors import InputError
from hvaclib.physics.fuel import (
    ATOMIC_MASS,
    OXYGEN_IN_AIR,
    blend,
    excess_air_from_co2,
    excess_air_from_o2,
    fuel,
    products,
)
from hvaclib.physics.vent.capacity import rating

POUND, BTU = 0.45359237, 1055.05585262
METHANE = blend("methane", {"methane": 1.0})
GAS = fuel("natural gas")


@pytest.mark.parametrize(
    ("composition", "air", "tolerance"),
    [
        # Volume of air for a volume of gas. Methane: textbook combustion table, air of 20.946 % O2. Ethane: a public
        # gas-property table with air of 21 % O2, hence 0.3 %. Propane: an equilibrium code, air of 20.946 % O2.
        ({"methane": 1.0}, 9.548, 5e-4),
        ({"ethane": 1.0}, 16.68, 4e-3),
        ({"propane": 1.0}, 23.87, 5e-4),
    ],
)
def test_stoichiometric_air(composition, air, tolerance):
    gas = blend("gas", composition)
    assert gas.oxygen / OXYGEN_IN_AIR == pytest.approx(air, rel=tolerance)


@pytest.mark.parametrize(
    ("name", "most", "tolerance"),
    [
        # Largest CO2 of dry flue gas, %. Methane and propane: an equilibrium code, air of 20.946 % O2. Natural gas:
        # 40 CFR 75 Appendix F, Fc/Fd = 1040/8710, and a wet analysis of a trade paper, 9.47 % at 19.91 % water; the
        # published values of natural gas spread over 0.3.
        ("methane", 11.70, 0.02),
        ("propane", 13.72, 0.02),
        ("natural gas", 11.94, 0.3),
        ("natural gas", 100 * 9.47 / (100 - 19.91), 0.3),
        # 1250/8710 of the same appendix is butane's: factors rounded for a class of gases, 0.4.
        ("n-butane", 14.35, 0.4),
    ],
)
def test_largest_carbon_dioxide(name, most, tolerance):
    gas = fuel(name) if name == "natural gas" else blend(name, {name: 1.0})
    assert 100 * float(products(gas, 0.0).carbon_dioxide) == pytest.approx(most, abs=tolerance)


@pytest.mark.parametrize(("oxygen", "excess"), [(2.0, 9.5), (5.0, 28.1), (7.0, 44.9)])
def test_excess_air_from_oxygen(oxygen, excess):
    """US Department of Energy, Steam Tip Sheet 4, table of natural gas: printed to 0.1; the gas is not stated."""
    assert 100 * float(excess_air_from_o2(METHANE, oxygen / 100)) == pytest.approx(excess, abs=0.06)
    assert 100 * float(excess_air_from_o2(GAS, oxygen / 100)) == pytest.approx(excess, abs=0.35)


@pytest.mark.parametrize(("oxygen", "carbon_dioxide"), [(2.0, 10.58), (5.0, 8.91), (7.0, 7.79)])
def test_carbon_dioxide_at_an_oxygen(oxygen, carbon_dioxide):
    """An equilibrium code, methane in dry air, complete combustion."""
    extra = excess_air_from_o2(METHANE, oxygen / 100)
    assert 100 * float(products(METHANE, extra).carbon_dioxide) == pytest.approx(carbon_dioxide, abs=0.01)


@pytest.mark.parametrize(
    ("excess", "carbon_dioxide", "water", "oxygen", "molar", "pounds"),
    # Wet flue gas of natural gas in % by volume, lb/lbmol and lb per million Btu, a trade paper on flue-gas analysis.
    [
        (0, 9.47, 19.91, 0.0, 27.52, 768),
        (20, 8.02, 17.08, 3.18, 27.68, 914),
        (30, 7.45, 15.96, 4.43, 27.77, 986),
    ],
)
def test_wet_flue_gas(excess, carbon_dioxide, water, oxygen, molar, pounds):
    """The paper's air is moist (about 1 % of water), ours dry: 3 % on dry shares, 10 % on water, 5 % on mass.
    The molar mass is compared without the water, to 0.7 %: the paper counts the air's argon as nitrogen."""
    burnt = products(GAS, excess / 100)
    dry = 1 - water / 100
    assert 100 * float(burnt.carbon_dioxide) == pytest.approx(carbon_dioxide / dry, rel=0.03)
    assert 100 * float(burnt.oxygen) == pytest.approx(oxygen / dry, rel=0.03)
    ours = 1000 * 8.314462618 / float(burnt.gas_constant)
    wet = GAS.water / (GAS.water + GAS.carbon_dioxide / float(burnt.carbon_dioxide))
    assert 100 * wet == pytest.approx(water, rel=0.10)
    assert (ours - 18.015 * wet) / (1 - wet) == pytest.approx((molar - 18.015 * (1 - dry)) / dry, rel=0.007)
    assert float(burnt.mass) * BTU * 1e6 / POUND == pytest.approx(pounds, rel=0.05)


def test_fuel_mass_of_natural_gas():
    """AGA Report No. 5 (2009), example: 1034.8 Btu/ft3 at 14.73 psia and 60 °F, Z 0.997776, 17.595 lb/lbmol.

    The four main paraffins and the inerts are taken, heavier ones (0.4 %) as n-butane: 0.3 % on the molar mass.
    """
    volume = 0.997776 * 10.73159 * 519.67 / 14.73  # ft3/lbmol
    joules_per_kilogram = 1034.8 * volume / 17.5950 * BTU / POUND
    assert 1 / products(GAS, 0.0).fuel_mass == pytest.approx(joules_per_kilogram, rel=0.003)
    assert 1000 * GAS.molar_mass == pytest.approx(17.5950, rel=0.003)


@pytest.mark.parametrize("percent", [5.3, 8.0])
def test_the_handbook_mass_of_the_rating_is_an_atom_count(percent):
    """ASHRAE, chimney chapter: M = 0.705 (0.159 + 10.72 / %CO2) lb per 1000 Btu (from memory), against CH4 by hand.

    One mole of CH4 at 1010.0 Btu/ft3 (ASTM D3588, ideal gas, 60 °F): 2 O2, (1 - y)/y moles of dry gas for each CO2.
    Within 2.5 %: the handbook's gas is richer than methane, and neither states the moisture of the air.
    """
    handbook = 0.705 * (0.159 + 10.72 / percent)
    dry = 100 / percent  # moles of dry flue gas for each mole of CH4
    stoichiometric = 2 / OXYGEN_IN_AIR
    air = stoichiometric + (dry - (1 + stoichiometric * (1 - OXYGEN_IN_AIR)))
    pounds = (
        16.043 + air * 28.9655
    ) / 379.48  # lb for each ft3 of gas: 379.48 ft3/lbmol at 60 °F, 14.696 psia
    assert handbook == pytest.approx(1000 * pounds / 1010.0, rel=0.025)
    kind = percent == 8.0
    assert rating(fan_assisted=kind).mass == pytest.approx(handbook * POUND / (1000 * BTU), rel=1e-9)


@pytest.mark.parametrize("name", ["natural gas", "propane"])
@pytest.mark.parametrize("excess", [0.0, 0.37, 2.6])
def test_atoms_are_conserved(name, excess):
    """Conservation of mass: fuel and dry air in, wet products out, counted species by species."""
    gas = fuel(name)
    burnt = products(gas, excess)
    air = gas.oxygen / OXYGEN_IN_AIR * (1 + excess)
    dry = gas.carbon_dioxide / float(burnt.carbon_dioxide)
    rest = dry - gas.carbon_dioxide - gas.oxygen * excess  # nitrogen and argon
    mass_of = {"CO2": ATOMIC_MASS["C"] + 2 * ATOMIC_MASS["O"], "H2O": 2 * ATOMIC_MASS["H"] + ATOMIC_MASS["O"]}
    argon_and_nitrogen = (28.9655e-3 - OXYGEN_IN_AIR * 2 * ATOMIC_MASS["O"]) / (1 - OXYGEN_IN_AIR)
    fuel_nitrogen = gas.nitrogen * (2 * ATOMIC_MASS["N"] - argon_and_nitrogen)
    out = (
        gas.carbon_dioxide * mass_of["CO2"]
        + gas.water * mass_of["H2O"]
        + gas.oxygen * excess * 2 * ATOMIC_MASS["O"]
        + rest * argon_and_nitrogen
        + fuel_nitrogen
    )
    assert out == pytest.approx(gas.molar_mass + air * 28.9655e-3, rel=1e-9)
    assert out / gas.gross_heating_value == pytest.approx(float(burnt.mass), rel=1e-9)


@pytest.mark.parametrize("excess", [0.0, 0.21, 1.9])
def test_readings_lead_back_to_the_excess_air(excess):
    burnt = products(GAS, excess)
    assert float(excess_air_from_co2(GAS, burnt.carbon_dioxide)) == pytest.approx(excess, abs=1e-12)
    assert float(excess_air_from_o2(GAS, burnt.oxygen)) == pytest.approx(excess, abs=1e-12)


@pytest.mark.parametrize("given", [0.0, -0.01, 0.1205, np.array([0.05, 0.2])])
def test_impossible_carbon_dioxide_is_refused(given):
    with pytest.raises(InputError, match="cannot give this CO2"):
        excess_air_from_co2(GAS, given)


@pytest.mark.parametrize("given", [-0.001, OXYGEN_IN_AIR, 0.3])
def test_impossible_oxygen_is_refused(given):
    with pytest.raises(InputError, match="O2 in flue gas"):
        excess_air_from_o2(GAS, given)
