"""``python -m hvaclib draft``: tables and JSON, exit statuses, one sentence for whatever cannot be done."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from hvaclib.cli import main
from hvaclib.procedures.remedies import Remedy

DEMO = Path(__file__).parents[2] / "data" / "demo"
PASSES, DOOR, BLOCKED = (
    str(DEMO / f"{name}.toml") for name in ("passes", "closed_door_fails", "blocked_vent")
)


def refuse_constant(name: str) -> float:
    raise AssertionError(f"{name} is not JSON")


def test_the_table_says_what_was_done_and_found(capsys):
    assert main(["draft", DOOR]) == 1
    shown = capsys.readouterr()
    assert shown.err == ""
    for words in (
        "(an invented dwelling): worst-case draft test, zone basement",
        "Baseline",
        "Exhaust fans on",
        "[fail] Water heater, worst case",
        "source: ",
        "do: ",
        "All 256 combinations",
        "What would bring the worst of them within the rules:",
        "a combustion-air opening of",
        "Carbon monoxide has no smell",
        "does not replace the test in the house",
    ):
        assert words in shown.out, words
    assert max(len(line) for line in shown.out.splitlines()[:12]) < 200


@pytest.mark.parametrize(("file", "status"), [(PASSES, 0), (DOOR, 1), (BLOCKED, 1)])
def test_json_and_exit_status(capsys, file, status):
    assert main(["draft", file, "--json", "--worst", "3"]) == status
    shown = capsys.readouterr()
    assert shown.err == ""
    report = json.loads(shown.out, parse_constant=refuse_constant)
    assert {
        "dwelling",
        "invented",
        "zone",
        "rule_set",
        "answer",
        "verdict",
        "steps",
        "readings",
        "findings",
        "ranking",
        "remedies",
        "cautions",
    } == set(report)
    assert report["invented"] is True
    assert len(report["ranking"]["worst"]) == 3
    assert (report["verdict"] == "fail") == bool(status)
    assert bool(report["remedies"]) == bool(status)
    for finding in report["findings"]:
        assert finding["source"]
    spilled = [item["value"] for item in report["readings"] if item["quantity"] == "spillage_time"]
    assert spilled
    assert ("inf" in spilled) == bool(status)


def test_where_nothing_helps_the_vent_is_named(capsys):
    assert main(["draft", BLOCKED, "--worst", "0"]) == 1
    out = capsys.readouterr().out
    assert "None of these helps: look into the vent itself" in out
    assert "x no opening from the basement" in out


def test_other_weather_and_start_change_the_answer(capsys):
    numbers = []
    for extra in ([], ["--outdoor", "-10 °F"], ["--wind", "15 mph"], ["--start", "warm"]):
        assert main(["draft", PASSES, "--json", *extra]) in {0, 1}
        report = json.loads(capsys.readouterr().out)
        numbers.append(report["ranking"]["worst"][0]["draft_pa"])
        weather = {item["quantity"]: item["value"] for item in report["readings"]}
        if extra[:1] == ["--outdoor"]:
            assert weather["outdoor_temperature"] == pytest.approx(249.82, abs=0.01)  # -10 °F
        if extra[:1] == ["--wind"]:
            assert weather["wind_speed"] == pytest.approx(6.7056)  # 15 mph, exact
    assert numbers[1] < numbers[0]  # colder: a stronger draft


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_out_writes_what_would_be_printed(capsys, tmp_path, form):
    target = tmp_path / "report.txt"
    target.write_text("old", encoding="utf-8")
    mode = target.stat().st_mode
    assert main(["draft", PASSES, *form, "--out", str(target)]) == 0
    assert capsys.readouterr().out == ""
    assert main(["draft", PASSES, *form]) == 0
    assert target.read_text(encoding="utf-8") == capsys.readouterr().out
    assert target.stat().st_mode == mode
    assert [path.name for path in tmp_path.iterdir()] == ["report.txt"]


def test_a_failed_write_leaves_the_old_file_and_no_other(monkeypatch, tmp_path, capsys):
    target = tmp_path / "report.txt"
    target.write_text("old", encoding="utf-8")

    def full(self: Path, other: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert main(["draft", PASSES, "--out", str(target)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "cannot be written" in shown.err
    assert "No space left on device" in shown.err
    assert target.read_text(encoding="utf-8") == "old"
    assert len(list(tmp_path.iterdir())) == 1


@pytest.fixture
def burning(tmp_path) -> str:
    stove = """
