"""The condensate-and-controls board in words: verdicts, what to do, cautions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.boards.controls.answer import RESERVE, SCALE, TOLERANCE, VOLTAGE
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Collection

    from hvaclib.boards.base import Inputs
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.controls.answer import ControlsAnswer

ELECTRICITY = (
    "Electricity: only the 24 V side is measured here. The primary side of the transformer carries line voltage: switch "
    "off and lock the circuit before its box is opened; licensed work where the local code says so. A short on the 24 V "
    "side burns out the transformer: switch off before a wire is moved."
)
ACID = (
    "Condensate is acid (pH 3 to 5): gloves and glasses, rinse off splashes; neutralize it where the code or the drain's "
    "material asks for it. The manufacturer's instructions and the local code come first."
)
FREEZING = (
    "A frozen line backs water up into the furnace: the burner stops on a cold night, or water reaches live parts. Keep "
    "the line out of the cold, or slope and protect it as the manufacturer says."
)
OVERFLOW = (
    "An overflowing tank beside live parts is a shock hazard: its overflow switch must stop the furnace."
)
COLD = (
    "A house that its furnace cannot hold: pipes freeze, and people heat with ovens or unvented burners, which make carbon "
    "monoxide. See to the heat first."
)
WATER, CIRCUIT, LOADS, WARMTH = "water", "circuit", "loads", "warmth"
PARTS = (WATER, CIRCUIT, LOADS, WARMTH)
"""What the board judges; a command may ask for some of them."""


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that was judged: what it concerns, how it stands, and the sentence with what to do."""

    part: str
    verdict: Verdict
    sentence: str


def points(inputs: Inputs, answer: ControlsAnswer, parts: Collection[str] = PARTS) -> list[Point]:
    """What the board judges of these parts, in the order of the page."""
    found = [
        _amount(inputs, answer),
        _pump(inputs, answer),
        *_line(inputs, answer),
        _trap(inputs, answer),
        _anticipator(inputs, answer),
        *(_reading(inputs, answer) if LOADS in parts else []),
        _transformer(inputs, answer),
        _recovery(inputs, answer),
    ]
    return [point for point in found if point.part in parts]


def verdict(found: list[Point]) -> Verdict:
    """The worst of all."""
    told = [point.verdict for point in found]
    return "fail" if "fail" in told else "unsure" if "unsure" in told else "pass"


def words(found: list[Point]) -> list[str]:
    """The answer: the first sentence for the whole board, then what is wrong, then the rest."""
    order: dict[str, int] = {"fail": 0, "unsure": 1, "pass": 2}
    rest = sorted(found, key=lambda point: order[point.verdict])
    return [_first(found), *(point.sentence for point in rest)]


_SAID: tuple[tuple[tuple[str, ...], dict[Verdict, str]], ...] = (
    (
        (WATER,),
        {
            "pass": "the water gets out",
            "unsure": "look again at the water",
            "fail": "the water does not get out safely",
        },
    ),
    (
        (CIRCUIT, LOADS),
        {
            "pass": "the control circuit is in order",
            "unsure": "look again at the control circuit",
            "fail": "the control circuit needs work",
        },
    ),
    (
        (WARMTH,),
        {"pass": "the house is warm again in time", "fail": "the house is not warm again in time"},
    ),
)


def _first(found: list[Point]) -> str:
    """How the parts that were judged stand."""
    clauses, told = [], set()
    for parts, said in _SAID:
        of_these = [point for point in found if point.part in parts]
        if of_these:
            stands = verdict(of_these)
            clauses.append(said[stands])
            told.add(stands)
    lead = "No: " if "fail" in told else "Not yet: " if "unsure" in told else "Yes: "
    return f"{lead}{'; '.join(clauses)}."


