"""The condensate-and-controls board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page, Switch
from hvaclib.boards.controls import page
from hvaclib.boards.controls.answer import FUELS, TUBES, ControlsAnswer, answer
from hvaclib.units import kinds, show

BURNER, PUMP, TRAP = "Condensate", "Pump and line", "Trap"
CIRCUIT, TRANSFORMER, SETBACK = "Control circuit", "Transformer loads", "Setback"
VA = kinds.APPARENT_POWER


def _load(default: str, label: str) -> Number:
    return Number(VA, default, low="0 VA", high="100 VA", step=0.5, label=label, group=TRANSFORMER)


class ControlsBoard(BoardModel):
    """Condensate from the flue gas to the drain; the 24 V circuit by its current; the way back from a setback."""

    title = "Condensate and controls"
    question = "Does the water get out, and does the thermostat switch right?"
    name = "controls"

    fuel = Choice({name: name for name in FUELS}, "natural gas", label="Fuel", group=BURNER)
    input_rate = Number(
        kinds.CAPACITY, "80 kBtu/h", low="10 kBtu/h", high="400 kBtu/h", step=1, label="Input", group=BURNER
    )
    condensing_temperature = Number(
        kinds.TEMPERATURE, "100 °F", low="60 °F", high="150 °F", step=1, label="Flue gas leaves at",
        help="Measured in the vent at the furnace: to this it was cooled.", group=BURNER,
    )  # fmt: skip
    o2 = Number(
        kinds.FRACTION, "6 %", low="0 %", high="15 %", step=0.1, label="Oxygen in the flue gas", group=BURNER
    )
    neutralizer = Switch(True, label="Neutralizer in the line", group=BURNER)
    lift = Number(
        kinds.LENGTH, "6 ft", low="0 ft", high="25 ft", step=0.5, label="Lift", group=PUMP,
        help="From the water in the tank to the highest point of the line.",
    )  # fmt: skip
    run = Number(
        kinds.LENGTH, "30 ft", low="1 ft", high="150 ft", step=1, label="Length of the whole line", group=PUMP
    )
    tube = Choice({name: f"{name} in" for name in TUBES}, "3/8", label="Tube, inside", group=PUMP)
    shutoff_head = Number(
        kinds.LENGTH, "15 ft", low="3 ft", high="30 ft", step=0.5, label="Greatest lift on the pump's plate",
        group=PUMP,
    )  # fmt: skip
    free_flow = Number(
        kinds.MASS_FLOW, "660 lb/h", low="20 lb/h", high="3000 lb/h", step=10,
        label="Flow without lift on the plate", help="One gallon is 8.3 lb.", group=PUMP,
    )  # fmt: skip
    overflow = Switch(True, label="Overflow switch stops the furnace", group=PUMP)
    freezing = Switch(False, label="Part of the line lies where it freezes", group=PUMP)
    static = Number(
        kinds.GAUGE_PRESSURE, "-0.8 in. w.c.", low="-4 in. w.c.", high="4 in. w.c.", step=0.1,
        label="Pressure where the trap is connected", help="Below zero on the suction side of a fan.", group=TRAP,
    )  # fmt: skip
    seal = Number(
        kinds.SIZE, "2 in", low="0 in", high="8 in", step=0.25, label="Water seal of the trap as built", group=TRAP
    )  # fmt: skip
    reading = Number(
        kinds.CURRENT, "4 A", low="0.05 A", high="60 A", step=0.05, label="Clamp or meter reads",
        help="Burner on for 1 to 2 minutes. One turn: the current itself.", group=CIRCUIT,
    )  # fmt: skip
    turns = Number(
        kinds.DIMENSIONLESS, "10", low="1", high="30", step=1, label="Turns of the wire through the clamp",
        group=CIRCUIT,
    )  # fmt: skip
    pointer = Number(
        kinds.CURRENT, "0.40 A", low="0.05 A", high="2 A", step=0.01, label="Anticipator stands at", group=CIRCUIT
    )  # fmt: skip
    valve = _load("10 VA", "Gas valve")
    relays = _load("8 VA", "Relays and board")
    thermostat = _load("2 VA", "Thermostat")
    humidifier = _load("10 VA", "Humidifier")
    others = _load("0 VA", "Dampers and all else")
    rating = Number(
        VA, "40 VA", low="10 VA", high="200 VA", step=1, label="Rating on the transformer", group=TRANSFORMER
    )
    occupied = Number(
        kinds.TEMPERATURE, "68 °F", low="55 °F", high="80 °F", step=1, label="Occupied temperature", group=SETBACK
    )  # fmt: skip
    setback = Number(
        kinds.TEMPERATURE, "64 °F", low="45 °F", high="80 °F", step=1, label="Setback temperature", group=SETBACK
    )  # fmt: skip
    outdoor = Number(
        kinds.TEMPERATURE, "20 °F", low="-40 °F", high="60 °F", step=1, label="Outdoors", group=SETBACK
    )
    output = Number(
        kinds.CAPACITY, "76 kBtu/h", low="5 kBtu/h", high="400 kBtu/h", step=1, label="Furnace output", group=SETBACK
    )  # fmt: skip
    heat_loss = Number(
        kinds.CAPACITY, "30 kBtu/h", low="2 kBtu/h", high="400 kBtu/h", step=1,
        label="Heat loss of the house", help="At the occupied temperature, in this weather.", group=SETBACK,
    )  # fmt: skip
    night_end = Number(
        kinds.TEMPERATURE, "58 °F", low="20 °F", high="80 °F", step=0.5, label="A night without heat ended at",
        help="From the occupied temperature, in this weather: it shows the capacity of the house.", group=SETBACK,
    )  # fmt: skip
    night = Number(
        kinds.HOURS, "8 h", low="2 h", high="24 h", step=0.5, label="That night lasted", group=SETBACK
    )
    available = Number(
        kinds.HOURS, "2.5 h", low="0.5 h", high="12 h", step=0.25, label="Warm again within", group=SETBACK
    )

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Sentences for what cannot be true together."""
        system, found = inputs.system, []

        def warm(value: float) -> str:
            return show(value, kinds.TEMPERATURE, system)

        if inputs.turns != round(inputs.turns):
            found.append(
                f"A wire has whole turns, not {inputs.turns:g}: count how often it passes through the clamp."
            )
        if inputs.run < inputs.lift:
            found.append(
                f"A line of {show(inputs.run, kinds.LENGTH, system)} cannot rise {show(inputs.lift, kinds.LENGTH, system)}: "
                "enter the whole length of the line, its rise included."
            )
        if inputs.setback > inputs.occupied:
            found.append(
                f"The setback temperature, {warm(inputs.setback)}, is above the occupied one, {warm(inputs.occupied)}: "
                "enter one that is not."
            )
        if inputs.setback < inputs.outdoor or inputs.occupied <= inputs.outdoor:
            found.append(
                f"Indoors must be warmer than outdoors, {warm(inputs.outdoor)}: nothing is to be heated otherwise."
            )
        if not inputs.outdoor < inputs.night_end < inputs.occupied:
            found.append(
                f"A night without heat cannot end at {warm(inputs.night_end)}: it must lie between outdoors, "
                f"{warm(inputs.outdoor)}, and the occupied temperature, {warm(inputs.occupied)}, where it began."
            )
        return found

    def compute(self, inputs: Inputs) -> ControlsAnswer:
        """Condensate, pump, trap, circuit, transformer and recovery."""
        return answer(inputs)

    def present(self, inputs: Inputs, outputs: ControlsAnswer | None, later: Any) -> Page:
        """Words, pictures and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs)
