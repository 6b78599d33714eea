"""The chimney board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page
from hvaclib.boards.chimney.answer import LINED, MASONRY, VENT, Capacities, ChimneyAnswer, answer, capacities
from hvaclib.boards.chimney.page import page_of
from hvaclib.units import kinds

_FIRE, _FLUE, _WAY = "Appliances", "Vent or chimney", "Connector of the water heater"


def _bore(default: str, high: str, label: str, group: str, help: str = "") -> Number:
    return Number(kinds.SIZE, default, low="3 in", high=high, step=1, label=label, group=group, help=help)


def _run(default: str, low: str, high: str, label: str, group: str) -> Number:
    return Number(kinds.LENGTH, default, low=low, high=high, step=0.5, label=label, group=group)


class ChimneyBoard(BoardModel):
    """A water heater and a furnace on one chimney; take the furnace off and see what is left."""

    title = "Is the water heater safe alone on the chimney?"
    question = "What is left when the furnace is taken off the chimney: enough draft, a flue of the right size, a dry wall?"
    name = "chimney"

    furnace = Choice(
        {"off": "taken off", "on": "still on the chimney, burning"}, "off", label="Furnace", group=_FIRE
    )
    heater = Number(
        kinds.CAPACITY, "40 kBtu/h", low="20 kBtu/h", high="100 kBtu/h", step=1, label="Water heater, input", group=_FIRE
    )  # fmt: skip
    furnace_input = Number(
        kinds.CAPACITY, "100 kBtu/h", low="40 kBtu/h", high="200 kBtu/h", step=5, label="Furnace, input", group=_FIRE,
        help="With a draft hood; counts only while it is on the chimney.",
    )  # fmt: skip
    furnace_connector = _bore("6 in", "10 in", "Furnace, connector", _FIRE)
    kind = Choice(
        {
            MASONRY: "masonry, clay-lined",
            LINED: "masonry with a metal liner",
            VENT: "double-wall vent",
        },
        MASONRY, label="Kind", group=_FLUE,
    )  # fmt: skip
    flue_area = Number(
        kinds.AREA, "64 sq in", low="12 sq in", high="250 sq in", step=1, label="Masonry flue, inside area", group=_FLUE
    )  # fmt: skip
    size = _bore("4 in", "12 in", "Liner or vent, diameter", _FLUE, "Not for the bare masonry flue.")
    height = Number(
        kinds.LENGTH, "25 ft", low="10 ft", high="60 ft", step=1, label="Height, hood to outlet", group=_FLUE
    )
    place = Choice(
        {"inside": "inside the house", "outside": "on an outside wall"}, "inside", label="Flue stands", group=_FLUE
    )  # fmt: skip
    outdoor = Number(
        kinds.TEMPERATURE, "35 °F", low="-20 °F", high="100 °F", step=1, label="Outdoor temperature", group=_FLUE
    )  # fmt: skip
    connector = _bore("3 in", "6 in", "Connector and outlet, diameter", _WAY)
    rise = _run("1 ft", "0 ft", "4 ft", "Climb, hood to flue", _WAY)
    lateral = _run("4 ft", "0 ft", "25 ft", "Horizontal run", _WAY)
    elbows = Number(
        kinds.DIMENSIONLESS, "2", low="0", high="6", step=1, label="90° elbows", group=_WAY,
        help="The code tables count two.",
    )  # fmt: skip

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """A sentence for elbows that are no whole number."""
        if inputs.elbows == round(inputs.elbows):
            return []
        return [
            f"Elbows are counted, not measured: {inputs.elbows:g} of 90° cannot be; two of 45° count as one."
        ]

    def compute(self, inputs: Inputs) -> ChimneyAnswer:
        """Areas, lift, temperatures."""
        return answer(inputs)

    def compute_later(self, inputs: Inputs, outputs: ChimneyAnswer) -> Iterator[Capacities | None]:
        """Capacity, liner, curves over the height."""
        yield from capacities(inputs, outputs)

    def present(self, inputs: Inputs, outputs: ChimneyAnswer | None, later: Any) -> Page:
        """Words, two pictures, tables."""
        return page_of(inputs, outputs, later)
