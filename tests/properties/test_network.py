"""Laws the air of any house obeys: mass is kept, every house has one answer, and the answer scales with its units.

What says so: conservation of mass; each path's flow rises with its pressure difference, so the balances are the
gradient of a strictly convex function, which has exactly one minimum (convex analysis, textbook mathematics).
"""

from __future__ import annotations

import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib.errors import ConvergenceError, InputError
from hvaclib.house.network import OUTDOORS, FanCurve, Network, audit, largest_flow, laws, linear, solve
from hvaclib.house.network.assemble import topology_of

DWELLINGS = 100_000
SCENARIOS = 400


def random_topology(rng: np.random.Generator) -> tuple[int, np.ndarray, np.ndarray, np.ndarray]:
    """Zones in a chain or a tree, the first open to outdoors, with extra paths, some of them parallel."""
    zones = int(rng.integers(2, 13))
    if rng.random() < 0.3:
        parents = np.arange(zones) - 1  # a chain; -1 is outdoors
    else:
        parents = np.array([OUTDOORS, *(int(rng.integers(-1, zone)) for zone in range(1, zones))])
    extra = int(rng.integers(0, 2 * zones + 4))
    start, end = rng.integers(0, zones, extra), rng.integers(-1, zones, extra)
    apart = start != end
    start = np.concatenate([np.arange(zones), start[apart]])
    end = np.concatenate([parents, end[apart]])
    exponent = rng.choice([0.5, 0.5, 0.55, 0.6, 0.65, 0.65, 0.8, 1.0], start.size)
    return zones, start, end, exponent


def random_dwellings(rng: np.random.Generator, scenarios: int) -> Network:
    """One topology, many houses: ordinary, nearly sealed, symmetric, without drives, with fans from tiny to huge."""
    zones, start, end, exponent = random_topology(rng)
    shape = (start.size, scenarios)
    coefficient = 10.0 ** rng.uniform(-5, 0, shape)
    sealed = rng.random(shape) < rng.choice([0.0, 0.3, 0.7], scenarios)
    coefficient[sealed] *= 1e-9
    shut = rng.random(shape) < rng.choice([0.0, 0.5], scenarios)
    shut[:zones] = False  # the tree stays, so that no zone is cut off
    coefficient[shut] = 0.0
    drive = rng.normal(0, 1, shape) * rng.choice([0.0, 0.1, 4.0, 60.0], scenarios)
    supply = np.zeros((zones, scenarios))
    fans = 10.0 ** rng.uniform(-4, np.log10(50), scenarios) * rng.choice([-1.0, 1.0, 0.0], scenarios)
    supply[rng.integers(0, zones, scenarios), np.arange(scenarios)] = fans
    alike = np.flatnonzero(
        rng.random(scenarios) < 0.1
    )  # exact symmetry: all openings and all drives the same
    coefficient[:, alike] = np.where(coefficient[:, alike] > 0, 0.01, 0.0)
    drive[:, alike] = drive[:1, alike]
    curves = ()
    if rng.random() < 0.3:
        rises, flows = np.sort(rng.uniform(0, 150, 4)), -np.sort(-rng.uniform(-0.1, 0.6, 4))
        zone = int(rng.integers(0, zones))
        curves = (FanCurve(zone, OUTDOORS, rises, flows, rng.choice([0.0, 0.4, 1.0], scenarios)),)
    return Network(zones, start, end, exponent, coefficient, drive, supply, curves)


def test_a_hundred_thousand_dwellings_all_balance() -> None:
    """Mass is kept to 1e-9 of the largest flow in every house, recomputed path by path from the flows alone."""
    rng = np.random.default_rng(20240611)
    done, worst = 0, 0.0
    while done < DWELLINGS:
        network = random_dwellings(rng, SCENARIOS)
        solution = solve(network)
        assert solution.converged.all()
        assert np.isfinite(solution.pressure).all()
        imbalance = np.abs(audit(network, solution)).max(axis=0)
        largest = largest_flow(network, solution)
        still = largest == 0.0
        assert (imbalance[still] == 0.0).all()
        worst = max(worst, float((imbalance[~still] / largest[~still]).max(initial=0.0)))
        assert worst <= 1e-9
        done += SCENARIOS
    print(f"{done} dwellings, worst imbalance {worst:.1e} of the largest flow")


