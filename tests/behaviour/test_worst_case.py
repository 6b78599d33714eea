"""The worst-case test on the three demo dwellings: each tells its story, and a fire of wood forbids it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hvaclib.errors import InputError
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import parse_dwelling, read_dwelling
from hvaclib.procedures.preconditions import appliance_zones, refuse_solid_fuel
from hvaclib.procedures.ranking import ranking
from hvaclib.procedures.remedies import remedies
from hvaclib.procedures.worst_case import WorstCase, worst_case
from hvaclib.rules import acceptance, judge, load

DEMO = Path(__file__).parents[2] / "data" / "demo"
RULES = load("plain")


def text(name: str) -> str:
    return (DEMO / f"{name}.toml").read_text(encoding="utf-8")


def run(name: str) -> WorstCase:
    return worst_case(read_dwelling(DEMO / f"{name}.toml"))


@pytest.fixture(scope="module")
def passing() -> WorstCase:
    return run("passes")


@pytest.fixture(scope="module")
def door() -> WorstCase:
    return run("closed_door_fails")


@pytest.fixture(scope="module")
def blocked() -> WorstCase:
    return run("blocked_vent")


def failing(test: WorstCase, *stages: str) -> set[tuple[str, str]]:
    found = judge(test.readings, RULES, test.facts)
    return {(item.where, item.when) for item in found if item.verdict == "fail" and item.when in stages}


STAGES = ("natural", "worst case")


def value(test: WorstCase, quantity: str, where: str, when: str) -> float:
    return next(item.value for item in test.readings.of(quantity) if (item.where, item.when) == (where, when))


def test_the_first_passes(passing):
    assert judge(passing.readings, RULES, passing.facts).verdict_of_measured in {"pass", "noted"}
    rank = ranking(passing.dwelling, None, passing.order[0])
    assert (rank.spillage == 0).all()
    assert remedies(rank, acceptance(RULES, passing.facts)) == ()


def test_the_second_fails_with_the_door_shut(door):
    assert ("water heater", "worst case") in failing(door, *STAGES)
    assert not failing(door, "natural")
    assert door.setup.doors["basement door"] is False
    open_door = {where for where, _ in failing(without_closing(door), *STAGES)}
    assert not open_door


def without_closing(test: WorstCase) -> WorstCase:
    """The same test in a house whose basement door leaves a quarter of a square metre open when it is shut."""
    return worst_case(test.dwelling.with_door_relief("basement door", 0.25))


def test_the_second_is_put_right_by_an_opening_or_by_relieving_the_door(door):
    rank = ranking(door.dwelling, None, door.order[0])
    found = remedies(rank, acceptance(RULES, door.facts))
    helped = {item.kind for item in found if item.works}
    assert {"combustion air", "door relief"} <= helped
    assert {item.what for item in found if item.kind == "door relief"} == {"basement door"}
    for item in found:
        if item.dwelling is not None:
            after = worst_case(item.dwelling)
            assert not failing(after, *STAGES), item.kind


def test_the_third_fails_with_all_fans_off_and_nothing_in_the_house_helps(blocked):
    assert {where for where, _ in failing(blocked, "natural")} == {"water heater", "furnace"}
    assert judge(blocked.readings, RULES, blocked.facts).gravest.severity == "stop and call"
    rank = ranking(blocked.dwelling, None, blocked.order[0])
    found = remedies(rank, acceptance(RULES, blocked.facts))
    assert found
    assert not any(item.works for item in found)
    cleared = worst_case(blocked.dwelling.with_blockage("common vent", 0.0))
    assert not failing(cleared, *STAGES)


def test_the_zone_after_each_step_is_not_higher_than_before_it(door):
    """The technician keeps only what pulls the zone down: pressures fall until the burners are lit."""
    titles = [step.title for step in door.steps]
    pressures = [step.pressure for step in door.steps[: titles.index("Fire the appliances")]]
    kept = [pressures[0], pressures[1], pressures[2], pressures[-1]]
    assert (np.diff(kept) <= 0.1).all()
    change = value(door, "caz_pressure_change", "basement", "worst case")
    assert change == pytest.approx(pressures[-1] - pressures[0], abs=1e-9)


def test_the_procedure_finds_no_worse_than_the_worst_of_all_states(door):
    rank = ranking(door.dwelling, None, door.order[0])
    found = rank.combinations.index(
        [
            control.name
            for control in rank.controls
            if (control.kind == "fan" and door.setup.fans[control.name] > 0)
            or (control.kind == "door" and not door.setup.doors[control.name])
            or (control.kind == "air handler" and door.setup.air_handler)
        ]
    )
    assert rank.draft[found] <= rank.draft[rank.worst] + 1e-3
    assert rank.pressure[found] >= rank.pressure.min() - 1e-9


def test_a_retest_opens_a_window_of_the_zone(door):
    assert door.opened == "basement window"
    assert door.steps[-1].setup.windows["basement window"]
    assert value(door, "draft", "water heater", "retest") < value(door, "draft", "water heater", "worst case")
    assert value(door, "caz_pressure", "basement", "retest") > value(
        door, "caz_pressure", "basement", "worst case"
    )


def test_sealed_appliances_run_and_are_not_judged(passing):
    furnace = next(item for item in passing.dwelling.appliances if item.sealed)
    assert passing.warm_up.final.setups[0].firing[furnace.name]
    assert {item.quantity for item in passing.readings if item.where == furnace.name} == {"appliance_sealed"}
    verdicts = {
        item.verdict for item in judge(passing.readings, RULES, passing.facts) if item.where == furnace.name
    }
    assert verdicts == {"noted"}


STOVE = """
[[appliance]]
name = "wood stove"
kind = "solid-fuel stove"
zone = "{zone}"
fuel = "wood"
input = "30 kBtu/h"
firing = {firing}
"""


def with_stove(firing: str) -> Dwelling:
    return parse_dwelling(text("passes") + STOVE.format(zone="first floor", firing=firing))


def test_a_burning_wood_stove_forbids_the_test():
    dwelling = with_stove("true")
    for attempt in (worst_case, ranking):
        with pytest.raises(InputError) as refusal:
            attempt(dwelling)
        sentence = str(refusal.value)
        assert '"wood stove" burns solid fuel' in sentence
        assert "carbon monoxide" in sentence
        assert "expected the fire out and the ashes cold." in sentence
        assert sentence.count(". ") == 0


def test_a_cold_wood_stove_does_not():
    dwelling = with_stove("false")
    refuse_solid_fuel(dwelling, dwelling.default_setup())
    test = worst_case(dwelling)
    assert value(test, "solid_fuel_operating", dwelling.name, "baseline") == 0.0
    assert not failing(test, *STAGES)


def test_a_house_without_a_vent_is_refused_in_a_sentence():
    whole = read_dwelling(DEMO / "passes.toml")
    without = whole.changed(
        appliances=tuple(item for item in whole.appliances if item.sealed), vents=(), readings=()
    )
    assert appliance_zones(without) == ()
    with pytest.raises(InputError, match="no appliance whose draft could be tested"):
        worst_case(without)
    with pytest.raises(InputError, match="no appliance whose draft could be ranked"):
        ranking(without)


def test_a_zone_without_an_appliance_is_refused(passing):
    with pytest.raises(InputError, match="no vented appliance stands in this zone"):
        worst_case(passing.dwelling, zone="bathroom")


def test_a_hood_pushed_out_by_the_next_burner_fails(door):
    """With the vent half shut the water heater passes alone; when the furnace's fan starts its hood gives off gas."""
    house = door.dwelling.with_blockage("common vent", 0.8).with_opening(
        "wide", ("basement", "outdoors"), 0.2, 0.3
    )
    test = worst_case(house)
    row = test.warm_up.appliances.index("water heater")
    assert test.warm_up.spillage_between(row, 0.0, 300.0) < 300.0
    assert value(test, "spillage_time", "water heater", "worst case") == np.inf
    fire = next(step for step in test.steps if step.title == "Fire the appliances")
    assert "With the furnace tested, flue gas comes out at the water heater." in fire.finding