def _amount(inputs: Inputs, answer: ControlsAnswer) -> Point:
    system = inputs.system
    at = show(inputs.condensing_temperature, kinds.TEMPERATURE, system)
    if answer.water <= 0:
        return Point(
            WATER, "unsure",
            f"Nothing condenses at {at} with this much air: the gas leaves above its dew point. A furnace made for condensing "
            "should leave cooler: look at input, airflow and the secondary exchanger.",
        )  # fmt: skip
    return Point(
        WATER, "pass",
        f"Up to {show(answer.water, kinds.MASS_FLOW, system)} of condensate, {show(answer.water_volume, kinds.DRAIN_FLOW, system)}, "
        f"while it burns: all the gas leaves saturated at {at}, a real exchanger gives somewhat less.",
    )  # fmt: skip


def _pump(inputs: Inputs, answer: ControlsAnswer) -> Point:
    duty, system = answer.duty, inputs.system
    lift = show(inputs.lift, kinds.LENGTH, system, 1)
    most = show(inputs.shutoff_head, kinds.LENGTH, system, 1)
    if duty.delivered <= 0:
        return Point(
            WATER, "fail",
            f"The pump cannot lift {lift}: its plate ends at {most}. Lower the highest point of the line or use a pump for "
            "more lift.",
        )  # fmt: skip
    flow = show(duty.delivered, kinds.MASS_FLOW, system, 1)
    runs = f"it runs {_percent(duty.running)} of the burner's time"
    if not duty.enough:
        return Point(
            WATER, "fail",
            f"The pump delivers only {flow} at {lift} through this line; {RESERVE:g} times the condensate is wanted (common practice). "
            "Use a wider tube, a shorter line or a larger pump.",
        )  # fmt: skip
    return Point(
        WATER, "pass",
        f"The pump keeps up: {flow} against {show(duty.head, kinds.LENGTH, system, 1)} of water, {runs}.",
    )  # fmt: skip


def _line(inputs: Inputs, answer: ControlsAnswer) -> list[Point]:
    """What is seen, not reckoned: frost, overflow switch, neutralizer."""
    found = []
    if inputs.freezing:
        found.append(
            Point(WATER, "fail", "The line can freeze: move it into the heated space, or protect it as the manufacturer says.")
        )  # fmt: skip
    if not inputs.overflow:
        found.append(Point(WATER, "fail", "Wire the pump's overflow switch so that it stops the furnace."))
    if not inputs.neutralizer and answer.water > 0:
        found.append(
            Point(WATER, "unsure", "No neutralizer: ask the local code and look at the drain's material before you leave it so.")
        )  # fmt: skip
    return found


def _trap(inputs: Inputs, answer: ControlsAnswer) -> Point:
    system = inputs.system
    has, needs = (
        show(value, kinds.SIZE, system, 2 if system == "field" else 0) for value in (inputs.seal, answer.trap)
    )
    if inputs.seal < answer.trap - 1e-9:
        push = (
            "air is drawn in through it and water stands in the cabinet"
            if inputs.static < 0
            else "flue gas or air blows through it"
        )
        return Point(
            WATER, "fail",
            f"The trap is too shallow: {has} of seal, {needs} needed against this pressure with its margin; else {push}. Fit a "
            "deeper trap, the manufacturer's own first, and fill it.",
        )  # fmt: skip
    return Point(
        WATER, "pass", f"The trap holds: {has} of seal, {needs} needed. Fill it before the first start."
    )


def _anticipator(inputs: Inputs, answer: ControlsAnswer) -> Point:
    system = inputs.system
    current, stands = (show(value, kinds.CURRENT, system, 2) for value in (answer.current, inputs.pointer))
    turns = round(inputs.turns)
    how = (
        f"{show(inputs.reading, kinds.CURRENT, system, 2)} over {turns} turns"
        if turns > 1
        else "read directly"
    )
    if not SCALE[0] - 1e-9 <= answer.current <= SCALE[1] + 1e-9:
        ends = " to ".join(show(end, kinds.CURRENT, system, 2) for end in SCALE)
        return Point(
            CIRCUIT, "unsure",
            f"The circuit would carry {show(answer.current, kinds.CURRENT, system, 3)} ({how}), beyond an anticipator's usual scale "
            f"of {ends} (common practice): is the burner on, and are the turns counted right? Set nothing by it; measure again.",
        )  # fmt: skip
    if abs(inputs.pointer - answer.current) <= TOLERANCE + 1e-9:
        return Point(
            CIRCUIT, "pass",
            f"The anticipator is right: the circuit carries {current} ({how}), and the pointer stands at {stands}.",
        )  # fmt: skip
    high = inputs.pointer > answer.current
    effect = (
        "too high: too little heat beside the bimetal, long cycles, the room swings"
        if high
        else "too low: too much heat beside the bimetal, short cycles"
    )
    return Point(
        CIRCUIT, "fail",
        f"Set the anticipator to {current} ({how}); it stands at {stands}, {effect}.",
    )  # fmt: skip


