"""Anticipator, transformer and setback recovery: service practice, definitions and an independent integration."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from hvaclib.errors import HvacError
from hvaclib.physics import controls


@pytest.mark.parametrize(
    ("reading", "turns", "setting"), [("4.0 A", 10, 0.40), ("0.45 A", 1, 0.45), ("5200 mA", 10, 0.52)]
)
def test_anticipator_by_turns(reading, turns, setting):
    # service practice: ten turns in the clamp read ten times the current (no standard text was found)
    found = controls.anticipator(measured_current=reading, turns=turns)
    assert found.to("ampere").magnitude == pytest.approx(setting)


def test_transformer_load():
    # definition of apparent power: 24 V × (0.6 + 0.25 + 0.9) A = 42 VA, 105 % of 40 VA
    found = controls.transformer_load(currents="0.6 A, 0.25 A, 900 mA")
    assert found.load.to("volt_ampere").magnitude == pytest.approx(42.0)
    assert found.share.to("percent").magnitude == pytest.approx(105.0)
    assert found.spare.to("volt_ampere").magnitude == pytest.approx(-2.0)
    assert not found.enough
    full = controls.transformer_load(
        currents="0.7 A, 0.3 A", rating="24 VA"
    )  # a plate that is just used up covers it
    assert full.enough
    assert full.spare.to("volt_ampere").magnitude == pytest.approx(0.0)
    assert controls.transformer_load(currents="1.5 A", rating="75 VA", voltage="25 V").enough


@pytest.mark.parametrize("outdoor", [253.0, 266.0, 281.0])
def test_recovery_against_an_integration_in_time(outdoor):
    # scipy.integrate.solve_ivp of C dT/dt = output − UA (T − T_outdoor), event at the occupied temperature
    occupied, setback, loss, output, constant = 293.5, 288.7, 7300.0, 15200.0, 140000.0
    conductance = loss / (occupied - outdoor)

    def slope(_, temperature):
        return (output - conductance * (temperature - outdoor)) / (constant * conductance)

    def there(_, temperature):
        return temperature[0] - occupied

    there.terminal = True
    run = solve_ivp(slope, (0.0, 1e6), [setback], events=there, rtol=1e-10, atol=1e-10)
    found = controls.recovery_time.si(
        output=output,
        heat_loss=loss,
        setback=setback,
        occupied=occupied,
        outdoor=outdoor,
        time_constant=constant,
    )
    assert found == pytest.approx(run.t_events[0][0], rel=1e-6)


def test_cooling_goes_by_newtons_law():
    # by hand: after one time constant 1/e of the difference is left
    end = 270.0 + 25.0 / np.e
    assert controls.cooling_time_constant.si(
        start=295.0, end=end, outdoor=270.0, time=7200.0
    ) == pytest.approx(7200)


RECOVERY = {"output": "60 kBtu/h", "heat_loss": "30 kBtu/h", "setback": "60 °F", "occupied": "68 °F",
            "outdoor": "20 °F", "time_constant": "40 h"}  # fmt: skip
NIGHT = {"start": "70 °F", "end": "62 °F", "outdoor": "30 °F", "time": "8 h"}


def test_without_a_setback_nothing_is_recovered_and_a_deeper_one_takes_longer():
    # by the balance: no heat is lost that was not lost before
    depths = [68.0, 64.0, 60.0, 50.0, 20.0]
    hours = [controls.recovery_time(**{**RECOVERY, "setback": f"{t} °F"}).to("h").magnitude for t in depths]
    assert hours[0] == 0.0
    assert hours == sorted(hours)
    # by hand: twice the loss ends 96 °F over outdoors; from outdoors itself half of that is a time constant times ln 2
    assert hours[-1] == pytest.approx(40 * np.log(2), rel=1e-9)


@pytest.mark.parametrize(
    ("name", "given", "sentence"),
    [
        ("anticipator", {"measured_current": "-1 A"}, "must not be negative"),
        ("anticipator", {"measured_current": "4 V"}, "measured_current"),
        ("anticipator", {"measured_current": "4 A", "turns": 0}, "at least once"),
        ("anticipator", {"measured_current": "4 A", "turns": "1.5"}, "not a whole number"),
        ("transformer_load", {"currents": "0.4 A", "rating": "0 VA"}, "rating: must be above zero"),
        ("transformer_load", {"currents": "0.4 A", "rating": "40 V"}, "rating"),
        ("transformer_load", {"currents": ""}, "currents"),
        ("recovery_time", {**RECOVERY, "output": "29 kBtu/h"}, "cannot hold the occupied temperature"),
        ("recovery_time", {**RECOVERY, "output": "30 kBtu/h"}, "cannot hold the occupied temperature"),
        ("recovery_time", {**RECOVERY, "time_constant": "0 h"}, "time_constant: must be above zero"),
        ("recovery_time", {**RECOVERY, "heat_loss": "0 kBtu/h"}, "heat_loss: must be above zero"),
        ("cooling_time_constant", {**NIGHT, "time": "0 h"}, "time: must be above zero; found '0 s'"),
        ("cooling_time_constant", {**NIGHT, "end": "70 °F"}, "end: the house must have cooled"),
        ("cooling_time_constant", {**NIGHT, "end": "30 °F"}, "end: the house must have cooled"),
        (
            "recovery_time",
            {**RECOVERY, "outdoor": "70 °F"},
            "outdoor: the occupied temperature must lie above the outdoors; found '70 °F'",
        ),
        (
            "recovery_time",
            {**RECOVERY, "setback": "70 °F"},
            "setback: the setback temperature lies above the occupied one; found '70 °F'",
        ),
        (
            "cooling_time_constant",
            {"start": "70 °F", "end": "71 °F", "outdoor": "30 °F", "time": "8 h"},
            "cooled",
        ),
    ],
)
def test_wrong_input_gets_one_sentence(name, given, sentence):
    with pytest.raises(HvacError) as caught:
        getattr(controls, name)(**given)
    assert sentence in str(caught.value)
