"""Laws that any vent in any house obeys: mass and share, direction of every change, memory, refinement.

What says so: conservation of mass; a vent's flow rises with the pressure across it; a lighter column lifts more.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib.errors import HvacError
from hvaclib.house import warm_up as warming
from hvaclib.house.coupled import vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import read_dwelling
from hvaclib.house.scenarios import combinations, controls
from hvaclib.house.setup import Setup
from hvaclib.house.state import State
from hvaclib.house.steady import steady, steady_vents
from hvaclib.house.vents import columns, exchange, pipes, standstill, test_hole
from hvaclib.house.warm_up import warm_up

DEMO = Path(__file__).parents[2] / "data" / "demo"
DEMOS = {path.stem: read_dwelling(path) for path in sorted(DEMO.glob("*.toml"))}
PASSES, DOOR, BLOCKED = (DEMOS[name] for name in ("passes", "closed_door_fails", "blocked_vent"))
CLOSE = 0.02
"""Pa: columns have settled once their lift moves less than 0.01 Pa from pass to pass."""

KINDS = ["double-wall", "single-wall", "lined masonry", "masonry"]


def lit(dwelling: Dwelling, *names: str) -> Setup:
    setup = dwelling.default_setup()
    for name in names:
        setup = setup.with_firing(name)
    return setup


def random_dwelling(rng: np.random.Generator, base: Dwelling) -> Dwelling:
    vent = base.vents[0]
    dwelling = base.with_part(
        "vents",
        vent.name,
        kind=str(rng.choice(KINDS)),
        diameter=float(rng.choice([3, 4, 5, 6, 8])) * 0.0254,
        top=vent.top + float(rng.uniform(-1.0, 6.0)),
        blockage=float(rng.choice([0.0, 0.0, 0.3, 0.6, 0.9])),
        outdoor_share=float(rng.choice([0.0, 0.3, 1.0])),
    ).with_leakage(float(10 ** rng.uniform(-1.5, 0.3)))
    for fan in base.fans:
        dwelling = dwelling.with_fan_flow(fan.name, float(rng.uniform(0.005, 0.08)))
    for item in base.appliances:
        if item.vented:
            dwelling = dwelling.with_part(
                "appliances", item.name, input=item.input * float(rng.uniform(0.5, 2))
            )
    return dwelling


def random_setup(rng: np.random.Generator, dwelling: Dwelling) -> Setup:
    names = [item.name for item in dwelling.appliances if item.vented]
    burning = names if rng.random() < 0.5 else [str(rng.choice(names))]
    return lit(dwelling, *burning).with_outdoor_temperature(float(rng.uniform(245.0, 310.0)))


def test_every_random_house_settles_and_keeps_its_mass():
    """150 dwellings, from cellars nearly sealed to barns, in 64 states each, cold and warm; none may be given up."""
    rng = np.random.default_rng(1914)
    states = 0
    for count in range(150):
        dwelling = random_dwelling(rng, list(DEMOS.values())[count % 3])
        every = combinations(dwelling, random_setup(rng, dwelling), controls(dwelling)[:6])
        start = "cold" if count % 2 else "warm"
        vents, _ = steady_vents(dwelling, every.columns, start)
        states += vents.draft.shape[1]
        assert np.isfinite(vents.draft).all()
        assert ((vents.spillage >= 0) & (vents.spillage <= 1)).all()
        assert (vents.spillage[vents.flue_gas == 0] == 0).all()
        # flue gas that enters the house is the same counted by fire and counted by hood
        np.testing.assert_allclose(
            (vents.spillage * vents.flue_gas).sum(axis=0), vents.hood_gas.sum(axis=0), rtol=1e-9, atol=1e-12
        )
        if count % 10 == 0:
            check_mass(steady(dwelling, every.setups()[:4], start))
    assert states == 150 * 64


def check_mass(state: State) -> None:
    """Net outflow of a zone is what its fires add as fuel; of a junction nothing. The air handler's share is outside."""
    # AGA Report No. 5 (2009): 1034.8 Btu/ft3, Z 0.997776, 17.595 lb/lbmol: 51.7 MJ/kg
    heating_value = 51.7e6
    still = state.air_handler == 0
    names = [*state.zone_names, *{end for end in state.path_end if end.startswith("junction")}]
    for name in names:
        net = np.zeros(len(state.setups))
        for path, (start, end) in enumerate(zip(state.path_start, state.path_end, strict=True)):
            through = state.path_forward[path] - state.path_backward[path]
            net += through * ((start == name) - float(end == name))
        for fan, flow in zip(state.dwelling.fans, state.fan_flow, strict=True):
            net += flow * ((fan.zone == name) - float(fan.to == name))
        fuel = np.array(
            [
                sum(
                    item.input / heating_value
                    for item in state.dwelling.appliances
                    if item.vented and item.zone == name and setup.firing[item.name]
                )
                for setup in state.setups
            ]
        )
        largest = state.path_forward.max()
        np.testing.assert_allclose(net[still], fuel[still], atol=max(0.01 * fuel.max(), 1e-7 * largest))