SECOND_VENT = """
[[vent]]
name = "upper vent"
kind = "lined masonry"
diameter = "5 in"
top = "27 ft"
outdoor_share = 0.5
[[appliance]]
name = "boiler"
kind = "draft-hood boiler"
zone = "first floor"
fuel = "propane"
input = "70 kBtu/h"
vent = "upper vent"
connector = {kind = "single-wall", diameter = "5 in", rise = "1 ft", lateral = "2 ft", elbows = 1}
hood_height = "5 ft"
test_hole = "5 ft"
"""


def test_each_zone_with_an_appliance_can_be_tested():
    """Two zones, two vents, a test hole beyond the connector: each zone has its own test and its own retest."""
    dwelling = parse_dwelling(text("passes") + SECOND_VENT)
    assert appliance_zones(dwelling) == ("basement", "first floor")
    lower, upper = worst_case(dwelling), worst_case(dwelling, zone="first floor")
    assert (lower.zone, lower.order) == ("basement", ("water heater",))
    assert (upper.zone, upper.order) == ("first floor", ("boiler",))
    assert upper.opened == "kitchen window"
    assert value(upper, "draft", "boiler", "natural") < -1.0
    assert np.isnan(lower.warm_up.lit[lower.warm_up.appliances.index("boiler")])
    alone = worst_case(read_dwelling(DEMO / "passes.toml"))
    one, other = (value(test, "draft", "water heater", "natural") for test in (lower, alone))
    assert one != other  # an idle chimney upstairs is one more leak
    assert one == pytest.approx(other, abs=0.3)


def test_an_air_handler_that_changes_nothing_is_switched_off_again(blocked):
    assert blocked.setup.air_handler is False
    assert "Air handler off again" in [step.title for step in blocked.steps]


def test_with_every_fan_off_the_vent_is_tested_cold_whatever_the_start():
    """IFGC and IRC (2018), Appendix D, from memory: the vent is let cool before the burner is lit once more."""
    test = worst_case(read_dwelling(DEMO / "passes.toml"), start="warm")
    assert test.natural.vent_temperature[0, 0] < 300.0  # K: no warmer than the rooms that it runs through
    assert test.warm_up.vent_temperature[0, 0] > 315.0


def test_the_largest_share_of_all_rounds_is_read(blocked):
    spilt = blocked.warm_up.spillage[blocked.warm_up.appliances.index("water heater")]
    rounds = [spilt[blocked.warm_up.at(moment)] for moment in (300.0, 600.0)]
    assert abs(rounds[0] - rounds[1]) > 0.01
    assert value(blocked, "spillage_fraction", "water heater", "worst case") == pytest.approx(max(rounds))


def test_where_one_fan_is_not_enough_all_of_them_are_cut():
    dwelling = read_dwelling(DEMO / "closed_bedrooms.toml")
    rank = ranking(dwelling)
    test = worst_case(dwelling)
    cut = next(item for item in remedies(rank, acceptance(RULES, test.facts)) if item.kind == "exhaust")
    assert cut.works
    assert cut.what == "all exhaust fans together"
    assert cut.before == pytest.approx(sum(fan.flow for fan in dwelling.fans if fan.to == "outdoors"))
