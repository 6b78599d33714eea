"""The facts of a visit that stand in tables: those of the job, the plates and the instruments that are not as usual."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hvaclib.visit.model import InstrumentNote, Job, Visit
from hvaclib.visit.plate import Appliance, VentNote
from hvaclib.visit.sheets.words import Field, fields

_USUAL: dict[str, Any] = {
    **{f"job.{key}": each.default for key, each in Job.model_fields.items()},
    **{f"appliance.{each.alias or key}": each.default for key, each in Appliance.model_fields.items()},
    **{f"appliance.vent.{key}": each.default for key, each in VentNote.model_fields.items()},
    **{f"instrument.{key}": each.default for key, each in InstrumentNote.model_fields.items()},
}


def job_facts(visit: Visit) -> Iterator[tuple[Field, Any]]:
    """Facts of the job in the order of the headings."""
    for key, field in fields("job").items():
        value = getattr(visit.job, key)
        if value != _USUAL[f"job.{key}"]:
            yield field, value


def plate_facts(appliance: Appliance) -> Iterator[tuple[Field, Any]]:
    """Facts of a plate; the kind of the vent stands wherever there is one."""
    for key, field in fields("appliance").items():
        if key.startswith("vent."):
            if appliance.vent is not None:
                value = getattr(appliance.vent, key[5:])
                if key == "vent.kind" or value != _USUAL[f"appliance.{key}"]:
                    yield field, value
            continue
        value = getattr(appliance, "is_new" if key == "new" else key)
        if value != _USUAL[f"appliance.{key}"]:
            yield field, value


def instrument_facts(note: InstrumentNote) -> Iterator[tuple[Field, Any]]:
    """Facts of an instrument."""
    for key, field in fields("instrument").items():
        value = getattr(note, key)
        if value != _USUAL[f"instrument.{key}"]:
            yield field, value


def crowded(visits: tuple[Visit, ...]) -> frozenset[str]:
    """Folded names that stand for several things, and so need to be told apart letter by letter."""
    from hvaclib.visit.sheets.words import fold

    seen: dict[str, set[str]] = {}
    for visit in visits:
        for each in visit.appliance:
            seen.setdefault(fold(each.name), set()).add(each.name)
            seen.setdefault(fold(each.zone), set()).add(each.zone)
        for room in visit.job.rooms:
            seen.setdefault(fold(room), set()).add(room)
    return frozenset(name for name, spellings in seen.items() if len(spellings) > 1)
