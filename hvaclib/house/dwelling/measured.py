"""The readings that a dwelling file may carry: checked against the vocabulary and handed on as ``Readings``."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from hvaclib.errors import HvacError
from hvaclib.readings import TEST_HOLES, VOCABULARY, Reading, Readings
from hvaclib.units import parse_si

if TYPE_CHECKING:
    from hvaclib.house.dwelling.model import Dwelling, Measurement

_ANSWERS = {"yes": 1.0, "no": 0.0}


def measured_readings(dwelling: Dwelling) -> Readings:
    """Readings of the dwelling's file, in SI."""
    return Readings(
        Reading(
            quantity=item.quantity,
            value=_value(item),
            where=item.where,
            when=item.when,
            instrument=item.instrument,
        )
        for item in dwelling.readings
    )


def reading_problems(dwelling: Dwelling) -> Iterator[tuple[int, str, str, object, str]]:
    """Index, key, what, given and expected of every reading that cannot be."""
    from hvaclib.house.dwelling.sentences import choice

    places = {
        "zone": dwelling.zone_names,
        "appliance": tuple(appliance.name for appliance in dwelling.appliances),
        "test hole": TEST_HOLES,
    }
    for index, item in enumerate(dwelling.readings):
        thing = VOCABULARY.get(item.quantity)
        if thing is None:
            yield (
                index,
                "quantity",
                "nothing measurable has this key",
                item.quantity,
                choice(item.quantity, VOCABULARY),
            )
            continue
        if thing.place in places and item.where not in places[thing.place]:
            yield (
                index,
                "where",
                f"no {thing.place} has this name",
                item.where,
                choice(item.where, places[thing.place]),
            )
        try:
            value = _value(item)
        except HvacError as error:
            yield index, "value", error.what, item.value, error.expected
            continue
        if not thing.least <= value <= thing.most:
            yield (
                index,
                "value",
                "no true value can be this",
                item.value,
                f"{thing.title.lower()}, a possible value",
            )


def _value(item: Measurement) -> float:
    kind = VOCABULARY[item.quantity].kind
    if kind is not None:
        return parse_si(item.value, kind)
    if item.value not in _ANSWERS:
        raise HvacError("the answer is not clear", given=item.value, expected='"yes" or "no"')
    return _ANSWERS[item.value]
