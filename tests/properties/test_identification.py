"""From a measured pressure profile back to the component that is out of line, on random duct systems.

The truth is made outside the code under test: own loss laws, own blower curve, own crossing (scipy), own noise.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from hvaclib.errors import InputError
from hvaclib.house.air_side import SEGMENT_OF, SEGMENTS, AirComponent, AirSide, solve_air_side
from hvaclib.physics.air_delivery import FanTable
from hvaclib.procedures.identification import identify, identify_many

INCH = 249.08891  # Pa per in. w.c.
CFM = 0.3048**3 / 60
# usual losses at design airflow, in. w.c., and exponents: common practice, no source
USUAL = {
    "grille": (0.02, 0.06, 2.0),
    "return drop": (0.04, 0.10, 1.9),
    "filter": (0.06, 0.20, 1.4),
    "coil": (0.10, 0.28, 1.8),
    "supply trunk": (0.04, 0.10, 1.9),
    "registers": (0.03, 0.08, 2.0),
}
KINDS = tuple(USUAL)
EXPONENTS = np.array([USUAL[kind][2] for kind in KINDS])
SEGMENT = np.array([SEGMENTS.index(SEGMENT_OF[kind]) for kind in KINDS])
AS_BUILT, TABLE = 0.10, 0.04  # scatter of ducts about their design and of blowers about their table


def system(rng: np.random.Generator) -> AirSide:
    """A random duct system as designed."""
    flow = rng.uniform(700, 2000) * CFM
    losses = INCH * np.array([rng.uniform(low, high) for low, high, _ in USUAL.values()])
    static = INCH * np.array([0.1, 0.3, 0.5, 0.7, 0.9])
    bend = rng.uniform(0.15, 0.35)
    shape = 1.0 - bend * static / static[-1] - bend * (static / static[-1]) ** 2
    table = FanTable(static=static, flow=shape * flow / np.interp(losses.sum(), static, shape))
    parts = tuple(
        AirComponent(kind, kind, float(loss), flow, float(exponent))
        for kind, loss, exponent in zip(KINDS, losses, EXPONENTS, strict=True)
    )
    return AirSide("a house", "furnace", 17e3, 0.0, 294.2611, {"high": table}, "high", parts)


def readings(side: AirSide, degraded: int | None, rng: np.random.Generator) -> np.ndarray:
    """What a manometer shows in this system as built, one component at least doubled (or none)."""
    table = side.fan
    coefficient = np.array([item.loss / item.at**item.exponent for item in side.components])
    coefficient *= np.exp(rng.normal(0.0, AS_BUILT, coefficient.size))
    coefficient[SEGMENT >= 2] *= rng.uniform(
        1.0, 1.10
    )  # burner on: the supply's warmer air is thinner and faster
    if degraded is not None:
        coefficient[degraded] *= rng.uniform(2.0, 4.0)
    true_flow = table.flow * (1.0 + rng.normal(0.0, TABLE))
    head, tail = (np.diff(true_flow) / np.diff(table.static))[[0, -1]]
    static = np.concatenate(([0.0], table.static, [table.static[-1] - true_flow[-1] / tail]))
    curve = np.concatenate(([true_flow[0] - head * table.static[0]], true_flow, [0.0]))

    def surplus(q: float) -> float:
        return float(np.interp(q, curve[::-1], static[::-1]) - np.sum(coefficient * q**EXPONENTS))

    flow = brentq(surplus, 1e-6, curve[0])
    stretch = np.bincount(SEGMENT, coefficient * flow**EXPONENTS)
    holes = np.array([-stretch[0], -stretch[0] - stretch[1], stretch[2] + stretch[3], stretch[3]])
    accuracy = np.maximum(0.5, 0.015 * np.abs(holes))  # digital manometer with a static probe
    return np.round(holes + rng.uniform(-accuracy, accuracy), 1)


def confusion(count: int, seed: int) -> np.ndarray:
    """How often each component's degradation (last row: none) was answered with each stretch (last column: none)."""
    rng = np.random.default_rng(seed)
    table = np.zeros((7, 5), dtype=int)
    for _ in range(count):
        degraded = int(rng.integers(7))
        side = system(rng)
        profile = readings(side, degraded if degraded < 6 else None, rng)
        table[degraded, identify_many(profile[:, None], side).named[0]] += 1
    return table