def test_mass_balances_with_fires_of_both_kinds():
    """Draft hood and fan-assisted burner at once; AGA Report No. 5 gives the mass of the fuel to 1 %."""
    setups = [lit(DOOR, "water heater", "furnace"), lit(DOOR, "furnace").with_fans(1.0)]
    state = steady(DOOR, setups)
    assert (state.air_handler == 0).all()
    check_mass(state)


shares = st.floats(0.0, 1.0)


@settings(max_examples=25, deadline=None)
@given(one=shares, other=shares, cold=shares, start=st.sampled_from(["cold", "warm"]))
def test_more_exhaust_never_gives_a_stronger_draft(one, other, cold, start):
    less, more = sorted([one, other])
    dwelling = PASSES.with_fan_flow("range hood", 0.4)
    weather = lit(dwelling, "water heater").with_outdoor_temperature(255.0 + 45.0 * cold)
    state = steady(dwelling, [weather.with_fan("range hood", speed) for speed in (less, more)], start)
    flow, draft = state.vents.flow[0], state.vents.draft[0]
    assert flow[1] <= flow[0] + 1e-4
    if (state.vents.spillage[0] == 0).all():  # once a hood spills its reading no longer tells the flow
        assert draft[1] >= draft[0] - CLOSE


@settings(max_examples=20, deadline=None)
@given(one=shares, other=shares, speed=shares)
def test_a_larger_opening_never_gives_a_weaker_draft(one, other, speed):
    small, large = sorted([0.001 + 0.2 * one, 0.001 + 0.2 * other])
    flows = []
    for area in (small, large):
        dwelling = PASSES.with_opening("new opening", ("basement", "outdoors"), area, 0.3).with_fan_flow(
            "range hood", 0.4
        )
        setup = lit(dwelling, "water heater").with_fan("range hood", speed)
        flows.append(float(steady(dwelling, [setup]).vents.flow[0, 0]))
    assert flows[1] >= flows[0] - 1e-4


@pytest.mark.parametrize("kind", KINDS)
def test_a_higher_stack_draws_harder(kind):
    dwelling = PASSES.with_part("vents", "water heater vent", kind=kind, outdoor_share=0.0)
    top = dwelling.vents[0].top
    drafts = [
        float(
            steady(
                dwelling.with_part("vents", "water heater vent", top=top + more),
                [lit(dwelling, "water heater")],
                "warm",
            ).vents.draft[0, 0]
        )
        for more in (-1.5, 0.0, 1.5)
    ]
    assert drafts[0] > drafts[1] > drafts[2]


def test_more_blockage_draws_less():
    drafts = []
    for blockage in (0.0, 0.2, 0.4, 0.6, 0.8, 0.95):
        dwelling = PASSES.with_blockage("water heater vent", blockage)
        drafts.append(float(steady(dwelling, [lit(dwelling, "water heater")], "warm").vents.draft[0, 0]))
    assert (np.diff(drafts) > 0).all()


def test_colder_weather_draws_harder():
    setups = [
        lit(PASSES, "water heater").with_outdoor_temperature(kelvin)
        for kelvin in (305, 295, 285, 275, 265, 255)
    ]
    flow = steady(PASSES, setups).vents.flow[0]
    assert (np.diff(flow) > 0).all()


def test_a_warm_vent_holds_what_a_cold_one_cannot_win():
    """There is an exhaust at which the vent stays reversed from cold and draws without spilling from warm."""
    dwelling = PASSES.with_fan_flow("range hood", 1.2).with_part("vents", "water heater vent", top=3.5)
    base = lit(dwelling, "water heater").with_door("basement door", open=True)
    setups = [base.with_fan("range hood", float(speed)) for speed in np.linspace(0.0, 1.0, 61)]
    cold, warm = steady(dwelling, setups, "cold"), steady(dwelling, setups, "warm")
    both = cold.vents.reversed[0] & (warm.vents.spillage[0] == 0.0)
    print(
        f"remembered from {cold.pressure('basement')[both].max():.1f} to {warm.pressure('basement')[both].min():.1f} Pa"
    )
    assert both.any()
    assert not (warm.vents.reversed[0] & (cold.vents.spillage[0] == 0.0)).any()
    assert cold.vents.spillage[0, 0] == 0.0  # without the fan it is won
    assert warm.vents.reversed[0, -1]  # and with the whole of it lost
    # the same through time: five minutes do not turn the cold one
    held = setups[int(np.flatnonzero(both)[0])]
    assert warm_up(dwelling, held, "cold").spillage_time[0] == np.inf
    assert warm_up(dwelling, held, "warm").spillage[0, -1] == 0.0


