"""Readings: what is refused, how they are looked up, and how they travel to files and tables."""

import doctest
import importlib
import json
import math
import pickle

import numpy as np
import pytest

from hvaclib.errors import HvacError, InputError
from hvaclib.readings import (
    VOCABULARY,
    Reading,
    Readings,
    instrument_for,
    instruments,
    standard_uncertainty,
)
from hvaclib.units import kinds, parse_si

vocabulary_module = importlib.import_module("hvaclib.readings.vocabulary")
instruments_module = importlib.import_module("hvaclib.readings.instruments")

VISIT = Readings(
    [
        Reading("outdoor_temperature", 270.0, "house"),
        Reading("draft", -1.5, "water heater", "baseline"),
        Reading("draft", 0.7, "water heater", "worst case"),
        Reading("draft", -2.5, "furnace", "worst case", instrument="manometer", note="second try"),
        Reading("spillage_time", math.inf, "water heater", "worst case", computed=True),
        Reading("solid_fuel_operating", False, "house"),
        Reading("co_ambient", 4e-6, "basement", standard_uncertainty=1e-6),
    ]
)


def refusal(call, *args, **kwargs):
    with pytest.raises(HvacError) as refused:
        call(*args, **kwargs)
    return str(refused.value)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ("drafft", -1.0, "vent"),
            "quantity: nothing measurable has this name; found 'drafft'; expected 'draft'.",
        ),
        (
            ("draft", math.nan, "furnace", "baseline"),
            (
                "Draft at the test hole (furnace, baseline): the value is not a number (NaN); expected a reading; "
                "leave out what was not measured."
            ),
        ),
        (
            ("draft", math.inf, "furnace"),
            "Draft at the test hole (furnace): the value has no end; found inf; expected a finite number.",
        ),
        (
            ("spillage_time", -math.inf, "furnace"),
            "Time until spillage stops (furnace): the value has no end; found -inf; expected a finite number.",
        ),
        (
            ("draft", "-2 Pa", "furnace"),
            (
                "Draft at the test hole (furnace): the value is not a number; found '-2 Pa'; "
                "expected a number in SI units."
            ),
        ),
        (
            ("draft", True, "furnace"),
            "Draft at the test hole (furnace): a yes or no was given for a number; found True; expected a number.",
        ),
        (
            ("spillage_fraction", 1.2, "furnace"),
            (
                "Share of the flue gas that spills into the room (furnace): no true value can be there; found 1.2; "
                "expected 0 to 1 in SI units."
            ),
        ),
        (
            ("solid_fuel_operating", 0.5, "house"),
            "A solid-fuel appliance is burning (house): not an answer; found 0.5; expected yes or no.",
        ),
        (
            ("draft", -2.0, ""),
            "Draft at the test hole: a reading must say where it was taken; expected the name of the appliance.",
        ),
    ],
)
def test_refused_readings(arguments, sentence):
    assert refusal(Reading, *arguments) == sentence


def test_readings_do_not_change():
    with pytest.raises(AttributeError):
        VISIT[0].value = 3.0
    more = VISIT + Readings([Reading("wind_speed", 2.0, "house")])
    assert (len(VISIT), len(more)) == (7, 8)
    assert refusal(Readings, ["draft"]) == "readings: not a reading; found 'draft'; expected Reading objects."


def test_look_up():
    assert [item.value for item in VISIT.of("draft")] == [-1.5, 0.7, -2.5]
    assert VISIT.get("draft", "water heater").value == 0.7
    assert VISIT.get("draft", when="baseline").value == -1.5
    assert VISIT.get("vent_temperature") is None
    assert VISIT[1:3] == Readings([VISIT[1], VISIT[2]])
    assert refusal(VISIT.of, "drauft").endswith("expected 'draft'.")
    assert VISIT.get("solid_fuel_operating").yes is False


def test_records_travel_through_strict_json():
    text = json.dumps(VISIT.to_records(), allow_nan=False)
    assert Readings.from_records(json.loads(text)) == VISIT
    assert pickle.loads(pickle.dumps(VISIT)) == VISIT


