"""The terminations board's inputs and calculation."""

from __future__ import annotations

from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page, Switches
from hvaclib.boards.terminations.page import page_of
from hvaclib.boards.terminations.scenes import FOOT, SCENES, THINGS, misfits, new_terminal, wall_of
from hvaclib.physics.terminations import COLUMNS, Judged, judge_wall
from hvaclib.units import kinds

STEP = 0.04  # m between two places of the map

_AT = "Where things are"
_NEW = "New terminal"


def _along(default: str, label: str, group: str = _AT) -> Number:
    return Number(kinds.LENGTH, default, low="0 ft", high="40 ft", step=0.25, label=label, group=group)


def _up(default: str, label: str, group: str = _AT) -> Number:
    return Number(kinds.LENGTH, default, low="0 ft", high="9.5 ft", step=0.25, label=label, group=group)


class TerminationsBoard(BoardModel):
    """A wall in elevation: move a vent terminal and what else is in the wall."""

    title = "May the vent end here?"
    question = "Where in this wall may a new vent terminal stand, and which clearances does this place break?"
    name = "terminations"

    # first, since a link is followed in this order and the scene sets the places
    scene = Choice({key: item.words for key, item in SCENES.items()}, "trap", label="Wall", group="Wall")
    column = Choice({name: f"{name} column" for name in COLUMNS}, "US", label="Code", group="Wall")
    along = _along("11.5 ft", "New terminal, along the wall", _NEW)
    up = _up("3.5 ft", "New terminal, above grade", _NEW)
    kind = Choice(
        {"mechanical draft": "mechanical draft (fan, air from the room)", "direct vent": "direct vent (sealed, two pipes)"},
        "mechanical draft", label="Kind of terminal", group=_NEW,
    )  # fmt: skip
    input_rate = Number(
        kinds.POWER,
        "80000 Btu/h",
        low="5000 Btu/h",
        high="200000 Btu/h",
        step=5000,
        label="Input of its appliance",
        group=_NEW,
    )
    size = Number(
        kinds.SIZE, "4 in", low="2 in", high="12 in", step=1, label="Size of the terminal", group=_NEW
    )
    wall_width = Number(
        kinds.LENGTH, "30 ft", low="10 ft", high="40 ft", step=1, label="Length of the wall", group="Wall"
    )
    things = Switches(label="In the wall")
    window_along = _along("7 ft", "Window, along")
    second_along = _along("20 ft", "Second window, along")
    window_width = Number(
        kinds.LENGTH, "3 ft", low="1 ft", high="8 ft", step=0.25, label="Width of the windows", group=_AT
    )
    sill = _up("3 ft", "Sill of the windows, above grade")
    door_along = _along("22 ft", "Door, along")
    gravity_along = _along("9 ft", "Gravity inlet, along")
    forced_along = _along("24 ft", "Forced inlet, along")
    forced_up = _up("5 ft", "Forced inlet, above grade")
    dryer_along = _along("2 ft", "Dryer, along")
    dryer_up = _up("1.5 ft", "Dryer, above grade")
    meter_along = _along("28 ft", "Gas meter, along")

    def __init__(self, **values: Any) -> None:
        super().__init__(**values)
        self._furnish()
        self.observe(lambda _: self._furnish(), names="scene")

    def _furnish(self) -> None:
        """Bring the controls to the wall chosen."""
        scene = SCENES[self.scene]
        with self.held():
            self.set_members("things", {name: name in scene.things for name in THINGS})
            self.set_default("kind", scene.kind)
            for name, feet in scene.places.items():
                self.set_default(name, feet * FOOT)

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Sentences for what does not lie in the wall or covers something."""
        return misfits(inputs)

    def compute(self, inputs: Inputs) -> Judged:
        """Pairs that are too close, and the map of places allowed."""
        terminal, at = new_terminal(inputs), (inputs.along, inputs.up)
        return judge_wall(wall_of(inputs), terminal, at=at, step=STEP, column=inputs.column)

    def present(self, inputs: Inputs, outputs: Judged | None, later: Any) -> Page:  # noqa: ARG002
        """Words, elevation and tables."""
        return page_of(inputs, outputs)