@pytest.fixture(scope="module")
def pushed() -> Dwelling:
    """A common vent so blocked that the furnace's fan pushes its gas out at the water heater's hood."""
    return DOOR.with_blockage("common vent", 0.9)


def test_gas_of_another_fire_counts_at_the_hood_it_leaves_by(pushed):
    vents = steady(pushed, [lit(pushed, "furnace"), lit(pushed, "furnace", "water heater")]).vents
    names = vents.names
    heater, furnace = names.index("water heater"), names.index("furnace")
    assert vents.reversed[heater].all()
    assert vents.spilling[heater].all()
    assert 0.0 < vents.spillage[furnace, 0] < 1.0  # the rest goes up the vent
    assert vents.spillage[heater, 0] == 0.0  # it burns nothing itself
    assert vents.hood_gas[heater, 0] == pytest.approx(vents.spillage[furnace, 0] * vents.flue_gas[furnace, 0])
    assert vents.spillage[heater, 1] == 1.0  # lit, all of its own comes back out


def test_a_hood_that_is_pushed_out_later_has_not_stopped_spilling(pushed):
    roomy = pushed.with_blockage("common vent", 0.0).with_opening("wide", ("basement", "outdoors"), 0.2, 0.3)
    narrow = roomy.with_blockage("common vent", 0.8)
    for dwelling in (roomy, narrow):
        run = warm_up(
            dwelling,
            [(0.0, lit(dwelling, "water heater")), (300.0, lit(dwelling, "water heater", "furnace"))],
            "cold",
            600.0,
        )
        row = run.appliances.index("water heater")
        assert run.spillage_between(row, 0.0, 300.0) < 300.0
        assert (run.spillage_time[row] == np.inf) == (dwelling is narrow)
        assert run.lit[run.appliances.index("furnace")] == 300.0


def test_an_appliance_lit_later_in_a_warm_test_starts_cold():
    """Its time counts from its own lighting, and its gas takes minutes to come up to temperature."""
    run = warm_up(
        DOOR,
        [(0.0, lit(DOOR, "water heater")), (300.0, lit(DOOR, "water heater", "furnace"))],
        "warm",
        600.0,
    )
    assert list(run.lit) == [0.0, 300.0]
    early, late = run.at(310.0), run.at(600.0)
    assert run.vent_temperature[0, late] > run.vent_temperature[0, early] + 10.0


def test_a_cold_appliance_gives_cool_gas_at_first():
    """Its heat exchanger takes up heat before the vent does: a second after lighting hardly anything has come through,
    while an appliance that has run before the test heats its vent from the start."""
    cold, warm = (warm_up(PASSES, lit(PASSES, "water heater"), start) for start in ("cold", "warm"))
    rise = cold.vent_temperature[0] - cold.vent_temperature[0, 0]
    assert rise[cold.at(1.0)] < 0.1 * rise[-1]
    assert (warm.vent_temperature[0] > cold.vent_temperature[0, 0] + 0.8 * rise[-1]).all()


@pytest.mark.parametrize("name", list(DEMOS))
@pytest.mark.parametrize("start", ["cold", "warm"])
def test_three_hours_lead_to_the_steady_state(name, start):
    dwelling = DEMOS[name]
    setup = lit(dwelling, "water heater").with_fans(float(start == "warm"))
    run = warm_up(dwelling, setup, start, 3 * 3600.0)
    still = steady(dwelling, [setup], start).vents.draft[:, 0]
    np.testing.assert_allclose(run.draft[:, -1], still, atol=0.05)


def halved(monkeypatch: pytest.MonkeyPatch, dwelling: Dwelling, setup: Setup, parts: int) -> warming.WarmUp:
    with monkeypatch.context() as patch:
        patch.setattr(warming, "STEPS", tuple((parts * count, step / parts) for count, step in warming.STEPS))
        patch.setattr(warming, "LONG_STEP", warming.LONG_STEP / parts)
        return warm_up(dwelling, setup, "cold", 300.0)