@pytest.mark.parametrize(
    ("quantity", "field", "si"),
    [
        ("draft", "−0.02 in. w.c.", "-4.98 Pa"),
        ("outdoor_temperature", "23 °F", "-5 °C"),
        ("co_ambient", "35 ppm", "0.0035 %"),
        ("spillage_time", "2 min", "120 s"),
    ],
)
def test_values_are_read_in_both_unit_systems(quantity, field, si):
    """Conversions by definition; 1 in. w.c. is 249 Pa to three digits in every convention."""
    values = [
        Reading.from_record({"quantity": quantity, "value": text, "where": "x"}).value for text in (field, si)
    ]
    assert values[0] == pytest.approx(values[1], rel=1e-3)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"values": 1.0}, "reading 2, values: unknown key; expected 'value'."),
        (
            {"value": None},
            "reading 2, Draft at the test hole (furnace): the value is not a number; expected a number",
        ),
        ({"value": "-2"}, "reading 2, Draft at the test hole, value: a number without its unit; found '-2'"),
        ({"where": 3}, "reading 2, where: must be text; found 3."),
        ({"computed": "yes"}, "reading 2, computed: must be true or false; found 'yes'."),
        (
            {"quantity": "solid_fuel_operating", "value": "maybe"},
            "reading 2, A solid-fuel appliance is burning: not an answer; found 'maybe'; expected yes or no.",
        ),
        (
            {"standard_uncertainty": -1.0},
            "reading 2, Draft at the test hole (furnace): the declared standard",
        ),
    ],
)
def test_refused_records(change, sentence):
    good = {"quantity": "draft", "value": -2.0, "where": "furnace"}
    assert refusal(Readings.from_records, [good, {**good, **change}]).startswith(sentence)


def test_missing_key_of_a_record():
    assert refusal(Readings.from_records, [{"quantity": "draft", "where": "furnace"}]) == (
        "reading 1, value: missing key; expected quantity, value and where in each reading."
    )


def test_examples_in_the_docstrings_run():
    results = [doctest.testmod(module) for module in (vocabulary_module, instruments_module)]
    assert [result.attempted for result in results] == [1, 1]
    assert not any(result.failed for result in results)


def test_table():
    frame = VISIT.to_frame()
    assert frame.shape == (7, 9)
    assert frame["value"].dtype == np.float64
    assert list(frame["title"])[1] == "Draft at the test hole"
    assert list(Readings().to_frame().columns) == list(frame.columns)


def test_vocabulary_says_how_each_thing_is_measured():
    names = {row.name for row in instruments()} | {"eye"}
    for thing in VOCABULARY.values():
        assert thing.title[0].isupper(), thing.key
        assert thing.how.endswith("."), thing.key
        assert thing.sign.endswith("."), thing.key
        assert thing.place in ("house", "zone", "appliance", "test hole"), thing.key
        assert thing.instrument in names, thing.key
        if thing.instrument != "eye":
            reading = Reading(thing.key, max(thing.least, 0.0) + 0.5, "somewhere")
            assert instrument_for(reading).kind is thing.kind
    assert {key for key, thing in VOCABULARY.items() if thing.infinite} == {"spillage_time"}


@pytest.mark.parametrize("key", ["draft", "spillage_time", "co_ambient", "co_air_free", "spillage_fraction"])
def test_what_can_hurt_carries_a_caution(key):
    assert "arbon monoxide" in VOCABULARY[key].caution


def test_every_instrument_names_a_standard_or_says_that_it_has_none():
    for row in instruments():
        assert row.source == "common practice, no source" or any(char.isdigit() for char in row.source), (
            row.name
        )
        assert row.certainty


def test_uncertainty_of_computed_declared_and_endless_readings():
    assert standard_uncertainty(Reading("draft", -2.0, "furnace", computed=True)) == 0.0
    assert (
        standard_uncertainty(Reading("draft", -2.0, "furnace", computed=True, standard_uncertainty=0.3))
        == 0.3
    )
    assert standard_uncertainty(Reading("spillage_time", math.inf, "furnace")) == 0.0
    assert standard_uncertainty(Reading("solid_fuel_operating", True, "house")) == 0.0


def test_uncertainty_grows_with_a_large_reading():
    small, large = (standard_uncertainty(Reading("draft", value, "furnace")) for value in (-2.0, -60.0))
    row = next(each for each in instruments() if each.name == "manometer")
    assert row.floor == parse_si("0.15 Pa", kinds.PRESSURE_DIFFERENCE)
    assert small == pytest.approx(
        math.hypot(0.15 / math.sqrt(3), 0.1 / math.sqrt(12)), rel=1e-12
    )  # GUM 4.3.7, F.2.2.1
    assert large == pytest.approx(math.hypot(0.60 / math.sqrt(3), 0.1 / math.sqrt(12)), rel=1e-12)


@pytest.mark.parametrize(
    ("instrument", "what"),
    [
        ("manomter", "no such instrument; found 'manomter'; expected 'manometer'"),
        ("stopwatch", "does not measure that"),
    ],
)
def test_refused_instruments(instrument, what):
    with pytest.raises(InputError, match=what):
        standard_uncertainty(Reading("draft", -2.0, "furnace", instrument=instrument))
