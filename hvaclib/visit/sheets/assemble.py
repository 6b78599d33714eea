"""From the cells of one visit to the visit: each bad cell is refused by itself, a bad row as a whole."""

from __future__ import annotations

import re
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from hvaclib.errors import FileError, HvacError, InputError
from hvaclib.file_models import finding
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.clock import clock
from hvaclib.visit.model import Entry, InstrumentNote, Job, Visit
from hvaclib.visit.plate import Appliance
from hvaclib.visit.sheets.draft import Address, Draft, Spot
from hvaclib.visit.sheets.facts import fact
from hvaclib.visit.sheets.places import Places
from hvaclib.visit.sheets.table import Table
from hvaclib.visit.sheets.understood import Report
from hvaclib.visit.sheets.values import Taken, missing, number, yes_or_no
from hvaclib.visit.sheets.words import Field, fields, fold, words

_M = TypeVar("_M", bound=BaseModel)
_KEPT = 50_000
_REQUIRED = {"id": "an id of the job", "contractor": "a contractor", "date": "a date"}


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
        self._plates: dict[Any, tuple[Appliance, ...]] = {}
        self._places: dict[Any, Places] = {}
        self._entries: dict[Any, Entry] = {}

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
                self._entries.clear()
            self._places[key] = Places(appliances, job.rooms, job.scope)
        places = self._places[key]
        found = (self._entry(address, cells, places) for address, cells in draft.answers.items() if cells)
        entries = tuple(each for each in found if each is not None)
        notes = sorted(draft.instruments.items(), key=lambda row: int(row[0]))
        instruments = tuple(each for _, cells in notes if (each := self._instrument(cells)) is not None)
        try:
            return Visit(job=job, appliance=appliances, instrument=instruments, entry=entries)
        except ValidationError as error:
            raise self._refusal(error, {}, Visit, draft.place) from None

    def _job(self, draft: Draft) -> Job:
        values = self._values(draft.job, "job")
        for key, words_of in _REQUIRED.items():
            if key not in values:
                raise FileError(
                    f"the visit has not {words_of} that can be read, and is left out", where=draft.place,
                    expected=f"a cell under '{fields('job')[key].heading}'",
                )  # fmt: skip
        return self._built(Job, values, draft.job, draft.place)

    def _values(self, cells: dict[str, Spot], sort: str) -> dict[str, Any]:
        found = {}
        for key, spot in cells.items():
            try:
                value = self._value(fields(sort)[key], spot)
            except HvacError as error:
                self._refuse(error, spot)
                continue
            if value is not None:
                found[key] = value
        return found

    def _value(self, field: Field, spot: Spot) -> Any:
        if spot.literal and field.sort in ("text", "number"):
            return spot.text
        if missing(spot.text):
            return None
        if field.sort == "text":
            return spot.text
        order = self._order(spot) if field.sort == "date" else None
        value, why = fact(field, spot.text, spot.unit, self._comma(spot.column.table), order)
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
            return known
        before = self._report.count
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
        if self._report.count == before:
            if len(self._plates) > 2_000:
                self._plates.clear()
                self._places.clear()
                self._entries.clear()
            self._plates[key] = found
        return found

    def _appliance(self, name: str, cells: dict[str, Spot], names: tuple[str, ...], place: str) -> Appliance:
        values = self._values(cells, "appliance")
        other = values.get("vent_shared_with")
        if other is not None and (other not in names or other == name):
            error = InputError(
                "no other appliance has that name", given=other, expected="the other one on the vent"
            )
            self._refuse(error, cells["vent_shared_with"])
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
                    raise self._refusal(error, data, model, place) from None
                self._refuse(InputError(what, given=given, expected=expected), cells[key])
                del values[key]
        raise FileError("the row cannot be read", where=place)

    def _entry(self, address: Address, cells: dict[str, Spot], places: Places) -> Entry | None:
        spot = cells.get("value")
        if spot is None or len(cells) > 1:
            return self._answered(address, cells, places)
        # the places stay in self._places as long as the entry is kept, so that no other has their id
        key = (address, spot.text, spot.unit, spot.literal, id(places))
        known = self._entries.get(key)
        if known is not None:
            return known
        before = self._report.count
        made = self._answered(address, cells, places)
        if made is not None and self._report.count == before:
            if len(self._entries) > _KEPT:
                self._entries.clear()
            self._entries[key] = made
        return made

    def _answered(self, address: Address, cells: dict[str, Spot], places: Places) -> Entry | None:
        line = item(address.key)
        spot = cells.get("value")
        any_spot = spot or next(iter(cells.values()), None)
        try:
            where = self._where(line, address, any_spot, places)
            taken = self._taken(line, spot) if spot is not None else Taken("")
        except HvacError as error:
            if any_spot is not None:
                self._refuse(error, any_spot)
            return None
        if taken.why and spot is not None:
            self._note(spot, f"{taken.bound} {taken.value}".strip(), taken.why)
        parts = {key: each for key, each in cells.items() if key != "value"}
        values = self._parts(parts) if parts else {}
        if taken.bound:
            values["bound"] = taken.bound
        data = {"item": address.key, "value": taken.value, "where": where, "when": address.when, **values}
        try:
            return Entry.model_validate(data)
        except ValidationError as error:
            assert any_spot is not None
            self._report.refuse(self._refusal(error, {}, Entry, any_spot.place))
            return None

    def _where(self, line: Item, address: Address, spot: Spot | None, places: Places) -> str:
        if address.exact:
            return address.where or ""
        placed = places.of(line, address.where)
        if placed.why and spot is not None:
            self._note(spot, placed.name, placed.why, found=address.where or "")
        return placed.name

    def _taken(self, line: Item, spot: Spot) -> Taken:
        if spot.literal:
            return Taken(spot.text)
        if missing(spot.text):
            return Taken("")
        if line.yes_or_no:
            return yes_or_no(spot.text)
        thing = line.measurable
        if thing is None or thing.kind is None:
            return Taken(spot.text)
        return number(spot.text, thing.kind, spot.unit, thing.infinite, self._comma(spot.column.table))

    def _parts(self, cells: dict[str, Spot]) -> dict[str, str]:
        found = {}
        for key, spot in cells.items():
            text = "" if missing(spot.text) and not spot.literal else spot.text
            try:
                found[key] = _time(text) if key == "at" else _bound(text) if key == "bound" else text
            except HvacError as error:
                self._refuse(error, spot)
        return found

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

    def _note(self, spot: Spot, taken: str, why: str, found: str | None = None) -> None:
        text = spot.text if found is None else found
        self._report.note(spot.place, spot.row, spot.column.name, text, taken, why)

    def _refuse(self, error: HvacError, spot: Spot) -> None:
        self._report.refuse(
            FileError(error.what, where=spot.place, given=_given(error, spot), expected=error.expected)
        )

    @staticmethod
    def _refusal(error: ValidationError, data: Any, model: Any, place: str) -> FileError:
        where, what, given, expected = finding(error.errors()[0], data, model)
        return FileError(
            what, where=", ".join(part for part in (place, where) if part), given=given, expected=expected
        )


def _given(error: HvacError, spot: Spot) -> object:
    return error.given if error.given is not None or not spot.text else spot.text[:80]


def _nested(values: dict[str, Any]) -> dict[str, Any]:
    vent = {key[5:]: value for key, value in values.items() if key.startswith("vent.")}
    flat = {key: value for key, value in values.items() if not key.startswith("vent.")}
    return {**flat, "vent": vent} if vent else flat


def _time(text: str) -> str:
    plain = re.sub(r"^(\d{1,2}:\d{2}):\d{2}(?=\s|$)", r"\1", text)
    if plain and clock(plain) is None:
        raise InputError("not a time of day", given=text[:40], expected="hours and minutes, as 14:05")
    return plain


def _bound(text: str) -> str:
    word = text.casefold()
    if not word or word in words("less_than"):
        return "less than" if word else ""
    if word in words("more_than"):
        return "more than"
    if fold(text) in ("exact", "equal", "=", ""):
        return ""
    raise InputError("not a bound", given=text[:40], expected="'less than', 'more than' or nothing")
