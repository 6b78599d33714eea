"""Houses that can be solved by hand, and the published arithmetic of exhaust and depressurization.

Source of each check is named beside it. Where a row is 'computed', it was computed from the named relation and
printed to the digits shown; the tolerance is half a unit of the last digit.
"""

from __future__ import annotations

import numpy as np
import pytest

from hvaclib.house.network import OUTDOORS, FanCurve, Network, audit, solve

CFM = 0.3048**3 / 60.0  # m3/s, exact by definition of the foot
AIR = 1.2  # kg/m3; cancels out of every ratio below
GRAVITY = 9.80665  # m/s2, standard value


def house(
    coefficient: list[float], drive: list[float], supply: float, exponent: float | list[float] = 0.5
) -> Network:
    """One zone; every path leads from outdoors into it."""
    paths = len(coefficient)
    return Network(
        zones=1,
        start=np.full(paths, OUTDOORS),
        end=np.zeros(paths),
        exponent=np.broadcast_to(exponent, paths),
        coefficient=np.array(coefficient)[:, None],
        drive=np.array(drive)[:, None],
        supply=[[supply]],
    )


# exhaust cfm, CFM50, depressurization Pa. Relation: dP = 50 (Q / CFM50)**(1/0.65), power law of ASTM E779 with the
# exponent assumed in one-point blower-door practice.
DEPRESSURIZATION = [
    (150.0, 1000.0, 2.70),
    (200.0, 1200.0, 3.18),
    (300.0, 1500.0, 4.20),
    (400.0, 2000.0, 4.20),
    (600.0, 1800.0, 9.22),
    (350.0, 2500.0, 2.43),
]

# exhaust cfm, limit Pa, least CFM50: the same relation inverted, printed to whole cfm.
LEAST_LEAKAGE = [(200.0, 2.0, 1621.0), (200.0, 3.0, 1245.0), (300.0, 3.0, 1868.0), (150.0, 2.0, 1215.0)]


@pytest.mark.parametrize("unit", [CFM * AIR, 1.0 / 3600.0 * AIR], ids=["cfm", "m3/h"])
@pytest.mark.parametrize(("exhaust", "leakage", "depressurization"), DEPRESSURIZATION)
def test_depressurization_from_exhaust(
    exhaust: float, leakage: float, depressurization: float, unit: float
) -> None:
    """ASTM E779 power law, n = 0.65; the ratio of two flows is the same in either unit."""
    network = house([leakage * unit / 50.0**0.65], [0.0], -exhaust * unit, 0.65)
    assert -solve(network).pressure[0, 0] == pytest.approx(depressurization, abs=0.005)


@pytest.mark.parametrize(("exhaust", "limit", "leakage"), LEAST_LEAKAGE)
def test_leakage_that_keeps_a_house_within_its_limit(exhaust: float, limit: float, leakage: float) -> None:
    """ASTM E779 power law, n = 0.65. Half a cfm of leakage is 0.5 / (0.65 CFM50) of the pressure."""
    network = house([leakage * CFM * AIR / 50.0**0.65], [0.0], -exhaust * CFM * AIR, 0.65)
    assert -solve(network).pressure[0, 0] == pytest.approx(limit, rel=0.5 / (0.65 * leakage))


def test_exhaust_split_over_paths_in_parallel() -> None:
    """Conservation of mass: openings side by side add their coefficients. dP = (Q / sum C)**2 for orifices."""
    pressure = solve(house([0.011, 0.023, 0.007], [0.0, 0.0, 0.0], -0.13)).pressure[0, 0]
    assert -pressure == pytest.approx((0.13 / 0.041) ** 2, rel=1e-6)


@pytest.mark.parametrize(("first", "second"), [(0.02, 0.035), (0.011, 0.045)])
def test_two_openings_in_series(first: float, second: float) -> None:
    """Orifices in series, Bernoulli: 1/C**2 = 1/C1**2 + 1/C2**2, and each takes pressure as 1/C**2 (textbook)."""
    solution = solve(house([first, second], [37.0, 0.0], 0.0))
    together = (first**-2 + second**-2) ** -0.5
    assert solution.flow[:, 0] == pytest.approx([together * 37.0**0.5, -together * 37.0**0.5], rel=1e-5)
    assert 37.0 - solution.pressure[0, 0] == pytest.approx(37.0 * (together / first) ** 2, rel=1e-5)


