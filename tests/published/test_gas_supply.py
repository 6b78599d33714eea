"""Metering, altitude, orifices and gas pipes against published tables, in both unit systems."""

import pytest

from hvaclib.physics import gas_supply

FT3 = 0.028316846592  # m³, exact
IN = 25.4  # mm, exact
WATER = 249.08891  # Pa for an inch of water, NIST SP 811
HEAT = 0.0372589458  # MJ/m³ for a Btu(IT)/ft³
DIALS = (0.25, 0.5, 1, 2, 5)

# Gas-rate table of a furnace service manual: seconds for one turn against the dial, ft³/h; None = not printed. Printed
# as whole numbers, rounded or cut: 1 ft³/h (2 in the 5 ft³ column). The two entries of the 2 ft³ column at 13 s and
# 27 s are misprinted by 1.2 to 1.7 and left out.
CLOCKED = {
    10: (90, 180, 360, 720, 1800), 12: (75, 150, 300, 600, 1500), 13: (69, 138, 277, None, 1385),
    15: (60, 120, 240, 480, 1200), 17: (53, 106, 212, 424, 1059), 18: (50, 100, 200, 400, 1000),
    20: (45, 90, 180, 360, 900), 22: (41, 82, 164, 327, 818), 23: (39, 78, 157, 313, 783),
    25: (36, 72, 144, 288, 720), 27: (33, 67, 133, None, 667), 28: (32, 64, 129, 257, 643),
    30: (30, 60, 120, 240, 600), 32: (28, 56, 113, 225, 563), 33: (None, None, 109, 218, 545),
    35: (None, None, 103, 206, 514), 37: (None, None, 97, 195, 486), 38: (23, 47, 95, 189, 474),
    40: (22, 45, 90, 180, 450), 45: (20, 40, 80, 160, 400), 47: (19, 38, 76, 153, 383),
    50: (18, 36, 72, 144, 360), 54: (None, None, 67, 133, 333), 56: (16, 32, 64, 129, 321),
    60: (15, 30, 60, 120, 300),
}  # fmt: skip


@pytest.mark.parametrize("seconds", CLOCKED)
def test_gas_rate_table(seconds):
    for dial, printed in zip(DIALS, CLOCKED[seconds], strict=True):
        if printed is None:
            continue
        tolerance = 2 if dial == 5 else 1
        field = gas_supply.meter_flow(dial=f"{dial} ft³", time=f"{seconds} s")
        assert field.to("cfh").magnitude == pytest.approx(printed, abs=tolerance)
        metric = gas_supply.meter_flow(dial=f"{dial * FT3} m³", time=f"{seconds / 20} min", turns=3)
        assert metric.to("m³/h").magnitude == pytest.approx(printed * FT3, abs=tolerance * FT3)


# Utility and training leaflets on clocking a meter, and a furnace manual with the same formula; exact arithmetic, to the
# digits shown. Btu/h at the heating value given.
@pytest.mark.parametrize(
    ("dial", "seconds", "heating_value", "flow", "rate"),
    [
        ("1 ft³", 45, 1000, 80.0, 80000),
        ("1/2 ft³", 22, 1000, 81.82, 81820),
        ("2 ft³", 60, 1000, 120.0, 120000),
        ("2 ft³", 60, 2550, 120.0, 306000),
    ],
)
def test_worked_examples_of_clocking(dial, seconds, heating_value, flow, rate):
    time = f"{seconds} s"
    assert gas_supply.meter_flow(dial=dial, time=time).to("cfh").magnitude == pytest.approx(flow, abs=0.005)
    field = gas_supply.input_rate(dial=dial, time=time, heating_value=f"{heating_value} Btu/ft³")
    assert field.to("Btu/h").magnitude == pytest.approx(rate, abs=5)
    metric = gas_supply.input_rate(dial=dial, time=time, heating_value=f"{heating_value * HEAT} MJ/m³")
    assert metric.to("kW").magnitude == pytest.approx(rate * 0.29307107e-3, rel=1e-4)


def test_worked_example_in_metric_units():
    # UK revision page: 0.040 m³ in 120 s at 39.0 MJ/m³ is 1.2 m³/h, 13.0 kW gross
    assert gas_supply.meter_flow(dial="0.040 m³", time="120 s").to("m³/h").magnitude == pytest.approx(1.2)
    rate = gas_supply.input_rate(dial="0.040 m³", time="2 min", heating_value="39.0 MJ/m³")
    assert rate.to("kW").magnitude == pytest.approx(13.0)


