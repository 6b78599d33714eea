"""A record as the review reads it: places filled in, values read one by one, and what follows from two of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from hvaclib.errors import HvacError
from hvaclib.physics.flue_gas.analysis import AMBIENT_OXYGEN, co_air_free
from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.review.altitude import facts_there
from hvaclib.review.plausibility.registry import checks_of
from hvaclib.review.plausibility.sheet import sheet_of
from hvaclib.rules import Facts, completed
from hvaclib.visit import Visit, answer_of, reading_of

if TYPE_CHECKING:
    from hvaclib.review.plausibility.law import Check
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.visit import Entry


@dataclass(frozen=True)
class Record:
    """A visit with every value read that can be read.

    Parameters
    ----------
    given : Visit
        As it came.
    visit : Visit
        Entries whose place was left blank have the only one that it can be.
    readings : Readings
        As they were taken.
    completed : Readings
        With what follows from two of them.
    facts : Facts
        For the rules.
    refused : tuple of (Entry, HvacError)
        What could not be read, and why.
    pairs : tuple of (Entry, Reading)
        Where each reading stands.
    """

    given: Visit
    visit: Visit
    readings: Readings
    completed: Readings
    facts: Facts
    refused: tuple[tuple[Entry, HvacError], ...]
    pairs: tuple[tuple[Entry, Reading], ...]

    @cached_property
    def sheet(self) -> Sheet:
        """Its numbers as the laws between readings take them."""
        return sheet_of(self.visit, self.readings)

    @cached_property
    def checks(self) -> tuple[Check, ...]:
        """Every law as its numbers can be held against it."""
        return checks_of(self.sheet)


def record_of(visit: Visit) -> Record:
    """Read a visit value by value; one that cannot be read takes no other with it.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    Record
    """
    entries = tuple(_placed(entry, visit) for entry in visit.entry)
    placed = _with_entries(visit, entries)
    refused: list[tuple[Entry, HvacError]] = []
    pairs: list[tuple[Entry, Reading]] = []
    for entry in entries:
        try:
            reading = reading_of(entry, placed)
            if reading is not None:
                pairs.append((entry, reading))
            elif entry.line.measurable is None:
                answer_of(entry)
        except HvacError as error:
            refused.append((entry, error))
    bad = {id(entry) for entry, _ in refused}
    sound = _with_entries(visit, tuple(entry for entry in entries if id(entry) not in bad)) if bad else placed
    facts = Facts.from_mapping(facts_there(sound))
    readings = Readings(reading for _, reading in pairs)
    whole = completed(readings, facts)
    made = [each for each in _made(sound, whole) if whole.get(each.quantity, each.where, each.when) is None]
    whole = whole + made if made else whole
    return Record(visit, placed, readings, whole, facts, tuple(refused), tuple(pairs))


def readings_with_derived(visit: Visit) -> Readings:
    """Readings of a visit and what follows from two of them, each only where the sheet does not have it.

    Parameters
    ----------
    visit : Visit
        What cannot be read is left out.

    Returns
    -------
    Readings
        Temperature rise, change of a zone's pressure, filter's pressure drop (`hvaclib.rules.completed`); total external
        static pressure of the only furnace from holes 2 and 3; air-free carbon monoxide from the measured one and oxygen.
    """
    return record_of(visit).completed


def _with_entries(visit: Visit, entries: tuple[Entry, ...]) -> Visit:
    # No second validation: every part was checked when the visit was read.
    return Visit.model_construct(
        format=visit.format,
        job=visit.job,
        appliance=visit.appliance,
        instrument=visit.instrument,
        entry=entries,
    )


def _placed(entry: Entry, visit: Visit) -> Entry:
    """An entry with its place: the only one that it can be, where the sheet leaves it blank."""
    line = entry.line
    names = (line.where,) if line.where else visit.places[line.place]
    if entry.where in names:
        return entry
    same = [name for name in names if name.lower() == entry.where.strip().lower()]
    if not same and len(names) == 1 and not entry.where:
        same = [names[0]]
    return entry.model_copy(update={"where": same[0]}) if same else entry


def _made(visit: Visit, readings: Readings) -> list[Reading]:
    furnaces = [each.name for each in visit.appliance if each.kind.endswith("furnace")]
    before = readings.get("static_pressure", "hole 2")
    past = readings.get("static_pressure", "hole 3")
    made = []
    # Holes in each other's place make no static pressure; that their order is wrong is said elsewhere.
    if len(furnaces) == 1 and before is not None and past is not None and past.value >= before.value:
        width = math.hypot(standard_uncertainty(before), standard_uncertainty(past))
        made.append(
            Reading(
                "external_static",
                past.value - before.value,
                furnaces[0],
                note="hole 3 less hole 2",
                standard_uncertainty=width,
            )
        )
    return made + _air_free_of(readings)


def _air_free_of(readings: Readings) -> list[Reading]:
    made = []
    for measured in readings.of("co_flue"):
        oxygen = readings.get("oxygen_flue", measured.where, measured.when)
        if oxygen is None or not 0.0 <= oxygen.value < 0.2:
            continue  # nearly plain air: the factor has no bound
        factor = float(co_air_free.si(co=1.0, o2=oxygen.value))
        share = standard_uncertainty(oxygen) / (AMBIENT_OXYGEN - oxygen.value)
        width = factor * math.hypot(standard_uncertainty(measured), measured.value * share)
        made.append(
            Reading(
                "co_air_free",
                factor * measured.value,
                measured.where,
                measured.when,
                note="from carbon monoxide as measured and oxygen",
                standard_uncertainty=width,
            )
        )
    return made
