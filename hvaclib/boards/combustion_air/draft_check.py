"""Whether a demo dwelling's vent would hold its draft with the opening: every combination of fans and doors, twice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import read_dwelling
from hvaclib.physics.combustion_air.area import INDOOR
from hvaclib.procedures.ranking import Ranking, ranking_parts
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.combustion_air.answer import Answer
    from hvaclib.house.dwelling import Dwelling

INSET = 0.1524  # m, 6 in from floor or ceiling: within the code's 12 in


@dataclass(frozen=True, slots=True)
class DraftCheck:
    """The worst combination of a dwelling without and with the opening."""

    dwelling: str
    before: Ranking
    after: Ranking


@lru_cache(maxsize=8)
def _dwelling(name: str) -> Dwelling:
    return read_dwelling(demo_dwellings()[name])


def with_openings(dwelling: Dwelling, found: Answer) -> Dwelling:
    """The dwelling with the opening (or both) between the zone of its vented appliances and outdoors."""
    assert found.opening is not None  # the caller has looked
    vented = next(item for item in dwelling.appliances if item.vented)
    zone = dwelling.part("zones", vented.zone)
    levels = [zone.ceiling - INSET, zone.floor + INSET][: found.opening.openings]
    for height, level in zip(levels, ("high", "low"), strict=False):
        name = f"combustion air, {level}"
        dwelling = dwelling.with_opening(name, (zone.name, "outdoors"), found.opening.free_area, height)
    return dwelling


def check_parts(name: str, found: Answer) -> Iterator[DraftCheck | None]:
    """Rank a demo dwelling without and with the opening, with pauses (None); nothing for a way that leads indoors."""
    if found.opening is None or found.route == INDOOR or name not in demo_dwellings():
        return
    dwelling = _dwelling(name)
    ranked: list[Ranking] = []
    for house in (dwelling, with_openings(dwelling, found)):
        for part in ranking_parts(house):
            if part is not None:
                ranked.append(part)
            yield None
    yield DraftCheck(dwelling.name, *ranked)


def check_words(check: DraftCheck, system: str) -> str:
    """What the opening does to the worst combination, in one sentence."""
    said = []
    for rank, when in ((check.before, "without this opening"), (check.after, "with it")):
        draft = show(float(rank.draft[rank.worst]), kinds.PRESSURE_DIFFERENCE, system, 1)
        spills = float(rank.spillage[rank.worst])
        tail = f" and spills {100.0 * spills:.0f} %" if spills > 0.0 else ""
        said.append(f"reads {draft}{tail} {when}")
    return (
        f"Would it draw? In the demo dwelling {check.dwelling}, with fans and doors at their worst, the "
        f"{check.after.appliance} {', '.join(said)} (a negative draft draws)."
    )
