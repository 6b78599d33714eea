"""The firing board without a browser: its stories, its words and pictures, links, gases, wrong input."""

import json
import re

import pytest

from hvaclib.boards.firing import FiringBoard
from hvaclib.cli import main
from hvaclib.errors import HvacError
from hvaclib.plots.letters import label_box
from hvaclib.units import kinds, parse_si, shown


def board(query=""):
    model = FiringBoard()
    assert model.from_link(query) == []
    assert model.refresh(), model.blockers
    return model


def rate(model):
    return float(shown(model.outputs.rate, kinds.CAPACITY))


# 2 ft³ in 86 s are 83.72 ft³/h; base conditions from 7 in. w.c. at sea level: (101325 + 1743.6) / 101559.8 = 1.01486; times
# 1025 Btu/ft³: 87.09 kBtu/h, by hand. Without the correction 85.81.
def test_the_clocked_rate_by_hand():
    assert rate(board()) == pytest.approx(87.09, abs=0.01)
    assert rate(board("counted=delivered")) == pytest.approx(85.81, abs=0.01)


@pytest.mark.parametrize(
    ("query", "beginning", "verdict", "sentence"),
    [
        ("", "No: overfired by 8.9 %.", "fail", "Not permitted by the manifold: it would need 2.95 in. w.c."),
        ("time=94%20s", "Yes: the burner takes 79.7", "pass", "Nothing to set"),
        ("time=90%20s", "No: overfired by 4.0 %.", "fail", "Permitted: set the manifold from 3.50 in. w.c. to 3.23"),
        ("time=107%20s&drill=47", "No: underfired by 12.5 %.", "fail", "Not permitted by the manifold: it would need 4.57"),
        ("time=92%20s", "Too close to call", "unsure", "clock more turns"),
        ("time=94%20s&manifold=4.2%20in.%20w.c.", "No: the rate is right", "fail", "out of its range"),
        ("time=94%20s&trunk_size=1/2&trunk_length=90%20ft", "Not yet: the rate is right", "fail",
         "leave manifold and orifices alone"),
        ("time=94%20s&altitude=5000%20ft", "No: overfired", "fail", "Two readings of the 4 % rule"),
    ],
)  # fmt: skip
def test_stories(query, beginning, verdict, sentence):
    page = board(query).page()
    assert page.answer[0].startswith(beginning), page.answer[0]
    assert page.verdict == verdict
    assert any(sentence in text for text in page.answer), page.answer
    assert not any("w.c.." in text for text in page.answer)


def test_both_readings_of_the_altitude_rule_stand_beside_each_other():
    # NFPA 54, 11.1.2: 0.80 of the plate at 5000 ft, counted from sea level; the other reading leaves 0.88
    page = board("altitude=5000%20ft").page()
    said = next(text for text in page.answer if "Two readings" in text)
    assert "64.0 kBtu/h" in said
    assert "70.4 kBtu/h" in said
    rows = {row["rule"]: row for row in page.tables[1].rows}
    assert rows["4 % from sea level"]["left"] == "64.0 kBtu/h"
    assert rows["Canada 10 %"]["left"] == "no figure"
    assert all(row["source"] and row["how sure"] for row in rows.values())


def test_the_cross_check_tells_of_another_fire_on_the_meter():
    page = board("time=60%20s").page()
    assert any("Set and change nothing yet" in text for text in page.answer)
    assert not any("Permitted" in text or "instead of #44" in text for text in page.answer)
    assert any("something else burns on this meter" in text for text in page.answer)
    assert any("partly blocked" in text for text in board("time=130%20s").page().answer)


def test_cautions_stand_first_where_they_matter():
    over, right = board().page(), board("time=94%20s").page()
    assert "carbon monoxide" in over.cautions[0]
    assert right.cautions[0].startswith("Smell of gas: leave at once, light nothing")
    for page in (over, right):
        assert any("licensed technician" in text for text in page.cautions)
        assert any("leave at once" in text for text in page.cautions)


def test_the_checklist_carries_code_and_custom_apart():
    rows = {row["item"]: row for row in board().page().tables[3].rows}
    assert rows["Sediment trap: length of the nipple"]["rule"].startswith("Any length")
    assert "by custom" in rows["Sediment trap: length by custom"]["rule"]
    assert "3 psig" in rows["Pressure test: pressure"]["rule"]
    assert "10 min" in rows["Pressure test: how long"]["rule"]
    assert rows["Pressure test: large systems"]["how sure"] == "recalled, not verified"


def test_another_gas_brings_its_usual_figures():
    model = board("gas=propane")
    assert model.plate_pressure == pytest.approx(parse_si("10 in. w.c.", kinds.GAUGE_PRESSURE))
    assert model.heating_value == pytest.approx(parse_si("2516 Btu/ft³", kinds.HEATING_VALUE))
    assert model.to_link() == "gas=propane"
    again = board("gas=propane&plate_pressure=9%20in.%20w.c.")
    assert again.plate_pressure == pytest.approx(parse_si("9 in. w.c.", kinds.GAUGE_PRESSURE))


