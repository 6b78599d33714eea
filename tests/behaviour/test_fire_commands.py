"""``flue-gas``, ``combustion-air`` and ``wall``: results, JSON, exit statuses, files, refusals."""

import json

import pytest

from hvaclib.boards.flue_gas import FlueGasBoard
from hvaclib.cli import main

READ = ["o2=7 %", "co=30 ppm", "stack=420 °F"]
CUBIC_FOOT, SQUARE_INCH = 0.3048**3, 0.0254**2


def asked(capsys, *arguments):
    """Exit status and the JSON object."""
    status = main([*arguments, "--json"])
    captured = capsys.readouterr()
    assert captured.err == ""
    return status, json.loads(captured.out)


def test_flue_gas_answers_as_the_board_does(capsys):
    status, found = asked(capsys, "flue-gas", *READ)
    model = FlueGasBoard()
    assert model.from_link("o2=7%20%25&co=30%20ppm&stack=420%20%C2%B0F") == []
    assert model.refresh()
    assert found["answer"] == list(model.page().answer)
    assert (status, found["verdict"]) == (0, "pass")
    # ANSI Z21 series: CO × 20.9 / (20.9 − O2) = 30 × 20.9 / 13.9 = 45.1 ppm
    assert found["numbers"]["co_air_free"] == pytest.approx(45.1e-6, abs=0.05e-6)
    assert found["taken_as_on_the_board"]["air"] == "65 °F"
    assert not {"o2", "co", "co2", "stack"} & set(found["taken_as_on_the_board"])


def test_flue_gas_by_the_carbon_dioxide_and_in_si(capsys):
    oxygen = asked(capsys, "flue-gas", *READ)[1]
    co2 = oxygen["numbers"]["co2"]
    status, found = asked(
        capsys, "flue-gas", f"co2={100 * co2:.6f} %", "co=30 ppm", "stack=215.5556 °C", "--si"
    )
    assert status == 0
    for name in ("o2", "excess_air", "efficiency_hhv"):
        assert found["numbers"][name] == pytest.approx(oxygen["numbers"][name], rel=1e-5)
    assert found["taken_as_on_the_board"]["air"].endswith("°C")
    # a number without a unit counts in the unit of the answer
    assert asked(capsys, "flue-gas", "o2=7", "co=30", "stack=420")[1]["numbers"] == oxygen["numbers"]
    bare = asked(capsys, "flue-gas", "o2=7", "co=30", "stack=215.5556", "--si")[1]["numbers"]
    assert bare["stack_temperature_K"] == pytest.approx(oxygen["numbers"]["stack_temperature_K"], abs=1e-3)


def test_flue_gas_of_a_dirty_burner_of_readings_that_cannot_be_and_after_a_setting(capsys):
    status, found = asked(capsys, "flue-gas", "o2=7 %", "co=900 ppm", "stack=420 °F")
    assert (status, found["verdict"]) == (1, "fail")  # 1353 ppm air-free, above every limit of the trade
    status, found = asked(capsys, "flue-gas", *READ, "co2=11.5 %")
    assert status == 1
    assert found["numbers"]["readings_possible"] is False
    assert found["answer"][0].startswith("These readings cannot be right.")
    found = asked(capsys, "flue-gas", *READ, "before_o2=10 %", "before_stack=480 °F")[1]
    assert found["numbers"]["before"]["efficiency_hhv"] < found["numbers"]["efficiency_hhv"]
    assert any(text.startswith("Against before") for text in found["answer"])


def test_combustion_air_by_the_code(capsys):
    # IFGC 304.5.1: 50 ft³ for 1000 Btu/h: 6000 ft³ for 120 kBtu/h; 304.6.1: 1 in² for 4000 Btu/h, so 30 in² free, and
    # 304.10: a metal louver counts as 75 % free, so 40 in²
    status, found = asked(capsys, "combustion-air", "volume=960 ft³")
    numbers = found["numbers"]
    assert status == 1
    assert numbers["room_m3"] == pytest.approx(960 * CUBIC_FOOT)
    assert numbers["needed_standard_m3"] == pytest.approx(6000 * CUBIC_FOOT, rel=1e-6)
    assert numbers["opening_free_m2"] == pytest.approx(30 * SQUARE_INCH, rel=1e-6)
    assert numbers["opening_face_m2"] == pytest.approx(40 * SQUARE_INCH, rel=1e-6)
    assert "length" not in found["taken_as_on_the_board"]
    assert asked(capsys, "combustion-air", "volume=6000 ft³")[0] == 0
    assert asked(capsys, "combustion-air", "volume=5990 ft³")[0] == 1


