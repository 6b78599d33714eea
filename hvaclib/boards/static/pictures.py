"""What the static board's pictures show of an answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.static.answer import BEFORE, NOW, duct_line, fan_line
from hvaclib.house.air_side import air_path
from hvaclib.plots.air_path import AirPath, Hole, Part
from hvaclib.plots.operating_point import Curve, FanAndDucts, Point

if TYPE_CHECKING:
    from hvaclib.boards.static.answer import StaticAnswer


def curves_of(answer: StaticAnswer) -> FanAndDucts:
    """Curves and crossings of the chart: what did not change has no curve of before."""
    old, new, state = answer.before, answer.now, answer.state
    lines = {tap: fan_line(new, tap, state, NOW) for tap in new.fans}
    most = max(float(flow.max()) for flow, _ in lines.values())
    ducts_moved = any(a is not b for a, b in zip(old.components, new.components, strict=True))
    tap_moved = old.tap != new.tap
    others = [Curve(tap, *line) for tap, line in lines.items() if tap not in (new.tap, old.tap)]
    return FanAndDucts(
        fan=Curve(f"blower, tap {new.tap}", *lines[new.tap]),
        ducts=Curve("ducts now" if ducts_moved else "ducts", *duct_line(new, state, NOW, most)),
        now=_point(answer, NOW),
        fan_before=Curve(f"before, tap {old.tap}", *lines[old.tap]) if tap_moved else None,
        ducts_before=Curve("ducts before", *duct_line(old, state, BEFORE, most)) if ducts_moved else None,
        before=_point(answer, BEFORE) if answer.changed else None,
        others=others,
        limit=new.maximum_static,
        measured=_measured(answer),
    )


def _measured(answer: StaticAnswer) -> Point | None:
    if answer.measured_flow is None or answer.measured_rise is None:
        return None
    return Point(answer.measured_flow, answer.static, answer.measured_rise)


def _point(answer: StaticAnswer, column: int) -> Point:
    state = answer.state
    return Point(float(state.flow[column]), float(state.external_static[column]), float(state.rise[column]))


def path_of(answer: StaticAnswer) -> AirPath:
    """The air's way with its pressures now and before, the test holes, and what was measured there."""
    stations = air_path(answer.now, answer.state)
    kinds = {item.name: item.kind for item in answer.now.components}
    odd = _out_of_line(answer)
    parts = [
        Part(
            station.name, kinds.get(station.name, "fan" if station.hole == 3 else "duct"), station.name in odd
        )
        for station in stations[1:]
    ]
    holes = [
        Hole(station.hole, node, answer.measured[station.hole - 1])
        for node, station in enumerate(stations)
        if station.hole
    ]
    return AirPath(
        parts=parts,
        pressure=[float(station.pressure[NOW]) for station in stations],
        holes=holes,
        total=(2, answer.now.supply_hole),
        before=[float(station.pressure[BEFORE]) for station in stations] if answer.changed else None,
        limit=answer.now.maximum_static,
    )


def _out_of_line(answer: StaticAnswer) -> set[str]:
    found = answer.identification
    return (
        {name for item in found.segments if item.name == found.named for name in item.components}
        if found
        else set()
    )
