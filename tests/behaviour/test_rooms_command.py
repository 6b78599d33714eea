"""``python -m hvaclib rooms`` and the procedure behind it: tables, JSON, exit statuses, refusals, agreement."""

import json
from pathlib import Path

import numpy as np
import pytest

from hvaclib.cli import main
from hvaclib.errors import InputError
from hvaclib.house.file import read_dwelling, write_dwelling
from hvaclib.house.relief import steady_with_relief
from hvaclib.house.rooms import main_body, room_named, rooms
from hvaclib.house.steady import steady
from hvaclib.procedures.room_pressure import room_pressures, winter_setup
from hvaclib.procedures.room_relief import gap_pressures, measured_gap, relieve
from hvaclib.rules import from_text, judge
from hvaclib.rules.band import bounds_of

DEMO = Path(__file__).parents[2] / "data" / "demo"
HALL = DEMO / "closed_bedrooms.toml"
SETTLED = 5e-4
"""Pa: two states whose vents settled from other starts agree to this."""


@pytest.fixture(scope="module")
def hall():
    return read_dwelling(HALL)


@pytest.fixture(scope="module")
def found(hall):
    return room_pressures(hall)


def test_rooms_and_main_body_of_the_demos(hall):
    assert main_body(hall) == ("hall and living room",)
    assert [room.zone for room in rooms(hall)] == [
        "utility basement", "main bedroom", "small bedroom", "study", "bathroom",
    ]  # fmt: skip
    assert main_body(read_dwelling(DEMO / "passes.toml")) == ("first floor", "upstairs hall")
    assert room_named(read_dwelling(DEMO / "passes.toml"), "side bedroom").reference == "upstairs hall"
    with pytest.raises(InputError, match="no room behind an inner door"):
        room_named(hall, "hall and living room")


def test_the_winter_setup_shuts_and_stops_what_it_must(hall):
    busy = hall.default_setup().with_fans(1.0).with_window("living room window", open=True)
    setup = winter_setup(hall, busy.with_firing("water heater"))
    assert setup.air_handler
    assert not any(setup.fans.values())
    assert not any(setup.windows.values())
    assert not any(setup.doors.values())
    assert not any(setup.firing.values())


def test_pressures_are_those_of_the_whole_house_solved_one_by_one(hall, found):
    alone = steady(hall, [found.setup])
    for row, room in enumerate(found.rooms):
        if room.zone != "utility basement":  # its floor lies lower: the door is read at its own height
            apart = float(alone.pressure(room.zone)[0] - alone.pressure(room.reference)[0])
            assert found.together[row] == pytest.approx(apart, abs=1e-6)
    one = found.setup
    for door in hall.doors:
        one = one.with_door(door.name, open=door.name != "study door")
    state = steady(hall, [one])
    study = next(row for row, room in enumerate(found.rooms) if room.zone == "study")
    apart = float(state.pressure("study")[0] - state.pressure("hall and living room")[0])
    assert found.alone[study] == pytest.approx(apart, abs=1e-6)
    assert len(found.readings) == 2 * len(found.rooms)


def test_relief_in_the_batch_is_relief_in_the_file(hall, found):
    area = 0.02
    changed = steady(hall.with_door_relief("main bedroom door", area), [found.setup])
    batch = steady_with_relief(hall, [found.setup] * 2, {"main bedroom door": np.array([0.0, area])})
    np.testing.assert_allclose(batch.zone_pressure[:, 1], changed.zone_pressure[:, 0], atol=SETTLED)
    np.testing.assert_allclose(batch.zone_pressure[:, 0], found.state.zone_pressure[:, 1], atol=SETTLED)
    # the basement is cooler than the hall: its door has several rows
    changed = steady(hall.with_door_relief("basement door", area), [found.setup])
    batch = steady_with_relief(hall, [found.setup], {"basement door": np.array([area])})
    np.testing.assert_allclose(batch.zone_pressure, changed.zone_pressure, atol=SETTLED)
    with pytest.raises(InputError, match="more free area is taken away"):
        steady_with_relief(hall, [found.setup], {"study door": np.array([-1.0])})


