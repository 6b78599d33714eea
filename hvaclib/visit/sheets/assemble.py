"""From the cells of one visit to the visit: each bad cell is refused by itself, a bad row as a whole."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from hvaclib.errors import FileError, HvacError, InputError
from hvaclib.file_models import finding
from hvaclib.visit.model import InstrumentNote, Job, Visit
from hvaclib.visit.plate import Appliance
from hvaclib.visit.sheets.draft import Draft, Spot
from hvaclib.visit.sheets.entries import NOTHING, EntryMaker
from hvaclib.visit.sheets.facts import fact
from hvaclib.visit.sheets.places import Places
from hvaclib.visit.sheets.refusing import of_cell, of_model
from hvaclib.visit.sheets.table import Table
from hvaclib.visit.sheets.understood import Report
from hvaclib.visit.sheets.values import missing
from hvaclib.visit.sheets.words import Field, fields

_M = TypeVar("_M", bound=BaseModel)
MOST_ENTRIES = 2_000
"""Most entries of a visit, as the record holds them."""
_REQUIRED = {"id": "id of the job", "contractor": "contractor", "date": "date"}
_Told = tuple[str, str, str, str]
"""A note on a plate: name of the appliance, name of the fact, what the cell was taken for, and why."""


class Assembler:
    """Makes visits of one file's drafts.

    Parameters
    ----------
    report : Report
        Takes notes and refusals.
    day_first : bool, optional
        Order of day and month that the caller names.

    Notes
    -----
    What recurs from row to row (a plate, a yes) is made once: records are frozen, so visits can share them.
    """

    def __init__(self, report: Report, day_first: bool | None = None) -> None:
        self._report = report
        self._day_first = day_first
        self._orders: dict[int, bool | None] = {}
        self._commas: dict[int, bool] = {}
        self._plates: dict[Any, tuple[tuple[Appliance, ...], tuple[_Told, ...]]] = {}
        self._places: dict[Any, Places] = {}
        self._entries = EntryMaker(report, self._comma)
        self._told: list[tuple[Spot, str, str]] = []

    def visit(self, draft: Draft) -> Visit | None:
        """The visit of a draft; ``None`` where its row is refused."""
        try:
            return self._visit(draft)
        except FileError as error:
            self._report.refuse(error)
            return None

    def _visit(self, draft: Draft) -> Visit:
        job = self._job(draft)
        appliances = self._appliances(draft)
        key = (id(appliances), job.rooms, job.scope)
        if key not in self._places:
            if len(self._places) > 1_000:
                self._places.clear()
                self._entries.forget()
            self._places[key] = Places(appliances, job.rooms, job.scope)
        places = self._places[key]
        entries = self._entries.of(draft, places)
        if len(entries) > MOST_ENTRIES:
            raise FileError(
                "there are too many entries in one visit, and it is left out", where=draft.place,
                given=f"{len(entries):,}", expected=f"at most {MOST_ENTRIES:,}; other visits under other jobs",
            )  # fmt: skip
        notes = sorted(draft.instruments.items(), key=lambda row: int(row[0]))
        instruments = tuple(each for _, cells in notes if (each := self._instrument(cells)) is not None)
        try:
            return Visit(job=job, appliance=appliances, instrument=instruments, entry=entries)
        except ValidationError as error:
            raise of_model(error, {}, Visit, draft.place) from None

    def _job(self, draft: Draft) -> Job:
        values = self._values(draft.job, "job")
        for key, words_of in _REQUIRED.items():
            if key not in values:
                raise FileError(
                    f"the visit has no {words_of} that can be read, and is left out", where=draft.place,
                    expected=f"a cell under '{fields('job')[key].heading}'",
                )  # fmt: skip
        return self._built(Job, values, draft.job, draft.place)

    def _values(self, cells: dict[str, Spot], sort: str) -> dict[str, Any]:
        found = {}
        for key, spot in cells.items():
            try:
                value = self._value(fields(sort)[key], spot)
            except HvacError as error:
                self._report.refuse(of_cell(error, spot))
                continue
            if value is not None:
                found[key] = value
        return found

    def _value(self, field: Field, spot: Spot) -> Any:
        if spot.literal and field.sort in ("text", "number"):
            return spot.text
        if missing(spot.text):
            self._note(spot, "", NOTHING)
            return None
        if field.sort == "text":
            return spot.text
        order = self._order(spot) if field.sort == "date" else None
        table = spot.column.table
        value, why = fact(field, spot.text, spot.unit, self._comma(table), order, table.day_zero)
        if why:
            self._note(spot, str(value), why)
        return value

    def _appliances(self, draft: Draft) -> tuple[Appliance, ...]:
        key = tuple(
            (name, tuple((key, spot.text, spot.unit, spot.literal) for key, spot in cells.items()))
            for name, cells in draft.plates.items()
        )
        known = self._plates.get(key)
        if known is not None:
            for name, fact_key, taken, why in known[1]:
                self._report.interpret(draft.plates[name][fact_key], taken, why)
            return known[0]
        before = self._report.refused
        self._told = []
        present = {
            name: cells for name, cells in draft.plates.items()
            if any(spot.literal or not missing(spot.text) for spot in cells.values())
        }  # fmt: skip
        if not 1 <= len(present) <= 12:
            raise FileError(
                "the visit names no appliance, and is left out"
                if not present
                else "there are too many appliances",
                where=draft.place,
                expected="1 to 12, each with cells such as 'furnace: kind', 'furnace: fuel' and 'furnace: zone'",
            )
        found = tuple(
            self._appliance(name, cells, tuple(present), draft.place) for name, cells in present.items()
        )
        if self._report.refused == before:
            if len(self._plates) > 2_000:
                self._plates.clear()
                self._places.clear()
                self._entries.forget()
            self._plates[key] = found, tuple(self._told_of(draft))
        return found

    def _appliance(self, name: str, cells: dict[str, Spot], names: tuple[str, ...], place: str) -> Appliance:
        values = self._values(cells, "appliance")
        other = values.get("vent_shared_with")
        if other is not None and (other not in names or other == name):
            error = InputError(
                "no other appliance has that name", given=other, expected="the other one on the vent"
            )
            self._report.refuse(of_cell(error, cells["vent_shared_with"]))
            del values["vent_shared_with"]
        for key in ("kind", "fuel", "zone"):
            if key not in values:
                raise FileError(
                    f"the {key} of the appliance {name!r} is missing, and the visit is left out", where=place,
                    expected=f"a cell under '{name}: {key}'",
                )  # fmt: skip
        return self._built(Appliance, {"name": name, **values}, cells, place)

    def _instrument(self, cells: dict[str, Spot]) -> InstrumentNote | None:
        if not cells:
            return None
        place = next(iter(cells.values())).place
        try:
            return self._built(InstrumentNote, self._values(cells, "instrument"), cells, place)
        except FileError as error:
            self._report.refuse(error)
            return None

    def _built(self, model: type[_M], values: dict[str, Any], cells: dict[str, Spot], place: str) -> _M:
        """A model of the values; a cell that the model refuses is left out."""
        for _ in range(len(values) + 1):
            data = _nested(values)
            try:
                return model.model_validate(data)
            except ValidationError as error:
                where, what, given, expected = finding(error.errors()[0], data, model)
                match = re.match(r"[a-z_.]+", where)
                key = match[0].strip(".") if match else ""
                if key not in cells or key not in values:
                    raise of_model(error, data, model, place) from None
                self._report.refuse(of_cell(InputError(what, given=given, expected=expected), cells[key]))
                del values[key]
        raise FileError("the row cannot be read", where=place)

    def _order(self, spot: Spot) -> bool | None:
        """Order of day and month: the caller's, the heading's, or what other dates of the table settle."""
        if self._day_first is not None:
            return self._day_first
        form = spot.unit.lower()
        if form.startswith(("d", "m")) and "y" in form:
            return form.startswith("d")
        table = spot.column.table
        if id(table) not in self._orders:
            self._orders[id(table)] = table.day_first()
        return self._orders[id(table)]

    def _comma(self, table: Table) -> bool:
        if id(table) not in self._commas:
            self._commas[id(table)] = table.decimal_comma()
        return self._commas[id(table)]

    def _note(self, spot: Spot, taken: str, why: str) -> None:
        self._told.append((spot, taken, why))
        self._report.interpret(spot, taken, why)

    def _told_of(self, draft: Draft) -> Iterator[_Told]:
        """What was just noted of the plates of a draft, to be said of every other visit with the same plates."""
        for spot, taken, why in self._told:
            for name, cells in draft.plates.items():
                yield from ((name, key, taken, why) for key, cell in cells.items() if cell is spot)


def _nested(values: dict[str, Any]) -> dict[str, Any]:
    vent = {key[5:]: value for key, value in values.items() if key.startswith("vent.")}
    flat = {key: value for key, value in values.items() if not key.startswith("vent.")}
    return {**flat, "vent": vent} if vent else flat
