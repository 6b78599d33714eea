"""From the cells of one visit to its entries; what recurs from row to row is made once."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from pydantic import ValidationError

from hvaclib.errors import HvacError, InputError
from hvaclib.units import kinds
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.clock import clock
from hvaclib.visit.model import Entry
from hvaclib.visit.sheets.draft import Address, Draft, Spot
from hvaclib.visit.sheets.places import Places
from hvaclib.visit.sheets.refusing import of_cell, of_model
from hvaclib.visit.sheets.table import Table
from hvaclib.visit.sheets.understood import Report
from hvaclib.visit.sheets.values import Taken, missing, number, yes_or_no
from hvaclib.visit.sheets.words import fold, words

_KEPT = 20_000
NOTHING = "nothing was taken"
"""Why a dash in a cell is no value."""


_Told = tuple[str, str]
"""What the report says of a cell: what it was taken for, and why."""


class _Made(NamedTuple):
    """An entry that was made of a value alone, and what the report says of each such cell."""

    entry: Entry
    told: tuple[_Told, ...]


class _Asked(NamedTuple):
    """What is asked at an address of a visit with given places, and what has been answered there so far."""

    line: Item
    kind: kinds.Kind | None
    yes_or_no: bool
    where: str
    told: tuple[_Told, ...]
    made: dict[tuple[str, str, bool], _Made]


class EntryMaker:
    """Makes entries of one file's drafts.

    Parameters
    ----------
    report : Report
        Takes notes and refusals.
    comma : callable
        Whether a table has decimal commas.

    Notes
    -----
    An entry is kept by its places, its address and its value: records are frozen, so visits can share them.
    """

    def __init__(self, report: Report, comma: Callable[[Table], bool]) -> None:
        self._report = report
        self._comma = comma
        self._asked: dict[int, dict[Address, _Asked]] = {}
        self._count = 0

    def forget(self) -> None:
        """Drop what is kept: the places that it belongs to are gone, and others could take their identity."""
        self._asked.clear()
        self._count = 0

    def of(self, draft: Draft, places: Places) -> tuple[Entry, ...]:
        """The entries of a draft; cells that cannot be read are refused."""
        if self._count > _KEPT:
            self.forget()
        found = []
        known = self._asked.setdefault(id(places), {})
        for address, cells in draft.answers.items():
            where = draft.wheres.get(address) if draft.wheres else None
            asked = known.get(address) or self._ask(address, cells, where, places)
            if asked is None:
                continue
            spot = cells.get("value") if not (where and asked.told) else None
            if spot is None:
                entry = self._answered(asked, address, cells, where)
            else:
                entry = self._known(asked, address, spot)
                if entry is not None and len(cells) > 1:
                    entry = self._with_parts(entry, cells)
            if entry is not None:
                found.append(entry)
        return tuple(found)

    def _ask(
        self, address: Address, cells: dict[str, Spot], where: Spot | None, places: Places
    ) -> _Asked | None:
        line = item(address.key)
        place, told = address.where or "", ""
        if not address.exact:
            try:
                place, told = places.of(line, address.where)
            except HvacError as error:
                spot = where or cells.get("value") or next(iter(cells.values()), None)
                if spot is not None:
                    self._report.refuse(of_cell(error, spot, shown=where is not None))
                return None
        thing = line.measurable
        kind = thing.kind if thing is not None else None
        asked = _Asked(line, kind, line.yes_or_no, place, ((place, told),) if told else (), {})
        self._asked[id(places)][address] = asked
        return asked

    def _known(self, asked: _Asked, address: Address, spot: Spot) -> Entry | None:
        made = asked.made.get((spot.text, spot.unit, spot.literal))
        if made is None:
            return self._first(asked, address, spot)
        for taken, why in made.told:
            self._report.interpret(spot, taken, why)
        return made.entry

    def _with_parts(self, entry: Entry, cells: dict[str, Spot]) -> Entry:
        parts = self._parts({key: each for key, each in cells.items() if key != "value"})
        if entry.bound:
            parts.pop("bound", None)  # the cell itself says it
        # No second validation: times and bounds were read, and no cell is longer than the record holds.
        return entry.model_copy(update=parts)

    def _first(self, asked: _Asked, address: Address, spot: Spot) -> Entry | None:
        before = self._report.refused
        told: list[_Told] = []
        entry = self._answered(asked, address, {"value": spot}, None, told)
        if entry is not None and self._report.refused == before:
            asked.made[spot.text, spot.unit, spot.literal] = _Made(entry, tuple(told))
            self._count += 1
        return entry

    def _answered(
        self,
        asked: _Asked,
        address: Address,
        cells: dict[str, Spot],
        where: Spot | None,
        told: list[_Told] | None = None,
    ) -> Entry | None:
        spot = cells.get("value")
        any_spot = spot or where or next(iter(cells.values()), None)
        if any_spot is None:
            return None
        try:
            taken = self._taken(asked, spot) if spot is not None else Taken("")
        except HvacError as error:
            self._report.refuse(of_cell(error, any_spot))
            return None
        for each in asked.told:
            self._tell(where or any_spot, each, told)
        if taken.why:
            self._tell(any_spot, (f"{taken.bound} {taken.value}".strip(), taken.why), told)
        data = {"item": address.key, "value": taken.value, "where": asked.where, "when": address.when}
        if len(cells) > 1 or spot is None:
            data.update(self._parts({key: each for key, each in cells.items() if key != "value"}))
        if taken.bound:
            data["bound"] = taken.bound
        try:
            return Entry.model_validate(data)
        except ValidationError as error:
            self._report.refuse(of_model(error, {}, Entry, any_spot.place))
            return None

    def _tell(self, spot: Spot, told: _Told, kept: list[_Told] | None) -> None:
        self._report.interpret(spot, *told)
        if kept is not None:
            kept.append(told)

    def _taken(self, asked: _Asked, spot: Spot) -> Taken:
        if spot.literal:
            return Taken(spot.text)
        if missing(spot.text):
            return Taken("", why=NOTHING if spot.text else "")
        if asked.yes_or_no:
            return yes_or_no(spot.text)
        if asked.kind is None:
            return Taken(spot.text)
        thing = asked.line.measurable
        infinite = thing.infinite if thing is not None else ""
        return number(spot.text, asked.kind, spot.unit, infinite, self._comma(spot.column.table))

    def _parts(self, cells: dict[str, Spot]) -> dict[str, str]:
        found = {}
        for key, spot in cells.items():
            text = "" if missing(spot.text) and not spot.literal else spot.text
            try:
                found[key] = _time(text) if key == "at" else _bound(text) if key == "bound" else text
            except HvacError as error:
                self._report.refuse(of_cell(error, spot))
        return found


@lru_cache(maxsize=2_048)
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