def test_others_burning_lower_the_pressure_at_the_furnace():
    all_on = board().outputs.supply
    alone = board("others.water%20heater=off&others.range=off")
    assert alone.outputs.supply > all_on
    assert any("with nothing else burning" in text for text in alone.page().answer)


@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize(
    "query", ["", "altitude=5000%20ft&turns=1.25&trunk_size=1/2", "time=300%20s", "gas=propane"]
)
def test_words_of_the_pictures_stay_in_their_sheet(query, system):
    model = board(query)
    model.system = system
    for narrow in (False, True):
        model.large_type = narrow
        assert model.refresh()
        for item in model.page().pictures:
            assert len(item.picture.words) > 60
            for label in item.picture.marks.labels:
                left, bottom, right, top = label_box(label)
                assert left >= -1, label.text
                assert right <= item.picture.sheet.width + 1, label.text
                assert bottom >= -2, label.text
                assert top <= item.picture.sheet.height + 2, label.text


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("time=0%20s", "outside what the board covers"),
        ("time=fast", "Time for all turns"),
        ("dial=3%20ft³", "there is no such choice"),
        ("turns=0", "Turns"),
        ("heating_value=1000%20Btu/lb", "Heating value"),
        ("plate=80", ""),
        ("altitude=90000%20ft", "Altitude"),
        ("manifold=3%20psia", "Manifold pressure, measured"),
        ("rule=mine", "Altitude rule"),
        ("trunk_size=5/8", "Trunk, size"),
        ("others.dryer=on", "there is no such switch"),
        ("drill=81", "Orifice, drill number"),
        ("gas=butane", "Gas"),
    ],
)
def test_a_link_that_cannot_be_followed_says_so(query, sentence):
    model = FiringBoard()
    problems = model.from_link(query)
    if sentence:
        assert len(problems) == 1
        assert sentence in problems[0]
    else:  # a bare number is in the unit on the label
        assert problems == []
        assert model.plate == pytest.approx(parse_si("80 kBtu/h", kinds.CAPACITY))
    assert model.refresh()


def test_no_answer_has_its_sentence():
    model = FiringBoard()
    model.from_link("rule=Canada%2010%20%25&altitude=5000%20ft")
    assert not model.refresh()
    assert "no figure at 5,000 ft" in model.blockers[0]
    model = FiringBoard()
    model.from_link("plate_pressure=1%20in.%20w.c.&adjustment=0.9%20in.%20w.c.")
    assert model.refresh()
    assert re.search(r"licensed", " ".join(model.page().cautions))


def test_a_value_that_is_refused_leaves_the_answer():
    model = board()
    with pytest.raises(HvacError):
        model.time = -5.0
    assert model.refresh()


def test_orifices_pass_less_heat_in_thin_air():
    # by hand: gas of 0.8321 of the density (US Standard Atmosphere 1976, 5000 ft) at the same pressure over the
    # surrounding air carries √0.8321 of the heat
    low, high = board().outputs.by_orifices, board("altitude=5000%20ft").outputs.by_orifices
    assert high / low == pytest.approx(0.8321**0.5, rel=1e-4)


def test_the_pipes_carry_what_the_meter_counts():
    # 2 ft³ in 86 s; and in thin air the same heat is more volume, by the pressure ratio 0.8321 (and 7 in. w.c.)
    low, high = board().outputs, board("altitude=5000%20ft").outputs
    assert low.pipes["furnace"].flow * 86 == pytest.approx(2 * 0.3048**3)
    ratio = (0.8321 * 101325 + 1743.6) / (101325 + 1743.6)
    assert low.pipes["range"].flow / high.pipes["range"].flow == pytest.approx(ratio, rel=1e-4)


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        (
            "manifold=8%20in.%20w.c.",
            "The manifold cannot stand at 8.00 in. w.c. while only 7.00 in. w.c. arrives",
        ),
        ("heating_value=2500", "2,500 Btu/ft³ is no heating value of natural gas (about 1,025 Btu/ft³)"),
        (
            "gas=propane&heating_value=1025",
            "1,025 Btu/ft³ is no heating value of propane (about 2,516 Btu/ft³)",
        ),
    ],
)
def test_readings_that_cannot_be_true_together_are_refused(query, sentence):
    """A regulator only lowers pressure; a heating value of another gas would make any rate look wrong."""
    model = FiringBoard()
    assert model.from_link(query) == []
    assert not model.refresh()
    assert model.blockers[0].startswith(sentence)


