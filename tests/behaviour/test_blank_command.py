"""The command 'blank': an empty sheet for given appliances, and refusals in one sentence."""

from __future__ import annotations

import pytest

from hvaclib.cli import main
from hvaclib.visit.sheets import read_sheets


def head(path):
    return path.read_text(encoding="utf-8-sig").splitlines()[0]


def test_the_sheet_asks_for_what_the_appliances_need(tmp_path, capsys) -> None:
    usual, other = tmp_path / "usual.csv", tmp_path / "other.csv"
    assert main(["blank", str(usual)]) == 0
    assert capsys.readouterr().out.strip() == str(usual)
    assert (
        main(
            [
                "blank",
                str(other),
                "--appliance",
                "fan-assisted boiler, propane, crawl space",
                "--room",
                "den",
                "--si",
            ]
        )
        == 0
    )
    assert "furnace: kind" in head(usual)
    assert "temperature-rise @ furnace (°F)" in head(usual)
    assert "temperature-rise" not in head(other)
    assert "boiler: kind" in head(other)
    assert main(["blank", str(tmp_path / "book.xlsx"), "--form", "long"]) == 0
    assert not read_sheets(tmp_path / "book.xlsx").visits


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["sheet.pdf"], ".csv or .xlsx"),
        (["sheet.csv", "--appliance", "steam engine"], "steam engine"),
        (["sheet.csv", "--appliance", "draft-hood furnace, coal"], "natural gas, propane, fuel oil"),
        (["sheet.csv", "--appliance", "draft-hood furnace, propane, attic, left"], "KIND, FUEL, ZONE"),
        (["sheet.csv", "--scope", "roof"], "roof"),
        (["sheet.csv", "--form", "deep"], "deep"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(tmp_path, capsys, monkeypatch, arguments, words) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["blank", *arguments]) == 2
    said = capsys.readouterr()
    assert words in said.err
    assert said.err.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_sheet_that_may_be_filled_in_is_not_replaced(tmp_path, capsys) -> None:
    (tmp_path / "sheet.csv").write_text("mine", encoding="utf-8")
    assert main(["blank", str(tmp_path / "sheet.csv")]) == 2
    assert "already" in capsys.readouterr().err
    assert (tmp_path / "sheet.csv").read_text(encoding="utf-8") == "mine"
