"""The rooms board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.boards.base import Choice, Inputs, MemberChoice, Number, Page, Typed
from hvaclib.boards.dwelling_choice import DwellingBoard, house_choice
from hvaclib.boards.rooms import page
from hvaclib.boards.rooms.answer import Answer, answer
from hvaclib.boards.rooms.situation import situation
from hvaclib.errors import InputError
from hvaclib.house.rooms import room_named, rooms
from hvaclib.physics.room_pressure.transfer import stock_grilles
from hvaclib.procedures.room_pressure import room_pressures
from hvaclib.rules import RuleSet, available, load
from hvaclib.rules.band import bounds_of
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling

INCH = 0.0254
GRILLES = [f"{width / INCH:g} x {height / INCH:g} in" for width, height in stock_grilles()]


@lru_cache(maxsize=8)
def _rules(name: str) -> RuleSet:
    return load(name)


class RoomsBoard(DwellingBoard):
    """Rooms behind shut doors while the air handler runs: their pressure, the relief they need, and the retest."""

    title = "What do closed doors do?"
    question = (
        "Does every room stay near the pressure of the house when its door shuts and the air handler runs; if not, "
        "what relieves it, and what does that do to the other rooms and to the water heater?"
    )
    name = "rooms"
    house = house_choice(
        "closed_bedrooms",
        {
            "closed_bedrooms": "demo: one return in the hall",
            "passes": "demo: a return in most rooms",
            "closed_door_fails": "demo: a leaky return in the basement",
        },
    )
    flow = Number(
        kinds.VOLUME_FLOW, "1000 cfm", low="100 cfm", high="2500 cfm", step=10, label="Air handler, airflow",
        group="Dwelling",
    )  # fmt: skip
    doors = Choice(
        {"together": "all inner doors shut", "alone": "each door alone shut"}, "together", label="Doors",
        group="Dwelling",
    )  # fmt: skip
    outdoor = Number(
        kinds.TEMPERATURE, "40 °F", low="-30 °F", high="105 °F", step=1, label="Outdoor temperature", group="Dwelling"
    )  # fmt: skip
    room = MemberChoice(label="Room", group="The room")
    measured = Typed(
        kinds.PRESSURE_DIFFERENCE, low="-60 Pa", high="60 Pa", label="Measured pressure at its door",
        help="Leave empty to have it predicted. Above zero: the room is blown up.", group="The room",
    )  # fmt: skip
    register = Number(
        kinds.FRACTION, "100 %", low="0 %", high="100 %", step=5, label="Its supply register, share open",
        group="The room",
    )  # fmt: skip
    gap = Number(
        kinds.SIZE, "0 in", low="0 in", high="6 in", step=0.0625, label="Door opened: gap at the latch side",
        help="Open it until the pressure is within the limit. The remedy is sized for this crack; shut, by calculation.",
        group="The door",
    )  # fmt: skip
    undercut = Number(
        kinds.SIZE, "0.5 in", low="0 in", high="3 in", step=0.125, label="Undercut of the door", group="The door"
    )  # fmt: skip
    remedy = Choice(
        {"path": "high and low grille in a stud bay", "duct": "jump duct over the ceiling", "none": "none"}, "path",
        label="Remedy as built", group="The remedy",
    )  # fmt: skip
    bays = Choice({"1": "1", "2": "2", "3": "3"}, "1", label="Stud bays side by side", group="The remedy")
    grille = Choice(
        {"fit": "the smallest stock size that is enough", **{size: size for size in GRILLES}}, "fit",
        label="Grilles, high and low alike", group="The remedy",
    )  # fmt: skip
    ratio = Number(
        kinds.FRACTION, "75 %", low="30 %", high="100 %", step=1, label="Free area of a grille, share of its face",
        help="From the manufacturer's sheet; 75 % where there is none.", group="The remedy",
    )  # fmt: skip
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def __init__(self, **values: object) -> None:
        self._undercut_of = ""
        super().__init__(**values)
        self.observe(lambda _: self._follow_room(), names="room")

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to what the dwelling has, and choose the room that is farthest off."""
        if self._refusal(dwelling):
            self.set_options("room", {}, "")
            return
        found = room_pressures(dwelling)
        worst = max(found.rooms, key=lambda room: abs(found.pressure(room)))
        self.set_options("room", {room.zone: room.zone for room in found.rooms}, worst.zone)
        assert dwelling.air_handler is not None  # the refusal has seen to it
        self.set_default("flow", dwelling.air_handler.flow)
        self.set_default("outdoor", dwelling.weather.outdoor_temperature)
        self.set_default("measured", None)
        self._follow_room()

    def _follow_room(self) -> None:
        """Another room has another door: its undercut, shut; and no reading was taken there."""
        dwelling = self.dwelling
        if dwelling is None or not self.room:
            return
        with self.held():
            door = dwelling.part("doors", room_named(dwelling, self.room).door)
            self.set_default("undercut", min(max(door.undercut, 0.0), 3.0 * INCH))
            self.gap = 0.0
            self.measured = None

    def _refusal(self, dwelling: Dwelling) -> str:
        if dwelling.air_handler is None:
            return f"{dwelling.name} has no air handler: no duct blows a room up or draws it down."
        try:
            rooms(dwelling)
        except InputError as error:
            return str(error)
        return ""

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: no file, no air handler, no inner door, no rule, a gap wider than the door."""
        dwelling = self.dwelling
        if dwelling is None:
            return self.no_dwelling()
        refusal = self._refusal(dwelling)
        if refusal:
            return [refusal]
        if bounds_of(_rules(inputs.rule_set), "room_pressure", inputs.outdoor) is None:
            return [
                f'The rule set "{inputs.rule_set}" has no limit for the pressure of a room: choose another.'
            ]
        door = dwelling.part("doors", room_named(dwelling, inputs.room).door)
        if inputs.gap > door.width:
            wide, gap = (show(size, kinds.SIZE, inputs.system) for size in (door.width, inputs.gap))
            return [f"The gap of {gap} is larger than the door, which is {wide} wide."]
        return []

    def compute(self, inputs: Inputs) -> Answer:
        """Every room as found and relieved."""
        dwelling = self.dwelling
        assert dwelling is not None  # find_blockers has seen to it
        rules = _rules(inputs.rule_set)
        bounds = bounds_of(rules, "room_pressure", inputs.outdoor)
        assert bounds is not None  # find_blockers has seen to it
        return answer(situation(dwelling, inputs), inputs, rules, bounds)

    def present(self, inputs: Inputs, outputs: Answer | None, later: object) -> Page:
        """Words, pictures and tables for the page."""
        del later  # everything is quick
        return page.page_of(inputs, outputs)
