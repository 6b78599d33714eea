"""Which lines of the record a job needs: conditions on its equipment and scope."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.visit.checklist import Item, items

if TYPE_CHECKING:
    from hvaclib.visit.model import Visit
    from hvaclib.visit.plate import Appliance

_HOODS = {"draft-hood": "draft hood", "fan-assisted": "fan-assisted", "two-pipe": "sealed"}


@dataclass(frozen=True, slots=True)
class Demand:
    """One line of the record that a job needs, at one place.

    Parameters
    ----------
    item : Item
        The line.
    where : str
        Name of the place.
    """

    item: Item
    where: str

    @property
    def words(self) -> str:
        """Title and place for people."""
        return self.item.title if self.item.place == "house" else f"{self.item.title} ({self.where})"


def tags(appliance: Appliance) -> frozenset[str]:
    """What the conditions of the items know of an appliance.

    Parameters
    ----------
    appliance : Appliance

    Returns
    -------
    frozenset of str
        Its sort ("furnace"), its way of venting ("draft hood", "fan-assisted" or "sealed"), its fuel and whether that is
        "gas" or "oil", "new" and "condensing".

    """
    return _tags(appliance.kind, appliance.fuel, appliance.is_new, appliance.condensing)


@lru_cache(maxsize=256)
def _tags(kind: str, fuel: str, is_new: bool, condensing: bool) -> frozenset[str]:
    found = {fuel, "oil" if fuel == "fuel oil" else "gas", _HOODS[kind.partition(" ")[0]]}
    found |= {sort for sort in ("furnace", "boiler", "water heater") if kind.endswith(sort)}
    return frozenset(found | ({"new"} if is_new else set()) | ({"condensing"} if condensing else set()))


def job_tags(visit: Visit) -> frozenset[str]:
    """What the conditions know of the whole job: its scope."""
    return frozenset(visit.job.scope)


def demands(visit: Visit) -> tuple[Demand, ...]:
    """The lines that a job needs, in the order of the work.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    tuple of Demand
        One for each place: each appliance, zone or room that the conditions hold for, or the house. Optional lines are
        left out.
    """
    scope = job_tags(visit)
    each = tuple((row.name, row.zone, tags(row) | scope) for row in visit.appliance)
    return _places(each, visit.job.rooms)


@lru_cache(maxsize=4096)
def _places(
    appliances: tuple[tuple[str, str, frozenset[str]], ...], rooms: tuple[str, ...]
) -> tuple[Demand, ...]:
    found: list[Demand] = []
    for line in items():
        if not line.optional:
            found += [Demand(line, where) for where in _wanted(line, appliances, rooms)]
    return tuple(found)


def _wanted(
    line: Item, appliances: tuple[tuple[str, str, frozenset[str]], ...], rooms: tuple[str, ...]
) -> tuple[str, ...]:
    held = [(name, zone) for name, zone, tags in appliances if all(choice & tags for choice in line.needs)]
    if not held:
        return ()
    if line.place == "appliance":
        return tuple(name for name, _ in held)
    if line.place == "zone":
        return tuple(dict.fromkeys(zone for _, zone in held))
    if line.place == "room":
        return rooms
    return (line.where,) if line.place == "test hole" else ("house",)
