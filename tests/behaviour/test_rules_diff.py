"""Two rule sets compared in words, which is stricter, and rules described without a reading.

The sentences are the product's own wording. That a stricter limit lets nothing through that the milder one stops is
checked by the limits themselves, not by the comparison.
"""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib import rules
from hvaclib.rules.diff import diff, summary
from hvaclib.rules.rule_words import condition_words, decision_words, limit_words
from hvaclib.rules.strictness import stricter_conditions, stricter_limit

PLAIN, STRICTER = rules.load("plain"), rules.load("stricter")
HEAD = """
format = "hvaclib rule set 1"
name = "{name}"
title = "A set for trying"
version = "1.0"
[decision]
fails_up_to = "{low}"
passes_from = "{high}"
source = "program decision"
"""
RULE = """
[[rule]]
id = "{id}"
title = "A rule for trying"
quantity = "{quantity}"
{applies}
limit = {limit}
severity = "{severity}"
source = "{source}"
do = ["{do}"]
"""
USUAL = {
    "id": "draft",
    "quantity": "draft",
    "applies": "",
    "limit": '{ below = "0 Pa" }',
    "severity": "fail",
    "source": "common practice, no source",
    "do": "Look into the vent.",
}


def trial(name="one", low="5 %", high="95 %", **changed):
    """A set of one rule."""
    return rules.from_text(HEAD.format(name=name, low=low, high=high) + RULE.format(**{**USUAL, **changed}))


def only(first, second):
    """The one difference."""
    (change,) = diff(first, second)
    return change


@pytest.mark.parametrize("name", rules.available())
def test_a_set_does_not_differ_from_itself(name):
    rule_set = rules.load(name)
    assert diff(rule_set, rule_set) == ()
    assert summary(rule_set, rule_set, ()).endswith("are the same.")


@pytest.mark.parametrize(
    ("one", "other", "stricter"),
    [
        ('{ below = "0 Pa" }', '{ at_most = "0 Pa" }', "first"),
        ('{ below = "0 Pa" }', '{ below = "-1 Pa" }', "second"),
        ('{ below = "0 Pa" }', '{ below = "0 in. w.c." }', None),
        ('{ at_least = "-4 Pa", at_most = "4 Pa" }', '{ at_least = "-3 Pa", at_most = "3 Pa" }', "second"),
        (
            '{ at_least = "-4 Pa", at_most = "2 Pa" }',
            '{ at_least = "-3 Pa", at_most = "3 Pa" }',
            "each in part",
        ),
        ('{ at_most = "3 Pa" }', '{ at_least = "-9 Pa", at_most = "3 Pa" }', "second"),
        ('{ above = "-9 Pa" }', '{ at_most = "3 Pa" }', "each in part"),
        (
            '{ at_most = "-0.5 Pa" }',
            '{ at_most = { along = "outdoor_temperature", points = [["10 °F", "-2.5 Pa"], ["90 °F", "-0.5 Pa"]] } }',
            "second",
        ),
        (
            '{ at_most = "-1 Pa" }',
            '{ at_most = { along = "outdoor_temperature", points = [["10 °F", "-2.5 Pa"], ["90 °F", "-0.5 Pa"]] } }',
            "each in part",
        ),
        (
            '{ at_most = { along = "outdoor_temperature", points = [["10 °F", "-2 Pa"], ["90 °F", "-1 Pa"]] } }',
            '{ at_most = { along = "outdoor_temperature", points = [["10 °F", "-2 Pa"], ["50 °F", "-1.7 Pa"], ["90 °F", "-1 Pa"]] } }',
            "second",
        ),
    ],
)
def test_which_limit_is_stricter(one, other, stricter):
    first, second = trial(limit=one), trial(name="other", limit=other)
    found = [change.stricter for change in diff(first, second) if change.about == "limit"]
    assert found == ([stricter] if stricter else [])


@pytest.mark.parametrize(
    ("one", "other", "stricter"),
    [
        ('fact = "manifold_pressure", times = "110 %"', 'fact = "manifold_pressure", times = "105 %"', "second"),
        ('fact = "manifold_pressure"', 'fact = "manifold_pressure", plus = "0.3 in. w.c."', "first"),
        ('fact = "manifold_pressure", times = "110 %"', 'fact = "manifold_pressure", plus = "1 Pa"', "cannot tell"),
        ('fact = "manifold_pressure"', 'fact = "gas_supply_most"', "cannot tell"),
    ],
)  # fmt: skip
def test_which_plate_limit_is_stricter(one, other, stricter):
    first, second = (
        trial(name=name, quantity="manifold_pressure", limit=f"{{ at_most = {{ {text} }} }}")
        for name, text in (("one", one), ("other", other))
    )
    change = only(first, second)
    assert (change.about, change.stricter) == ("limit", stricter)
    assert "on the rating plate" in change.first


