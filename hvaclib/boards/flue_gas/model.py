"""The flue-gas board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page, Typed
from hvaclib.boards.flue_gas import page
from hvaclib.boards.flue_gas.answer import FlueAnswer, Place, Sample, answer, fuel_of, oxygen_of
from hvaclib.rules import available
from hvaclib.units import kinds

FUELS = {"natural gas": "natural gas", "propane": "propane", "No. 2 oil": "No. 2 oil"}
READ = {
    "o2": "the oxygen (most analysers)",
    "co2": "the carbon dioxide",
    "both": "both, each by a cell of its own",
}
KINDS = {
    name: name
    for name in (
        "draft-hood furnace", "fan-assisted furnace", "two-pipe sealed furnace", "draft-hood boiler",
        "fan-assisted boiler", "two-pipe sealed boiler", "draft-hood water heater", "fan-assisted water heater",
        "two-pipe sealed water heater",
    )
}  # fmt: skip


class FlueGasBoard(BoardModel):
    """Readings of an analyser: do they belong together, is the burner clean, what does it lose, what did tuning do."""

    title = "What does the flue gas say?"
    question = (
        "Is the burner clean, how much air does it take, how much heat goes up the flue, and can these readings be "
        "true at all?"
    )
    name = "flue-gas"
    fuel = Choice(FUELS, "natural gas", label="Fuel", group="Burner")
    appliance = Choice(KINDS, "draft-hood furnace", label="Appliance", group="Burner")
    read = Choice(READ, "o2", label="What was read", group="Readings")
    o2 = Number(
        kinds.FRACTION, "7 %", low="0 %", high="25 %", step=0.1, label="Oxygen, O2",
        help="Ahead of a draft hood, after five minutes of burning.", group="Readings",
    )  # fmt: skip
    co2 = Number(
        kinds.FRACTION, "8 %", low="0.1 %", high="20 %", step=0.1, label="Carbon dioxide, CO2",
        help="Used where it was read.", group="Readings",
    )  # fmt: skip
    co = Number(
        kinds.CONCENTRATION, "30 ppm", low="0 ppm", high="4000 ppm", step=5, label="Carbon monoxide, CO",
        help="As read, not air-free.", group="Readings",
    )  # fmt: skip
    stack = Number(
        kinds.TEMPERATURE, "420 °F", low="40 °F", high="1000 °F", step=5, label="Stack temperature", group="Readings"
    )  # fmt: skip
    air = Number(
        kinds.TEMPERATURE, "65 °F", low="-20 °F", high="120 °F", step=1, label="Combustion air", group="Readings",
        help="Where the burner takes it: the room, or the intake pipe.",
    )  # fmt: skip
    upstream_o2 = Typed(
        kinds.FRACTION, low="0 %", high="20 %", label="Oxygen nearer the burner", group="Readings",
        help="Optional, to find air that leaks in between.",
    )  # fmt: skip
    before_o2 = Typed(
        kinds.FRACTION, low="0 %", high="20 %", label="Oxygen before", group="Before it was set",
        help="Leave empty where there is nothing to compare.",
    )  # fmt: skip
    before_stack = Typed(
        kinds.TEMPERATURE, low="40 °F", high="1000 °F", label="Stack temperature before", group="Before it was set"
    )  # fmt: skip
    before_co = Typed(
        kinds.CONCENTRATION, low="0 ppm", high="4000 ppm", label="Carbon monoxide before", group="Before it was set"
    )  # fmt: skip
    heating_value = Number(
        kinds.HEATING_VALUE, "1035 Btu/ft³", low="850 Btu/ft³", high="1200 Btu/ft³", step=5,
        label="Heating value of the local gas", group="Place",
        help="Natural gas only: ask the utility. Dry, 60 °F, 14.73 psia.",
    )  # fmt: skip
    input = Number(
        kinds.CAPACITY, "80 kBtu/h", low="10 kBtu/h", high="400 kBtu/h", step=5, label="Input", group="Place",
        help="For the condensate.",
    )  # fmt: skip
    altitude = Number(
        kinds.LENGTH, "0 ft", low="-1000 ft", high="12000 ft", step=100, label="Altitude", group="Place"
    )
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def compute(self, inputs: Inputs) -> FlueAnswer:
        """What the readings say of each other, the losses, and what the rules say."""
        burning = fuel_of(inputs.fuel, inputs.heating_value)
        o2 = oxygen_of(burning, inputs.co2) if inputs.read == "co2" else inputs.o2
        sample = Sample(o2, inputs.co, inputs.stack)
        co2 = None if inputs.read == "o2" else inputs.co2
        place = Place(inputs.appliance, inputs.air, inputs.altitude, inputs.input)
        before = _before(inputs, sample)
        return answer(burning, sample, co2, before, inputs.upstream_o2, place, inputs.rule_set)

    def present(self, inputs: Inputs, outputs: FlueAnswer | None, later: Any) -> Page:
        """Words, pictures and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs)


def _before(inputs: Inputs, now: Sample) -> Sample | None:
    """The sample before the burner was set; what was not typed is taken as it is now."""
    given = (inputs.before_o2, inputs.before_co, inputs.before_stack)
    if all(item is None for item in given):
        return None
    present = (max(now.o2, 0.0), now.co, now.stack)
    return Sample(*(was if was is not None else is_now for was, is_now in zip(given, present, strict=True)))