def test_pressure_factor():
    # utility leaflet: 2 psig, 14.16 psia around the meter, 14.73 psia base: 1.097
    factor = gas_supply.volume_correction(gas_pressure="2 psig", barometric_pressure="14.16 psia")
    assert factor.magnitude == pytest.approx(1.097, abs=5e-4)
    metric = gas_supply.volume_correction(
        gas_pressure="13.79 kPa", barometric_pressure="97.63 kPa", base_pressure="101.56 kPa"
    )
    assert metric.magnitude == pytest.approx(1.097, abs=5e-4)


def test_temperature_factor():
    # UFGS 15195N: volumes and pressures go with (T + 460) of the gas in °F: 40 °F against 60 °F is 520/500
    factor = gas_supply.volume_correction(gas_temperature="40 °F")
    assert factor.magnitude == pytest.approx(520 / 500, rel=1e-4)


def test_altitude_factor_is_the_standard_atmosphere():
    # US Standard Atmosphere 1976, pressure ratio at 5000 ft: 0.8321 (computed with an independent library)
    factor = gas_supply.volume_correction(altitude="5000 ft", base_pressure="14.696 psia")
    assert factor.magnitude == pytest.approx(0.8321, abs=1e-4)


# NFPA 54 (2002), 11.1.2, reprinted in the Uniform Mechanical Code (2009): no change to 2000 ft; above it 4 % for each
# 1000 ft from sea level. The chart in furnace manuals of a 15 000 Btu/h burner goes in steps: each is met at its start.
@pytest.mark.parametrize(
    ("feet", "rated", "left"),
    [
        (2000, 100000, 100000), (3000, 100000, 88000), (5000, 100000, 80000), (7000, 100000, 72000),
        (900, 15000, 15000), (2000.1, 15000, 13800), (3000, 15000, 13200), (4000, 15000, 12600),
    ],
)  # fmt: skip
def test_altitude_by_the_code(feet, rated, left):
    field = gas_supply.altitude_derate(input_rate=f"{rated} Btu/h", altitude=f"{feet} ft")
    assert field.to("Btu/h").magnitude == pytest.approx(left, rel=1e-5)
    metric = gas_supply.altitude_derate(input_rate=f"{rated * 0.29307107} W", altitude=f"{feet * 0.3048} m")
    assert metric.to("Btu/h").magnitude == pytest.approx(left, rel=1e-5)


@pytest.mark.parametrize(
    ("rule", "left"),
    [("4 % from sea level", 0.80), ("4 % above 2000 ft", 0.88), ("2 % maker", 0.90)],
)
def test_both_readings_of_the_rule_at_5000_feet(rule, left):
    # trade articles on NFPA 54 (2015), Annex E: from sea level 0.80, the part above 2000 ft only 0.88 (common practice)
    rate = gas_supply.altitude_derate(input_rate="100000 Btu/h", altitude="5000 ft", rule=rule)
    assert rate.to("Btu/h").magnitude == pytest.approx(100000 * left)


def test_canadian_plates():
    # common practice: 10 % between 2000 and 4500 ft
    rate = gas_supply.altitude_derate(input_rate="80000 Btu/h", altitude="4500 ft", rule="Canada 10 %")
    assert rate.to("Btu/h").magnitude == pytest.approx(72000)


# Block E: Fuel Gas Systems (BCcampus, 2023), Appendix 2, coefficient 0.90: ft³/h of natural gas (0.60) at 1, 3, 3.5, 4
# and 7 in. w.c., propane (1.50) at 10 and 11, butane (2.00) at 10 and 11. Printed to 0.001: half of that, and the drill
# "1/64" is rounded to 0.0156 in.
TEXTBOOK = {
    "#80": (0.276, 0.478, 0.516, 0.552, 0.730, 0.552, 0.579, 0.478, 0.501),
    "0.0156 in": (0.368, 0.638, 0.689, 0.737, 0.974, 0.737, 0.773, 0.638, 0.669),
    "#78": (0.387, 0.671, 0.725, 0.775, 1.025, 0.775, 0.813, 0.671, 0.704),
    "#76": (0.605, 1.049, 1.133, 1.211, 1.602, 1.211, 1.270, 1.049, 1.100),
    "#74": (0.766, 1.327, 1.433, 1.532, 2.027, 1.532, 1.607, 1.327, 1.392),
    "#73": (0.872, 1.510, 1.631, 1.744, 2.306, 1.744, 1.829, 1.510, 1.584),
    "#71": (1.023, 1.772, 1.914, 2.046, 2.707, 2.046, 2.146, 1.772, 1.859),
    "#69": (1.290, 2.235, 2.414, 2.581, 3.414, 2.581, 2.707, 2.235, 2.344),
    "#68": (1.454, 2.519, 2.721, 2.909, 3.848, 2.909, 3.051, 2.519, 2.642),
    "#67": (1.550, 2.684, 2.899, 3.100, 4.100, 3.100, 3.251, 2.684, 2.815),
    "#65": (1.854, 3.211, 3.469, 3.708, 4.905, 3.708, 3.889, 3.211, 3.368),
    "#64": (1.961, 3.397, 3.670, 3.923, 5.190, 3.923, 4.114, 3.397, 3.563),
    "#62": (2.185, 3.785, 4.089, 4.371, 5.782, 4.371, 4.584, 3.785, 3.970),
}
COLUMNS = ((1, 0.6), (3, 0.6), (3.5, 0.6), (4, 0.6), (7, 0.6), (10, 1.5), (11, 1.5), (10, 2.0), (11, 2.0))