def test_pipes_that_carry_nothing_and_a_clocking_that_nobody_believes():
    page = board("time=5%20s").page()
    assert any("no pressure would be left at the furnace" in text for text in page.answer)
    assert any("Clock again first, then measure the supply." in text for text in page.answer)
    assert not any("−12" in text for text in page.answer)


def run(capsys, *arguments):
    status = main(["firing", *arguments])
    told = capsys.readouterr()
    return status, told.out, told.err


def test_the_command_answers_as_the_board(capsys):
    status, out, err = run(capsys, "time=94 s")
    assert status == 0
    assert out.splitlines()[0] == board("time=94%20s").page().answer[0]
    assert "Smell of gas: leave at once" in out
    assert err == ""
    status, out, _ = run(capsys, "time=1 min 26 s", "others.range=off", "--json", "--si")
    assert status == 1
    told = json.loads(out)
    assert told["verdict"] == "fail"
    assert "25.5" in told["answer"][0]  # 87.09 kBtu/h in kW
    assert told["tables"]["Pipes"][4]["flow"] == "0 m³/h"
    assert any("licensed" in text for text in told["cautions"])


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ([], "firing: a reading is missing: time; expected such as time="),
        (["dial=2 ft³"], "firing: a reading is missing: time"),
        (["time=fast"], "firing: Time for all turns: "),
        (
            ["time=9 s", "tim=3 s"],
            "firing: there is no such setting; found 'tim'; expected 'time', or another of --help.",
        ),
        (["time=9 s", "token=1"], "firing: there is no such setting; found 'token'"),
        (["time=9 s", "time=8 s"], "this setting is given twice; found 'time'; expected one value."),
        (
            ["time=9 s", "others=off"],
            "this is a group of switches; found 'others'; expected one of them: \"others.water heater=off\"",
        ),
        (["time=9 s", "dial=3 ft³"], "Test dial, one turn: there is no such choice; found '3 ft³'"),
        (["time"], "a setting without '='"),
        (["--loud"], "unrecognized arguments"),
        (["time=0 s"], "outside what the board covers"),
        (["time=94 s", "rule=Canada 10 %", "altitude=5000 ft"], "no figure at 5,000 ft"),
        (
            ["time=94 s", "adjustment=0.9 in. w.c.", "plate_pressure=1 in. w.c.", "altitude=90000 ft"],
            "Altitude",
        ),
    ],
)
def test_the_command_refuses_in_one_sentence(capsys, arguments, sentence):
    status, out, err = run(capsys, *arguments)
    assert status == 2
    assert out == ""
    assert sentence in err
    assert len(err.strip().splitlines()) == 1


def numbers(capsys, *arguments):
    return json.loads(run(capsys, *arguments, "--json")[1])


def test_the_command_gives_the_numbers_in_si_and_says_what_it_took(capsys):
    found = numbers(capsys, "time=86 s")
    # as above: 87.09 kBtu/h by hand; ± half a second of 86 s
    assert found["numbers"]["rate_W"] == pytest.approx(87.09e3 * 0.29307107, rel=1e-4)
    assert found["numbers"]["rate_half_width_W"] == pytest.approx(
        found["numbers"]["rate_W"] * 0.5 / 86, rel=1e-9
    )
    assert found["numbers"]["wanted_W"] == pytest.approx(80e3 * 0.29307107, rel=1e-6)
    assert found["taken_as_on_the_board"]["dial"] == "2 ft³"
    assert "time" not in found["taken_as_on_the_board"]


def test_a_bare_number_counts_in_the_unit_of_the_answer(capsys):
    field, si = numbers(capsys, "time=94", "manifold=3.5"), numbers(capsys, "time=94", "manifold=870", "--si")
    # 3.5 in. w.c. are 872 Pa (ISO 31-3: 249.089 Pa an inch at 4 °C)
    low, high = (found["numbers"]["manifold_for_the_rate_Pa"] for found in (si, field))
    assert low / high == pytest.approx(870 / 871.8, rel=1e-4)


@pytest.mark.parametrize("dial", ["2", "2 ft3", "2 cu ft", "2.0 ft³"])
def test_a_dial_may_be_typed_as_one_likes(capsys, dial):
    assert numbers(capsys, "time=86", f"dial={dial}") == numbers(capsys, "time=86", "dial=2 ft³")


def test_the_order_of_settings_does_not_matter(capsys):
    """The gas brings its usual pressures; one that was given stays, wherever it stands."""
    first = numbers(capsys, "gas=propane", "plate_pressure=9 in. w.c.", "time=94 s")
    assert first == numbers(capsys, "plate_pressure=9 in. w.c.", "time=94 s", "gas=propane")
    assert first["numbers"]["manifold_lowest_Pa"] == pytest.approx(8.5 * 249.089, rel=1e-4)


def test_the_command_lists_its_settings(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["firing", "--help"])
    assert ended.value.code == 0
    assert "Manifold pressure, measured" in capsys.readouterr().out
