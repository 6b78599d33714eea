"""What no single field can know: names that must exist, shares that must add up, zones that must leak."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hvaclib.house.dwelling.parts import OUTDOORS, DuctShare
from hvaclib.house.dwelling.sentences import choice
from hvaclib.house.dwelling.vent_checks import vent_problems

if TYPE_CHECKING:
    from hvaclib.house.dwelling.model import Dwelling

#: How far a leak may lie below a zone's floor or above its ceiling, m: rim joists and sills belong to both.
HEIGHT_SLACK = 0.6
#: How far shares may miss 1; people round to two decimals.
SHARE_SLACK = 0.005

Location = tuple[str | int, ...]


@dataclass(frozen=True)
class Problem:
    """One thing wrong: its place in the file's keys, what it is, what was found and what is expected."""

    location: Location
    what: str
    given: object = None
    expected: str = ""


def problems(dwelling: Dwelling) -> list[Problem]:
    """Everything wrong with a dwelling whose fields are each right."""
    names = list(name_problems(dwelling.model_dump(by_alias=True, warnings=False)))
    if names:
        return names
    found = [
        *_zones(dwelling),
        *_faces(dwelling),
        *_heights(dwelling),
        *_fans(dwelling),
        *_ducts(dwelling),
        *vent_problems(dwelling),
        *_readings(dwelling),
    ]
    return found or list(_isolated(dwelling))


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
    vents = [str(record.get("name")) for _, record in tables["vent"]]
    for index, record in tables["appliance"]:
        yield from _reference(("appliance", index, "vent"), record.get("vent"), vents, "vent")
    yield from _duct_names(raw.get("air_handler"), zones, places)


def _records(table: object) -> list[tuple[int, dict[str, Any]]]:
    if not isinstance(table, list | tuple):
        return []
    return [(index, record) for index, record in enumerate(table) if isinstance(record, dict)]


def _duplicates(table: str, records: list[tuple[int, dict[str, Any]]]) -> Iterator[Problem]:
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


def _zones(dwelling: Dwelling) -> Iterator[Problem]:
    for index, zone in enumerate(dwelling.zones):
        if zone.unheated == (zone.temperature is not None):
            yield Problem(
                ("zone", index),
                "its temperature is not settled",
                "both temperature and unheated = true"
                if zone.unheated
                else "neither temperature nor unheated = true",
                'temperature = "68 °F", or unheated = true',
            )


def _faces(dwelling: Dwelling) -> Iterator[Problem]:
    for table in ("leak", "opening", "door"):
        for index, part in enumerate(getattr(dwelling, f"{table}s")):
            if part.faces != "none" and OUTDOORS not in part.between:
                yield Problem(
                    (table, index, "faces"),
                    "a path between two zones faces no wind",
                    part.faces,
                    '"none", or outdoors at one end',
                )


def _heights(dwelling: Dwelling) -> Iterator[Problem]:
    for table in ("leak", "opening"):
        for index, part in enumerate(getattr(dwelling, f"{table}s")):
            top = getattr(part, "top", None)
            if top is not None and top <= part.height:
                yield Problem(
                    (table, index, "top"), "the top is not above the lower end", None, "a top above height"
                )
            for z in (part.height, part.height if top is None else top):
                outside = [
                    name for name in part.between if name != OUTDOORS and not _within(dwelling, name, z)
                ]
                if outside:
                    zone = dwelling.zone(outside[0])
                    yield Problem(
                        (table, index, "height"),
                        f'the height lies outside zone "{zone.name}"',
                        _feet(z),
                        f"{_feet(zone.floor)} to {_feet(zone.ceiling)} above outdoor ground",
                    )
                    break
    for index, door in enumerate(dwelling.doors):
        tallest = max(dwelling.zone(name).ceiling for name in door.between if name != OUTDOORS)
        floor = max(dwelling.zone(name).floor for name in door.between if name != OUTDOORS)
        if floor + door.sill + door.height > tallest + HEIGHT_SLACK:
            yield Problem(
                ("door", index, "height"),
                "the door is taller than its zones",
                _feet(door.sill + door.height),
                f"at most {_feet(tallest - floor)} above the floor",
            )
    for index, window in enumerate(dwelling.windows):
        if window.sill + window.height > dwelling.zone(window.zone).height + HEIGHT_SLACK:
            yield Problem(
                ("window", index, "height"),
                "the window is taller than its zone",
                _feet(window.sill + window.height),
                f"at most {_feet(dwelling.zone(window.zone).height)} above the floor",
            )


