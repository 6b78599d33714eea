"""What the what-if board takes from a house, and the shelf on which it keeps what it has worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.review.what_if import Changes, largest_fan

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.review.fit.source import Source

KEPT = 400
"""Answers, and curves, that a board keeps."""


def outdoors_of(source: Source, dwelling: Dwelling) -> float:
    """Outdoor temperature on the day of the visit, K."""
    from hvaclib.readings import Readings
    from hvaclib.visit import facts_of

    if isinstance(source.record, Readings):
        read = source.record.get("outdoor_temperature")
        return dwelling.weather.outdoor_temperature if read is None else read.value
    return float(facts_of(source.record).get("outdoor_temperature", dwelling.weather.outdoor_temperature))


def exhaust_of(dwelling: Dwelling) -> float:
    """Airflow of the largest exhaust fan, m³/s; 0 where there is none."""
    from hvaclib.errors import InputError

    try:
        fan = dwelling.part("fans", largest_fan(dwelling))
    except InputError:
        return 0.0
    return float(fan.flow or fan.curve[0][1])


def within(trait: Any, value: float) -> float:
    return min(max(value, trait.low), trait.high)


def key_of(changes: Changes) -> Any:
    """The changes as a key."""
    return (changes.outdoor, changes.exhaust, tuple(changes.doors.items()), changes.liner, changes.opening)


def keep(store: dict[Any, Any], key: Any, value: Any) -> None:
    """Keep a result, and let the oldest go when there are many."""
    while len(store) >= KEPT:
        del store[next(iter(store))]
    store[key] = value
