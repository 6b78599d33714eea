"""The command ``rules``: what it prints, what it refuses, how it ends."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from hvaclib import rules
from hvaclib.cli import COMMANDS, main

TABLE = tomllib.loads(Path(__file__).with_name("broken_rule_sets.toml").read_text(encoding="utf-8"))


def run(capsys, *arguments):
    """Exit status, standard output, standard error."""
    status = main(["rules", *map(str, arguments)])
    printed = capsys.readouterr()
    return status, printed.out, printed.err


def test_the_command_is_on_the_list():
    assert COMMANDS["rules"][0] == "hvaclib.cli.rules"


def test_a_sound_file_is_called_sound(capsys, tmp_path):
    path = tmp_path / "trial.toml"
    path.write_text(TABLE["good"], encoding="utf-8")
    status, out, err = run(capsys, "check", path)
    assert (status, err) == (0, "")
    assert out == f"{path}: sound; 'trial' 1.2, A set for trying: 2 rules.\n"


def test_every_fault_of_every_file_is_named(capsys, tmp_path):
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(TABLE["good"], encoding="utf-8")
    text = TABLE["good"].replace('"0 Pa"', '"0 miles"').replace('name = "trial"', 'name = "A B"')
    bad.write_text(text, encoding="utf-8")
    status, out, err = run(capsys, "check", good, bad, tmp_path / "none.toml")
    assert (status, err) == (1, "")
    lines = out.splitlines()
    assert len(lines) == 4
    assert lines[1].startswith("bad.toml, name: is not written as it must be")
    assert lines[2].startswith('bad.toml, rule "draft-negative", limit.below: mi is not a unit')
    assert lines[3].endswith("none.toml: there is no such file.")


def test_check_as_json(capsys, tmp_path):
    path = tmp_path / "trial.toml"
    path.write_text(TABLE["good"].replace('severity = "fail"', 'severity = "bad"'), encoding="utf-8")
    status, out, _ = run(capsys, "check", path, "plain", "--json")
    first, second = json.loads(out)["files"]
    assert status == 1
    assert (first["sound"], second["sound"]) == (False, True)
    assert first["sentences"][0].startswith('trial.toml, rule "draft-negative", severity: no such choice')
    assert second["digest"] == rules.load("plain").digest


def test_diff_of_two_sets(capsys):
    status, out, err = run(capsys, "diff", "plain", "stricter")
    assert (status, err) == (1, "")
    assert "below 0 Pa in 'plain', at most −2.50 Pa at 10 °F (−12.2 °C)" in out
    assert "at least −4 Pa and at most 4 Pa in 'plain', at least −3 Pa and at most 3 Pa in 'stricter'" in out
    short = run(capsys, "diff", "plain", "stricter", "--limits")[1]
    assert "The source of" in out
    assert "The source of" not in short


def test_diff_of_a_set_with_itself(capsys):
    status, out, _ = run(capsys, "diff", "plain", "plain")
    assert status == 0
    assert out.strip().endswith("are the same.")


def test_diff_as_json_into_a_file(capsys, tmp_path):
    path = tmp_path / "diff.json"
    status, out, _ = run(capsys, "diff", "plain", "stricter", "--json", "--out", path)
    assert (status, out) == (1, "")
    found = json.loads(path.read_text(encoding="utf-8"))
    assert found["second"]["name"] == "stricter"
    assert {"about", "rule", "first", "second", "stricter", "sentence"} == set(found["changes"][0])


def test_list_names_every_shipped_set(capsys):
    status, out, _ = run(capsys, "list")
    assert status == 0
    for name in rules.available():
        assert f"  {name} " in out


@pytest.mark.parametrize("name", rules.available())
def test_show_has_limit_severity_and_source_of_every_rule(capsys, name):
    status, out, _ = run(capsys, "show", name)
    assert status == 0
    for rule in rules.load(name).rules:
        assert f"{rule.id}  [{rule.severity}]" in out
        assert f"source: {rule.source}" in out


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ([], "rules: the following arguments are required: PART"),
        (["diff", "plain"], "rules diff: the following arguments are required: second"),
        (["show", "plane"], "no such rule set; found 'plane'; expected 'plain'."),
        (["diff", "plain", "none.toml"], "none.toml: there is no such file."),
    ],
)
def test_what_cannot_be_done_is_one_sentence(capsys, arguments, sentence):
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert sentence.removeprefix("rules diff: ") in err
    assert len(err.splitlines()) == 1


def test_help_names_the_parts():
    result = subprocess.run(
        [sys.executable, "-m", "hvaclib", "rules", "--help"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    for part in ("check", "diff", "list", "show"):
        assert part in result.stdout
