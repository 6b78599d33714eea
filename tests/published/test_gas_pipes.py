"""Gas pipe capacity against the code's tables, in both unit systems."""

import pytest

from hvaclib.physics import gas_supply

FT, FT3, WATER = 0.3048, 0.028316846592, 249.08891
SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "4")
# Table over formula as it stands in print: three-digit entries 0.991 to 1.000, two-digit entries 0.986 to 1.006.
THREE_DIGITS, TWO_DIGITS, RECALLED = (0.990, 1.001), (0.985, 1.007), (0.9875, 1.001)

# IFGC (2018), Tables 402.4(3) and 402.4(4), natural gas 0.60, Schedule 40: length in ft, capacity in ft³/h, for a drop of
# 3.0 and 6.0 in. w.c.
IFGC = {
    (3.0, 10): (454, 949, 1790, 3670, 5500, 10600, 16900, 29800, 60800),
    (3.0, 30): (250, 524, 986, 2030, 3030, 5840, 9310, 16500, 33600),
    (3.0, 40): (214, 448, 844, 1730, 2600, 5000, 7970, 14100, 28700),
    (3.0, 60): (172, 360, 678, 1390, 2090, 4020, 6400, 11300, 23100),
    (3.0, 80): (147, 308, 580, 1190, 1790, 3440, 5480, 9690, 19800),
    (6.0, 10): (660, 1380, 2600, 5340, 8000, 15400, 24600, 43400, 88500),
    (6.0, 30): (364, 762, 1440, 2950, 4420, 8500, 13600, 24000, 48900),
    (6.0, 40): (312, 652, 1230, 2520, 3780, 7280, 11600, 20500, 41800),
    (6.0, 60): (250, 524, 986, 2030, 3030, 5840, 9310, 16500, 33600),
    (6.0, 80): (214, 448, 844, 1730, 2600, 5000, 7970, 14100, 28700),
}  # fmt: skip
# IFGC 402.4(2) and NFPA 54, Table 6.2(b), 0.5 in. w.c.: rows from memory; the 10 ft row equals the 60 ft row of the 3.0 in.
# table, which was read, because drop over length is the same. Four entries of 2 in. pipe (1020 to 1520, rounded to 10, which
# is up to 0.5 %) lie 1.0 to 1.2 % below the formula: the recalled rows are held to 1.25 %.
HALF_INCH = {
    10: (172, 360, 678, 1390, 2090, 4020), 30: (95, 199, 374, 768, 1150, 2220), 40: (81, 170, 320, 657, 985, 1900),
    60: (65, 137, 257, 528, 791, 1520), 80: (56, 117, 220, 452, 677, 1300), 90: (52, 110, 207, 424, 635, 1220),
    125: (44, 92, 173, 355, 532, 1020), 175: (37, 77, 144, 296, 443, 854), 200: (34, 71, 134, 275, 412, 794),
}  # fmt: skip


def check(size, feet, inches, printed, three_digits=THREE_DIGITS):
    low, high = TWO_DIGITS if printed < 100 else three_digits
    field = gas_supply.pipe_capacity(diameter=size, length=f"{feet} ft", drop=f"{inches} in. w.c.")
    assert low <= printed / field.to("cfh").magnitude <= high, (size, feet, inches)
    inside = gas_supply.pipes()[size] * 1000
    metric = gas_supply.pipe_capacity(
        diameter=f"{inside} mm", length=f"{feet * FT} m", drop=f"{inches * WATER} Pa"
    )
    assert low <= printed * FT3 / metric.to("m³/h").magnitude <= high


@pytest.mark.parametrize(("inches", "feet"), IFGC)
def test_present_tables_of_large_drop(inches, feet):
    for size, printed in zip(SIZES, IFGC[inches, feet], strict=True):
        check(size, feet, inches, printed)


@pytest.mark.parametrize("feet", HALF_INCH)
def test_present_table_of_half_an_inch(feet):
    for size, printed in zip(SIZES, HALF_INCH[feet], strict=False):
        check(size, feet, 0.5, printed, RECALLED)


