"""Laws that hold for any fuel: atoms and heat in are atoms and heat out; directions; agreement of the ways to an answer."""

import numpy as np
import pytest

from hvaclib.physics import flue_gas
from hvaclib.physics.air import saturation_pressure
from hvaclib.physics.fuel import blend, fuel, fuel_names
from hvaclib.physics.fuel.gases import gases
from hvaclib.reference import figure

CASES = 10_000
OXYGEN, R = 0.209476, 8.314462618
ATOMS = {gas: {"C": 0, "H": 0, "O": 0, "N": 0} for gas in gases()}
for row_name, (c, h, o, n) in {
    "methane": (1, 4, 0, 0), "ethane": (2, 6, 0, 0), "propane": (3, 8, 0, 0), "n-butane": (4, 10, 0, 0),
    "isobutane": (4, 10, 0, 0), "n-pentane": (5, 12, 0, 0), "isopentane": (5, 12, 0, 0), "neopentane": (5, 12, 0, 0),
    "n-hexane": (6, 14, 0, 0), "hydrogen": (0, 2, 0, 0), "carbon monoxide": (1, 0, 1, 0), "water": (0, 2, 1, 0),
    "oxygen": (0, 0, 2, 0), "nitrogen": (0, 0, 0, 2), "carbon dioxide": (1, 0, 2, 0),
}.items():  # fmt: skip
    ATOMS[row_name] = {"C": c, "H": h, "O": o, "N": n}


def enthalpy(name, t):
    """The polynomial written out once more, in numpy's own way."""
    a = np.asarray(figure("flue_gas", "enthalpy", name).value)
    return R * np.polynomial.Polynomial([0.0, *(a / np.arange(1, 6))])(t)


def liquid(t):
    return enthalpy("water", 298.15) - 44004.0 + 75.3 * (t - 298.15)


def random_fuel(random):
    burning = [
        name
        for name in gases()
        if name not in ("water", "oxygen", "nitrogen", "carbon dioxide", "helium", "argon")
    ]
    names = [
        *random.choice(burning, random.integers(1, 6), replace=False),
        *random.choice(["nitrogen", "carbon dioxide", "water", "helium"], 2, replace=False),
    ]
    shares = random.dirichlet(np.ones(len(names)))
    return blend("random", dict(zip(names, shares, strict=True)))