exponents = st.floats(0.5, 1.0)
coefficients = st.floats(1e-9, 10.0)
pressures = st.floats(-1e4, 1e4)


def law(coefficient: float, exponent: float, difference: float) -> tuple[float, float]:
    flow, slope = laws.power_law(np.array([[coefficient]]), np.array([exponent]), np.array([[difference]]))
    return float(flow[0, 0]), float(slope[0, 0])


@given(coefficients, exponents, pressures)
def test_the_law_is_odd(coefficient: float, exponent: float, difference: float) -> None:
    assert law(coefficient, exponent, -difference)[0] == -law(coefficient, exponent, difference)[0]


@given(coefficients, exponents, pressures, st.floats(1e-3, 1e3))
def test_flow_rises_with_pressure(
    coefficient: float, exponent: float, difference: float, more: float
) -> None:
    assert law(coefficient, exponent, difference + more)[0] > law(coefficient, exponent, difference)[0]
    assert law(coefficient, exponent, difference)[1] > 0.0


@given(coefficients, exponents, st.floats(-500.0, 500.0))
def test_slope_is_the_finite_difference_of_the_flow(
    coefficient: float, exponent: float, difference: float
) -> None:
    half = 1e-5 * (abs(difference) + laws.LAMINAR_PRESSURE)
    rise = law(coefficient, exponent, difference + half)[0] - law(coefficient, exponent, difference - half)[0]
    assert rise / (2 * half) == pytest.approx(law(coefficient, exponent, difference)[1], rel=1e-6)


@given(coefficients, exponents, st.floats(0.1, 1e4))
def test_far_from_zero_it_is_the_plain_power_law(
    coefficient: float, exponent: float, difference: float
) -> None:
    tolerance = 1.01 * 0.25 * (laws.LAMINAR_PRESSURE / difference) ** 2 + 1e-14  # first term of the series
    assert law(coefficient, exponent, difference)[0] == pytest.approx(
        coefficient * difference**exponent, rel=tolerance
    )


def test_sorted_rows_give_what_single_rows_give() -> None:
    rng = np.random.default_rng(5)
    exponent = np.array([0.5, 0.5, 0.61, 0.65, 1.0])
    coefficient, difference = 10 ** rng.uniform(-6, 1, (5, 40)), rng.normal(0, 9, (5, 40))
    ours = laws.sorted_power_law(coefficient, exponent[:, None], 2, difference)
    plain = laws.power_law(coefficient, exponent, difference)
    np.testing.assert_allclose(ours, plain, rtol=1e-13)


TABLE = FanCurve(0, OUTDOORS, [-5.0, 20.0, 62.0, 100.0], [0.31, 0.27, 0.11, -0.02], [1.0])


def test_a_fan_follows_its_table_and_the_lines_that_continue_it() -> None:
    """Linear interpolation by numpy between the points; straight on beyond them."""
    line = laws.fan_line(TABLE)
    rise = np.linspace(-5.0, 100.0, 211)
    flow, slope = laws.fan_law(line, np.full(rise.size, 0.8), line.shut_off - rise)
    np.testing.assert_allclose(flow, 0.8 * np.interp(rise, TABLE.pressures, TABLE.flows), rtol=0, atol=1e-15)
    assert (slope > 0).all()
    beyond, _ = laws.fan_law(line, np.ones(2), line.shut_off - np.array([-30.0, 138.0]))
    np.testing.assert_allclose(beyond, [0.31 + 0.04, -0.02 - 0.13], rtol=1e-12)


@pytest.mark.parametrize("lowest", [-0.2, 0.03])
def test_a_fan_curve_is_continuous_wherever_its_shut_off_lies(lowest: float) -> None:
    line = laws.fan_line(FanCurve(0, 1, [10.0, 40.0, 90.0], [0.5, 0.31, lowest], [1.0]))
    assert laws.fan_law(line, np.ones(1), np.zeros(1))[0] == 0.0
    for edge in line.edges:
        either_side = laws.fan_law(line, np.ones(2), edge + np.array([-1e-9, 1e-9]))[0]
        assert either_side[1] - either_side[0] == pytest.approx(0.0, abs=1e-10)


