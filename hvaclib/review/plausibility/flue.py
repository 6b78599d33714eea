"""Flue gas: oxygen, carbon dioxide and monoxide, temperatures and efficiency of one burner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.physics.flue_gas.analysis import AMBIENT_OXYGEN
from hvaclib.review.plausibility.figures import bound
from hvaclib.review.plausibility.law import Check, outside
from hvaclib.review.plausibility.loss import burned
from hvaclib.review.plausibility.sheet import Name, air_pressure

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.plausibility.figures import LawFigures
    from hvaclib.review.plausibility.law import Residual
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.visit import Appliance

_NEARLY_AIR = 0.2
_RELATIVE = 1e-4
"""ppm-sized carbon monoxide, below which a share of it says nothing."""


def triangle(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Oxygen against carbon dioxide on the line of complete combustion."""
    for each in sheet.appliances:
        names = (Name("flue-oxygen", each.name), Name("flue-carbon-dioxide", each.name))
        if sheet.has(*names):
            line = burned(each.fuel).carbon_dioxide
            yield Check(law, names, lambda o2, co2, line=line: co2 - line(o2), law.model)


def air_free(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Air-free carbon monoxide against the measured one and oxygen."""
    for each in sheet.appliances:
        names = tuple(Name(item, each.name) for item in ("flue-co-air-free", "flue-co", "flue-oxygen"))
        if sheet.has(*names):
            size = max(sheet.values[names[0]].x, _RELATIVE)
            yield Check(law, names, _air_free, law.model * size)


def not_less(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Air-free carbon monoxide against the measured one, where no oxygen was read."""
    for each in sheet.appliances:
        names = (Name("flue-co-air-free", each.name), Name("flue-co", each.name))
        if sheet.has(*names) and not sheet.has(Name("flue-oxygen", each.name)):
            size = max(sheet.values[names[1]].x, _RELATIVE)
            yield Check(law, names, lambda free, measured: min(free - measured, 0.0), law.model * size)


def efficiency(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Efficiency against oxygen and temperatures; a condensing appliance may regain latent heat, or not."""
    for each in sheet.appliances:
        names = tuple(
            Name(item, each.name) for item in ("steady-efficiency", "flue-oxygen", "stack-temperature")
        )
        if not sheet.has(*names):
            continue
        air = Name("combustion-air-temperature", each.name)
        residual = _efficiency(sheet, each)
        if sheet.has(air):
            yield Check(law, (*names, air), residual, law.model)
        elif not each.kind.startswith("two-pipe"):  # air from outdoors may have any temperature
            room = bound("combustion_air")
            spread = bound("combustion_air_spread")
            values = [sheet.values[name].x for name in names]
            shift = residual(*values, room + spread) - residual(*values, room)
            model = (law.model**2 + shift * shift) ** 0.5
            yield Check(law, names, _in_room(residual, room), model)


def stack_over_air(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Flue gas against the air it was made of."""
    for each in sheet.appliances:
        names = (Name("stack-temperature", each.name), Name("combustion-air-temperature", each.name))
        if sheet.has(*names):
            yield Check(law, names, lambda stack, air: min(stack - air, 0.0), law.model)


def stack_over_return(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Flue gas of a furnace against the return air that cools it."""
    for each in sheet.appliances:
        names = Name("stack-temperature", each.name), Name("return-temperature", each.name)
        if each.kind.endswith("furnace") and sheet.has(*names):
            yield Check(law, names, lambda stack, back: min(stack - back, 0.0), law.model)


def _in_room(residual: Residual, room: float) -> Residual:
    return lambda *numbers: residual(*numbers, room)


def _air_free(free: float, measured: float, oxygen: float) -> float:
    return free - measured * AMBIENT_OXYGEN / (AMBIENT_OXYGEN - min(max(oxygen, 0.0), _NEARLY_AIR))


def _efficiency(sheet: Sheet, appliance: Appliance) -> Residual:
    gas, pressure = burned(appliance.fuel), air_pressure(sheet.altitude)
    margin = bound("condensing_margin") if appliance.condensing else 0.0

    def residual(shown: float, oxygen: float, stack: float, air: float) -> float:
        least = gas.efficiency(oxygen, stack, air, 1.0)
        if not appliance.condensing:
            return shown - least
        most = gas.efficiency(oxygen, stack, air, gas.vapor_left(oxygen, stack, pressure))
        return outside(shown, least, most + margin)

    return residual