@pytest.mark.parametrize("door", [True, False])
@pytest.mark.parametrize(("name", "burning"), [("passes", 1), ("closed_door_fails", 2), ("blocked_vent", 2)])
def test_half_the_step_gives_the_same_warm_up(monkeypatch, name, burning, door):
    """The claim beside `STEPS`: 0.15 Pa while a vent turns over, 0.06 Pa otherwise, 0.02 Pa after five minutes."""
    dwelling = DEMOS[name]
    names = sorted((item.name for item in dwelling.appliances if item.vented), reverse=True)[:burning]
    setup = (
        lit(dwelling, *names).with_fans(1.0).with_air_handler(on=True).with_door("basement door", open=door)
    )
    coarse, fine = halved(monkeypatch, dwelling, setup, 1), halved(monkeypatch, dwelling, setup, 2)
    between = np.array([np.interp(coarse.time, fine.time, row) for row in fine.draft])
    turns = bool(coarse.spilling.any() and not coarse.spilling[:, -1].any())
    assert np.abs(coarse.draft - between).max() <= (0.15 if turns else 0.06)
    assert np.abs(coarse.draft[:, -1] - fine.draft[:, -1]).max() <= 0.02
    for one, two in zip(coarse.spillage_time, fine.spillage_time, strict=True):
        if np.isfinite(one):
            last = int(np.searchsorted(coarse.time, one))
            assert abs(one - two) <= coarse.time[last] - coarse.time[max(last - 1, 0)]
        else:
            assert np.isinf(one) == np.isinf(two)


def test_four_times_the_segments_give_the_same_draft(monkeypatch):
    """The claim beside `SEGMENTS`: less than 0.02 Pa."""
    for dwelling in (PASSES, DOOR, BLOCKED, PASSES.with_part("vents", "water heater vent", kind="masonry")):
        setup = lit(dwelling, "water heater")
        drafts = []
        for segments in (pipes.SEGMENTS, 4 * pipes.SEGMENTS):
            with monkeypatch.context() as patch:
                for module in (pipes, columns, exchange, test_hole):
                    patch.setattr(module, "SEGMENTS", segments)
                vented_house.cache_clear()
                drafts.append(steady(dwelling, [setup]).vents.draft[:, 0])
                drafts.append(warm_up(dwelling, setup).draft[:, -1])
        vented_house.cache_clear()
        np.testing.assert_allclose(drafts[:2], drafts[2:], atol=0.02)


def test_gas_does_not_jump_where_a_pipe_stands_still():
    """Columns of a flow just up and just down differ by as little as the flows do."""
    house = vented_house(DOOR)
    flow = np.linspace(-1e-3, 1e-3, 2001)
    room = np.full((2, flow.size), 293.0)
    share = standstill.rising_share(house.pipes, np.tile(flow, (3, 1)), room, room)
    assert (share[:, 0] == 0).all()
    assert (share[:, -1] == 1).all()
    assert (np.diff(share, axis=1) >= 0).all()
    assert np.diff(share, axis=1).max() < 0.01


def test_an_outlet_above_the_joint_of_its_neighbour_still_rises():
    """Joints of one vent may lie a metre apart: no connector may come out falling, or without any length."""
    drafts = []
    for height in (1.0, 1.3, 1.6):
        dwelling = DOOR.with_part("appliances", "furnace", hood_height=0.9)
        furnace, heater = (
            next(item for item in dwelling.appliances if item.name == name)
            for name in ("furnace", "water heater")
        )
        low = {"kind": "double-wall", "diameter": 0.1, "rise": 0.3, "lateral": 1.0, "elbows": 2}
        dwelling = dwelling.with_part("appliances", furnace.name, connector=low)
        short = {"kind": "single-wall", "diameter": 0.1, "rise": 0.5, "lateral": 0.0, "elbows": 0}
        dwelling = dwelling.with_part(
            "appliances", heater.name, connector=short, hood_height=height, test_hole=0.2
        )
        found = vented_house(dwelling).pipes
        assert (found.rise > 0).all()
        assert (found.length > 0.04).all()
        np.testing.assert_allclose(
            (found.foot + found.rise)[: found.connectors], found.foot[found.connectors], atol=1e-12
        )
        state = steady(dwelling, [lit(dwelling, "water heater")], "warm")
        drafts.append(float(state.vents.draft[state.vents.names.index("water heater"), 0]))
    assert (np.array(drafts) < -1.0).all()


def test_sealed_appliances_run_and_do_not_matter_to_a_vent():
    """It takes air from outdoors and gives gas to outdoors: the draft of its neighbour stays what it was."""
    state = steady(PASSES, [lit(PASSES, "water heater"), lit(PASSES, "water heater", "furnace")])
    assert state.vents.names == ("water heater",)
    assert state.vents.draft[0, 0] == pytest.approx(state.vents.draft[0, 1], abs=1e-9)


def test_events_must_follow_one_another():
    setup = lit(PASSES, "water heater")
    for events in ([], [(5.0, setup)], [(0.0, setup), (0.0, setup)], [(0.0, setup), (400.0, setup)]):
        with pytest.raises(HvacError, match="times do not rise"):
            warm_up(PASSES, events, "cold", 300.0)
    with pytest.raises(HvacError, match="no such start"):
        steady(PASSES, [setup], "lukewarm")  # type: ignore[arg-type]
