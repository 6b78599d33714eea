"""Whether a demo dwelling's vent would hold its draft with the opening: every combination of fans and doors, twice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import read_dwelling
from hvaclib.physics.combustion_air.area import INDOOR
from hvaclib.procedures.combustion_air import with_combustion_air
from hvaclib.procedures.preconditions import facts_of
from hvaclib.procedures.ranking import Ranking, ranking_parts
from hvaclib.procedures.remedies import unacceptable
from hvaclib.rules import acceptance, load
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.combustion_air.answer import Answer
    from hvaclib.house.dwelling import Dwelling

RULES = "plain"


@dataclass(frozen=True, slots=True)
class DraftCheck:
    """The worst combination of a dwelling without and with the opening.

    Attributes
    ----------
    dwelling : str
        Its name.
    before, after : Ranking
        Every combination without the opening and with it.
    passes : tuple of bool
        Whether every combination is within the rule set, without the opening and with it.
    """

    dwelling: str
    before: Ranking
    after: Ranking
    passes: tuple[bool, bool]


@lru_cache(maxsize=8)
def _dwelling(name: str) -> Dwelling:
    return read_dwelling(demo_dwellings()[name])


def with_openings(dwelling: Dwelling, found: Answer) -> Dwelling:
    """The dwelling with the opening (or both) between the zone of its vented appliances and outdoors."""
    assert found.opening is not None  # the caller has looked
    return with_combustion_air(dwelling, found.opening.free_area, found.opening.openings)


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
    accepts = acceptance(load(RULES), facts_of(dwelling))
    without, with_it = (not unacceptable(rank, accepts, 1).size for rank in ranked)
    yield DraftCheck(dwelling.name, ranked[0], ranked[1], (without, with_it))


def check_words(check: DraftCheck, system: str) -> str:
    """What the opening does to the worst combination, in one sentence."""
    said = []
    for rank, when in ((check.before, "without this opening"), (check.after, "with it")):
        draft = show(float(rank.draft[rank.worst]), kinds.PRESSURE_DIFFERENCE, system, 1)
        spills = float(rank.spillage[rank.worst])
        tail = f" and spills {100.0 * spills:.0f} %" if spills > 0.0 else ""
        said.append(f"reads {draft}{tail} {when}")
    without, with_it = check.passes
    verdict = {
        (False, True): "Yes, and not without it",
        (True, True): "Yes, with or without it",
        (False, False): "No, this opening alone does not cure it",
        (True, False): "No, and it does without it: look at the draft board",
    }[(without, with_it)]
    return (
        f"Would it pass the worst case with that opening? {verdict} (rule set {RULES}). In the demo dwelling "
        f"{check.dwelling}, with fans and doors at their worst, the {check.after.appliance} {', '.join(said)} (a negative "
        "draft draws)."
    )