def test_fan_laws_move_the_table() -> None:
    slow = TABLE.at_speed(0.6)
    np.testing.assert_allclose(slow.flows, 0.6 * TABLE.flows)
    np.testing.assert_allclose(slow.pressures, 0.36 * TABLE.pressures)


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 2**31))
def test_two_random_starts_find_the_same_house(seed: int) -> None:
    rng = np.random.default_rng(seed)
    network = ordinary_dwellings(rng, 5)
    first = solve(network, guess=rng.normal(0, 200, network.supply.shape))
    second = solve(network, guess=rng.normal(0, 2, network.supply.shape))
    np.testing.assert_allclose(first.pressure, second.pressure, rtol=0, atol=1e-6)
    np.testing.assert_allclose(first.pressure, solve(network).pressure, rtol=0, atol=1e-6)


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 2**31), st.floats(1e-3, 1e3))
def test_more_of_every_opening_and_fan_is_more_flow_at_the_same_pressures(seed: int, times: float) -> None:
    network = ordinary_dwellings(np.random.default_rng(seed), 4)
    shared = network.zones, network.start, network.end, network.exponent
    larger = Network(*shared, network.coefficient * times, network.drive, network.supply * times)
    one, other = solve(network), solve(larger)
    np.testing.assert_allclose(other.pressure, one.pressure, rtol=0, atol=1e-6)
    largest = largest_flow(network, one)
    np.testing.assert_allclose(other.flow / times / largest, one.flow / largest, rtol=0, atol=1e-6)


@settings(deadline=None, max_examples=20)
@given(st.integers(0, 2**31))
def test_one_scenario_alone_is_what_it_is_in_a_batch(seed: int) -> None:
    """The dense solver serves few scenarios and elimination over vectors serves many: both find the same house."""
    network = ordinary_dwellings(np.random.default_rng(seed), 2 * linear.FEW_SCENARIOS)
    batch = solve(network)
    shared = network.zones, network.start, network.end, network.exponent
    alone = Network(*shared, network.coefficient[:, 7:8], network.drive[:, 7:8], network.supply[:, 7:8])
    np.testing.assert_allclose(solve(alone).pressure[:, 0], batch.pressure[:, 7], rtol=0, atol=1e-6)


def ordinary_dwellings(rng: np.random.Generator, scenarios: int) -> Network:
    """Houses as they are built: openings within a factor of a thousand, weather, a fan."""
    zones, start, end, exponent = random_topology(rng)
    coefficient = 10.0 ** rng.uniform(-4, -1, (start.size, scenarios))
    drive = rng.normal(0, 4, coefficient.shape)
    supply = np.zeros((zones, scenarios))
    supply[int(rng.integers(0, zones))] = -rng.uniform(0, 0.3, scenarios)
    return Network(zones, start, end, exponent, coefficient, drive, supply)


def test_elimination_solves_the_linear_system() -> None:
    """Against numpy's dense solver on the Jacobian written out with loops."""
    network = ordinary_dwellings(np.random.default_rng(3), 3)
    slope = 10.0 ** np.random.default_rng(4).uniform(-3, 0, network.coefficient.shape)
    imbalance = np.random.default_rng(5).normal(size=network.supply.shape)
    topology = topology_of(network)
    change = linear.star_mesh(topology, slope[topology.order], imbalance)
    for scenario in range(3):
        matrix = np.zeros((network.zones, network.zones))
        for path, (a, b) in enumerate(zip(network.start, network.end, strict=True)):
            for zone, other in ((a, b), (b, a)):
                if zone >= 0:
                    matrix[zone, zone] += slope[path, scenario]
                    if other >= 0:
                        matrix[zone, other] -= slope[path, scenario]
        np.testing.assert_allclose(
            change[:, scenario], np.linalg.solve(matrix, imbalance[:, scenario]), rtol=1e-9
        )


def two_zones(**changes: object) -> Network:
    parts: dict[str, object] = {
        "zones": 2,
        "start": [0, 1],
        "end": [OUTDOORS, 0],
        "exponent": [0.5, 0.65],
        "coefficient": [[0.02, 0.03, 0.04], [0.011, 0.012, 0.013]],
        "drive": [[1.5, -2.5, 3.5], [0.25, 0.75, -0.5]],
        "supply": [[0.0, 0.0, 0.0], [-0.06, 0.05, 0.03]],
        "names": ["hall", "attic"],
    }
    return Network(**(parts | changes))  # type: ignore[arg-type]