@pytest.mark.parametrize("drill", TEXTBOOK)
def test_orifice_table_of_the_textbook(drill):
    for (inches, density), printed in zip(COLUMNS, TEXTBOOK[drill], strict=True):
        field = gas_supply.orifice_flow(
            diameter=drill, manifold_pressure=f"{inches} in. w.c.", relative_density=density
        )
        assert field.to("cfh").magnitude == pytest.approx(printed, abs=6e-4)
        metric = gas_supply.orifice_flow(
            diameter=drill, manifold_pressure=f"{inches * WATER} Pa", relative_density=density
        )
        assert metric.to("m³/h").magnitude == pytest.approx(printed * FT3, abs=6e-4 * FT3)


# NFPA 54 (2018), Table E.1.1(a), natural gas 0.60: 1 % from #76 up; smaller drills are printed 3 to 5 % above the formula
# and the 5 and 6 in. columns 1 to 2.5 %, and are not tested. Larger drills as quoted by furnace manuals at 3.5 in. w.c.
@pytest.mark.parametrize(
    ("drill", "inches", "printed"),
    [
        (76, 3, 1.05), (76, 3.5, 1.13), (76, 4, 1.21), (76, 7, 1.61), (76, 8, 1.72), (76, 10, 1.92),
        (51, 3.5, 12.77), (49, 3.5, 15.2), (48, 3.5, 16.36), (46, 3.5, 18.57),
    ],
)  # fmt: skip
def test_orifice_table_of_the_gas_code(drill, inches, printed):
    field = gas_supply.orifice_flow(diameter=drill, manifold_pressure=f"{inches} in. w.c.")
    assert field.to("cfh").magnitude == pytest.approx(printed, rel=0.01)
    metric = gas_supply.orifice_flow(diameter=f"No. {drill}", manifold_pressure=f"{inches * WATER} Pa")
    assert metric.to("m³/h").magnitude == pytest.approx(printed * FT3, rel=0.01)


def test_sharp_edged_orifice():
    # orifice-flow formula sheet: 7/32 in, coefficient 0.60: 80.7 ft³/h before the coefficient, 48.4 at 1 in. and 118.6 at
    # 6 in. w.c.; the sheet rounds constant and area, hence 0.4 %
    for inches, flow in ((1, 48.4), (6, 118.6)):
        given = gas_supply.orifice_flow(
            diameter="7/32 in", manifold_pressure=f"{inches} in. w.c.", coefficient=0.60
        )
        assert given.to("cfh").magnitude == pytest.approx(flow, rel=4e-3)


def test_selection_of_a_drill():
    # furnace manuals quoting NFPA 54: 14 000 Btu/h a burner at 900 Btu/ft³ is 15.56 ft³/h: drill 49 at 3.5 in. w.c.
    size = gas_supply.orifice_size(
        input_rate="14000 Btu/h", heating_value="900 Btu/ft³", manifold_pressure="3.5 in. w.c."
    )
    assert size.flow.to("cfh").magnitude == pytest.approx(15.56, abs=0.005)
    assert (size.drill, size.next_drill) == ("#49", "#48")
    metric = gas_supply.orifice_size(
        input_rate="4.103 kW", heating_value=f"{900 * HEAT} MJ/m³", manifold_pressure="872 Pa"
    )
    assert metric.drill == "#49"


@pytest.mark.parametrize(("rate", "wanted", "pressure"), [(80, 84, 3.859), (100, 91, 2.898), (70, 35, 0.875)])
def test_square_root_law(rate, wanted, pressure):
    # orifice-flow formula sheet: h2/h1 = (Q2/Q1)², from 3.5 in. w.c.; hand-computed to the digits shown
    field = gas_supply.manifold_for(
        present_pressure="3.5 in. w.c.", present_rate=f"{rate} ft³/h", wanted_rate=f"{wanted} ft³/h"
    )
    assert field.to("inH2O").magnitude == pytest.approx(pressure, abs=5e-4)
    metric = gas_supply.manifold_for(
        present_pressure=f"{3.5 * WATER} Pa", present_rate=f"{rate} kW", wanted_rate=f"{wanted} kW"
    )
    assert metric.to("Pa").magnitude == pytest.approx(pressure * WATER, rel=3e-4)
