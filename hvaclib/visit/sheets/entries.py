"""From the cells of one visit to its entries; what recurs from row to row is made once."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from pydantic import ValidationError

from hvaclib.errors import HvacError, InputError
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

_KEPT = 50_000
NOTHING = "nothing was taken"
"""Why a dash in a cell is no value."""


class _Made(NamedTuple):
    """An entry that was made, and what the report says of each such cell: what it was taken for, and why."""

    entry: Entry
    told: tuple[tuple[str, str], ...]


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
    An entry with a value alone is kept by its places, its address and its cell: records are frozen, so visits can
    share them.
    """

    def __init__(self, report: Report, comma: Callable[[Table], bool]) -> None:
        self._report = report
        self._comma = comma
        self._made: dict[int, dict[Address, dict[tuple[str, str, bool], _Made]]] = {}
        self._count = 0

    def forget(self) -> None:
        """Drop what is kept: the places that it belongs to are gone, and others could take their identity."""
        self._made.clear()
        self._count = 0

    def of(self, draft: Draft, places: Places) -> tuple[Entry, ...]:
        """The entries of a draft; cells that cannot be read are refused."""
        found = []
        made: _Made | None
        mine = self._made.setdefault(id(places), {})
        for address, cells in draft.answers.items():
            spot = cells.get("value") if len(cells) == 1 else None
            if spot is None or draft.wheres:
                made = self._answered(address, cells, places, draft.wheres.get(address))
            elif (made := mine.get(address, {}).get((spot.text, spot.unit, spot.literal))) is None:
                made = self._first(address, spot, places)
            else:
                for taken, why in made.told:
                    self._report.interpret(spot, taken, why)
            if made is not None:
                found.append(made.entry)
        return tuple(found)

    def _first(self, address: Address, spot: Spot, places: Places) -> _Made | None:
        made = self._answered(address, {"value": spot}, places, None)
        if made is not None:
            self._count += 1
            if self._count > _KEPT:
                self.forget()
            kept = self._made.setdefault(id(places), {}).setdefault(address, {})
            kept[spot.text, spot.unit, spot.literal] = made
        return made

    def _answered(
        self, address: Address, cells: dict[str, Spot], places: Places, where: Spot | None
    ) -> _Made | None:
        line = item(address.key)
        spot = cells.get("value")
        any_spot = spot or where or next(iter(cells.values()), None)
        if any_spot is None:
            return None
        told: list[tuple[str, str]] = []
        try:
            place = self._where(line, address, where or any_spot, places, told)
        except HvacError as error:
            self._report.refuse(of_cell(error, where or any_spot, shown=where is not None))
            return None
        try:
            taken = self._taken(line, spot) if spot is not None else Taken("")
        except HvacError as error:
            self._report.refuse(of_cell(error, any_spot))
            return None
        if taken.why and spot is not None:
            told.append((f"{taken.bound} {taken.value}".strip(), taken.why))
            self._report.interpret(spot, *told[-1])
        parts = {key: each for key, each in cells.items() if key != "value"}
        values = self._parts(parts) if parts else {}
        if taken.bound:
            values["bound"] = taken.bound
        data = {"item": address.key, "value": taken.value, "where": place, "when": address.when, **values}
        try:
            return _Made(Entry.model_validate(data), tuple(told))
        except ValidationError as error:
            self._report.refuse(of_model(error, {}, Entry, any_spot.place))
            return None

    def _where(
        self, line: Item, address: Address, spot: Spot, places: Places, told: list[tuple[str, str]]
    ) -> str:
        if address.exact:
            return address.where or ""
        placed = places.of(line, address.where)
        if placed.why:
            told.append((placed.name, placed.why))
            self._report.interpret(spot, *told[-1])
        return placed.name

    def _taken(self, line: Item, spot: Spot) -> Taken:
        if spot.literal:
            return Taken(spot.text)
        if missing(spot.text):
            return Taken("", why=NOTHING if spot.text else "")
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
                self._report.refuse(of_cell(error, spot))
        return found


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
