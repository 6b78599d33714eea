"""Combustion air against the fuel gas codes' figures and tables, in both unit systems.

Tables reprinted in appliance manuals (NFPA 54, 2006 era, 9.3) print whole cubic feet: tolerance half a foot. Rows of the
Minnesota appendix E, Table E-1, are the same method at 0.20 (built since 1994) and 0.40 air changes an hour (before).
"""

import pytest

from hvaclib.errors import HvacError
from hvaclib.physics import combustion_air

KW = 0.29307107  # kW for 1000 Btu/h
CUBIC_FOOT = 0.028316846592
SQUARE_INCH = 6.4516

# NFPA 54 (2006 era) 9.3 as reprinted in furnace manuals, table 2: kBtu/h, air changes an hour, cubic feet.
NATURAL = [(40, 0.6, 1400), (50, 0.6, 1750), (40, 0.5, 1680), (30, 0.4, 1575), (40, 0.4, 2100), (30, 0.3, 2100),
           (50, 0.3, 3500), (30, 0.2, 3150), (50, 0.2, 5250), (40, 0.1, 8400), (50, 0.1, 10500)]  # fmt: skip
FAN_ASSISTED = [(75, 0.6, 1875), (125, 0.6, 3125), (150, 0.6, 3750), (50, 0.5, 1500), (75, 0.5, 2250),
                (125, 0.5, 3750), (50, 0.4, 1875), (100, 0.4, 3750), (125, 0.4, 4688), (50, 0.3, 2500),
                (100, 0.3, 5000), (150, 0.3, 7500), (75, 0.2, 5625), (100, 0.2, 7500), (150, 0.2, 11250),
                (75, 0.1, 11250), (125, 0.1, 18750), (150, 0.1, 22500)]  # fmt: skip
KNOWN = [(False, *row) for row in NATURAL] + [(True, *row) for row in FAN_ASSISTED]


@pytest.mark.parametrize(("fan", "kbtuh", "ach", "feet"), KNOWN)
def test_known_infiltration(fan, kbtuh, ach, feet):
    field = combustion_air.required_volume(input_rate=f"{kbtuh} kBtu/h", ach=f"{ach} ACH", fan_assisted=fan)
    assert field.to("ft^3").magnitude == pytest.approx(feet, abs=0.51)
    metric = combustion_air.required_volume(input_rate=f"{kbtuh * KW} kW", ach=f"{ach} /h", fan_assisted=fan)
    assert metric.to("m^3").magnitude == pytest.approx(feet * CUBIC_FOOT, abs=0.51 * CUBIC_FOOT)


# IFGC Appendix E (Minnesota), Table E-1: standard; fan-assisted since 1994 / before; natural draft since / before. Cells
# that the scan garbles are left out (None).
@pytest.mark.parametrize(
    ("kbtuh", "cells"),
    [(10, (500, 750, 375, 1050, 525)), (40, (2000, 3000, 1500, 4200, None)), (50, (2500, 3750, None, 5250, None)),
     (75, (3750, 5625, 2813, 7875, 3938)), (120, (None, 9000, None, 12600, 6300)),
     (150, (7500, 11250, 5625, 15750, None))],
)  # fmt: skip
def test_state_appendix(kbtuh, cells):
    methods = ((None, False), (0.20, True), (0.40, True), (0.20, False), (0.40, False))
    for cell, (ach, fan) in zip(cells, methods, strict=True):
        if cell is not None:
            found = combustion_air.required_volume(input_rate=f"{kbtuh} kBtu/h", ach=ach, fan_assisted=fan)
            assert found.to("ft^3").magnitude == pytest.approx(cell, abs=0.51)


def test_standard_method():
    # IFGC 304.5.1; DOE SWS 5.0502.1a: 5000 ft³ for 100 000 Btu/h
    found = combustion_air.required_volume(input_rate="100 kBtu/h")
    assert found.to("ft^3").magnitude == pytest.approx(5000)
    assert combustion_air.required_volume(input_rate="29.307107 kW").to("m^3").magnitude == pytest.approx(
        5000 * CUBIC_FOOT
    )


def test_a_leaky_house_counts_with_the_cap():
    # IFGC 304.5.2: rates above 0.60 are not to be used
    at_cap = combustion_air.required_volume(input_rate="40 kBtu/h", ach="0.6 ACH")
    assert combustion_air.required_volume(input_rate="40 kBtu/h", ach="1.7 ACH") == at_cap
    assert at_cap.to("ft^3").magnitude == pytest.approx(1400)


def test_a_bare_air_change_rate_is_per_hour():
    from hvaclib.units import ureg

    said = [
        combustion_air.required_volume(input_rate="40 kBtu/h", ach=rate).magnitude
        for rate in ("0.35", 0.35, "0.35 /h", ureg.Quantity(0.35, ""), ureg.Quantity(0.35, "1/hour"))
    ]
    assert said == pytest.approx([2400.0] * 5)  # 21/0.35 x 40, IFGC equation 3-1


@pytest.mark.parametrize(("ach", "allowed"), [(None, True), (0.40, True), (0.5, True), (0.39, False)])
def test_standard_method_only_where_the_house_is_not_known_to_be_tight(ach, allowed):
    # IFGC 304.5.1; DOE SWS 5.0502.1a: known below 0.40 an hour
    assert combustion_air.standard_method_allowed(None if ach is None else ach / 3600) is allowed


