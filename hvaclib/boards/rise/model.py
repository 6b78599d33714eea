"""The rise board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from hvaclib.boards.air_side import known_air_side, rules_named, within
from hvaclib.boards.base import Choice, Inputs, Number, Page, Switch
from hvaclib.boards.dwelling_choice import DwellingBoard, house_choice
from hvaclib.boards.rise import page
from hvaclib.boards.rise.answer import Conditions, RiseAnswer, airflow_of, answer
from hvaclib.house.air_side import AirSide, solve_air_side
from hvaclib.rules import available
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling

KNOWN = {
    "airflow": "the airflow: what rise follows?",
    "thermometers": "two thermometers: what airflow follows?",
}


@lru_cache(maxsize=16)
def reference_of(side: AirSide, dwelling: Dwelling) -> Conditions:
    """What the file says: the plate's input, and the airflow at which blower and ducts meet."""
    furnace = dwelling.part("appliances", side.furnace)
    state = solve_air_side(side)
    return Conditions(
        input=float(furnace.input),
        efficiency=float(side.output) / float(furnace.input),
        airflow=float(state.flow[0]),
        altitude=float(side.altitude),
        return_temperature=float(side.return_temperature),
    )


class RiseBoard(DwellingBoard):
    """Temperature rise through a furnace: what it is, what moves it, and the airflow that it tells."""

    title = "Is the temperature rise right?"
    question = (
        "Does the furnace warm its air by as much as its rating plate allows, what would move the rise, and how much "
        "air does a measured rise tell?"
    )
    name = "rise"
    house = house_choice(
        "closed_door_fails",
        {
            "closed_door_fails": "demo: rise near the top",
            "passes": "demo: rise in the middle",
            "blocked_vent": "demo: ducts hold the air back",
            "closed_bedrooms": "demo: blower that holds its airflow",
        },
    )
    known = Choice(KNOWN, "airflow", label="What is known", group="Dwelling")
    input = Number(
        kinds.CAPACITY, "80 kBtu/h", low="10 kBtu/h", high="250 kBtu/h", step=1, label="Input",
        help="As clocked at the gas meter.", group="What moves it",
    )  # fmt: skip
    efficiency = Number(
        kinds.FRACTION, "80 %", low="50 %", high="100 %", step=0.5, label="Efficiency", group="What moves it"
    )
    airflow = Number(
        kinds.VOLUME_FLOW, "1000 cfm", low="0 cfm", high="3000 cfm", step=10, label="Airflow",
        help="Worked out where two thermometers are known.", group="What moves it",
    )  # fmt: skip
    altitude = Number(
        kinds.LENGTH, "0 ft", low="-1000 ft", high="12000 ft", step=100, label="Altitude",
        help="Thinner air carries less heat. Gas input is often lowered as well: clock it.", group="What moves it",
    )  # fmt: skip
    in_sight = Switch(
        False, label="Supply thermometer in sight of the heat exchanger", group="Thermometers",
        help="It then reads radiation too.",
    )  # fmt: skip
    return_temperature = Number(
        kinds.TEMPERATURE,
        "68 °F",
        low="30 °F",
        high="100 °F",
        step=0.5,
        label="Return air",
        group="Thermometers",
    )
    supply_temperature = Number(
        kinds.TEMPERATURE, "120 °F", low="30 °F", high="250 °F", step=0.5, label="Supply air",
        help="Used where two thermometers are known.", group="Thermometers",
    )  # fmt: skip
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to the furnace, the place and the ducts that the file describes."""
        side, _ = known_air_side(dwelling)
        if side is None:
            return
        here = reference_of(side, dwelling)
        for name in ("input", "efficiency", "airflow", "altitude", "return_temperature"):
            self.set_default(name, within(self, name, getattr(here, name)))
        self.set_default("in_sight", value=False)
        state = solve_air_side(side)
        self.set_default(
            "supply_temperature", within(self, "supply_temperature", float(state.supply_temperature[0]))
        )

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: no file, or no furnace with an air handler in it."""
        del inputs
        dwelling = self.dwelling
        if dwelling is None:
            return self.no_dwelling()
        _, why = known_air_side(dwelling)
        return [why] if why else []

    def compute(self, inputs: Inputs) -> RiseAnswer:
        """The point, its curves and what each control does."""
        dwelling = self.dwelling
        assert dwelling is not None  # find_blockers has seen to it
        side, _ = known_air_side(dwelling)
        assert side is not None
        given = {
            name: inputs[name]
            for name in ("input", "efficiency", "altitude", "return_temperature", "in_sight")
        }
        now = Conditions(airflow=inputs.airflow, **given)
        measured = inputs.known == "thermometers"
        if measured:
            now = Conditions(airflow=airflow_of(now, inputs.supply_temperature), **given)
        return answer(side, self._reference(side, dwelling), now, measured, rules_named(inputs.rule_set))

    def _reference(self, side: AirSide, dwelling: Dwelling) -> Conditions:
        """The conditions of the file as the controls can show them: a limit of a control holds for both."""
        here = reference_of(side, dwelling)
        names = ("input", "efficiency", "airflow", "altitude", "return_temperature")
        shown: dict[str, Any] = {name: within(self, name, getattr(here, name)) for name in names}
        return Conditions(**shown)

    def present(self, inputs: Inputs, outputs: RiseAnswer | None, later: Any) -> Page:
        """Words, picture and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs)
