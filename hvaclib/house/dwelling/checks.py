"""What no single field can know: names that must exist, shares that must add up, zones that must leak."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from hvaclib.house.dwelling.air_checks import air_problems
from hvaclib.house.dwelling.names import Location, Problem, name_problems
from hvaclib.house.dwelling.parts import OUTDOORS, DuctShare
from hvaclib.house.dwelling.sentences import Words
from hvaclib.house.dwelling.vent_checks import vent_problems

if TYPE_CHECKING:
    from hvaclib.house.dwelling.model import Dwelling

#: How far a leak may lie below a zone's floor or above its ceiling, m: rim joists and sills belong to both.
HEIGHT_SLACK = 0.6
#: How far shares may miss 1; people round to two decimals.
SHARE_SLACK = 0.005


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
        *_air(dwelling),
        *vent_problems(dwelling),
        *_readings(dwelling),
    ]
    return found or list(_isolated(dwelling))


def _zones(dwelling: Dwelling) -> Iterator[Problem]:
    for index, zone in enumerate(dwelling.zones):
        if zone.unheated == (zone.temperature is not None):
            yield Problem(
                ("zone", index),
                "its temperature is not settled",
                Words("both keys" if zone.unheated else "neither key"),
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


def _feet(metres: float) -> Words:
    return Words(f"{metres / 0.3048:.1f} ft")


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
                Words("neither key" if fan.flow is None else "both keys"),
                'either flow = "150 cfm" or a curve',
            )
        if fan.curve is not None:
            yield from _curve(("fan", index, "curve"), fan.curve)


def _curve(location: Location, curve: tuple[tuple[float, float], ...]) -> Iterator[Problem]:
    if len(curve) < 2:
        yield Problem(
            location,
            "the curve is too short",
            Words(f"{len(curve)} point"),
            "two pairs of pressure and flow or more",
        )
    for number, ((low, most), (high, least)) in enumerate(itertools.pairwise(curve), start=1):
        if high <= low or least >= most:
            yield Problem(
                (*location, number),
                "the fan curve does not fall",
                Words(f"{low:.4g} Pa {_cfm(most)}, then {high:.4g} Pa {_cfm(least)}"),
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
                Words(f"{total:.3g}"),
                "1",
            )


def _air(dwelling: Dwelling) -> Iterator[Problem]:
    handler = dwelling.air_handler
    if handler is not None:
        yield from air_problems(handler.nameplate, handler.fan, handler.components)


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
