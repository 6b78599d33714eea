"""Names in a dwelling file: given once, and never referring to nothing. Works on the file's own tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

from hvaclib.house.dwelling.parts import OUTDOORS
from hvaclib.house.dwelling.sentences import choice

Location: TypeAlias = tuple[str | int, ...]
Records: TypeAlias = list[tuple[int, dict[str, Any]]]


@dataclass(frozen=True)
class Problem:
    """One thing wrong: its place in the file's keys, what it is, what was found and what is expected."""

    location: Location
    what: str
    given: object = None
    expected: str = ""


def name_problems(raw: dict[str, Any]) -> Iterator[Problem]:
    """Duplicate names and references to nothing, found in the file's own tables, whatever else is wrong there."""
    tables = {
        name: _records(raw.get(name))
        for name in ("zone", "leak", "opening", "door", "window", "fan", "vent", "appliance")
    }
    for table, records in tables.items():
        yield from _duplicates(table, records)
    zones = [str(record["name"]) for _, record in tables["zone"] if isinstance(record.get("name"), str)]
    places = [*zones, OUTDOORS]
    for index, record in tables["zone"]:
        if record.get("name") == OUTDOORS:
            yield Problem(
                ("zone", index, "name"), "this name is taken", OUTDOORS, "another name for the zone"
            )
    if len(zones) == len(tables["zone"]):
        # a zone without a name would make every mention of it an error of its own
        yield from _zone_names(tables, zones)
        yield from _duct_names(raw.get("air_handler"), zones, places)
    vents = [str(record.get("name")) for _, record in tables["vent"]]
    for index, record in tables["appliance"]:
        yield from _reference(("appliance", index, "vent"), record.get("vent"), vents, "vent")


def _zone_names(tables: dict[str, Records], zones: list[str]) -> Iterator[Problem]:
    places = [*zones, OUTDOORS]
    for table in ("leak", "opening", "door"):
        for index, record in tables[table]:
            yield from _between((table, index, "between"), record.get("between"), places)
    for table, key, allowed in (
        ("window", "zone", zones),
        ("fan", "zone", zones),
        ("fan", "to", places),
        ("appliance", "zone", zones),
    ):
        for index, record in tables[table]:
            yield from _reference((table, index, key), record.get(key), allowed, "zone")


def _records(table: object) -> Records:
    if not isinstance(table, list | tuple):
        return []
    return [(index, record) for index, record in enumerate(table) if isinstance(record, dict)]


def _duplicates(table: str, records: Records) -> Iterator[Problem]:
    counts = Counter(record["name"] for _, record in records if isinstance(record.get("name"), str))
    seen: set[str] = set()
    for index, record in records:
        name = record.get("name")
        if isinstance(name, str) and counts[name] > 1:
            if name in seen:
                yield Problem(
                    (table, index, "name"), f"two {table}s have this name", name, "a name of its own for each"
                )
            seen.add(name)


def _between(location: Location, pair: object, places: list[str]) -> Iterator[Problem]:
    if not isinstance(pair, list | tuple) or len(pair) != 2:
        return
    for end, name in enumerate(pair):
        yield from _reference((*location, end), name, places, "zone")
    if pair[0] == pair[1]:
        yield Problem(location, "both ends are the same", pair[0], "two different zones")


def _reference(location: Location, name: object, known: list[str], what: str) -> Iterator[Problem]:
    if isinstance(name, str) and name.strip() not in known:
        yield Problem(location, f"no {what} has this name", name, choice(name, known))


def _duct_names(handler: object, zones: list[str], places: list[str]) -> Iterator[Problem]:
    if not isinstance(handler, dict):
        return
    yield from _reference(("air_handler", "zone"), handler.get("zone"), zones, "zone")
    for key, allowed in (
        ("supply", zones),
        ("return", zones),
        ("supply_leakage", places),
        ("return_leakage", places),
    ):
        for index, record in _records(handler.get(key)):
            yield from _reference(("air_handler", key, index, "zone"), record.get("zone"), allowed, "zone")
