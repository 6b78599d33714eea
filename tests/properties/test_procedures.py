"""Laws of ranking and remedies: the ranking is an order, and a remedy is the smallest that is enough.

What says so: the definitions of 'worst', of a main effect and of 'smallest', asked of the solver state by state.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import read_dwelling
from hvaclib.house.scenarios import Control
from hvaclib.house.steady import steady
from hvaclib.procedures.preconditions import firing_order
from hvaclib.procedures.ranking import Ranking, ranking
from hvaclib.procedures.remedies import (
    AREA_STEP,
    FLOW_STEP,
    LARGEST_OPENING,
    Remedy,
    acceptable_everywhere,
    readings_of,
    remedies,
)
from hvaclib.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo"
PASSES, DOOR, BLOCKED = (
    read_dwelling(DEMO / f"{name}.toml") for name in ("passes", "closed_door_fails", "blocked_vent")
)


def draws(readings: Readings) -> bool:
    """A rule of thumb as good as another: half a pascal of draft and no spillage (common practice, no source)."""
    draft = next(iter(readings.of("draft"))).value
    spillage = next(iter(readings.of("spillage_time"))).value
    return draft < -0.5 and spillage <= 300.0


def ranked(dwelling: Dwelling, *names: str) -> Ranking:
    chosen = tuple(
        Control("door" if "door" in name else "air handler" if name == "air handler" else "fan", name)
        for name in names
    )
    return ranking(dwelling, None, "water heater", chosen=chosen)


def small(base: Dwelling, rng: np.random.Generator) -> Ranking:
    """A demo dwelling with another leakage, stack and fans, in the states of its four strongest controls."""
    vent = base.vents[0]
    dwelling = base.with_part("vents", vent.name, top=vent.top - float(rng.uniform(0.0, 2.5)))
    strength = 1.0 if base is DOOR else 3.0
    dwelling = dwelling.with_leakage(float(rng.uniform(0.5, 0.9)))
    dwelling = dwelling.with_fan_flow("range hood", strength * float(rng.uniform(0.02, 0.06)))
    dwelling = dwelling.with_fan_flow("dryer", strength * float(rng.uniform(0.02, 0.04)))
    return ranked(dwelling, "range hood", "dryer", "basement door", "air handler")


def changed(rank: Ranking, remedy: Remedy, less: int) -> Dwelling:
    """The dwelling with a remedy of the size found, or of so many steps less, made anew by hand."""
    dwelling = rank.combinations.dwelling
    assert remedy.size is not None
    if remedy.kind == "exhaust":
        left = remedy.size + less * FLOW_STEP
        if remedy.what in {fan.name for fan in dwelling.fans}:
            return dwelling.with_fan_flow(remedy.what, max(left, 1e-6))
        for fan in dwelling.fans:
            flow = fan.flow if fan.flow is not None else fan.curve[0][1]
            dwelling = dwelling.with_fan_flow(fan.name, max(flow * left / remedy.before, 1e-6))
        return dwelling
    area = remedy.size - less * AREA_STEP
    if remedy.kind == "door relief":
        return dwelling.with_door_relief(remedy.what, area)
    zone = dwelling.zone(remedy.what)
    height = min(
        max(0.3, zone.floor + 0.1), zone.ceiling - 0.1
    )  # a foot above the ground where the zone reaches it
    return dwelling.with_opening("new combustion-air opening", (remedy.what, "outdoors"), area, height)


def again(rank: Ranking, dwelling: Dwelling) -> Ranking:
    return ranking(dwelling, rank.combinations.setup(0), rank.appliance, chosen=rank.controls)


def test_a_remedy_is_enough_and_a_step_less_is_not():
    rng = np.random.default_rng(1847)
    counts = {"combustion air": 0, "exhaust": 0, "door relief": 0}
    for number in range(8):
        rank = small((PASSES, DOOR)[number % 2], rng)
        found = remedies(rank, draws)
        assert bool(found) == (not acceptable_everywhere(rank, draws))
        for remedy in found:
            if not remedy.works:
                assert remedy.dwelling is None
                continue
            assert remedy.size is not None
            counts[remedy.kind] += 1
            assert acceptable_everywhere(again(rank, changed(rank, remedy, 0)), draws)
            assert remedy.dwelling is not None
            assert acceptable_everywhere(again(rank, remedy.dwelling), draws)
            whole = round(remedy.size / AREA_STEP, 6)
            if remedy.kind != "exhaust" and remedy.size < LARGEST_OPENING:
                assert whole == int(whole) >= 1
            assert not acceptable_everywhere(again(rank, changed(rank, remedy, 1)), draws), remedy
    print(counts)
    assert all(counts.values())


def test_what_does_not_help_says_so():
    """A blocked vent: not even the largest opening, no exhaust at all, or a door taken off."""
    rank = ranked(BLOCKED, "range hood", "dryer", "basement door")
    found = remedies(rank, draws)
    assert {remedy.kind for remedy in found} >= {"combustion air", "exhaust"}
    assert not any(remedy.works for remedy in found)
    wide = BLOCKED.with_opening("wide", ("basement", "outdoors"), LARGEST_OPENING, 0.3)
    assert not acceptable_everywhere(again(rank, wide), draws)


def test_nothing_is_sold_to_a_house_that_passes():
    assert remedies(ranked(PASSES, "range hood", "dryer", "basement door", "air handler"), draws) == ()


@pytest.mark.parametrize("start", ["cold", "warm"])
def test_the_ranking_is_an_order_of_states_solved_one_by_one(start):
    chosen = tuple(
        Control(*pair)
        for pair in (("fan", "range hood"), ("door", "basement door"), ("air handler", "air handler"))
    )
    rank = ranking(DOOR, None, "water heater", start, chosen)
    assert sorted(rank.order) == list(range(8))
    share = rank.spillage[rank.order]
    assert (np.diff(share) <= 1e-4).all()
    still = rank.draft[rank.order][share == 0]
    assert (np.diff(still) <= 1e-3).all()
    for place, state in enumerate(rank.order):
        alone = steady(DOOR, [rank.combinations.setup(int(state))], start)
        row = alone.vents.names.index("water heater")
        # 0.02 Pa: a column counts as settled once its lift moves less than 0.01 Pa
        assert alone.vents.draft[row, 0] == pytest.approx(rank.draft[state], abs=0.02)
        assert alone.pressure("basement")[0] == pytest.approx(rank.pressure[state], abs=0.01)
        assert rank.place(int(state)) == place + 1
    assert rank.worst == rank.order[0]
    assert rank.draft[rank.worst] == pytest.approx(rank.draft.max(), abs=1e-3)


def test_main_effects_are_differences_of_means():
    """Box, Hunter and Hunter, Statistics for Experimenters, 2nd ed., ch. 5, computed with a plain mask."""
    rank = ranked(DOOR, "range hood", "basement door", "air handler")
    for quantity, values in (("draft", rank.draft), ("pressure", rank.pressure)):
        for control, effect, bits in zip(
            rank.controls, rank.effects(quantity), rank.combinations.bits, strict=True
        ):
            assert effect == pytest.approx(values[bits].mean() - values[~bits].mean(), abs=1e-12), (
                control.name
            )


def test_the_least_spillage_is_worse_than_the_weakest_draft():
    """A state that spills a trace stands before every state that spills nothing."""
    rank = small(DOOR, np.random.default_rng(3))
    spills = rank.spillage[rank.order] > 0
    assert not (np.diff(spills.astype(int)) > 0).any()


def test_readings_of_a_state_are_what_the_rules_ask_for():
    rank = ranked(DOOR, "basement door", "air handler")
    worst = readings_of(rank, rank.worst)
    best = readings_of(rank, int(rank.order[-1]))
    assert next(iter(worst.of("spillage_time"))).value == np.inf
    assert next(iter(best.of("spillage_time"))).value == 0.0
    assert next(iter(worst.of("draft"))).value == rank.draft[rank.worst]


def test_the_smallest_input_is_fired_first():
    """ANSI/BPI-1200-S (from memory)."""
    for dwelling in (DOOR, BLOCKED):
        inputs = [item.input for item in firing_order(dwelling)]
        assert inputs == sorted(inputs)
        assert len(inputs) == 2
    assert [item.name for item in firing_order(PASSES)] == ["water heater"]
