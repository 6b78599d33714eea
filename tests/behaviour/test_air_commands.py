"""``python -m hvaclib rise FILE`` and ``static FILE``: tables and JSON, exit statuses, one sentence for what cannot be."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from hvaclib.cli import main
from hvaclib.house.air_side import air_side_of, solve_air_side
from hvaclib.house.file import read_dwelling
from hvaclib.units import kinds, parse_si

DEMO = Path(__file__).parents[2] / "data" / "demo"
FILES = sorted(DEMO.glob("*.toml"))
PASSES, DOOR, BLOCKED = (
    str(DEMO / f"{name}.toml") for name in ("passes", "closed_door_fails", "blocked_vent")
)
# a profile as invented readings of the first demo dwelling, its coil three times as hard to pass
COIL = "hole 1 = -0.055 in. w.c., hole 2 = -0.14 in. w.c., hole 3 = 0.45 in. w.c., hole 4 = 0.065 in. w.c."


def asked(capsys, *arguments: str) -> tuple[int, dict]:
    """Exit status and JSON of a command that can be done."""
    status = main([*arguments, "--json"])
    shown = capsys.readouterr()
    assert shown.err == ""
    return status, json.loads(shown.out)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_blowers_of_the_demo_dwellings_move_the_airflow_that_the_house_network_takes(path):
    dwelling = read_dwelling(path)
    state = solve_air_side(air_side_of(dwelling))
    assert state.flow[0] == pytest.approx(dwelling.air_handler.flow, rel=0.05)
    assert state.within_table.all()


@pytest.mark.parametrize(
    ("file", "rise", "static"),
    [(PASSES, 0, 0), (DOOR, 1, 1), (BLOCKED, 0, 1)],
    ids=["passes", "filter", "return"],
)
def test_exit_statuses_of_the_demo_dwellings(capsys, file, rise, static):
    assert asked(capsys, "rise", file)[0] == rise
    assert asked(capsys, "static", file)[0] == static


def test_the_table_of_the_rise(capsys):
    assert main(["rise", DOOR]) == 1
    shown = capsys.readouterr().out
    for words in (
        "(an invented dwelling): temperature rise, furnace, from readings",
        "Read the plate",
        "[fail] Furnace: temperature rise",
        "What to check, in this order:",
        "1. The reading itself",
        "carbon monoxide",
        "does not replace the test in the house",
    ):
        assert words in shown, words


def test_the_loaded_filter_is_named_from_the_readings_of_the_file(capsys):
    status, found = asked(capsys, "static", DOOR)
    assert status == 1
    assert found["measured"] is True
    assert found["identification"]["out_of_line"] == "filter"
    assert main(["static", DOOR, "--simulate"]) == 0  # as designed nothing is amiss


def test_typed_readings_go_before_the_simulation(capsys):
    status, found = asked(capsys, "static", PASSES, "--measured", COIL)
    assert status == 1
    assert found["identification"]["out_of_line"] == "coil"
    total = next(row for row in found["readings"] if row["quantity"] == "external_static")
    assert total["value"] == pytest.approx(parse_si("0.59 in. w.c.", kinds.GAUGE_PRESSURE))


def test_airflow_from_typed_temperatures_is_the_worked_example_at_sea_level(capsys, tmp_path):
    # 80 kBtu/h in, 80 %, 40 °F rise: 1481 cfm by the 1.08 rule (published supply-house worked example); dry air of
    # 70 °F at sea level is within 0.2 % of the rule's standard air
    path = tmp_path / "house.toml"
    text = Path(DOOR).read_text(encoding="utf-8").replace('altitude = "900 ft"', 'altitude = "0 ft"')
    path.write_text(text, encoding="utf-8")
    _, found = asked(capsys, "rise", str(path), "--measured", "return = 70 °F, supply = 110 °F")
    flow = next(row for row in found["readings"] if row["quantity"] == "airflow")
    assert flow["value"] == pytest.approx(parse_si("1481 cfm", kinds.VOLUME_FLOW), rel=2e-3)


def test_two_holes_give_the_total_and_no_more(capsys):
    _, found = asked(capsys, "static", PASSES, "--measured", "hole 2=-0.2 in. w.c.; hole 3 = 0.2 in. w.c.")
    assert found["identification"] is None
    assert len(found["readings"]) == 4


def test_a_thermometer_in_sight_reads_high_and_tells_too_little_air(capsys):
    _, clear = asked(capsys, "rise", PASSES)
    _, sight = asked(capsys, "rise", PASSES, "--in-sight")
    rise, flow = ([row["value"] for row in found["readings"]] for found in (clear, sight))
    assert flow[2] > rise[2]
    assert flow[3] < rise[3]


def test_another_tap_and_another_outdoor_temperature(capsys):
    _, high = asked(capsys, "rise", PASSES, "--tap", "high", "--outdoor", "0 °F")
    _, low = asked(capsys, "rise", PASSES, "--tap", "low")
    assert high["simulated"]["rise_k"] < low["simulated"]["rise_k"]


def test_the_file_appears_whole(capsys, tmp_path):
    path = tmp_path / "out.json"
    assert main(["static", PASSES, "--json", "--out", str(path)]) == 0
    assert capsys.readouterr().out == ""
    assert json.loads(path.read_text(encoding="utf-8"))["furnace"] == "furnace"
    assert [item.name for item in tmp_path.iterdir()] == ["out.json"]


MEASURED = [
    ("rise", "supply = 60 °F, return = 70 °F", "the supply is not warmer than the return"),
    ("rise", "supply = 70 °F, return = 70 °F", "the supply is not warmer than the return"),
    ("rise", "supply = 120 °F", "the return temperature is missing"),
    ("rise", "rise = 0 °F", "no heat has reached the air"),
    ("rise", "rise = -20 °F", "the two thermometers may be exchanged"),
    ("rise", "supply", "this is no reading"),
    ("rise", "suply = 120 °F", "expected 'supply'"),
    ("rise", "supply = 120 °F, supply = 121 °F", "this reading is given twice"),
    ("rise", "supply = 120 cfm, return = 70 °F", "cfm is not a unit of temperature"),
    ("static", "hole 2 = 0.2 in. w.c., hole 3 = -0.2 in. w.c.", "the two hoses may be exchanged"),
    ("static", "hole 2 = -2 in. w.c., hole 3 = 2 in. w.c.", "above the fan's shut-off"),
    ("static", "hole 1 = -0.2 in. w.c.", "needs two readings"),
    ("static", "hole 5 = -0.2 in. w.c.", "nothing to read here has this name"),
    ("static", "hole 1 = 0.1 in. w.c., hole 2 = -0.2 in. w.c., hole 3 = 0.2 in. w.c., hole 4 = 0.1 in. w.c.", "hole 1:"),
]  # fmt: skip


@pytest.mark.parametrize(("command", "typed", "words"), MEASURED, ids=lambda item: str(item)[:40])
def test_readings_that_cannot_be_get_one_sentence(capsys, command, typed, words):
    assert main([command, PASSES, "--measured", typed]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert words in shown.err
    assert shown.err.count("\n") == 1


def test_what_the_file_does_not_say(capsys, tmp_path):
    text = Path(PASSES).read_text(encoding="utf-8")
    start, end = text.index("[air_handler.nameplate]"), text.index("[[vent]]")
    path = tmp_path / "bare.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert main(["static", str(path)]) == 2
    assert "does not say enough about blower and ducts" in capsys.readouterr().err
    assert main(["rise", str(path)]) == 1  # the rise is told, and cannot be judged without the plate
    assert "rating plate" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["rise", PASSES, "--tap", "medum"], "no tap has this name"),
        (["static", PASSES, "--rules", "plane"], "no such rule set"),
        (["rise"], "rise: the following arguments are required: file"),
        (["rise", "none.toml"], "there is no such file"),
        (["rise", PASSES, "--outdoor", "cold"], "--outdoor"),
    ],
)
def test_what_cannot_be_done(capsys, arguments, words):
    assert main(arguments) == 2
    assert words in capsys.readouterr().err