def test_a_zone_cut_off_is_named_with_its_scenario() -> None:
    with pytest.raises(InputError, match=r"scenario 2 of 3: attic has no opening to outdoors"):
        solve(two_zones(coefficient=[[0.02, 0.03, 0.04], [0.011, 0.0, 0.0]]))
    with pytest.raises(InputError, match=r"scenario 1 of 3: hall has no opening to outdoors"):
        solve(two_zones(coefficient=np.zeros((2, 3))))


def test_a_running_fan_with_a_curve_is_a_way_to_outdoors() -> None:
    fan = FanCurve(1, OUTDOORS, [0.0, 60.0], [0.2, 0.0], [1.0, 1.0, 1.0])
    solution = solve(two_zones(coefficient=[[0.0] * 3, [0.01] * 3], curves=[fan]))
    np.testing.assert_allclose(solution.curve_flow[0], [-0.06, 0.05, 0.03], rtol=1e-9)


def test_a_solver_out_of_passes_hands_out_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setattr(sys.modules["hvaclib.house.network.solve"], "CAREFUL", 2)
    with pytest.raises(
        ConvergenceError, match=r"scenario 1 of 3: the air balance of (hall|attic) was not found"
    ):
        solve(two_zones())


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"exponent": [0.5, 1.2]},
            r"exponent: path 1 \(zone 1 to zone 0\) is out of range; expected 0.5 to 1",
        ),
        ({"end": [OUTDOORS, 1]}, "expected two different zones"),
        ({"start": [0, 2]}, "expected -1 to 1"),
        (
            {"coefficient": [[0.02, 0.03, 0.04], [0.01, -0.01, 0.01]]},
            "coefficient: path 1 .* 0 .closed. or more",
        ),
        (
            {"drive": [[1.5, np.nan, 3.5], [0.25, 0.75, -0.5]]},
            r"drive: entry \(0, 1\) is not a finite number",
        ),
        ({"supply": np.zeros((3, 3))}, r"supply: wrong shape; found '\(3, 3\)'; expected \(2, 3\)"),
        ({"drive": np.zeros(2)}, "drive: wrong number of dimensions"),
        ({"names": ["hall"]}, "names: one name for each zone"),
        ({"curves": [FanCurve(5, 0, [0.0, 9.0], [1.0, 0.0], np.ones(3))]}, "fan curve 0: start and end"),
        (
            {"curves": [FanCurve(1, 0, [0.0, 9.0], [1.0, 0.0], np.ones(2))]},
            "switch of a fan curve: wrong shape",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(changes: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        two_zones(**changes)


@pytest.mark.parametrize(
    ("rises", "flows", "switch", "words"),
    [
        ([0.0, 20.0, 40.0], [0.2, 0.2, 0.0], [1.0], "does not fall from 0 Pa to 20 Pa"),
        ([0.0, 40.0, 20.0], [0.2, 0.1, 0.0], [1.0], "pressures do not rise"),
        ([0.0, 20.0], [0.2, 0.1, 0.0], [1.0], "do not pair up"),
        ([0.0, 20.0], [0.2, 0.1], [1.5], "switch is out of range"),
    ],
)
def test_a_fan_table_that_does_not_fall_is_refused(
    rises: list[float], flows: list[float], switch: list[float], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        FanCurve(0, OUTDOORS, rises, flows, switch)


def test_guess_and_tolerance_are_checked() -> None:
    with pytest.raises(InputError, match="guess: cannot start from these pressures"):
        solve(two_zones(), guess=np.zeros((2, 2)))
    with pytest.raises(InputError, match="tolerance: out of range"):
        solve(two_zones(), tolerance=0.0)


def test_networks_and_solutions_travel_to_workers() -> None:
    fan = FanCurve(1, OUTDOORS, [0.0, 60.0], [0.2, 0.0], [1.0, 0.5, 0.0])
    network = pickle.loads(pickle.dumps(two_zones(curves=[fan])))
    ours, theirs = solve(two_zones(curves=[fan])), pickle.loads(pickle.dumps(solve(network)))
    np.testing.assert_array_equal(theirs.pressure, ours.pressure)
    np.testing.assert_array_equal(theirs.curve_flow, ours.curve_flow)
