"""The combustion-air board's inputs and calculation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page, Typed
from hvaclib.boards.combustion_air.answer import NONE, Answer, answer
from hvaclib.boards.combustion_air.draft_check import check_parts
from hvaclib.boards.combustion_air.page import page_of
from hvaclib.house.demo import demo_dwellings
from hvaclib.physics.combustion_air.area import INDOOR
from hvaclib.units import kinds

KINDS = {
    "natural draft": "natural draft (draft hood)",
    "fan-assisted": "fan-assisted",
    "direct vent": "direct vent (sealed: takes no room air)",
    NONE: "none",
}
ROUTES = {
    "direct": "through the outside wall",
    "vertical duct": "vertical ducts",
    "horizontal duct": "horizontal ducts",
    INDOOR: "from other rooms of the storey",
}
LOUVERS = {
    "none": "none, or a free opening",
    "metal": "metal, make unknown (75 % free)",
    "wood": "wood, make unknown (25 % free)",
    "known": "free area known, as set below",
}
_ROOM, _FIRE, _WAY = "Room", "Appliances in the room", "Openings"


def _side(default: str, label: str, low: str, high: str) -> Number:
    return Number(kinds.LENGTH, default, low=low, high=high, step=0.5, label=label, group=_ROOM)


def _rate(default: str, label: str, high: str) -> Number:
    return Number(kinds.POWER, default, low="5000 Btu/h", high=high, step=1000, label=label, group=_FIRE)


def _bore(default: str, label: str) -> Number:
    return Number(kinds.SIZE, default, low="3 in", high="10 in", step=1, label=label, group=_FIRE)


class CombustionAirBoard(BoardModel):
    """A room, what burns in it, and the way its air takes."""

    title = "Does the fire get its air?"
    question = "Is the room large enough for what burns in it, and if not, how large must the openings be?"
    name = "combustion air"

    length = _side("12 ft", "Length of the room", "3 ft", "60 ft")
    depth = _side("10 ft", "Width of the room", "3 ft", "60 ft")
    height = _side("8 ft", "Ceiling height", "6 ft", "14 ft")
    ach = Typed(
        kinds.AIR_CHANGES, low="0.02 ACH", high="5 ACH", label="Known infiltration, per hour (empty: not known)",
        help="From a test of the house. Below 0.40 an hour the standard method is not allowed.", group=_ROOM,
    )  # fmt: skip
    furnace_kind = Choice(KINDS, "fan-assisted", label="Furnace", group=_FIRE)
    furnace_rate = _rate("80000 Btu/h", "Furnace, input", "200000 Btu/h")
    furnace_connector = _bore("5 in", "Furnace, connector")
    heater_kind = Choice(KINDS, "natural draft", label="Water heater", group=_FIRE)
    heater_rate = _rate("40000 Btu/h", "Water heater, input", "100000 Btu/h")
    heater_connector = _bore("3 in", "Water heater, connector")
    route = Choice(ROUTES, "direct", label="Way of the air", group=_WAY)
    openings = Choice(
        {"2": "two: high and low", "1": "one: high, to outdoors"}, "2", label="Number of openings", group=_WAY
    )
    louver = Choice(LOUVERS, "metal", label="Louver", group=_WAY)
    louver_share = Number(
        kinds.FRACTION,
        "60 %",
        low="5 %",
        high="100 %",
        step=1,
        label="Free area of the louver, by its maker",
        group=_WAY,
    )
    beyond_length = Number(
        kinds.LENGTH, "30 ft", low="0 ft", high="100 ft", step=1, label="Other rooms together, length", group=_WAY,
        help="Rooms of the same storey that the openings lead to, as one of this ceiling height; only on that way.",
    )  # fmt: skip
    beyond_width = Number(
        kinds.LENGTH,
        "25 ft",
        low="0 ft",
        high="60 ft",
        step=1,
        label="Other rooms together, width",
        group=_WAY,
    )

    house = Choice(
        {"": "in none", **{name: f"demo: {name.replace('_', ' ')}" for name in demo_dwellings()}}, "closed_door_fails",
        label="Try the opening's draft in", group="Would it draw?",
        help="Its own rooms and appliances, every combination of fans and doors; for a way to outdoors.",
    )  # fmt: skip

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """One opening to other rooms is none of the code's ways."""
        if inputs.route == INDOOR and inputs.openings == "1":
            return [
                "One opening to other rooms is not enough: air must come in low and go out high. Choose two openings, "
                "or a way to outdoors."
            ]
        return []

    def compute(self, inputs: Inputs) -> Answer:
        """Volumes, opening and fan."""
        return answer(inputs)

    def compute_later(self, inputs: Inputs, outputs: Answer) -> Iterator[Any]:
        """Try the opening in a demo dwelling."""
        yield from check_parts(inputs.house, outputs)

    def present(self, inputs: Inputs, outputs: Answer | None, later: Any) -> Page:
        """Words, the room in section, tables."""
        return page_of(inputs, outputs, later)
