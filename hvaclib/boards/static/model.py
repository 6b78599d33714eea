"""The static board's inputs and its calculation; no widget in here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.boards.air_side import known_air_side, rules_named, within
from hvaclib.boards.base import Choice, Inputs, MemberChoice, Number, Page, Typed
from hvaclib.boards.dwelling_choice import DwellingBoard, house_choice
from hvaclib.boards.static import page
from hvaclib.boards.static.answer import StaticAnswer, answer
from hvaclib.boards.static.changes import changes, drop_size
from hvaclib.rules import available
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling

WHAT_IF = "What if"
MEASURED = "Measured (optional)"


def _times(label: str, low: str, high: str, help: str) -> Number:
    return Number(
        kinds.DIMENSIONLESS, "1", low=low, high=high, step=0.05, label=label, help=help, group=WHAT_IF
    )


def _hole(number: int, where: str) -> Typed:
    return Typed(
        kinds.GAUGE_PRESSURE, low="-4 in. w.c.", high="4 in. w.c.", label=f"Hole {number}: {where}", group=MEASURED
    )  # fmt: skip


class StaticBoard(DwellingBoard):
    """Blower against ducts, the static pressure along the air's way, and which part is out of line."""

    title = "What holds the air back?"
    question = (
        "How much air does the blower move through these ducts, does the total external static pressure keep to the "
        "rating plate, which part takes more than its share, and what would help?"
    )
    name = "static"
    house = house_choice(
        "blocked_vent",
        {
            "blocked_vent": "demo: too much static pressure",
            "passes": "demo: sound ducts",
            "closed_bedrooms": "demo: blower that holds its airflow",
        },
    )
    tap = MemberChoice(label="Blower tap", group=WHAT_IF)
    filter_loaded = _times(
        "Filter: loss, times the file's", "0.25", "6", "More than 1: loaded. Less: a clean one."
    )
    filter_area = _times(
        "Filter: face area, times the present", "0.5", "4", "Another filter, of the same medium."
    )
    coil = _times("Coil: loss, times the file's", "0.25", "6", "Less than 1: cleaned.")
    registers = _times("Registers: open area, times the present", "0.25", "3", "More than 1: opened.")
    drop_width = Number(
        kinds.SIZE, "16 in", low="4 in", high="48 in", step=1, label="Return drop, width", group=WHAT_IF
    )
    drop_height = Number(
        kinds.SIZE, "16 in", low="4 in", high="48 in", step=1, label="Return drop, height", group=WHAT_IF
    )
    hole_1 = _hole(1, "return, before the filter")
    hole_2 = _hole(2, "blower inlet, after the filter")
    hole_3 = _hole(3, "after the heat exchanger, before the coil")
    hole_4 = _hole(4, "after the coil")
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to the blower and the ducts that the file describes."""
        side, _ = known_air_side(dwelling)
        for name in ("filter_loaded", "filter_area", "coil", "registers"):
            self.set_default(name, 1.0)
        for name in ("hole_1", "hole_2", "hole_3", "hole_4"):
            self.set_default(name, None)
        if side is None:
            self.set_options("tap", {}, "")
            return
        self.set_options("tap", {tap: tap for tap in side.fans}, side.tap)
        size = drop_size(side)
        if size is not None:
            self.set_default("drop_width", within(self, "drop_width", float(size.width)))
            self.set_default("drop_height", within(self, "drop_height", float(size.height)))

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: no file, no furnace, no blower table, or no component's loss."""
        del inputs
        dwelling = self.dwelling
        if dwelling is None:
            return self.no_dwelling()
        side, why = known_air_side(dwelling)
        if side is None:
            return [why]
        lacking = [] if side.tabulated else ["the blower's table ([air_handler.fan] with its taps)"]
        lacking += (
            []
            if side.components
            else ["the parts of the ducts ([[air_handler.component]] with their losses)"]
        )
        if lacking:
            return [f"{dwelling.name}: the file does not describe {' and '.join(lacking)}."]
        return []

    def compute(self, inputs: Inputs) -> StaticAnswer:
        """File, all changes and each change alone in one call; then what was measured."""
        dwelling = self.dwelling
        assert dwelling is not None  # find_blockers has seen to it
        side, _ = known_air_side(dwelling)
        assert side is not None
        measured = (inputs.hole_1, inputs.hole_2, inputs.hole_3, inputs.hole_4)
        moved = dict(inputs)
        size = drop_size(side)
        if (
            size is not None
        ):  # what stands at its default is the file's own size, also where the control is rounded
            for name, own in (("drop_width", size.width), ("drop_height", size.height)):
                moved[name] = own if inputs[name] == self.default_of(name) else inputs[name]
        return answer(side, changes(side, moved), measured, rules_named(inputs.rule_set))

    def present(self, inputs: Inputs, outputs: StaticAnswer | None, later: Any) -> Page:
        """Words, pictures and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs)
