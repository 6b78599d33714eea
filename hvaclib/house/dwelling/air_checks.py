"""What no single field of an air handler can know: tables that fall, a tap that exists, a rise range the right way round."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from hvaclib.house.dwelling.air_path import Blower, DuctComponent, Nameplate, Tap
from hvaclib.house.dwelling.names import Location, Problem
from hvaclib.house.dwelling.sentences import Words, choice
from hvaclib.units import kinds, show

_AIR: Location = ("air_handler",)
_CONSTANT = ("flow", "holds_to", "shut_off")


def air_problems(
    nameplate: Nameplate | None, fan: Blower | None, components: tuple[DuctComponent, ...]
) -> Iterator[Problem]:
    """Everything wrong with the plate, the blower and the components of an air handler whose fields are each right."""
    found = list(_blower(fan)) if fan is not None else []
    yield from found
    if nameplate is not None:
        yield from _plate(nameplate, fan if not found else None)
    yield from _doubles(("air_handler", "component"), [item.name for item in components], "component")
    for index, item in enumerate(components):
        yield from _component(("air_handler", "component", index), item)


def _plate(plate: Nameplate, fan: Blower | None) -> Iterator[Problem]:
    if plate.rise is not None and plate.rise[0] >= plate.rise[1]:
        yield Problem(
            (*_AIR, "nameplate", "rise"),
            "the range is the wrong way round or empty",
            Words(" to ".join(show(end, kinds.TEMPERATURE_DIFFERENCE) for end in plate.rise)),
            'the least rise first, such as ["35 °F", "65 °F"]',
        )
    if plate.maximum_static is None or fan is None:
        return
    highest = max(shut_off(tap) for tap in fan.taps)
    if plate.maximum_static >= highest:
        yield Problem(
            (*_AIR, "nameplate", "maximum_static"),
            "the plate's static pressure is above the blower's shut-off, where it moves no air",
            Words(show(plate.maximum_static, kinds.GAUGE_PRESSURE)),
            f"below {show(highest, kinds.GAUGE_PRESSURE)}",
        )


def shut_off(tap: Tap) -> float:
    """External static pressure at which a tap moves no air, Pa: the table's last straight piece, drawn on."""
    if not tap.table:
        return tap.shut_off or 0.0
    (low, most), (high, least) = tap.table[-2:]
    return high + least * (high - low) / (most - least)


def _blower(fan: Blower) -> Iterator[Problem]:
    where = (*_AIR, "fan")
    names = [tap.name for tap in fan.taps]
    yield from _doubles((*where, "tap"), names, "tap")
    if fan.setting not in names:
        yield Problem((*where, "setting"), "no tap has this name", fan.setting, choice(fan.setting, names))
    for index, tap in enumerate(fan.taps):
        yield from (_tabulated if fan.kind == "tabulated" else _constant)((*where, "tap", index), tap)


def _tabulated(location: Location, tap: Tap) -> Iterator[Problem]:
    given = [key for key in _CONSTANT if getattr(tap, key) is not None]
    if given:
        yield Problem(
            (*location, given[0]),
            f'the blower is tabulated, and "{tap.name}" has a constant-airflow key',
            None,
            'a table alone, or kind = "constant airflow"',
        )
    elif tap.table is None:
        yield Problem(location, "the key table is missing", None, 'table = [["0.1 in. w.c.", "1250 cfm"], …]')
    else:
        yield from _falling((*location, "table"), tap.table)


def _falling(location: Location, table: tuple[tuple[float, float], ...]) -> Iterator[Problem]:
    if len(table) < 2:
        yield Problem(
            location,
            "the table is too short",
            Words(f"{len(table)} pair{'' if len(table) == 1 else 's'}"),
            "two pairs of static pressure and airflow or more",
        )
    if table and table[0][1] <= 0.0:
        yield Problem((*location, 0), "the table begins without airflow", None, "an airflow above 0 cfm")
    for number, (one, other) in enumerate(itertools.pairwise(table), start=1):
        if other[0] <= one[0] or other[1] >= one[1]:
            yield Problem(
                (*location, number),
                "the blower table does not fall",
                Words(f"{_pair(one)}, then {_pair(other)}"),
                "static pressures that rise and airflows that fall from one pair to the next",
            )
            return


def _pair(pair: tuple[float, float]) -> str:
    return f"{show(pair[0], kinds.GAUGE_PRESSURE)} {show(pair[1], kinds.VOLUME_FLOW)}"


def _constant(location: Location, tap: Tap) -> Iterator[Problem]:
    lacking = [key for key in _CONSTANT if getattr(tap, key) is None]
    if tap.table is not None:
        yield Problem(
            (*location, "table"),
            f'the blower holds its airflow, and "{tap.name}" has a table',
            None,
            'flow, holds_to and shut_off, or kind = "tabulated"',
        )
    elif lacking:
        yield Problem(
            location, f"the key {lacking[0]} is missing", None, "flow, holds_to and shut_off for each tap"
        )
    elif (tap.holds_to or 0.0) >= (tap.shut_off or 0.0):
        yield Problem(
            (*location, "shut_off"),
            "the shut-off is not above the pressure up to which the airflow is held",
            Words(show(tap.shut_off or 0.0, kinds.GAUGE_PRESSURE)),
            f"above {show(tap.holds_to or 0.0, kinds.GAUGE_PRESSURE)}",
        )


def _component(location: Location, item: DuctComponent) -> Iterator[Problem]:
    if (item.loss is None) != (item.at is None):
        lacking = "loss" if item.loss is None else "at"
        example = 'loss = "0.12 in. w.c." with at = "1000 cfm"'
        yield Problem(location, f'"{item.name}": the key {lacking} is missing', None, example)
    sides = [item.width is None, item.height is None, item.length is None]
    if any(sides) and not all(sides):
        yield Problem(
            location,
            f'"{item.name}": the duct\'s size is incomplete',
            None,
            "width, height and length, or none of them",
        )
    elif item.loss is None and item.at is None and not item.sized:
        yield Problem(
            location,
            f'"{item.name}": its loss is not settled',
            Words("neither key"),
            "loss with at, or the duct's width, height and length",
        )


def _doubles(location: Location, names: list[str], what: str) -> Iterator[Problem]:
    for index, name in enumerate(names):
        if name in names[:index]:
            yield Problem(
                (*location, index, "name"), f"two {what}s have this name", name, "a name of its own for each"
            )