def _within(dwelling: Dwelling, name: str, z: float) -> bool:
    zone = dwelling.zone(name)
    return zone.floor - HEIGHT_SLACK <= z <= zone.ceiling + HEIGHT_SLACK


def _feet(metres: float) -> str:
    return f"{metres / 0.3048:.1f} ft"


def _fans(dwelling: Dwelling) -> Iterator[Problem]:
    for index, fan in enumerate(dwelling.fans):
        if fan.to == fan.zone:
            yield Problem(
                ("fan", index, "to"), "the fan blows into its own zone", fan.to, "another zone or outdoors"
            )
        if (fan.flow is None) == (fan.curve is None):
            yield Problem(
                ("fan", index),
                "its airflow is not settled",
                "neither flow nor curve" if fan.flow is None else "both flow and curve",
                'either flow = "150 cfm" or a curve',
            )
        if fan.curve is not None:
            yield from _curve(("fan", index, "curve"), fan.curve)


def _curve(location: Location, curve: tuple[tuple[float, float], ...]) -> Iterator[Problem]:
    if len(curve) < 2:
        yield Problem(
            location,
            "the curve is too short",
            f"{len(curve)} point",
            "two pairs of pressure and flow or more",
        )
    for number, ((low, most), (high, least)) in enumerate(itertools.pairwise(curve), start=1):
        if high <= low or least >= most:
            yield Problem(
                (*location, number),
                "the fan curve does not fall",
                f"{low:.4g} Pa {_cfm(most)}, then {high:.4g} Pa {_cfm(least)}",
                "pressures that rise and airflows that fall from one pair to the next",
            )


def _cfm(flow: float) -> str:
    return f"{flow / 0.3048**3 * 60:.4g} cfm"


def _ducts(dwelling: Dwelling) -> Iterator[Problem]:
    handler = dwelling.air_handler
    if handler is None:
        return
    sides: tuple[tuple[str, tuple[DuctShare, ...], tuple[DuctShare, ...]], ...] = (
        ("supply", handler.supplies, handler.supply_leakage),
        ("return", handler.returns, handler.return_leakage),
    )
    for side, registers, leaks in sides:
        total = math.fsum(item.share for item in (*registers, *leaks))
        if abs(total - 1.0) > SHARE_SLACK:
            yield Problem(
                ("air_handler", side),
                f"the shares of {side} and {side}_leakage do not add up to 1",
                f"{total:.3g}",
                "1",
            )


def _readings(dwelling: Dwelling) -> Iterator[Problem]:
    if not dwelling.readings:
        return
    from hvaclib.house.dwelling.measured import reading_problems

    for index, key, what, given, expected in reading_problems(dwelling):
        yield Problem(("reading", index, key), what, given, expected)


def _isolated(dwelling: Dwelling) -> Iterator[Problem]:
    """Zones that no leak, opening or closed door's crack joins to outdoors, directly or through others."""
    joined = {OUTDOORS}
    links = list(_closed_links(dwelling))
    grew = True
    while grew:
        before = len(joined)
        for one, other in links:
            if one in joined or other in joined:
                joined |= {one, other}
        grew = len(joined) > before
    for index, zone in enumerate(dwelling.zones):
        if zone.name not in joined:
            yield Problem(
                ("zone", index),
                "no air can get in or out when its doors are closed",
                None,
                "a leak, an opening or a door with an undercut that leads outdoors, directly or through other zones",
            )


def _closed_links(dwelling: Dwelling) -> Iterable[tuple[str, str]]:
    yield from (leak.between for leak in dwelling.leaks)
    yield from (opening.between for opening in dwelling.openings)
    for door in dwelling.doors:
        if door.undercut > 0.0 or door.crack_area > 0.0:
            yield door.between
