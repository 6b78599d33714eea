"""Differences of two readings that rules ask for and a sheet seldom holds: made where both readings were taken."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hvaclib.readings import TEST_HOLES, Reading, Readings, standard_uncertainty
from hvaclib.rules.facts import Facts

_SUBTRACTIONS = (
    ("temperature_rise", "supply_temperature", "return_temperature"),
    ("anticipator_difference", "anticipator_setting", "thermostat_current"),
)
"""What is made, of what, less what; at one place and stage."""


def completed(readings: Readings, facts: Facts | None = None) -> Readings:
    """Readings and the differences that follow from them.

    Parameters
    ----------
    readings : Readings
        As they were taken.
    facts : Facts, optional
        Tell which furnace the test holes belong to.

    Returns
    -------
    Readings
        The given ones first, unchanged; then, each only where it was not given: temperature rise, anticipator's
        difference, change of a zone's pressure since the baseline, and the filter's pressure drop where there is one
        furnace. Each with the standard uncertainty of both readings together, and a note that says where it comes from.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2.

    Examples
    --------
    >>> taken = Readings([Reading("caz_pressure", -1.0, "basement", "baseline"),
    ...                   Reading("caz_pressure", -4.5, "basement", "worst case")])
    >>> completed(taken).get("caz_pressure_change", "basement").value
    -3.5
    """
    given = {(item.quantity, item.where, item.when) for item in readings}
    made = [*_differences(readings), *_changes(readings), *_filter_drop(readings, facts)]
    fresh = [item for item in made if (item.quantity, item.where, item.when) not in given]
    return readings + fresh if fresh else readings


def _differences(readings: Readings) -> Iterator[Reading]:
    for quantity, one, other in _SUBTRACTIONS:
        latest = {(item.where, item.when): item for item in readings.of(other)}
        for place, item in {(item.where, item.when): item for item in readings.of(one)}.items():
            if place in latest:
                yield _less(quantity, item, latest[place], item.where, item.when)


def _changes(readings: Readings) -> Iterator[Reading]:
    pressures = readings.of("caz_pressure")
    before = {item.where: item for item in pressures if item.when == "baseline"}
    after = {(item.where, item.when): item for item in pressures if item.when not in ("", "baseline")}
    for (where, when), item in after.items():
        if where in before:
            yield _less("caz_pressure_change", item, before[where], where, when)


def _filter_drop(readings: Readings, facts: Facts | None) -> Iterator[Reading]:
    furnaces = [
        name
        for name, row in (facts.appliances if facts else {}).items()
        if any(kind.endswith("furnace") for kind in row.get("appliance_kind", ()))
    ]
    holes = [readings.get("static_pressure", hole) for hole in TEST_HOLES[:2]]
    before, past = holes
    if len(furnaces) == 1 and before is not None and past is not None and before.value >= past.value:
        yield _less("filter_pressure_drop", before, past, furnaces[0], past.when)


def _less(quantity: str, one: Reading, other: Reading, where: str, when: str) -> Reading:
    uncertainty = math.hypot(standard_uncertainty(one), standard_uncertainty(other))
    return Reading(
        quantity,
        one.value - other.value,
        where,
        when,
        computed=one.computed and other.computed,
        note=f"{one.measurable.title} less {_lower(other.measurable.title)}",
        standard_uncertainty=uncertainty,
    )


def _lower(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"
