"""What to check in which order, and readings of the air side as people type them."""

from __future__ import annotations

from pathlib import Path

import pytest

from hvaclib.errors import InputError
from hvaclib.house.air_side import HOLES
from hvaclib.house.file import read_dwelling
from hvaclib.procedures.air_checks import what_to_check
from hvaclib.procedures.air_readings import filed, take, typed
from hvaclib.procedures.temperature_rise import temperature_rise
from hvaclib.readings import Readings
from hvaclib.reference import load

DOOR = Path(__file__).parents[2] / "data" / "demo" / "closed_door_fails.toml"


@pytest.mark.parametrize("trouble", ["rise high", "rise low", "static high"])
def test_every_piece_of_advice_says_what_to_do_and_where_it_comes_from(trouble):
    checks = what_to_check(trouble)
    assert len(checks) >= 4
    for item in checks:
        assert item.do.endswith(".")
        assert item.source
        gas_or_power = any(word in item.title.lower() for word in ("input", "tap", "exchanger"))
        assert item.caution or not gas_or_power, item.title


def test_what_costs_nothing_comes_first_and_gas_and_wiring_last():
    titles = [item.title for item in what_to_check("rise high")]
    assert titles[0] == "The reading itself"
    assert (
        titles.index("Air filter")
        < titles.index("Blower tap, belt and wheel")
        < titles.index("Input: over-fired")
    )
    assert "carbon monoxide" in what_to_check("rise high")[-1].caution
    assert what_to_check("static high")[0].title == "Air filter"
    assert what_to_check("") == ()


def test_an_unknown_trouble_is_refused():
    with pytest.raises(InputError, match="no advice for this; found 'rise hihg'; expected 'rise high'"):
        what_to_check("rise hihg")


def test_each_row_of_advice_belongs_to_a_known_trouble():
    assert {row["when"] for row in load("air_side")["check"]} == {"rise high", "rise low", "static high"}


def test_typed_readings_in_both_unit_systems_and_any_spacing():
    # 1 in. w.c. = 249.089 Pa, 70 °F = 294.261 K (NIST SP 811, appendix B)
    found = typed(
        "Hole 1=-0.10 in. w.c. ; hole  2 = -50 Pa, SUPPLY= 120 °F, return =21.11 °C, airflow = 1,100 cfm",
        "furnace",
    )
    assert take(found, "static_pressure", "hole 1").value == pytest.approx(-24.9089, rel=1e-5)
    assert take(found, "static_pressure", "hole 2").value == pytest.approx(-50.0)
    assert take(found, "return_temperature", "furnace").value == pytest.approx(294.26, abs=0.01)
    assert take(found, "airflow", "furnace").value == pytest.approx(1100 * 0.3048**3 / 60, rel=1e-9)


def test_the_files_readings_are_found_and_typed_ones_go_before_them():
    dwelling = read_dwelling(DOOR)
    found = filed(dwelling, "furnace")
    assert [item.where for item in found.of("static_pressure")] == list(HOLES)
    later = found + typed("hole 2 = -0.20 in. w.c.", "furnace")
    assert take(later, "static_pressure", "hole 2").value == pytest.approx(-0.20 * 249.089, rel=1e-5)
    assert len(filed(dwelling, "another furnace").of("supply_temperature")) == 0


def test_a_rise_above_the_plate_brings_its_advice_and_one_within_it_none():
    dwelling = read_dwelling(DOOR)
    assert temperature_rise(dwelling, measured=filed(dwelling, "furnace")).trouble == "rise high"
    assert temperature_rise(dwelling, measured=typed("rise = 20 °F", "furnace")).trouble == "rise low"
    assert temperature_rise(dwelling, measured=Readings()).trouble == ""