@pytest.mark.parametrize(
    ("changed", "about", "stricter", "sentence"),
    [
        (
            {"limit": '{ at_most = "-0.01 in. w.c." }'},
            "limit",
            "second",
            "Draft at the test hole (rule 'draft'): below 0 Pa in 'one', at most −2.49 Pa in 'two'; 'two' is stricter.",
        ),
        (
            {"severity": "look again"},
            "severity",
            "first",
            "The rule 'draft', severity: fail in 'one', look again in 'two'; 'one' is stricter.",
        ),
        (
            {"applies": 'applies = { stage = ["natural"] }'},
            "conditions",
            "first",
            "The rule 'draft', conditions: always in 'one', stage: natural in 'two'; 'one' is stricter.",
        ),
        (
            {"source": "program decision"},
            "source",
            "neither",
            "The source of the rule 'draft': 'one' has 'common practice, no source', 'two' has 'program decision'.",
        ),
        (
            {"do": "Look into the chimney."},
            "words",
            "neither",
            "The rule 'draft' says it in other words (do).",
        ),
        (
            {"severity": 'fail"\nrequired = false\ngroup = "vent'},
            "required",
            "first",
            "The rule 'draft', required: needed in 'one', not needed in 'two'; 'one' is stricter.",
        ),
        (
            {"high": "99 %"},
            "decision",
            "second",
            (
                "Near a limit 'one' fails up to a probability of 5 % to conform, passes from 95 %; 'two' fails up to a "
                "probability of 5 % to conform, passes from 99 %; 'two' is stricter."
            ),
        ),
        (
            {"low": "10 %", "high": "90 %"},
            "decision",
            "each in part",
            (
                "Near a limit 'one' fails up to a probability of 5 % to conform, passes from 95 %; 'two' fails up to a "
                "probability of 10 % to conform, passes from 90 %; each is stricter in part."
            ),
        ),
    ],
)
def test_each_sort_of_difference_has_its_sentence(changed, about, stricter, sentence):
    changes = diff(trial(), trial(name="two", **changed))
    (change,) = [each for each in changes if each.about == about]
    assert (change.sentence, change.stricter) == (sentence, stricter)
    assert len(changes) == (2 if about == "required" else 1)


def test_both_unit_systems_stand_in_the_sentence():
    one = trial(
        quantity="stack_temperature",
        limit='{ at_most = "140 °F" }',
        applies='applies = { fuel = ["propane"] }',
    )
    two = trial(
        name="two", quantity="stack_temperature", limit='{ at_most = "65 °C" }', applies='applies = { fuel = ["propane"] }'
    )  # fmt: skip
    change = only(one, two)
    assert change.first == "at most 140 °F (60 °C)"  # by definition of the scales
    assert change.second == "at most 149 °F (65 °C)"
    assert change.stricter == "first"


def test_a_rule_that_only_one_set_has():
    one, two = trial(), trial(name="two", id="gas", quantity="gas_leak_found", limit='{ is = "no" }')
    first, second = diff(one, two)
    assert (first.about, first.stricter) == ("only in the first", "first")
    assert second.sentence == (
        "Only 'two' has the rule 'gas', 'A rule for trying': A gas leak was found: no (fail; always); 'one' has no such rule."
    )


def test_a_rule_that_stands_for_another_reads_as_one_change():
    one, two = trial(), trial(name="two", id="draft-line", limit='{ below = "-1 Pa" }')
    assert [each.about for each in diff(one, two)] == ["stands for another", "limit"]


def test_versions_tell_two_editions_of_one_set_apart():
    later = rules.from_text(
        HEAD.format(name="one", low="5 %", high="95 %").replace('"1.0"', '"1.1"')
        + RULE.format(**{**USUAL, "severity": "stop and call"})
    )
    assert only(trial(), later).sentence == (
        "The rule 'draft', severity: fail in 'one 1.0', stop and call in 'one 1.1'; 'one 1.1' is stricter."
    )


def test_turned_round_the_other_is_stricter():
    turned = {"first": "second", "second": "first"}
    there, back = diff(PLAIN, STRICTER), diff(STRICTER, PLAIN)
    assert len(there) == len(back)
    for side, other in turned.items():
        assert sum(each.stricter == side for each in there) == sum(each.stricter == other for each in back)


