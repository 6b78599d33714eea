"""Fan and duct system from the command line, as text; answers by hand."""

import json

import pytest

from hvaclib.cli import calc

SYSTEM = "system=filter 0.1 in. w.c. at 1,000 cfm exponent 1, ducts 0.3 in. w.c. at 1,000 cfm exponent 2"


def test_operating_point_from_text(capsys):
    # fan 1400 - 1000 s cfm with s in in. w.c.; at 1000 cfm both curves are at 0.4 in. w.c.
    assert (
        calc.main(
            ["air_delivery.operating_point", "fan=0.2 in. w.c.: 1,200 cfm, 0.8 in. w.c.: 600 cfm", SYSTEM]
        )
        == 0
    )
    answer = json.loads(capsys.readouterr().out)
    assert answer["unit"] == "cfm"
    assert answer["value"] == pytest.approx(1000)
    assert answer["result"]["static"] == {"value": pytest.approx(0.4), "unit": "in. w.c."}
    assert [loss["value"] for loss in answer["result"]["losses"]] == pytest.approx([0.1, 0.3])


def test_refusal_names_argument_and_row(capsys):
    fan = "fan=0.2 in. w.c.: 600 cfm, 0.8 in. w.c.: 1,200 cfm"
    assert calc.main(["air_delivery.operating_point", fan, SYSTEM]) == 2
    said = capsys.readouterr()
    assert not said.out
    assert said.err.startswith(
        "air_delivery.operating_point, fan: the airflow must fall as the static pressure rises"
    )
    assert said.err.count("\n") == 1


def test_help_shows_how_a_fan_and_losses_are_written(capsys):
    assert calc.main(["air_delivery.operating_point", "--help"]) == 0
    text = capsys.readouterr().out
    assert '"0.1 in. w.c.: 1250 cfm, 0.5 in. w.c.: 1000 cfm"' in text
    assert "exponent 1.4" in text