def test_atoms_and_heat_are_conserved_for_random_fuels_and_settings():
    """Carbon, hydrogen, oxygen and enthalpy of what goes in against what comes out, to 1e-9 of what goes in.

    The analyser's reading is made of a known burner: moles of each product for one mole of fuel are solved from the
    atom balances as a linear system, the shares read off, and the calculation must find the burner again.
    """
    random = np.random.default_rng(20260111)
    for _ in range(CASES):
        gas = random_fuel(random)
        excess = float(random.uniform(0.0, 3.0))
        atoms = {e: sum(x * ATOMS[name][e] for name, x in gas.composition) for e in "CHON"}
        inert = sum(x for name, x in gas.composition if name in ("helium", "argon"))
        # unknown: CO2, H2O, O2, rest of air (with the fuel's N2 and inert), air
        system = np.array([
            [1, 0, 0, 0, 0], [0, 2, 0, 0, 0], [2, 1, 2, 0, -2 * OXYGEN], [0, 0, 0, 1, OXYGEN - 1], [0, 0, 1, 0, -OXYGEN * excess / (1 + excess)],
        ], dtype=float)  # fmt: skip
        co2, water, o2, rest, air = np.linalg.solve(
            system, [atoms["C"], atoms["H"], atoms["O"], atoms["N"] / 2 + inert, 0.0]
        )
        dry = co2 + o2 + rest
        scale = air + 1.0
        found = float(flue_gas.excess_air.si(fuel=gas, o2=o2 / dry))
        assert found == pytest.approx(excess, abs=1e-9)
        in_air = gas.air * (1 + found)
        assert abs(in_air - air) < 1e-9 * scale
        assert abs(gas.carbon_dioxide - atoms["C"]) < 1e-9
        assert abs(2 * gas.water - atoms["H"]) < 1e-9 * (1 + atoms["H"])
        oxygen_out = 2 * gas.carbon_dioxide + gas.water + 2 * gas.oxygen * found
        assert abs(atoms["O"] + 2 * OXYGEN * in_air - oxygen_out) < 1e-9 * scale
        cold = float(random.uniform(250.0, 320.0))
        hot = float(random.uniform(cold, 900.0))
        parts = flue_gas.losses.si(fuel=gas, o2=o2 / dry, stack_temperature=hot, air_temperature=cold)
        left = water
        if hot <= 372.0:
            share = float(saturation_pressure.si(temperature=max(hot, 260.0))) / 101325.0
            left = min(water, dry * share / (1 - share))
        a = 0.00934 / (1 - OXYGEN)
        out = sum(n * (enthalpy(g, hot) - enthalpy(g, cold)) for g, n in
                  (("carbon_dioxide", co2), ("oxygen", o2), ("nitrogen", (1 - a) * rest), ("argon", a * rest)))  # fmt: skip
        out += left * (enthalpy("water", hot) - liquid(cold)) + (water - left) * (liquid(hot) - liquid(cold))
        useful = parts.efficiency_hhv * gas.gross_heating_value
        assert abs(useful + out - gas.gross_heating_value) < 1e-9 * gas.gross_heating_value
        assert parts.dry_gas + parts.latent + parts.water + parts.carbon_monoxide == pytest.approx(
            parts.total, abs=1e-12
        )
        assert parts.efficiency_lhv * gas.net_heating_value == pytest.approx(useful, rel=1e-12)


@pytest.mark.parametrize("name", fuel_names())
def test_more_air_and_hotter_gas_lose_more(name):
    o2 = np.linspace(0.0, 0.15, 40)
    for hot in (400.0, 600.0):
        found = flue_gas.losses.si(fuel=fuel(name), o2=o2, stack_temperature=hot, air_temperature=290.0)
        assert np.all(np.diff(found.total) > 0)
        assert np.all(np.diff(found.dew_point) < 0)
    stack = np.linspace(295.0, 900.0, 300)
    total = flue_gas.losses.si(fuel=fuel(name), o2=0.04, stack_temperature=stack, air_temperature=290.0).total
    assert np.all(np.diff(total) > 0)
    assert np.max(np.diff(total)) < 0.015  # no jump where the gas begins to condense or where it stops


@pytest.mark.parametrize("name", fuel_names())
def test_oxygen_and_carbon_dioxide_lead_to_the_same(name):
    gas, o2 = fuel(name), np.linspace(0.0, 0.2, 30)
    co2 = flue_gas.co2_from_o2.si(fuel=gas, o2=o2)
    by_o2 = flue_gas.excess_air.si(fuel=gas, o2=o2)
    assert flue_gas.excess_air.si(fuel=gas, co2=co2) == pytest.approx(by_o2, rel=1e-9, abs=1e-11)
    for one, other in zip(o2, co2, strict=True):
        assert flue_gas.consistency.si(fuel=gas, o2=float(one), co2=float(other)).possible


def test_condensed_water_and_left_vapour_are_all_water():
    gas = fuel("natural gas")
    for temperature in (280.0, 300.0, 320.0, 331.0, 360.0):
        rate = flue_gas.condensate.si(fuel=gas, input_rate=1.0, condensing_temperature=temperature, o2=0.06)
        parts = flue_gas.losses.si(fuel=gas, o2=0.06, stack_temperature=temperature, air_temperature=275.0)
        most = gas.water * 18.01528e-3 / gas.gross_heating_value
        assert rate == pytest.approx(parts.condensed * most, rel=1e-9, abs=1e-18)
        assert (rate > 0) == (temperature < parts.dew_point)