# NFPA 54 (2006 era) 9.3 as reprinted in furnace manuals: free area each, in², and the round duct for 4000 Btu/h per in².
# The table prints one or two decimals.
@pytest.mark.parametrize(
    ("kbtuh", "horizontal", "single", "direct", "duct"),
    [(50, 25, 16.7, 12.5, 4), (100, 50, 33.3, 25, 6), (125, 62.5, 41.7, 31.25, 7)],
)
def test_openings_to_outdoors(kbtuh, horizontal, single, direct, duct):
    for route, openings, area in (
        ("horizontal duct", 2, horizontal), ("direct", 2, direct), ("vertical duct", 2, direct),
        ("direct", 1, single), ("horizontal duct", 1, single), ("vertical duct", 1, single),
    ):  # fmt: skip
        field = combustion_air.opening_area(input_rate=f"{kbtuh} kBtu/h", route=route, openings=openings)
        assert field.main.to("in^2").magnitude == pytest.approx(area, abs=0.051)
        metric = combustion_air.opening_area(input_rate=f"{kbtuh * KW} kW", route=route, openings=openings)
        assert metric.free_area.to("cm^2").magnitude == pytest.approx(area * SQUARE_INCH, abs=0.33)
    assert combustion_air.opening_area(input_rate=f"{kbtuh} kBtu/h", route="direct").round_duct.to(
        "in"
    ).magnitude == pytest.approx(duct)


@pytest.mark.parametrize(("kbtuh", "area"), [(40, 100), (100, 100), (150, 150)])
def test_openings_to_rooms_of_the_same_storey(kbtuh, area):
    # NFPA 54 9.3.2.3: 1 in² for 1000 Btu/h each, at least 100 in²
    found = combustion_air.opening_area(input_rate=f"{kbtuh} kBtu/h", route="indoor")
    assert found.area.to("in^2").magnitude == pytest.approx(area)
    assert found.least_dimension.to("in").magnitude == pytest.approx(3)


def test_a_single_opening_is_no_smaller_than_the_connectors():
    # NFPA 54 9.3.3.2 (2): connectors of 5 in and 4 in, 19.6 + 12.6 in²; by input 60/3 = 20 in²
    found = combustion_air.opening_area(
        input_rate="60 kBtu/h", route="direct", openings=1, connector_area="32.2 sq in"
    )
    assert found.free_area.to("in^2").magnitude == pytest.approx(32.2)


# IFGC 304.10 / NFPA 54 9.3.7.1 (from memory): metal 75 %, wood 25 %; a known free area comes before both.
@pytest.mark.parametrize(
    ("louver", "face"), [("metal", 33.33), ("wood", 100.0), ("60 %", 41.67), ("none", 25.0)]
)
def test_louvers(louver, face):
    found = combustion_air.opening_area(input_rate="100 kBtu/h", route="direct", louver=louver)
    assert found.area.to("in^2").magnitude == pytest.approx(face, abs=0.01)
    assert found.free_area.to("in^2").magnitude == pytest.approx(25.0)


@pytest.mark.parametrize(("kbtuh", "cfm"), [(100, 35.0), (72, 25.2)])
def test_mechanical_supply(kbtuh, cfm):
    # NFPA 54 9.3.6
    found = combustion_air.mechanical_supply(input_rate=f"{kbtuh} kBtu/h")
    assert found.to("cfm").magnitude == pytest.approx(cfm)
    metric = combustion_air.mechanical_supply(input_rate=f"{kbtuh * KW} kW", exhaust="10 L/s")
    assert metric.to("L/s").magnitude == pytest.approx(cfm * 0.4719474432 + 10, rel=1e-6)


WRONG = [
    (combustion_air.required_volume, {"input_rate": "-5 kBtu/h"}, "input_rate"),
    (combustion_air.required_volume, {"input_rate": "40 kBtu/h", "ach": "0 ACH"}, "ach"),
    (combustion_air.required_volume, {"input_rate": "40 kBtu/h", "ach": "many"}, "ach"),
    (combustion_air.required_volume, {"input_rate": "40 kBtu/h", "ach": "3 rpm"}, "ach"),
    (combustion_air.required_volume, {"input_rate": "40 cfm"}, "input_rate"),
    (combustion_air.required_volume, {"input_rate": "40 kBtu/h", "fan_assisted": "perhaps"}, "true or false"),
    (combustion_air.opening_area, {"input_rate": "0 kBtu/h", "route": "direct"}, "above zero"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h"}, "route"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "chimney"}, "vertical duct"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "direct", "openings": 3}, "1 or 2"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "indoor", "openings": 1}, "near the floor"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "direct", "louver": "steel"}, "wood"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "direct", "louver": "0 %"}, "louver"),
    (combustion_air.opening_area, {"input_rate": "40 kBtu/h", "route": "direct", "connector_area": "-1 sq in"},
     "connector_area"),
    (combustion_air.mechanical_supply, {"input_rate": "40 kBtu/h", "exhaust": "-1 cfm"}, "exhaust"),
]  # fmt: skip


@pytest.mark.parametrize(("function", "arguments", "part"), WRONG)
def test_bad_input_gets_one_sentence(function, arguments, part):
    with pytest.raises(HvacError) as caught:
        function(**arguments)
    said = str(caught.value)
    assert part in said
    assert said.count("\n") == 0
    assert said.endswith(".")
