"""The numbers of a visit as the laws take them: plain SI floats with their standard uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from hvaclib.physics.air import barometric_pressure
from hvaclib.readings import Reading, standard_uncertainty, usual_uncertainty
from hvaclib.units import kinds, parse_si
from hvaclib.visit.checklist import Item, item, items

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.visit import Appliance, Visit


class Name(NamedTuple):
    """A reading's place on the sheet: its item, and where it was taken."""

    item: str
    where: str


class Value(NamedTuple):
    """A number and its standard uncertainty, SI."""

    x: float
    u: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the laws look at.

    Parameters
    ----------
    values : dict of Name to Value
        The readings that an instrument gave.
    appliances : tuple of Appliance
        With their rating plates.
    altitude : float
        m.
    furnace : str
        The only one, which the test holes belong to; empty where there are none or several.
    """

    values: dict[Name, Value]
    appliances: tuple[Appliance, ...]
    altitude: float
    furnace: str

    def has(self, *names: Name) -> bool:
        """Whether all of these were read."""
        return all(name in self.values for name in names)


def sheet_of(visit: Visit, readings: Iterable[Reading]) -> Sheet:
    """The numbers of a visit.

    Parameters
    ----------
    visit : Visit
    readings : iterable of Reading
        Those that follow from others are left out: they agree with them by force.

    Returns
    -------
    Sheet
    """
    written = {entry.item for entry in visit.entry if entry.value}
    values: dict[Name, Value] = {}
    lines = _lines()
    for reading in readings:
        line = lines.get((reading.quantity, reading.when)) or lines.get((reading.quantity, reading.where))
        if line is None or reading.computed or line.key not in written or not math.isfinite(reading.value):
            continue
        where = line.where or ("house" if line.place == "house" else reading.where)
        values[Name(line.key, where)] = Value(reading.value, standard_uncertainty(reading))
    furnaces = [each.name for each in visit.appliance if each.kind.endswith("furnace")]
    return Sheet(values, visit.appliance, visit.job.altitude_si, furnaces[0] if len(furnaces) == 1 else "")


@lru_cache(maxsize=256)
def air_pressure(altitude: float) -> float:
    """Barometric pressure, Pa, of an altitude in m."""
    return float(barometric_pressure.si(altitude=altitude))


@lru_cache(maxsize=4096)
def plate(appliance_text: str, kind: kinds.Kind) -> float:
    """A number of the rating plate in SI; the same plates come again and again."""
    return parse_si(appliance_text, kind)


@lru_cache(maxsize=256)
def blower_table(rows: tuple[tuple[str, str], ...]) -> tuple[tuple[float, float], ...]:
    """The blower's table by rising static pressure: Pa and m³/s."""
    return tuple(
        sorted(
            (parse_si(static, kinds.GAUGE_PRESSURE), parse_si(flow, kinds.VOLUME_FLOW))
            for static, flow in rows
        )
    )


@cache
def _lines() -> dict[tuple[str, str], Item]:
    """Lines of the record by quantity and stage, or by quantity and test hole; a stage that no line has is left out."""
    found: dict[tuple[str, str], Item] = {}
    for line in items():
        if line.numeric:
            found.setdefault((line.quantity, line.where or line.stage), line)
    return found


def uncertainty_at(key: str, x: float) -> float:
    """Standard uncertainty of an item's usual instrument at another value, SI."""
    return usual_uncertainty(item(key).quantity, x)