# IFGC (2018), Table 402.4(28), propane 1.50, drop 0.5 in. w.c., thousands of Btu/h. With 2516 Btu/ft³ table over formula is
# 0.979 to 0.986 (a heating value of some 2480 is implied), two-digit rounding besides. The rows labelled 80 and 100 ft
# carry a wrong length in print and are not tested.
@pytest.mark.parametrize(
    ("feet", "row"),
    [
        (10, (291, 608, 1150, 2350, 3520, 6790)), (30, (160, 336, 632, 1300, 1940, 3750)),
        (40, (137, 287, 541, 1110, 1660, 3210)), (60, (110, 231, 434, 892, 1340, 2570)),
    ],
)  # fmt: skip
def test_propane_table(feet, row):
    for size, printed in zip(SIZES, row, strict=False):
        flow = gas_supply.pipe_capacity(
            diameter=size, length=f"{feet} ft", drop="0.5 in. w.c.", relative_density=1.50
        )
        assert 0.974 <= printed / (flow.to("cfh").magnitude * 2.516) <= 0.991


# NFPA 54, an older edition, as reprinted in manuals: up to 5 % (one decade of rounding besides) from the present equation;
# drop in in. w.c. and length in ft; 1/2 in. to 2 in.
@pytest.mark.parametrize(
    ("inches", "feet", "row"),
    [
        (0.5, 10, (175, 360, 680, 1400, 2100, 3950)), (0.5, 30, (97, 200, 375, 770, 1180, 2200)),
        (0.5, 60, (66, 138, 260, 530, 810, 1520)), (0.5, 90, (53, 110, 205, 430, 650, 1220)),
        (0.5, 125, (44, 93, 175, 360, 550, 1020)), (0.5, 200, (35, 72, 135, 280, 430, 800)),
        (0.3, 10, (132, 278, 520, 1050, 1600, 3050)), (0.3, 40, (63, 130, 245, 500, 760, 1450)),
        (0.3, 80, (43, 90, 170, 350, 530, 990)), (0.3, 175, (28, 59, 110, 225, 350, 650)),
    ],
)  # fmt: skip
def test_older_tables(inches, feet, row):
    for size, printed in zip(SIZES, row, strict=False):
        flow = gas_supply.pipe_capacity(diameter=size, length=f"{feet} ft", drop=f"{inches} in. w.c.")
        assert flow.to("cfh").magnitude == pytest.approx(printed, rel=0.05)


# NFPA 54, an older edition, multipliers for relative density, as reprinted in a boiler manual: √(S/0.60) within 1 %.
@pytest.mark.parametrize(
    ("density", "multiplier"),
    [(0.35, 0.763), (0.45, 0.862), (0.50, 0.909), (0.70, 1.08), (0.75, 1.12), (0.85, 1.19), (1.00, 1.29),
     (1.10, 1.35), (1.30, 1.47), (1.50, 1.58), (1.60, 1.63), (1.80, 1.73), (2.00, 1.83), (2.10, 1.87)],
)  # fmt: skip
def test_density_multipliers(density, multiplier):
    found = gas_supply.density_multiplier(relative_density=density)
    assert found.magnitude == pytest.approx(multiplier, rel=0.01)


# IRC (2018), Table G2413.4: Cr = 0.6094 for natural gas and 1.2462 for undiluted propane: capacities at one drop go with
# Cr to the power −0.206/0.381.
def test_gas_factors():
    natural, propane = (
        gas_supply.pipe_capacity(diameter="1", length="37 ft", drop="0.4 in. w.c.", relative_density=density)
        for density in (0.60, 1.50)
    )
    ratio = (propane / natural).to("").magnitude
    assert ratio == pytest.approx((0.6094 / 1.2462) ** (0.206 / 0.381), rel=1e-4)


# IFGC (2018), 402.4.1, longest-length method, by its tables: 60 ft from the meter to the farthest outlet and a drop of
# 3.0 in. w.c. (Table 402.4(3), row of 60 ft): 1/2 in. for 172 ft³/h, 3/4 in. for 360.
@pytest.mark.parametrize(("flow", "size"), [(165, "1/2"), (180, "3/4"), (350, "3/4"), (370, "1")])
def test_size_by_the_longest_length(flow, size):
    found = gas_supply.nominal_for(flow * FT3 / 3600, 60 * FT, 3.0 * WATER)
    assert found == size