[[appliance]]
name = "wood stove"
kind = "solid-fuel stove"
zone = "first floor"
fuel = "wood"
input = "30 kBtu/h"
firing = true
"""
    path = tmp_path / "stove.toml"
    path.write_text(Path(PASSES).read_text(encoding="utf-8") + stove, encoding="utf-8")
    return str(path)


def one_sentence(capsys, arguments, *words):
    assert main(["draft", *arguments]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.endswith(".\n")
    assert len(shown.err.splitlines()) == 1
    assert "Traceback" not in shown.err
    assert "usage:" not in shown.err
    for word in words:
        assert word in shown.err, shown.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], ["file"]),
        (["nowhere.toml"], ["nowhere.toml"]),
        ([PASSES, "--rules", "strictest"], ["strictest", "expected"]),
        ([PASSES, "--outdoor", "cold"], ["cold"]),
        ([PASSES, "--outdoor", "20 cfm"], ["20 cfm"]),
        ([PASSES, "--outdoor", "900 °F"], ["outdoor temperature"]),
        ([PASSES, "--wind", "-3 mph"], ["-3 mph"]),
        ([PASSES, "--worst", "-1"], ["--worst", "-1", "whole number"]),
        ([PASSES, "--worst", "many"], ["--worst", "many", "whole number"]),
        ([PASSES, "--worst", "1.5"], ["--worst", "1.5"]),
        ([PASSES, "--start", "lukewarm"], ["--start", "lukewarm", "cold"]),
        ([PASSES, "--zone", "bathroom"], ["bathroom", "basement"]),
        ([PASSES, "--bogus"], ["--bogus", "--help"]),
        ([PASSES, "another.toml"], ["another.toml"]),
        ([PASSES, "--out", "no/such/folder/report.txt"], ["--out", "cannot be written"]),
    ],
    ids=lambda item: " ".join(part[-24:] for part in item) if isinstance(item, list) else None,
)
def test_what_cannot_be_done_gets_one_sentence(capsys, arguments, words):
    one_sentence(capsys, arguments, *words)


def test_a_broken_file_is_named_with_its_key(capsys, tmp_path):
    path = tmp_path / "broken.toml"
    path.write_text(
        Path(PASSES).read_text(encoding="utf-8").replace('floor = "-7 ft"', 'floor = "-7 cfm"', 1),
        encoding="utf-8",
    )
    one_sentence(capsys, [str(path)], "broken.toml", "floor", "-7 cfm")
    path.write_bytes(b"\xff\xfe\x00 not text")
    one_sentence(capsys, [str(path)], "broken.toml")


def test_a_fire_of_wood_forbids_it(capsys, burning):
    one_sentence(capsys, [burning], "wood stove", "burns solid fuel", "the fire out and the ashes cold")


def test_help_is_no_error(capsys):
    with pytest.raises(SystemExit) as end:
        main(["draft", "--help"])
    assert end.value.code == 0
    assert "--outdoor" in capsys.readouterr().out


def test_the_process_ends_with_the_status():
    """The real command, once, as a shell sees it."""
    done = subprocess.run(
        [sys.executable, "-m", "hvaclib", "draft", PASSES, "--worst", "x"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1


def test_a_worse_combination_than_the_tested_one_is_not_met(capsys, monkeypatch):
    """All readings of the test within their rules, but some combination of fans and doors is not."""
    needed = Remedy("combustion air", "basement", 0.02, 0.0, None, -2.0)
    monkeypatch.setattr("hvaclib.procedures.remedies.remedies", lambda *_: (needed,))
    assert main(["draft", PASSES]) == 1
    assert "a combustion-air opening of" in capsys.readouterr().out