def test_the_degraded_component_is_named_in_95_of_100_systems(capsys):
    table = confusion(1200, 20260301)
    right = sum(int(table[row, SEGMENT[row]]) for row in range(6))
    with capsys.disabled():
        print("\ndegraded component     " + " ".join(f"{name:>12}" for name in (*SEGMENTS, "none")))
        for name, row in zip((*KINDS, "none"), table, strict=True):
            print(f"{name:<22} " + " ".join(f"{number:>12}" for number in row))
        print(f"named correctly: {right} of {table[:6].sum()} = {100 * right / table[:6].sum():.1f} %")
    assert table[:6].sum() >= 1000
    assert right >= 0.95 * table[:6].sum()
    assert table[6, 4] >= 0.9 * table[6].sum()  # sound systems are mostly left alone


def sound() -> tuple[AirSide, np.ndarray]:
    """A system and the exact pressures of it, unscattered."""
    side = system(np.random.default_rng(7))
    return side, solve_air_side(side).holes[:, 0]


@pytest.mark.parametrize("row", range(6))
def test_exact_pressures_give_the_factor_back(row):
    side, _ = sound()
    holes = solve_air_side(side.with_factor(KINDS[row], 3.0)).holes[:, 0]
    found = identify(holes, side)
    assert found.named == SEGMENTS[SEGMENT[row]]
    stretch = next(item for item in found.segments if item.name == found.named)
    mates = [item for item in side.components if item.segment == found.named]
    loss = [float(item.coefficient) * found.flow**item.exponent for item in mates]
    tripled = sum(
        each * (3.0 if item.name == KINDS[row] else 1.0) for each, item in zip(loss, mates, strict=True)
    )
    assert stretch.ratio == pytest.approx(tripled / sum(loss), rel=1e-6)
    assert stretch.low < stretch.ratio < stretch.high
    assert all(
        item.ratio == pytest.approx(1.0, rel=1e-6) for item in found.segments if item.name != found.named
    )


def test_a_sound_system_names_nothing_and_thin_air_does_not_matter():
    side, _ = sound()
    for altitude in (0.0, 2500.0):
        high = side.with_altitude(altitude)
        found = identify(solve_air_side(high).holes[:, 0], high)
        assert found.named == ""
        assert "No stretch" in found.sentence


def test_a_missing_filter_is_noticed():
    side, _ = sound()
    found = identify(solve_air_side(side.with_factor("filter", 0.1)).holes[:, 0], side)
    assert "Less than designed: filter" in found.sentence


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ((0, 40.0), "hole 1: this cannot be"),
        ((1, 0.0), "hole 2: this cannot be"),
        ((2, 1.0), "hole 3: this cannot be"),
        ((3, -6.0), "hole 4: this cannot be"),
        ((2, 900.0), "above the fan's shut-off"),
        ((2, float("nan")), "a reading at each of the four test holes"),
    ],
)
def test_pressures_that_cannot_be_are_refused_in_one_sentence(change, words):
    side, holes = sound()
    holes = holes.copy()
    holes[change[0]] = change[1]
    with pytest.raises(InputError) as refused:
        identify(holes, side)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)


def test_without_a_table_or_components_nothing_is_identified():
    side, holes = sound()
    with pytest.raises(InputError, match="without the blower's table"):
        identify(holes, replace(side, tabulated=False))
    with pytest.raises(InputError, match="no component's loss is known"):
        identify(holes, replace(side, components=()))