def test_combustion_air_by_other_ways(capsys):
    # 304.5.3.1: to other rooms 1 in² for 1000 Btu/h and not less than 100 in²
    status, found = asked(
        capsys, "combustion-air", "volume=960 ft³", "beyond=6000 ft³", "route=indoor", "louver=none"
    )
    assert (status, found["numbers"]["with_rooms_beyond_enough"]) == (1, True)
    assert found["numbers"]["opening_free_m2"] == pytest.approx(120 * SQUARE_INCH, rel=1e-6)
    # 304.5.2: 15 ft³ a 1000 Btu/h and hour over ACH for fan-assisted, 21 for others: 80 × 15 / 0.35 + 40 × 21 / 0.35
    found = asked(capsys, "combustion-air", "ach=0.35 ACH")[1]["numbers"]
    assert found["needed_standard_m3"] is None
    assert found["needed_known_infiltration_m3"] == pytest.approx((1200 + 840) / 0.35 * CUBIC_FOOT, rel=1e-6)
    status, found = asked(capsys, "combustion-air", "furnace_kind=direct vent", "heater_kind=none")
    assert (status, found["numbers"]["openings"]) == (0, None)
    found = asked(capsys, "combustion-air", "louver_share=50 %")[1]["numbers"]
    assert found["opening_face_m2"] == pytest.approx(2 * found["opening_free_m2"])


def test_combustion_air_tries_its_opening_in_a_dwelling(capsys):
    found = asked(capsys, "combustion-air", "volume=960 ft³", "house=closed_door_fails")[1]
    assert any("Would it pass the worst case" in text for text in found["answer"])


def test_tables_and_files(capsys, tmp_path):
    path = tmp_path / "answer.txt"
    assert main(["flue-gas", *READ, "--out", str(path)]) == 0
    assert capsys.readouterr().out == ""
    text = path.read_text(encoding="utf-8")
    assert text.startswith("Clean: CO is 45 ppm")
    assert "Caution: Carbon monoxide has no smell." in text
    assert "Not given, taken as on the board: fuel natural gas" in text
    assert [item.name for item in tmp_path.iterdir()] == ["answer.txt"]


@pytest.mark.parametrize("command", ["flue-gas", "combustion-air", "wall"])
def test_help_names_the_settings(capsys, command):
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    shown = capsys.readouterr().out
    assert "settings:" in shown
    assert {"flue-gas": "before_stack", "combustion-air": "louver_share", "wall": "things.window=on"}[
        command
    ] in shown


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["flue-gas"], "flue-gas: a reading is missing: o2 or co2; expected such as"),
        (["flue-gas", "o2=7 %", "stack=420 °F"], "flue-gas: a reading is missing: co; expected such as"),
        (["flue-gas", *READ, "o2"], "flue-gas: a setting without '='; found 'o2'; expected NAME=\"VALUE\"."),
        (["flue-gas", *READ, "o2=8 %"], "flue-gas: this setting is given twice; found 'o2'; expected one value."),
        (["flue-gas", *READ, "stak=1"], "flue-gas: there is no such setting; found 'stak'; expected 'stack'"),
        (["flue-gas", *READ, "token=1"], "flue-gas: there is no such setting; found 'token'"),
        (["flue-gas", *READ, "air=9 furlong"], "flue-gas: Combustion air: "),
        (["flue-gas", "o2=45 %", "co=3 ppm", "stack=420 °F"], "found '45 %'; expected 0 % to 25 %."),
        (["flue-gas", *READ, "fuel=peat"], "Fuel: there is no such choice; found 'peat'; expected one of: natural gas"),
        (["flue-gas", *READ, "before_stack=50 °F"], "flue-gas: the readings before allow no sum of losses"),
        (["flue-gas", *READ, "--jsn"], "flue-gas: unrecognized arguments: --jsn"),
        (["combustion-air", "volume=9 ft²"], "combustion-air: volume: "),
        (["combustion-air", "volume=-9 ft³"], "volume: this volume cannot be; found '-9 ft³'; expected more than 0"),
        (["combustion-air", "volume=9 ft³", "length=9 ft"], "volume and length are both given; expected one or the other."),
        (["combustion-air", "beyond=900 ft³"], "beyond has no say here; found '900 ft³'; expected it with route=indoor."),
        (["combustion-air", "louver=metal", "louver_share=50 %"], "louver_share has no say here"),
        (["combustion-air", "heater_kind=none", "heater_rate=9000 Btu/h"], "expected it with another heater_kind than none."),
        (["combustion-air", "route=indoor", "openings=1"], "One opening to other rooms is not enough"),
        (["combustion-air", "route=tunnel"], "Way of the air: there is no such choice; found 'tunnel'; expected one of"),
        (["combustion-air", "--out", "/nowhere/at/all.txt"], "--out: this file cannot be written"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_sentence(capsys, arguments, said):
    assert main(arguments) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert captured.err.count("\n") == 1
    assert captured.err.endswith(".\n")