def stack(height: float, inside: float, outside: float) -> float:
    """Pressure difference of two air columns, hydrostatics with the ideal gas at 101 325 Pa, Pa."""
    return 101325.0 / 287.05 * (1.0 / outside - 1.0 / inside) * GRAVITY * height


def test_neutral_level_of_two_equal_openings_lies_half_way() -> None:
    """Stack effect, textbook: each opening takes half of the column, cold air in below and warm air out above."""
    column = stack(5.4, 294.0, 268.0)
    solution = solve(house([0.03, 0.03], [0.0, -column], 0.0))
    assert -solution.pressure[0, 0] == pytest.approx(column / 2, rel=1e-9)
    assert solution.flow[:, 0] == pytest.approx(
        [0.03 * (column / 2) ** 0.5, -0.03 * (column / 2) ** 0.5], rel=1e-6
    )


def test_neutral_level_moves_towards_the_larger_opening() -> None:
    """Stack effect, textbook: heights from the neutral level are as the inverse squares of the openings."""
    column = stack(7.1, 295.0, 262.0)
    below = -solve(house([0.05, 0.02], [0.0, -column], 0.0)).pressure[0, 0]
    assert below / (column - below) == pytest.approx((0.02 / 0.05) ** 2, rel=1e-5)


@pytest.mark.parametrize("exhaust", [0.16, 0.31])
def test_stack_and_exhaust_superposed(exhaust: float) -> None:
    """Two equal orifices with a column s between them and a fan strong enough to draw through both.

    Flow q = F/C: sqrt(a + s/2) + sqrt(a - s/2) = q, solved by squaring twice: a = (q**4 + s**2) / (4 q**2),
    where a is the depressurization at mid-height (algebra).
    """
    column, q = stack(5.4, 294.0, 268.0), exhaust / 0.03
    middle = (q**4 + column**2) / (4.0 * q**2)
    assert middle > column / 2  # both openings draw in, or the algebra would not hold
    solution = solve(house([0.03, 0.03], [0.0, -column], -exhaust))
    assert -solution.pressure[0, 0] == pytest.approx(middle + column / 2, rel=1e-6)
    assert solution.flow.sum() == pytest.approx(exhaust, rel=1e-9)


def test_a_straight_fan_curve_against_a_laminar_leak() -> None:
    """Two straight lines meet: Q0 (1 - P/P0) = C P, so P = Q0 / (C + Q0/P0) (algebra)."""
    network = Network(
        zones=1,
        start=[OUTDOORS],
        end=[0],
        exponent=[1.0],
        coefficient=[[0.004, 0.009]],
        drive=[[0.0, 0.0]],
        supply=[[0.0, 0.0]],
        curves=[FanCurve(0, OUTDOORS, [0.0, 35.0, 80.0], [0.24, 0.24 * (1 - 35 / 80), 0.0], [1.0, 0.5])],
    )
    solution = solve(network)
    expected = [0.24 / (0.004 + 0.24 / 80.0), 0.12 / (0.009 + 0.12 / 80.0)]
    assert -solution.pressure[0] == pytest.approx(expected, rel=1e-12)
    assert audit(network, solution) == pytest.approx(np.zeros((1, 2)), abs=1e-14)


def test_a_closed_door_room_takes_the_pressure_that_its_relief_makes() -> None:
    """Room with supply only, one relief opening to a hall that is open to outdoors: dP = (Q / C)**2 (Bernoulli)."""
    network = Network(
        zones=2,
        start=[0, 1],
        end=[1, OUTDOORS],
        exponent=[0.5, 0.5],
        coefficient=[[0.021], [0.05]],
        drive=[[0.0], [0.0]],
        supply=[[0.055], [0.0]],
    )
    pressure = solve(network).pressure[:, 0]
    assert pressure[0] - pressure[1] == pytest.approx((0.055 / 0.021) ** 2, rel=1e-6)
    assert pressure[1] == pytest.approx((0.055 / 0.05) ** 2, rel=1e-5)
