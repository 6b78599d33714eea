"""The chimney board's answer in words, each with its rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.chimney.answer import LINED, MASONRY, VENT, Capacities, ChimneyAnswer
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs
    from hvaclib.boards.base.page import Verdict

RATE, AREA, SIZE, LENGTH = kinds.CAPACITY, kinds.AREA, kinds.SIZE, kinds.LENGTH
CO = (
    "Spilled flue gas holds carbon monoxide, which has no smell. Signs of spillage, or an alarm: appliance off, everybody out, "
    "call from outside. A carbon monoxide alarm on every floor."
)
DEFER = (
    "This is a simulation: it teaches and plans. The adopted code's tables, the manufacturer's instructions and a licensed "
    "technician decide; have the flue inspected before anything stays on it. Roofs and ladders: not alone."
)


def faults(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> list[str]:
    """What is wrong by a rule, in a few words each."""
    found = []
    if answer.area > answer.most * (1 + 1e-9):
        found.append("the flue is too large")
    elif not answer.area_allowed:
        found.append("the flue is too small")
    if not answer.carries:
        found.append("it lifts less than this input needs")
    elif later is not None and later.table is not None and later.table < answer.rate:
        found.append("the code's table allows less than this input")
    if inputs.rise < answer.climb_needed - 1e-9:
        found.append("the connector climbs too little")
    if inputs.lateral > answer.run_allowed + 1e-9:
        found.append("the connector is too long")
    return found


def verdict(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> Verdict:
    """The bar beside the answer."""
    if faults(inputs, answer, later):
        return "fail"
    return "unsure" if not answer.alone or answer.wet_share("settled") > 0.0 else "pass"


def words(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> list[str]:
    """The answer first, then capacity, area, liner, wetness and connector."""
    return [
        _first(inputs, answer, later),
        *_common(inputs, answer),
        _capacity(inputs, answer, later),
        _area(inputs, answer),
        *_liner(inputs, answer, later),
        _water(answer),
        _connector(inputs, answer),
    ]


def _first(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> str:
    wrong = faults(inputs, answer, later)
    who = "The water heater alone" if answer.alone else "Water heater and furnace together"
    if wrong:
        return f"No: {', and '.join(wrong)}. {who}: {show(answer.rate, RATE, inputs.system, 0)}."
    if not answer.alone:
        return "Not decided here: area and lift are enough for both by rule and physics, but this board holds no table of common vents."
    if answer.wet_share("settled") > 0.0:
        return "Only by the rules of size: the water heater may stay, but the flue's wall never becomes dry."
    return "Yes: area, lift and connector are enough for the water heater alone, and the wall becomes dry."


def _common(inputs: Inputs, answer: ChimneyAnswer) -> list[str]:
    """What decides for two appliances on one flue, and that it is not in here."""
    if answer.alone:
        return []
    table = (
        "504.3(1), double-wall connectors in a double-wall vent"
        if inputs.kind == VENT
        else "504.3(3), masonry with double-wall connectors"
    )
    lined = " A liner goes by its listing." if inputs.kind == LINED else ""
    return [
        f"Two appliances: IFGC (2018) Table {table}, decides (number from memory), which this board does not hold. Look up both: the "
        f"vent's capacity with both burning, and that of each connector with its rise.{lined}"
    ]


def _capacity(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> str:
    system = inputs.system
    rate = show(answer.rate, RATE, system, 0)
    judged = "enough lift" if answer.carries else "not enough lift"
    if later is None:
        return f"Capacity: {judged} for {rate}, by physics; the largest input is being worked out."
    if later.now is None:
        return f"Capacity: none. The gas cools so far that it lifts nothing; the input is {rate}."
    both = "" if answer.alone else " Both connectors are counted as one of their area, an estimate."
    table = ""
    if later.table is not None:
        table = f" IFGC (2018) Table 504.2(3), row on the safe side: {show(later.table, RATE, system, 0)}; the lower counts."
    elif inputs.kind == MASONRY and answer.alone:
        table = (
            " No row of IFGC (2018) Table 504.2(3) for this connector is held here: look it up; it decides."
        )
    how = (
        "from lighting with a cold flue"
        if inputs.kind == MASONRY
        else "at the narrower of connector and flue"
    )
    return f"Capacity: {show(later.now, RATE, system, 0)} by physics, {how}; the input is {rate}: {judged}.{table}{both}"


def _area(inputs: Inputs, answer: ChimneyAnswer) -> str:
    area, least, most = (show(v, AREA, inputs.system, 1) for v in (answer.area, answer.least, answer.most))
    if answer.alone:
        told = f"{answer.ratio:.1f} times the water heater's outlet; at most 7 times ({most})"
        rule = (
            "IFGC (2018) Table 504.2(3) and 504.2.10"
            if inputs.kind == MASONRY
            else "Seven times: IFGC (2018) 504.2"
        )
        return f"Area: {area}, {told}, at least {least}. {rule}."
    return (
        f"Area: {area}; for both at least {least} (the larger outlet and half the smaller), at most {most} (7 times the smaller). "
        "IFGC (2018) 503.5.5, from memory. The upper limit counts the smaller outlet."
    )


def _liner(inputs: Inputs, answer: ChimneyAnswer, later: Capacities | None) -> list[str]:
    if inputs.kind == VENT or later is None:
        return []
    if later.liner is None or later.liner_capacity is None:
        return [] if later.now is None else [
            "Liner: no stock size carries the water heater alone within seven times its outlet: shorten the connector, or choose "
            "another appliance."
        ]  # fmt: skip
    size, carries = (
        show(later.liner, SIZE, inputs.system, 0),
        show(later.liner_capacity, RATE, inputs.system, 0),
    )
    when = "" if answer.alone else " once the furnace is off"
    return [
        f"Liner for the water heater alone{when}: {size}, connector as wide; it carries {carries}, counted as 80 % of a double-wall "
        "vent (NFPA 54, 13.1.7, from memory)."
    ]


def _water(answer: ChimneyAnswer) -> str:
    shares = [f"{100 * answer.wet_share(when):.0f} % {said}" for when, said in (
        ("5 min", "after 5 minutes"), ("20 min", "after 20 minutes"), ("settled", "in the end"))]  # fmt: skip
    told = f"Water: this much of the flue's inner face is colder than the dew point: {', '.join(shares)}."
    if answer.wet_share("20 min") == 0.0:
        return f"{told} A wall that is dry after a usual run of the burner stays sound."
    return (
        f"{told} A burner that seldom runs longer than 20 minutes never gets to the end; water and acid then eat mortar, clay "
        "and metal."
    )


def _connector(inputs: Inputs, answer: ChimneyAnswer) -> str:
    system = inputs.system
    needs, has = (show(v, SIZE, system, 1) for v in (answer.climb_needed, inputs.rise))
    enough = "it has" if inputs.rise >= answer.climb_needed - 1e-9 else "it has only"
    run, most = show(inputs.lateral, LENGTH, system, 1), show(answer.run_allowed, LENGTH, system, 1)
    rule = (
        "no longer than the height, double-wall; IFGC (2018) 503.10.9, from memory"
        if answer.alone
        else "1.5 ft for each inch of its diameter on a common vent; IFGC (2018) 504.3.2"
    )
    return (
        f"Connector: 1/4 in of climb for each foot needs {needs}, {enough} {has} (IFGC 503.10.8, from memory). Run {run}, at most "
        f"{most}: {rule}."
    )
