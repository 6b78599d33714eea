"""Air side of a furnace: heat and airflow, the blower's table, and differences of two readings."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.physics.air_delivery.rise import heat_per_flow_and_rise
from hvaclib.review.plausibility.figures import bound
from hvaclib.review.plausibility.law import Check, log_ratio
from hvaclib.review.plausibility.sheet import Name, blower_table, plate
from hvaclib.units import kinds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.plausibility.figures import LawFigures
    from hvaclib.review.plausibility.law import Residual
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.visit import Appliance

_LEAST_FLOW = 1e-3
_LEAST_RISE = 0.1
_LEAST_INPUT = 10.0
_LEAST_SHARE = 1e-3
"""Below these a logarithm says nothing more: m³/s, K, W, share."""


def rise_difference(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Temperature rise against supply less return."""
    for each in sheet.appliances:
        names = tuple(
            Name(item, each.name) for item in ("temperature-rise", "supply-temperature", "return-temperature")
        )
        if sheet.has(*names):
            yield Check(law, names, lambda rise, supply, back: rise - (supply - back), law.model)


def static_difference(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """External static pressure against hole 3 less hole 2."""
    names = (Name("external-static", sheet.furnace), *_holes())
    if sheet.furnace and sheet.has(*names):
        yield Check(law, names, lambda total, before, past: total - (past - before), law.model)


def heat_measured(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Heat into the air against measured airflow and rise."""
    for each in _furnaces(sheet):
        airflow = Name("airflow", each.name)
        if sheet.has(airflow):
            yield from _heat(sheet, law, each, (airflow,), lambda flow: flow)


def heat_table(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Heat into the air against the rise and the airflow by the blower's table, where no airflow was read."""
    for each in _furnaces(sheet):
        static = _static(sheet, each)
        if static and len(each.blower) > 1 and not sheet.has(Name("airflow", each.name)):
            table = blower_table(each.blower)
            yield from _heat(
                sheet, law, each, static, lambda *holes, table=table: table_flow(table, _total(*holes))
            )


def blower(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Airflow against the blower's table at the external static pressure."""
    for each in _furnaces(sheet):
        airflow, static = Name("airflow", each.name), _static(sheet, each)
        if static and len(each.blower) > 1 and sheet.has(airflow):
            table = blower_table(each.blower)

            def residual(flow: float, *holes: float, table: tuple[tuple[float, float], ...] = table) -> float:
                return log_ratio(flow, table_flow(table, _total(*holes)), _LEAST_FLOW)

            yield Check(law, (airflow, *static), residual, law.model)


def reach(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """External static pressure against what the blower of any furnace makes."""
    most = bound("blower_reach")
    for each in _furnaces(sheet):
        static = _static(sheet, each)
        if static:
            yield Check(law, static, lambda *holes: max(abs(_total(*holes)) - most, 0.0), law.model)


def table_flow(table: tuple[tuple[float, float], ...], static: float) -> float:
    """Airflow, m³/s, of a blower's table at a static pressure, Pa; never below a twentieth of its least; beyond its ends along
    their slope.
    """
    number = 0
    while number < len(table) - 2 and static > table[number + 1][0]:
        number += 1
    (low, most), (high, least) = table[number], table[number + 1]
    slope = (least - most) / (high - low) if high > low else 0.0
    return max(most + slope * (static - low), 0.05 * table[-1][1], _LEAST_FLOW)


def _heat(
    sheet: Sheet, law: LawFigures, each: Appliance, flow_names: tuple[Name, ...], flow_of: Residual
) -> Iterator[Check]:
    model = law.model
    fixed = 1.0
    names: list[Name] = []
    for item, text, kind, doubt in (
        ("clocked-input", each.input, kinds.POWER, bound("altitude_input")),
        ("steady-efficiency", each.efficiency, kinds.FRACTION, bound("plate_efficiency")),
    ):
        name = Name(item, each.name)
        if sheet.has(name):
            names.append(name)
        elif text:
            fixed *= plate(text, kind)
            model = math.hypot(model, doubt)
        else:
            return
    rise = tuple(
        Name(item, each.name) for item in ("temperature-rise", "supply-temperature", "return-temperature")
    )
    rise = rise[:1] if sheet.has(rise[0]) else rise[1:]
    if not sheet.has(*rise):
        return
    carried, given, warm = _heat_of_air(sheet.altitude), len(names), len(rise)

    def residual(*numbers: float) -> float:
        output = fixed
        for number in numbers[:given]:
            output *= max(number, _LEAST_SHARE)
        warmer = numbers[given : given + warm]
        kelvin = warmer[0] if warm == 1 else warmer[0] - warmer[1]
        air = carried * max(kelvin, _LEAST_RISE) * flow_of(*numbers[given + warm :])
        return log_ratio(output, air, _LEAST_INPUT)

    yield Check(law, (*names, *rise, *flow_names), residual, model)


def _furnaces(sheet: Sheet) -> Iterator[Appliance]:
    return (each for each in sheet.appliances if each.kind.endswith("furnace"))


def _static(sheet: Sheet, furnace: Appliance) -> tuple[Name, ...]:
    total = Name("external-static", furnace.name)
    if sheet.has(total):
        return (total,)
    return _holes() if sheet.furnace and sheet.has(*_holes()) else ()


def _holes() -> tuple[Name, Name]:
    return Name("static-hole-2", "hole 2"), Name("static-hole-3", "hole 3")


def _total(*holes: float) -> float:
    return holes[0] if len(holes) == 1 else holes[1] - holes[0]


@lru_cache(maxsize=256)
def _heat_of_air(altitude: float) -> float:
    return float(heat_per_flow_and_rise(altitude))