@pytest.mark.parametrize("zone", ["main bedroom", "small bedroom", "study"])
def test_calculation_and_door_crack_method_agree_and_the_retest_passes(hall, found, zone):
    room = room_named(hall, zone)
    relief = relieve(found, room, 4.0, stud_bays=2)
    gaps = np.linspace(0.0, 0.03, 61)
    measured = measured_gap(gaps, gap_pressures(hall, found.setup, room, gaps), 4.0)
    assert relief.gap == pytest.approx(measured, rel=0.05)
    assert abs(relief.before) > 4.0
    assert relief.path.enough
    assert abs(relief.after) <= 4.0
    assert abs(relief.undone) > 4.0, "each of the three only as large as the opening"


def test_a_relieved_room_needs_nothing_and_a_limit_of_zero_is_refused(hall, found):
    bath = room_named(hall, "bathroom")
    relief = relieve(found, bath, 4.0)
    assert relief.path is None
    assert relief.added == 0.0
    assert relief.after == pytest.approx(relief.before, abs=1e-6)
    with pytest.raises(InputError, match="no pressure at all"):
        relieve(found, bath, 0.0)
    with pytest.raises(InputError, match="no air handler"):
        room_pressures(hall.changed(air_handler=None))


def test_rules_of_another_program_judge_the_same_readings(found):
    # Florida building code 2003, 601.4: 0.01 in. w.c. (2.5 Pa)
    rules = from_text(
        """
        format = "hvaclib rule set 1"
        name = "tighter"
        title = "Rooms within a hundredth of an inch"
        version = "1.0"
        description = "One rule, for a test."
        [decision]
        fails_up_to = "5 %"
        passes_from = "95 %"
        source = "program decision"
        [[rule]]
        id = "rooms"
        title = "Rooms near the house"
        quantity = "room_pressure"
        limit = { at_least = "-0.01 in. w.c.", at_most = "0.01 in. w.c." }
        severity = "fail"
        source = "Florida building code 2003, 601.4"
        do = ["Give the air a way back."]
        required = false
        """,
        "tighter.toml",
    )
    bounds = bounds_of(rules, "room_pressure", 280.0)
    assert bounds.upper == pytest.approx(2.491, abs=1e-3)
    assert bounds_of(rules, "draft", 280.0) is None
    failed = {item.where for item in judge(found.readings, rules) if item.verdict == "fail"}
    assert failed == {"main bedroom", "small bedroom", "study"}


def test_the_table_says_what_was_found_and_what_relieves(capsys):
    assert main(["rooms", str(HALL)]) == 1
    shown = capsys.readouterr()
    assert shown.err == ""
    for words in (
        "(an invented dwelling): rooms behind shut doors",
        "Not met: Main bedroom",
        "Relief of the study",
        "drawn down: first look for a shut or blocked supply register",
        "next remedy: 2 stud bays side by side",
        "each of the three only as large as the opening would leave",
        "the draft of the water heater from",
        "carbon monoxide",
        "does not replace the test in the house",
    ):
        assert words in shown.out, words


def test_json_exit_status_and_options(capsys, tmp_path, hall):
    assert main(["rooms", str(HALL), "--json", "--bays", "2"]) == 1
    content = json.loads(capsys.readouterr().out)
    assert [item["retest_within"] for item in content["relief"]] == [True, True, True]
    assert content["appliance_zone"]["pressure_pa"][1] > content["appliance_zone"]["pressure_pa"][0]
    assert len(content["readings"]) == 10
    assert {item["verdict"] for item in content["findings"]} == {"pass", "fail"}
    assert main(["rooms", str(DEMO / "closed_door_fails.toml")]) == 1
    assert "The water heater spills flue gas with all doors shut" in capsys.readouterr().out
    mild = hall.changed(air_handler=hall.air_handler.model_copy(update={"flow": 0.2 * hall.air_handler.flow}))
    write_dwelling(mild, tmp_path / "mild.toml")
    out = tmp_path / "rooms.txt"
    assert main(["rooms", str(tmp_path / "mild.toml"), "--out", str(out)]) == 0
    assert "All rules that apply are met" in out.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--bays", "0"], "no number of stud bays"),
        (["--bays", "two"], "no number of stud bays"),
        (["--ratio", "140 %"], "grille_free_area_ratio"),
        (["--ratio", "wide"], "--ratio"),
        (["--outdoor", "warm"], "--outdoor"),
        (["--rules", "nonsense"], "nonsense"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(capsys, arguments, said):
    assert main(["rooms", str(HALL), *arguments]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err
    assert shown.err.count("\n") == 1
