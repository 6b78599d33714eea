"""Walls of invented houses, and the wall that the controls describe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.physics.terminations import Item, Wall, first_cover
from hvaclib.plots.elevation.drawing import NEW
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.boards.base import Inputs

INCH, FOOT = 0.0254, 0.3048
WALL_HEIGHT = 9.5 * FOOT
THINGS = (
    "window",
    "second window",
    "door",
    "gravity inlet",
    "forced inlet",
    "dryer",
    "gas meter",
    "public walkway",
)


@dataclass(frozen=True, slots=True)
class Scene:
    """A wall to begin with: words, what is in it, and the controls that differ from their defaults (ft)."""

    words: str
    things: tuple[str, ...]
    places: Mapping[str, float]
    kind: str = "mechanical draft"


SCENES = {
    "trap": Scene(
        "exercise: fix one, break another", ("window", "forced inlet", "dryer", "gas meter"),
        {"along": 11.5, "up": 3.5, "window_along": 7.0, "forced_along": 24.0, "dryer_along": 2.0, "meter_along": 28.0},
    ),
    "crowded": Scene(
        "a crowded wall: is there any place?", THINGS[:-1],
        {"along": 14.0, "up": 2.5, "window_along": 4.0, "second_along": 12.0, "door_along": 22.0, "gravity_along": 9.0,
         "forced_along": 17.0, "dryer_along": 26.0, "meter_along": 28.5},
    ),
    "direct": Scene(
        "the crowded wall with a direct vent", THINGS[:-1],
        {"along": 14.5, "up": 2.5, "window_along": 4.0, "second_along": 12.0, "door_along": 22.0, "gravity_along": 9.0,
         "forced_along": 29.0, "dryer_along": 26.0, "meter_along": 1.0},
        "direct vent",
    ),
    "walkway": Scene(
        "a wall along a public walkway", ("window", "second window", "public walkway"),
        {"along": 15.0, "up": 3.0, "window_along": 4.0, "second_along": 25.0},
    ),
}  # fmt: skip


def _boxed(name: str, kind: str, x: float, y: float, wide: float, tall: float) -> Item:
    """An item by the middle of its width and its bottom, m."""
    return Item(name, kind, x - wide / 2, y, wide, tall)


def items_of(inputs: Inputs) -> tuple[Item, ...]:
    """What the controls put into the wall; the vent of the meter's regulator comes with it."""
    on = inputs.things
    wide, sill = inputs.window_width, inputs.sill
    found = {
        "window": [_boxed("window", "window", inputs.window_along, sill, wide, 48 * INCH)],
        "second window": [_boxed("second window", "window", inputs.second_along, sill, wide, 48 * INCH)],
        "door": [_boxed("door", "door", inputs.door_along, 8 * INCH, 36 * INCH, 80 * INCH)],
        "gravity inlet": [_boxed("gravity inlet", "gravity inlet", inputs.gravity_along, 18 * INCH, 12 * INCH, 8 * INCH)],
        "forced inlet": [_boxed("forced inlet", "forced inlet", inputs.forced_along, inputs.forced_up, 8 * INCH, 8 * INCH)],
        "dryer": [_boxed("dryer", "dryer terminal", inputs.dryer_along, inputs.dryer_up, 6 * INCH, 6 * INCH)],
        "gas meter": [
            _boxed("gas meter", "meter", inputs.meter_along, 10 * INCH, 14 * INCH, 16 * INCH),
            _boxed("regulator", "regulator vent", inputs.meter_along, 32 * INCH, 6 * INCH, 6 * INCH),
        ],
    }  # fmt: skip
    return tuple(item for name, items in found.items() if on.get(name) for item in items)


def misfits(inputs: Inputs) -> list[str]:
    """A sentence for each thing that reaches beyond the wall, and for the first that covers another."""
    wide, high = inputs.wall_width, WALL_HEIGHT
    items = items_of(inputs)
    found = []

    def far(value: float) -> str:
        return show(value, kinds.LENGTH, inputs.system)

    for item in (*items, new_terminal(inputs).at(inputs.along, inputs.up)):
        left, bottom, right, top = (float(edge) for edge in item.span)
        if min(left, bottom, wide - right, high - top) < -1e-9:
            found.append(
                f"The {item.name} does not lie in the wall: it would reach from {far(left)} to {far(right)} along and from "
                f"{far(bottom)} to {far(top)} up, and the wall is {far(wide)} long and {far(high)} high. Move it"
                + (", or make the wall longer." if right > wide else ".")
            )
    pair = first_cover(items)
    if pair is not None:
        found.append(f"The {pair[0].name} covers the {pair[1].name}: move one of them.")
    return found


def wall_of(inputs: Inputs) -> Wall:
    """The wall without the new terminal.

    Raises
    ------
    InputError
        If something does not lie in the wall; `misfits` says it in the board's units.
    """
    walkway = (0.0, inputs.wall_width) if inputs.things.get("public walkway") else None
    return Wall(inputs.wall_width, WALL_HEIGHT, items_of(inputs), walkway)


def new_terminal(inputs: Inputs) -> Item:
    """The terminal that is to be placed, in the wall's lower left corner."""
    size = inputs.size
    return Item(NEW, inputs.kind, 0.0, 0.0, size, size, inputs.input_rate)