def _reading(inputs: Inputs, answer: ControlsAnswer) -> list[Point]:
    """The measured current must come from what hangs on the circuit."""
    if answer.circuit_load <= answer.transformer.load * 1.1 + 1e-9:
        return []
    drawn, listed = (
        show(v, kinds.APPARENT_POWER, inputs.system) for v in (answer.circuit_load, answer.transformer.load)
    )
    return [
        Point(
            CIRCUIT, "unsure",
            f"The measured current alone is {drawn} at {VOLTAGE:g} V, more than all loads listed ({listed}): count the turns again, "
            "and look for a load that is not in the list.",
        )
    ]  # fmt: skip


def _transformer(inputs: Inputs, answer: ControlsAnswer) -> Point:
    told = answer.transformer
    load, rating = (show(v, kinds.APPARENT_POWER, inputs.system) for v in (told.load, inputs.rating))
    if not told.enough:
        over = show(-told.spare, kinds.APPARENT_POWER, inputs.system)
        return Point(
            LOADS, "fail",
            f"The transformer is overloaded: {load} can be on at once, {rating} on its plate. Take {over} off it, to a transformer of "
            "its own with its own relay, or fit a larger one of class 2 (licensed work).",
        )  # fmt: skip
    return Point(
        LOADS, "pass", f"The transformer carries its loads: {load} of {rating}, {_percent(told.share)}."
    )


def _recovery(inputs: Inputs, answer: ControlsAnswer) -> Point:
    told, system = answer.recovery, inputs.system

    def warm(value: float) -> str:
        return show(value, kinds.TEMPERATURE, system, 1)

    if math.isinf(told.time):
        return Point(
            WARMTH, "fail",
            f"The furnace never brings the house to {warm(inputs.occupied)} in this weather: it would end at {warm(told.final)}. Use no "
            "setback, and look for the lost output (input rate, airflow) or the heat loss.",
        )  # fmt: skip
    if told.time <= 0.0:
        return Point(
            WARMTH,
            "pass",
            f"No setback: the house stays at {warm(inputs.occupied)}, and nothing is to be recovered.",
        )
    takes, there_is = (show(v, kinds.HOURS, system) for v in (told.time, inputs.available))
    if told.time > inputs.available * (1 + 1e-9):
        return Point(
            WARMTH, "fail",
            f"Recovery takes {takes}, and there are {there_is}: begin {takes} before, or set back no lower than "
            f"{warm(told.least_setback)} in this weather.",
        )  # fmt: skip
    return Point(
        WARMTH, "pass",
        f"Recovery from {warm(inputs.setback)} takes {takes} of the {there_is} there are: begin that long before.",
    )  # fmt: skip


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share < 0.1 else f"{100 * share:.0f} %"


def cautions(inputs: Inputs, answer: ControlsAnswer, parts: Collection[str] = PARTS) -> list[str]:
    """What can hurt in these parts; what is present comes first."""
    first, usual = [], []
    if WATER in parts:
        if inputs.freezing:
            first.append(FREEZING)
        if not inputs.overflow or not answer.duty.enough:
            first.append(OVERFLOW)
        usual = [ACID, FREEZING]
    live = [ELECTRICITY] if {CIRCUIT, LOADS} & set(parts) else []
    cold = [COLD] if WARMTH in parts and math.isinf(answer.recovery.time) else []
    return list(dict.fromkeys([*first, *live, *cold, *usual]))
