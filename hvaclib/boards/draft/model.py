"""The draft board's inputs and its calculation, quick part and slow part; no widget in here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import degrees
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Choice, Inputs, Number, Page, Switch, Switches
from hvaclib.boards.draft import page
from hvaclib.boards.draft.answer import Answer, answer
from hvaclib.boards.draft.situation import (
    WINDS,
    burner_defaults,
    door_defaults,
    fan_defaults,
    largest_blockage,
    largest_exhaust,
    situation,
)
from hvaclib.boards.dwelling_choice import DwellingBoard, house_choice
from hvaclib.procedures.ranking import Ranking, ranking_parts
from hvaclib.procedures.remedies import Remedy, remedy_parts
from hvaclib.procedures.worst_case import WorstCase, worst_case_parts
from hvaclib.rules import RuleSet, acceptance, available, load
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling

DEMO_WORDS = {
    "passes": "demo: passes in every state",
    "closed_door_fails": "demo: a shut basement door makes it fail",
    "blocked_vent": "demo: innocent fans, a blocked vent",
}


@lru_cache(maxsize=8)
def _rules(name: str) -> RuleSet:
    return load(name)


@dataclass(frozen=True, slots=True)
class Later:
    """What comes when the hand rests: the ranking first, then the whole test, then the remedies."""

    rank: Ranking | None = None
    test: WorstCase | None = None
    remedies: tuple[Remedy, ...] | None = None


class DraftBoard(DwellingBoard):
    """Fans, doors, weather and vents of a dwelling against the draft of its appliances."""

    title = "Will it draw?"
    question = (
        "Does the water heater, furnace or boiler still draw when fans run and doors are shut: now, with a bigger "
        "hood, on a milder day?"
    )
    name = "draft"
    house = house_choice("closed_door_fails", DEMO_WORDS)
    burners = Switches(label="Burners", help="Which appliances burn from the first second on.")
    fans = Switches(label="Fans")
    doors = Switches(label="Doors and windows")
    outdoor = Number(
        kinds.TEMPERATURE,
        "35 °F",
        low="-30 °F",
        high="105 °F",
        step=1,
        label="Outdoor temperature",
        group="Weather",
    )
    wind = Number(
        kinds.WIND_SPEED, "0 mph", low="0 mph", high="40 mph", step=1, label="Wind speed", group="Weather"
    )
    wind_from = Choice({name: name for name in WINDS}, "west", label="Wind from", group="Weather")
    exhaust = Number(
        kinds.VOLUME_FLOW,
        "100 cfm",
        low="0 cfm",
        high="1200 cfm",
        step=10,
        label="Largest exhaust fan, airflow",
        help="What if this fan were bigger or smaller?",
        group="What if",
    )
    blocked = Number(
        kinds.FRACTION,
        "0 %",
        low="0 %",
        high="98 %",
        step=1,
        label="Vent blocked, share of its area",
        help="A nest, a slipped liner, debris; the same for every vent.",
        group="What if",
    )
    opening = Number(
        kinds.AREA,
        "0 sq in",
        low="0 sq in",
        high="200 sq in",
        step=1,
        label="Combustion-air opening, free area of each",
        help="From the room of the vented appliances to outdoors; 0 for none.",
        group="What if",
    )
    openings = Choice(
        {"2": "two: high and low", "1": "one: high"},
        "2",
        label="Number of such openings",
        group="What if",
    )
    start = Choice(
        {"cold": "cold: not used for hours", "warm": "warm: has just run with the fans off"},
        "cold",
        label="Vent at the start",
        group="What if",
    )
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")
    size_remedies = Switch(
        False, label="Size the remedies", help="Takes some seconds after each change.", group="Judge"
    )

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to what the dwelling has, and to what its file says of the weather."""
        self.set_members("burners", burner_defaults(dwelling))
        self.set_members("fans", fan_defaults(dwelling))
        self.set_members("doors", door_defaults(dwelling))
        self.set_default("outdoor", dwelling.weather.outdoor_temperature)
        self.set_default("wind", dwelling.weather.wind_speed)
        bearing = degrees(dwelling.weather.wind_direction) % 360.0
        nearest = min(WINDS, key=lambda name: abs((WINDS[name] - bearing + 180.0) % 360.0 - 180.0))
        self.set_default("wind_from", nearest)
        self.set_default("exhaust", largest_exhaust(dwelling)[1])
        self.set_default("blocked", largest_blockage(dwelling))

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: no file, no vented appliance, or solid fuel burning."""
        dwelling = self.dwelling
        if dwelling is None:
            return self.no_dwelling()
        if not any(item.vented for item in dwelling.appliances):
            return [
                f"{dwelling.name} has no draft-hood or fan-assisted appliance: there is no draft to judge. "
                "Sealed two-pipe appliances run, and are checked by the manufacturer's instructions."
            ]
        burning = [
            item.name for item in dwelling.appliances if item.solid_fuel and inputs.burners.get(item.name)
        ]
        if burning:
            return [
                f"No worst-case test while the {burning[0]} burns solid fuel: pulling the house down can draw its "
                "smoke and carbon monoxide into the rooms. Let the fire burn out and the ashes go cold first."
            ]
        return []

    def compute(self, inputs: Inputs) -> Answer:
        """Five minutes of the vents in the setup on the screen, and what the rules say."""
        dwelling = self.dwelling
        assert dwelling is not None  # find_blockers has seen to it
        return answer(situation(dwelling, inputs), inputs.start, _rules(inputs.rule_set))

    def compute_later(self, inputs: Inputs, outputs: Answer) -> Iterator[Any]:
        """Rank every combination, run the whole test, size the remedies; with pauses in which controls are heard."""
        here = outputs.situation
        appliance = outputs.burning[0] if outputs.burning else None
        later = Later()
        for rank in ranking_parts(here.dwelling, here.setup, appliance, inputs.start):
            if rank is None:
                yield None
            else:
                later = Later(rank=rank)
        yield later
        for test in worst_case_parts(here.dwelling, here.setup, inputs.start):
            if test is None:
                yield None
            else:
                later = Later(rank=later.rank, test=test)
        yield later
        if inputs.size_remedies and later.rank is not None and later.test is not None:
            accepts = acceptance(outputs.rules, later.test.facts)
            found: list[Remedy] = []
            for remedy in remedy_parts(later.rank, accepts, inputs.start):
                if remedy is not None:
                    found.append(remedy)
                yield None
            yield Later(later.rank, later.test, tuple(found))

    def present(self, inputs: Inputs, outputs: Answer | None, later: Later | None) -> Page:
        """Words, pictures and tables for the page."""
        return page.page_of(inputs, outputs, later)