def test_the_stricter_set_is_nowhere_milder_than_the_plain_one():
    changes = diff(PLAIN, STRICTER)
    assert [
        each.sentence for each in changes if each.stricter in ("first", "each in part", "cannot tell")
    ] == []
    assert sum(each.about == "limit" and each.stricter == "second" for each in changes) >= 20
    assert all(each.sentence.endswith(".") for each in changes)
    assert summary(PLAIN, STRICTER, changes).startswith("'plain' and 'stricter' differ in ")


PAIRS = [
    (one, next(rule for rule in STRICTER.rules if rule.id == one.id))
    for one in PLAIN.rules
    if one.measurable.kind is not None and any(rule.id == one.id for rule in STRICTER.rules)
]


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=lambda rule: rule.id)
def test_a_stricter_limit_lets_nothing_through_that_the_milder_stops(one, other):
    """By the limits themselves, at plates and weather of every sort."""
    for plate, outdoors in itertools.product((0.8, 9.0, 310.0), (250.0, 270.0, 281.3, 299.0, 312.0)):
        facts = {name: plate for rule in (one, other) for name in rule.plate_facts}
        mild, strict = (rule.bounds(outdoors, facts) for rule in (one, other))
        assert strict.lower >= mild.lower
        assert strict.upper <= mild.upper


temperatures = st.lists(st.integers(-40, 110), min_size=2, max_size=4, unique=True).map(sorted)


@settings(max_examples=40)
@given(st.data(), temperatures, temperatures)
def test_comparing_at_the_points_compares_everywhere(data, cold, warm):
    """Lines that bend at different temperatures, against limits read off at many temperatures between."""
    sets = []
    for name, places in (("one", cold), ("two", warm)):
        values = data.draw(st.lists(st.integers(-9, 9), min_size=len(places), max_size=len(places)))
        points = ", ".join(f'["{at} °F", "{value} Pa"]' for at, value in zip(places, values, strict=True))
        line = f'{{ at_most = {{ along = "outdoor_temperature", points = [{points}] }} }}'
        sets.append(trial(name=name, limit=line).rules[0])
    gaps = []
    for fahrenheit in range(-45, 116):
        kelvin = (fahrenheit + 459.67) / 1.8
        gaps.append(sets[0].bounds(kelvin).upper - sets[1].bounds(kelvin).upper)
    lowest, highest = min(gaps), max(gaps)
    tiny = 1e-9
    expected = (
        "neither" if -tiny <= lowest and highest <= tiny
        else "first" if highest <= tiny else "second" if lowest >= -tiny else "each in part"
    )  # fmt: skip
    assert stricter_limit(*sets) == expected


@pytest.mark.parametrize(
    ("one", "other", "stricter"),
    [
        ("", 'applies = { fuel = ["propane"] }', "first"),
        ('applies = { fuel = ["propane"] }', 'applies = { fuel = ["propane", "natural gas"] }', "second"),
        ('applies = { fuel = ["propane"] }', 'applies = { condensing = ["yes"] }', "each in part"),
        (
            'applies = { outdoor_temperature = { from = "10 °F", to = "50 °F" } }',
            'applies = { outdoor_temperature = { from = "0 °F" } }',
            "second",
        ),
    ],
)
def test_a_rule_that_applies_to_more_asks_for_more(one, other, stricter):
    first, second = (trial(applies=text).rules[0] for text in (one, other))
    assert stricter_conditions(first, second) == stricter


def test_rules_in_words():
    by_id = {rule.id: rule for rule in STRICTER.rules}
    assert limit_words(by_id["draft-for-the-weather"]) == (
        "at most −2.50 Pa at 10 °F (−12.2 °C), −0.50 Pa at 90 °F (32.2 °C) outdoors (straight between, held beyond)"
    )
    assert limit_words(by_id["rise-within-nameplate"]) == (
        "at least the least temperature rise on the rating plate and at most the greatest temperature rise on the rating "
        "plate less 5 °F (2.8 K)"
    )
    assert limit_words(by_id["sealed-not-judged"]) == "noted when yes"
    assert condition_words(by_id["spillage-stops-cold"]).startswith("stage: worst case; ")
    assert condition_words(by_id["gas-leak"]) == "always"
    band = trial(applies='applies = { outdoor_temperature = { from = "10 °F", to = "50 °F" } }').rules[0]
    assert condition_words(band) == "outdoors from 10 °F (−12.2 °C) to 50 °F (10 °C)"
    assert decision_words(PLAIN.decision).endswith("passes from 95 %")
