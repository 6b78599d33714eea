"""House and vent together against published figures: the code table's capacities, depressurization, the test's order.

The rows of natural-draft capacity are those of `hvaclib/reference/vent_capacity.csv`: IFGC (2018) Table 504.2(1) = NFPA 54 (2018)
Table 13.1(a). A vent that carries exactly its listed input must, in a house that stands wide open, dilute the flue
gas to the state in which the table rates it and spill nothing.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from hvaclib.house.file import read_dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.steady import steady
from hvaclib.physics.fuel import fuel, products
from hvaclib.physics.vent.column import SPECIFIC_HEAT
from hvaclib.procedures.worst_case import worst_case
from hvaclib.reference import rows

DEMO = Path(__file__).parents[2] / "data" / "demo"
# Up to 400 kBtu/h, the most that a dwelling file takes.
ROWS = [row for row in rows("vent_capacity") if row["natural_kbtuh"] and float(row["natural_kbtuh"]) <= 400]
KBTUH, FOOT = 293.07107, 0.3048

# ASHRAE HVAC Systems and Equipment (2016), chimney chapter: 300 °F rise behind the hood, 5.3 % CO2, 60 °F air;
# 1.54 lb of diluted gas per 1000 Btu.
RISE, CARBON_DIOXIDE, GAS_PER_JOULE = 166.667, 0.053, 1.54 * 0.45359237 / (1000 * 1055.05585)

HOUSE = """
format = "hvaclib dwelling 1"
name = "Open house"
invented = true
[weather]
outdoor_temperature = "60 °F"
[[zone]]
name = "room"
floor = "0 ft"
height = "8 ft"
floor_area = "1000 sq ft"
temperature = "60 °F"
[[opening]]
name = "wide open"
between = ["room", "outdoors"]
area = "20 sq ft"
height = "3 ft"
purpose = "combustion air"
[[vent]]
name = "vent"
kind = "double-wall"
diameter = "{diameter} in"
top = "{top} ft"
[[appliance]]
name = "water heater"
kind = "draft-hood water heater"
zone = "room"
fuel = "natural gas"
input = "{input} kBtu/h"
efficiency = {efficiency}
oxygen = 0.08
vent = "vent"
connector = {{kind = "double-wall", diameter = "{diameter} in", rise = "0.5 ft", lateral = "{lateral} ft", elbows = {elbows}}}
hood_height = "0 ft"
firing = true
"""


def rated_efficiency() -> float:
    """Share of the input that does not leave, such that the diluted gas is 300 °F above the room."""
    return 1.0 - products(fuel("natural gas"), 0.0).latent - GAS_PER_JOULE * SPECIFIC_HEAT * RISE


def diluted_carbon_dioxide(gas_per_joule: float) -> float:
    """CO2 in dry gas of which so much leaves for each joule burnt (atom count of the fuel)."""
    gas = fuel("natural gas")
    excess = brentq(lambda extra: float(products(gas, extra).mass) - gas_per_joule, 0.0, 20.0)
    return float(products(gas, excess).carbon_dioxide)


def open_house(tmp_path: Path, row: dict[str, str], share: float = 1.0):
    lateral = int(row["lateral_ft"])
    text = HOUSE.format(
        diameter=row["diameter_in"],
        top=row["height_ft"],
        lateral=lateral,
        elbows=2 if lateral else 0,
        input=share * float(row["natural_kbtuh"]),
        efficiency=f"{rated_efficiency():.4f}",
    )
    path = tmp_path / "open.toml"
    path.write_text(text, encoding="utf-8")
    return read_dwelling(path)


def test_the_rating_state_is_that_of_an_appliance_in_service():
    """ASHRAE, chimney chapter: the mean flue loss behind the rating is that of a 75 to 80 % efficient appliance."""
    assert 0.75 < rated_efficiency() < 0.80


def test_vents_loaded_to_their_listed_capacity_rate_as_the_table_does(tmp_path):
    """All rows: nothing spills, and the CO2 is 5.3 % within 5 % on average and 11 % at most.

    The capacity model meets the table within 8 % (vent capacity test) with the handbook's gas; the house burns the gas
    of the fuel table, whose atom count gives 2.4 % more of it.
    """
    errors = []
    for row in ROWS:
        dwelling = open_house(tmp_path, row)
        state = steady(dwelling, [dwelling.default_setup()], start="warm")
        assert state.vents.spillage[0, 0] == 0.0, row
        found = diluted_carbon_dioxide(float(state.vents.flow[0, 0]) / dwelling.appliances[0].input)
        errors.append(found / CARBON_DIOXIDE - 1.0)
    print(f"{len(errors)} rows: mean {np.mean(np.abs(errors)):.3f}, worst {max(errors, key=abs):+.3f}")
    assert np.mean(np.abs(errors)) <= 0.05
    assert np.max(np.abs(errors)) <= 0.11


def test_an_overloaded_vent_does_not_dilute_to_the_rating(tmp_path):
    """The comparison can fail: one and a half times the listed input leaves the gas far richer than 5.3 %."""
    dwelling = open_house(tmp_path, ROWS[0], share=1.5)
    state = steady(dwelling, [dwelling.default_setup()], start="warm")
    found = diluted_carbon_dioxide(float(state.vents.flow[0, 0]) / dwelling.appliances[0].input)
    assert found > 1.15 * CARBON_DIOXIDE


# Depressurization of one zone by an exhaust fan, Pa = 50 (Q / CFM50)**(1/0.65): the power law of ASTM E779 with the
# exponent customary where only the flow at 50 Pa is known. cfm, cfm at 50 Pa, Pa to the digits printed.
DEPRESSURIZED = [
    (150, 1000, 2.70),
    (200, 1200, 3.18),
    (300, 1500, 4.20),
    (400, 2000, 4.20),
    (600, 1800, 9.22),
    (350, 2500, 2.43),
]

SEALED_ROOM = """
format = "hvaclib dwelling 1"
name = "One zone and a fan"
invented = true
[weather]
outdoor_temperature = "{temperature}"
[[zone]]
name = "house"
floor = "{floor}"
height = "{height}"
floor_area = "{area}"
temperature = "{temperature}"
[[leak]]
name = "envelope"
between = ["house", "outdoors"]
flow_at_50 = "{leak}"
height = "{middle}"
[[fan]]
name = "fan"
zone = "house"
flow = "{flow}"
on = true
"""


@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize(("flow", "leak", "pressure"), DEPRESSURIZED)
def test_an_exhaust_fan_pulls_a_house_down_by_the_power_law(tmp_path, system, flow, leak, pressure):
    cfm = 0.3048**3 * 60  # m3/h, exact
    words = (
        {
            "temperature": "70 °F",
            "floor": "0 ft",
            "height": "8 ft",
            "area": "1500 sq ft",
            "middle": "4 ft",
            "leak": f"{leak} cfm",
            "flow": f"{flow} cfm",
        }
        if system == "field"
        else {
            "temperature": "21 °C",
            "floor": "0 m",
            "height": "2.4 m",
            "area": "140 m²",
            "middle": "1.2 m",
            "leak": f"{leak * cfm:.4f} m³/h",
            "flow": f"{flow * cfm:.4f} m³/h",
        }
    )
    path = tmp_path / "room.toml"
    path.write_text(SEALED_ROOM.format(**words), encoding="utf-8")
    dwelling = read_dwelling(path)
    state = steady(dwelling, [dwelling.default_setup()])
    # 0.5 % beside the printed digits: standard air at the leak, room air at the fan.
    assert state.pressure("house")[0] == pytest.approx(-pressure, rel=0.005, abs=0.005)


def on(setup: Setup) -> set[str]:
    return {name for name, speed in setup.fans.items() if speed > 0}


def lit(setup: Setup) -> list[str]:
    return [name for name, burning in setup.firing.items() if burning]


def test_the_order_of_the_test_is_that_of_the_code_appendix():
    """IFGC and IRC (2018), Appendix D (from memory but for the five minutes): windows and outer doors shut; dryer and
    exhaust fans on; inner doors and air handler set; only then the burners, read after five minutes of operation.
    Smallest input first: ANSI/BPI-1200-S (from memory)."""
    test = worst_case(read_dwelling(DEMO / "closed_door_fails.toml"))
    titles = [step.title for step in test.steps]
    wanted = ["Baseline", "Exhaust fans on", "Inner doors", "Air handler on", "Fire the appliances", "Retest"]
    assert [title for title in titles if title in wanted] == wanted

    baseline, worst = test.steps[0].setup, test.setup
    assert not on(baseline)
    assert not baseline.air_handler
    assert not any(baseline.windows.values())
    assert not lit(baseline)
    assert on(worst) == set(worst.fans)
    assert not any(worst.windows.values())
    assert not lit(worst)
    assert all(not lit(step.setup) for step in test.steps[: titles.index("Fire the appliances")])

    inputs = [
        next(item.input for item in test.warm_up.final.dwelling.appliances if item.name == name)
        for name in test.order
    ]
    assert inputs == sorted(inputs)
    lines = [test.warm_up.appliances.index(name) for name in test.order]
    np.testing.assert_allclose(np.diff(test.warm_up.lit[lines]), 300.0)
    drafts = {
        reading.where: reading.value for reading in test.readings.of("draft") if reading.when == "worst case"
    }
    for count, (name, row) in enumerate(zip(test.order, lines, strict=True)):
        at = np.flatnonzero(test.warm_up.time == 300.0 * (count + 1))[0]
        assert drafts[name] == test.warm_up.draft[row, at]
    assert any(test.steps[-1].setup.windows.values())
