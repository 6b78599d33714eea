"""The command 'review': exit codes, refusals beside reviews, files whole and free of formulas."""

from __future__ import annotations

import csv
import json

import pytest

from hvaclib.cli.review import main
from hvaclib.visit import Appliance, Entry, Job, Visit, write_visit

FURNACE = Appliance(
    name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement", rise=("40 °F", "70 °F")
)  # fmt: skip


@pytest.fixture
def sheet(tmp_path):
    def write(name: str, *entries: Entry):
        job = Job(id="=1+1", contractor="Invented Heating", date="2026-03-04", invented=True)
        path = tmp_path / name
        write_visit(Visit(job=job, appliance=(FURNACE,), entry=entries), path)
        return str(path)

    return write


@pytest.mark.parametrize(
    ("entry", "code"),
    [
        (Entry(item="temperature-rise", value="90 °F", where="furnace"), 3),
        (Entry(item="gas-smell", value="yes", where="house"), 4),
    ],
)
def test_the_exit_code_tells_how_grave_it_is(sheet, capsys, entry, code) -> None:
    assert main([sheet("a.toml", entry)]) == code
    assert "Invented Heating" in capsys.readouterr().out


def test_an_unreadable_file_does_not_keep_the_others_from_review(sheet, tmp_path, capsys) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("no = [", encoding="utf-8")
    smell = sheet("a.toml", Entry(item="gas-smell", value="yes", where="house"))
    assert main([str(bad), smell]) == 4
    shown = capsys.readouterr()
    assert "bad.toml" in shown.err
    assert "stop and call" in shown.out
    assert main([str(bad)]) == 2


def test_results_are_open_files_without_formulas(sheet, tmp_path, capsys) -> None:
    out = tmp_path / "out"
    out.mkdir()
    main([sheet("a.toml"), "--out", str(out), "--json"])
    told = json.loads(capsys.readouterr().out)["reviews"]
    kept = json.loads((out / "review.json").read_text(encoding="utf-8"))["reviews"]
    assert kept == told
    with (out / "remarks.csv").open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == len(told[0]["remarks"]) > 0
    assert {row["job"] for row in rows} == {"'=1+1"}
    assert len(list(out.glob("visit-0001-*.json"))) == 1


def test_bad_usage_is_one_sentence(sheet, capsys) -> None:
    assert main([sheet("a.toml"), "--jobs", "0"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
