"""The firing board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from typing import Any

from hvaclib.boards.base import BoardModel, Choice, Inputs, Number, Page, Switches
from hvaclib.boards.firing import page
from hvaclib.boards.firing.answer import GASES, HEATING_VALUE_NEAR, FiringAnswer, allowed_rates, answer
from hvaclib.physics import gas_supply
from hvaclib.plots.manifold import DIGITS
from hvaclib.units import kinds, parse_si, show

DIALS = ("1/4 ft³", "1/2 ft³", "1 ft³", "2 ft³", "5 ft³", "0.01 m³", "0.1 m³")
COUNTED = {"base": "at 60 °F, 14.73 psia", "delivered": "as delivered here"}
RULE_WORDS = {
    "4 % from sea level": "4 % from sea level: code",
    "4 % above 2000 ft": "4 % above 2000 ft only",
    "2 % maker": "2 %: some makers",
    "Canada 10 %": "10 %: Canadian plates",
}
SIZES = {name: f"{name} in" for name in gas_supply.pipes()}


class FiringBoard(BoardModel):
    """Clock the meter, compare with the plate, find what puts the burner right, and the pressure that it gets."""

    title = "Is the burner on rate?"
    question = (
        "Does the burner take the gas that its plate allows at this altitude; if not, is it the manifold, the orifices "
        "or the supply, and does enough pressure arrive with everything burning?"
    )
    name = "firing"

    gas = Choice(
        {name: gas.words for name, gas in GASES.items()}, "natural", label="Gas", group="Clock the meter"
    )
    dial = Choice(
        {name: name for name in DIALS}, "2 ft³", label="Test dial, one turn", group="Clock the meter"
    )
    turns = Number(
        kinds.DIMENSIONLESS, "1", low="0.25", high="10", step=0.25, label="Turns", group="Clock the meter",
        help="Everything else on this meter off.",
    )  # fmt: skip
    time = Number(
        kinds.TIME,
        "86 s",
        low="5 s",
        high="900 s",
        step=1,
        label="Time for all turns",
        group="Clock the meter",
    )
    heating_value = Number(
        kinds.HEATING_VALUE, "1025 Btu/ft³", low="700 Btu/ft³", high="3300 Btu/ft³", step=5, label="Heating value",
        help="From the utility: gross, of the local gas.", group="Clock the meter",
    )  # fmt: skip
    counted = Choice(COUNTED, "base", label="Heating value is counted", group="Corrections",
        help="As delivered: the meter's volume needs no correction.")  # fmt: skip
    gas_temperature = Number(
        kinds.TEMPERATURE, "60 °F", low="-20 °F", high="110 °F", step=1, label="Gas in the meter",
        help="60 °F for a meter that compensates itself.", group="Corrections",
    )  # fmt: skip
    supply = Number(
        kinds.GAUGE_PRESSURE, "7 in. w.c.", low="1 in. w.c.", high="28 in. w.c.", step=0.1,
        label="Pressure after the meter", help="With what burns now.", group="Corrections",
    )  # fmt: skip
    altitude = Number(
        kinds.LENGTH, "0 ft", low="-500 ft", high="12000 ft", step=100, label="Altitude", group="The plate"
    )
    plate = Number(
        kinds.CAPACITY, "80 kBtu/h", low="10 kBtu/h", high="400 kBtu/h", step=1, label="Input on the plate",
        help="For sea level.", group="The plate",
    )  # fmt: skip
    rule = Choice(RULE_WORDS, "4 % from sea level", label="Altitude rule", group="The plate",
        help="For each 1000 ft, above 2000 ft.")  # fmt: skip
    plate_pressure = Number(
        kinds.GAUGE_PRESSURE, "3.5 in. w.c.", low="1 in. w.c.", high="14 in. w.c.", step=0.1,
        label="Manifold pressure on the plate", group="The plate",
    )  # fmt: skip
    adjustment = Number(
        kinds.GAUGE_PRESSURE, "0.3 in. w.c.", low="0 in. w.c.", high="0.9 in. w.c.", step=0.05,
        label="May be set so far either way", help="By the manufacturer's instructions.", group="The plate",
    )  # fmt: skip
    manifold = Number(
        kinds.GAUGE_PRESSURE, "3.5 in. w.c.", low="0.5 in. w.c.", high="15 in. w.c.", step=0.05,
        label="Manifold pressure, measured", group="The gas valve",
    )  # fmt: skip
    burners = Number(
        kinds.DIMENSIONLESS, "4", low="1", high="12", step=1, label="Burners", group="The gas valve"
    )
    drill = Number(
        kinds.DIMENSIONLESS, "44", low="1", high="80", step=1, label="Orifice, drill number",
        help="Stamped on it; a larger number is a smaller hole.", group="The gas valve",
    )  # fmt: skip
    trunk_size = Choice(SIZES, "1", label="Trunk, size", group="Pipes")
    trunk_length = Number(
        kinds.LENGTH, "30 ft", low="1 ft", high="200 ft", step=1, label="Trunk, length", group="Pipes",
        help="With its fittings as equivalent length.",
    )  # fmt: skip
    furnace_size = Choice(SIZES, "3/4", label="Line to the furnace, size", group="Pipes")
    furnace_length = Number(
        kinds.LENGTH,
        "20 ft",
        low="1 ft",
        high="200 ft",
        step=1,
        label="Line to the furnace, length",
        group="Pipes",
    )
    branch_size = Choice(SIZES, "3/4", label="Branch to the others, size", group="Pipes")
    branch_length = Number(
        kinds.LENGTH,
        "10 ft",
        low="1 ft",
        high="200 ft",
        step=1,
        label="Branch to the others, length",
        group="Pipes",
    )
    water_heater = Number(
        kinds.CAPACITY,
        "40 kBtu/h",
        low="1 kBtu/h",
        high="400 kBtu/h",
        step=1,
        label="Water heater",
        group="Pipes",
    )
    range = Number(
        kinds.CAPACITY, "55 kBtu/h", low="1 kBtu/h", high="200 kBtu/h", step=1, label="Range", group="Pipes"
    )
    allowed_drop = Number(
        kinds.GAUGE_PRESSURE, "0.5 in. w.c.", low="0.1 in. w.c.", high="6 in. w.c.", step=0.1,
        label="Drop that the pipes are sized for", group="Pipes",
    )  # fmt: skip
    others = Switches(
        label="Burning besides the furnace", help="For the pipes; off while the meter is clocked."
    )

    def __init__(self, **values: Any) -> None:
        super().__init__(**values)
        self.set_members("others", {"water heater": True, "range": True})
        self.observe(lambda _: self._fill(), names="gas")

    def _fill(self) -> None:
        """Another gas brings its usual pressures and heating value."""
        gas = GASES[self.gas]
        with self.held():
            self.set_default("heating_value", parse_si(gas.heating_value, kinds.HEATING_VALUE))
            for name, text in (
                ("plate_pressure", gas.manifold), ("adjustment", gas.adjustment), ("manifold", gas.manifold),
                ("supply", gas.supply),
            ):  # fmt: skip
                self.set_default(name, parse_si(text, kinds.GAUGE_PRESSURE))

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: a rule without a figure, readings that cannot be true together."""
        found = []
        if allowed_rates(inputs.plate, inputs.altitude)[inputs.rule] is None:
            found.append(
                f"The rule of Canadian plates has no figure at {show(inputs.altitude, kinds.LENGTH, inputs.system, 0)}: above "
                "4500 ft the authority having jurisdiction decides. Choose another rule."
            )
        gas = GASES[inputs.gas]
        usual = parse_si(gas.heating_value, kinds.HEATING_VALUE)
        if abs(inputs.heating_value / usual - 1.0) > HEATING_VALUE_NEAR:
            given, known = (
                show(v, kinds.HEATING_VALUE, inputs.system) for v in (inputs.heating_value, usual)
            )
            found.append(
                f"{given} is no heating value of {gas.words} (about {known}): choose the gas that burns here, or ask the utility "
                "again."
            )
        if inputs.manifold > inputs.supply:
            high, low = (
                show(v, kinds.GAUGE_PRESSURE, inputs.system, DIGITS[inputs.system])
                for v in (inputs.manifold, inputs.supply)
            )
            found.append(
                f"The manifold cannot stand at {high} while only {low} arrives after the meter: the two readings are exchanged, or "
                "one of them is wrong."
            )
        if inputs.adjustment >= inputs.plate_pressure:
            found.append(
                "The range in which the manifold may be set reaches down to no pressure: read the plate again."
            )
        return found

    def compute(self, inputs: Inputs) -> FiringAnswer:
        """Rate, rules, correction and pipes."""
        return answer(inputs)

    def present(self, inputs: Inputs, outputs: FiringAnswer | None, later: Any) -> Page:
        """Words, pictures and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs)
