"""The command 'review': exit codes, refusals beside reviews, a folder that is whole or not there, free of formulas."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from hvaclib.cli.review import main
from hvaclib.visit import Appliance, Entry, Job, Visit, read_visit, write_visit
from hvaclib.visit.sheets import write_csv, write_xlsx

FURNACE = Appliance(
    name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement", rise=("40 °F", "70 °F")
)  # fmt: skip
SMELL = Entry(item="gas-smell", value="yes", where="house")


def visit(*entries: Entry, name: str = "=1+1", date: str = "2026-03-04") -> Visit:
    job = Job(id=name, contractor="Invented Heating", date=date, invented=True)
    return Visit(job=job, appliance=(FURNACE,), entry=entries)


@pytest.fixture
def sheet(tmp_path):
    def write(name: str, *entries: Entry):
        path = tmp_path / name
        write_visit(visit(*entries), path)
        return str(path)

    return write


@pytest.mark.parametrize(
    ("entry", "code"),
    [(Entry(item="temperature-rise", value="90 °F", where="furnace"), 3), (SMELL, 4)],
)
def test_the_exit_code_tells_how_grave_it_is(sheet, capsys, entry, code) -> None:
    assert main([sheet("a.toml", entry)]) == code
    assert "Invented Heating" in capsys.readouterr().out


def test_every_form_of_file_gives_the_same_review(tmp_path, capsys) -> None:
    visits = [
        visit(SMELL, name="A"),
        visit(Entry(item="temperature-rise", value="90 °F", where="furnace"), name="B"),
    ]
    write_csv(visits, tmp_path / "wide.csv", form="wide")
    write_csv(visits, tmp_path / "long.csv", form="long")
    write_xlsx(visits, tmp_path / "book.xlsx")
    said = []
    for name in ("wide.csv", "long.csv", "book.xlsx"):
        assert main([str(tmp_path / name), "--brief"]) == 4
        said.append(capsys.readouterr().out)
    assert len(set(said)) == 1
    assert said[0].splitlines() == [
        "A, Invented Heating: stop and call",
        "B, Invented Heating: fail",
        said[0].splitlines()[2],
        "Stop and call the program office about A, Invented Heating.",
    ]
    assert "2 visits by 'plain'" in said[0]


def test_an_unreadable_file_does_not_keep_the_others_from_review(sheet, tmp_path, capsys) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("no = [", encoding="utf-8")
    assert main([str(bad), sheet("a.toml", SMELL)]) == 4
    shown = capsys.readouterr()
    assert "bad.toml" in shown.err
    assert "stop and call" in shown.out
    assert main([str(bad)]) == 2


def test_a_pattern_is_resolved_where_the_shell_does_not(sheet, tmp_path, capsys) -> None:
    sheet("a.toml")
    sheet("b.toml")
    assert main([str(tmp_path / "*.toml"), "--brief"]) == 3
    assert "2 visits by" in capsys.readouterr().out
    assert main([str(tmp_path / "*.csv")]) == 2
    assert "*.csv: there is no such file" in capsys.readouterr().err


def test_results_are_open_files_without_formulas(sheet, tmp_path, capsys) -> None:
    out = tmp_path / "out"
    main([sheet("a.toml"), "--out", str(out), "--json"])
    told = json.loads(capsys.readouterr().out)
    kept = [json.loads(line) for line in (out / "reviews.jsonl").read_text(encoding="utf-8").splitlines()]
    assert kept == told["reviews"]
    assert json.loads((out / "review.json").read_text(encoding="utf-8"))["counts"] == told["counts"]
    with (out / "remarks.csv").open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == len(kept[0]["remarks"]) > 0
    assert {row["job"] for row in rows} == {"'=1+1"}
    assert "a.toml" in (out / "understood.txt").read_text(encoding="utf-8")


def test_papers_of_every_job(sheet, tmp_path, capsys) -> None:
    assert (
        main([sheet("a.toml", SMELL), sheet("b.toml"), "--out", str(tmp_path / "out"), "--paper", "--brief"])
        == 4
    )
    folders = sorted((tmp_path / "out" / "papers").iterdir())
    assert [len(list(folder.glob("*.pdf"))) for folder in folders] == [4, 4]
    assert main([sheet("a.toml"), "--paper"]) == 2
    assert "--out" in capsys.readouterr().err


def test_only_results_of_an_earlier_review_are_replaced(sheet, tmp_path, capsys) -> None:
    full = tmp_path / "full"
    full.mkdir()
    (full / "mine.txt").write_text("keep", encoding="utf-8")
    assert main([sheet("a.toml"), sheet("b.toml", SMELL), "--out", str(full), "--paper", "--brief"]) == 4
    assert len(list((full / "papers").iterdir())) == 2
    assert main([sheet("a.toml"), "--out", str(full), "--brief"]) == 3
    assert len((full / "reviews.jsonl").read_text(encoding="utf-8").splitlines()) == 1
    left = {"mine.txt", "understood.txt", "remarks.csv", "reviews.jsonl", "review.json"}
    assert {each.name for each in full.iterdir()} == left, (
        "papers of the earlier review would lie beside a later one"
    )
    assert (full / "mine.txt").read_text(encoding="utf-8") == "keep"
    assert main([sheet("a.toml"), "--out", str(full / "mine.txt")]) == 2
    assert "this is a file" in capsys.readouterr().err


def test_a_folder_is_whole_or_not_there(sheet, tmp_path, monkeypatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("power cut")

    monkeypatch.setattr("hvaclib.cli.review_folder.ReviewFolder.finish", broken)
    path = sheet("a.toml")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(RuntimeError):
        main([path, "--out", str(tmp_path / "out")])
    assert sorted(tmp_path.iterdir()) == before


def test_day_and_month_where_nothing_settles_them(tmp_path, capsys) -> None:
    write_csv([visit(name="A")], tmp_path / "a.csv", form="wide")
    text = (tmp_path / "a.csv").read_text(encoding="utf-8-sig")
    (tmp_path / "a.csv").write_text(text.replace("2026-03-04", "3/4/2026"), encoding="utf-8")
    found = []
    for option in ("--day-first", "--month-first"):
        main([str(tmp_path / "a.csv"), option, "--json"])
        found.append(json.loads(capsys.readouterr().out)["reviews"][0]["job"]["date"])
    assert found == ["2026-04-03", "2026-03-04"]
    assert main([str(tmp_path / "a.csv"), "--day-first", "--month-first"]) == 2


def test_what_is_understood_is_told_without_judging(tmp_path, capsys) -> None:
    write_csv([visit(name="A")], tmp_path / "a.csv", form="wide")
    assert main([str(tmp_path / "a.csv"), "--understood"]) == 0
    shown = capsys.readouterr()
    assert "a.csv: wide CSV" in shown.out
    assert "1 visit read" in shown.out
    assert "pass" not in shown.out
    assert main([str(tmp_path / "none.csv"), "--understood"]) == 2


def test_which_visits_end_otherwise_by_another_rule_set(tmp_path, capsys) -> None:
    """From 35 ppm in the room on the plain set fails, and stops at 70; the stricter one stops at 35 (their files say)."""
    monoxide = Entry(item="ambient-co-worst-case", value="50 ppm", where="basement")
    write_csv([visit(monoxide, name="A"), visit(name="B")], tmp_path / "a.csv", form="wide")
    files = [str(tmp_path / "a.csv"), "--compare"]
    assert main([*files, "stricter"]) == 1
    said = capsys.readouterr().out
    assert said.startswith("A: 'fail' becomes 'stop and call'.")
    assert "1 of 2 visits end otherwise by 'stricter' than by 'plain'." in said
    assert main([*files, "plain"]) == 0
    assert main([*files, "stricter", "--json"]) == 1
    assert json.loads(capsys.readouterr().out.splitlines()[-1])["after"] == "stop and call"


def test_a_large_pile_over_two_processes_is_the_same_as_over_one(tmp_path, capsys) -> None:
    visits = [visit(*((SMELL,) if number % 7 == 0 else ()), name=f"A-{number}") for number in range(120)]
    write_csv(visits, tmp_path / "a.csv", form="wide")
    said = []
    for jobs in ("1", "2"):
        assert main([str(tmp_path / "a.csv"), "--jobs", jobs]) == 4
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]
    assert "120 visits by 'plain'" in said[0]


def test_the_originals_keep_every_byte(sheet, tmp_path, capsys) -> None:
    path = Path(sheet("a.toml", SMELL))
    before = path.read_bytes()
    main([str(path), "--out", str(tmp_path / "out"), "--paper"])
    capsys.readouterr()
    assert path.read_bytes() == before
    assert read_visit(path).name == "=1+1"


def test_bad_usage_is_one_sentence(sheet, capsys) -> None:
    assert main([sheet("a.toml"), "--jobs", "0"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
