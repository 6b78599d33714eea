"""The sheet that a technician would bring back from a simulated dwelling."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.readings import Reading, instrument_for, standard_uncertainty
from hvaclib.review.simulated.equipment import appliance_of, burners
from hvaclib.review.simulated.readings import Burner, simulated_readings
from hvaclib.units import kinds, shown, written
from hvaclib.visit import Demand, Entry, Item, Job, Visit, demands, items

if TYPE_CHECKING:
    import numpy as np

    from hvaclib.house.dwelling import Dwelling
    from hvaclib.readings import Readings

_BAD = frozenset({"gas_leak_found", "solid_fuel_operating"})
"""Yes-or-no readings of which the good answer is no."""
_NOTES = {"filter-size": "16x25x1"}
_CURRENT = 0.4
"""A, of an invented control circuit; the anticipator is set to it."""
_START, _STEP = 8 * 60, 3
"""Minutes past midnight of the first line, and between two lines."""


def visit_of(
    dwelling: Dwelling,
    job: Job | None = None,
    *,
    burner: Mapping[str, Burner] | None = None,
    readings: Readings | None = None,
    noise: np.random.Generator | None = None,
    system: str = "field",
) -> Visit:
    """A whole replacement job in a simulated dwelling, as a careful technician would write it down.

    Parameters
    ----------
    dwelling : Dwelling
        What is there; its gas and oil appliances count as the new ones.
    job : Job, optional
        Who, when and where; an invented one unless given. Rooms, altitude and scope come from the dwelling.
    burner : mapping of str to Burner, optional
        Setting of burners, see `simulated_readings`.
    readings : Readings, optional
        Instead of those that `simulated_readings` gives.
    noise : numpy.random.Generator, optional
        Readings then scatter by the instruments' standard uncertainty and are rounded to their displays; exact without.
    system : {"field", "si"}, optional
        Units of the sheet.

    Returns
    -------
    Visit
        Every line that the job needs, each answered as in a sound job, with rising times.

    Raises
    ------
    InputError
        As `simulated_readings`.
    """
    found = simulated_readings(dwelling, burner) if readings is None else readings
    given = job or Job(
        id="simulated", contractor="Invented Heating", date=dt.date(2026, 1, 15), invented=True
    )
    scope = tuple(dict.fromkeys((*given.scope, *_scope(dwelling))))
    rooms = tuple(each.where for each in found.of("room_pressure"))
    altitude = written(dwelling.site.altitude, kinds.LENGTH, system)
    job = given.model_copy(update={"scope": scope, "rooms": rooms, "altitude": altitude})
    bare = Visit(job=job, appliance=tuple(appliance_of(dwelling, each) for each in burners(dwelling)))
    entries = tuple(_entries(bare, found, noise, system))
    return bare.model_copy(update={"entry": entries})


def _scope(dwelling: Dwelling) -> Iterator[str]:
    if any(each.solid_fuel for each in dwelling.appliances):
        yield "solid fuel"
    if any("masonry" in each.kind for each in dwelling.vents):
        yield "chimney"
    handler = dwelling.air_handler
    if handler is not None and any(each.kind == "coil" for each in handler.components):
        yield "cooling coil"


def _entries(
    visit: Visit, readings: Readings, noise: np.random.Generator | None, system: str
) -> Iterator[Entry]:
    lines = {(each.item.key, each.where): each for each in demands(visit)}
    for optional in items():
        if optional.optional and optional.numeric:
            for each in readings.of(optional.quantity):
                if each.when == optional.stage and optional.where in ("", each.where):
                    lines.setdefault((optional.key, each.where), Demand(optional, each.where))
    work = sorted(lines.values(), key=lambda each: each.item.number)
    for number, line in enumerate(work):
        minutes = _START + _STEP * number
        yield Entry(
            item=line.item.key,
            where=line.where,
            at=f"{minutes // 60:02d}:{minutes % 60:02d}",
            **_answer(line.item, line.where, readings, noise, system),
        )


def _answer(
    item: Item, where: str, readings: Readings, noise: np.random.Generator | None, system: str
) -> dict[str, Any]:
    if item.kind == "photo":
        return {"photo": f"{item.key}.jpg"}
    if item.kind == "note":
        return {"value": _NOTES.get(item.key, "none")}
    if item.yes_or_no:
        return {"value": "no" if item.good == "no" or item.quantity in _BAD else "yes"}
    found = readings.get(item.quantity, where, item.stage)
    if found is None:
        if item.quantity in ("thermostat_current", "anticipator_setting"):
            found = Reading(item.quantity, _CURRENT, where)
        else:
            return {"value": ""}
    return {"value": _text(found, noise, system)}


def _text(reading: Reading, noise: np.random.Generator | None, system: str) -> str:
    thing = reading.measurable
    assert thing.kind is not None
    if math.isinf(reading.value):
        return thing.infinite
    if noise is None:
        return written(reading.value, thing.kind, system)
    value = reading.value + float(noise.normal(0.0, standard_uncertainty(reading)))
    if math.isfinite(thing.least):
        value = max(value, thing.least)
    instrument = instrument_for(reading)
    if instrument is None or instrument.resolution <= 0.0:
        return written(value, thing.kind, system, 1)
    width = kinds.TEMPERATURE_DIFFERENCE if thing.kind is kinds.TEMPERATURE else thing.kind
    last = float(shown(instrument.resolution, width, system) - shown(0.0, width, system))
    return written(value, thing.kind, system, max(0, math.ceil(-math.log10(last) - 0.5)))
