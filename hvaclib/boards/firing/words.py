"""The firing board's answer in words: on rate or not, what puts it right, and what the other readings say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.firing.answer import TOLERANCE
from hvaclib.plots.manifold import DIGITS
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.firing.answer import FiringAnswer

RATE, PRESSURE = kinds.CAPACITY, kinds.GAUGE_PRESSURE
LEAK = (
    "Smell of gas: leave at once, light nothing, switch nothing on or off, use no telephone inside. Call the gas supplier "
    "or the fire service from outside. Never look for a leak with a flame."
)
LICENSED = (
    "Manifold pressure, orifices and pipes are work for a licensed technician, by the manufacturer's instructions and the "
    "local code. This is a simulation: it teaches and plans."
)
OVERFIRED = (
    "An overfired burner overheats its heat exchanger and can make carbon monoxide, which has no smell: measure it; if it "
    "rises, shut the burner down and call."
)
CODE, OTHER = "4 % from sea level", "4 % above 2000 ft"


def verdict(answer: FiringAnswer) -> Verdict:
    """The bar beside the answer."""
    if answer.starved or answer.verdict in ("over", "under", "manifold"):
        return "fail"
    return "pass" if answer.verdict == "on rate" else "unsure"


def cautions(answer: FiringAnswer) -> list[str]:
    """What can hurt: carbon monoxide first where the burner is overfired, else the leak."""
    return [OVERFIRED, LEAK, LICENSED] if answer.verdict == "over" else [LEAK, LICENSED, OVERFIRED]


def words(inputs: Inputs, answer: FiringAnswer) -> list[str]:
    """The answer first, then the remedy, the altitude rules, the check by the orifices, and the supply."""
    found = [_first(inputs, answer), _remedy(inputs, answer)]
    found += [*_altitude(inputs, answer), _orifices(inputs, answer), _supply(inputs, answer)]
    return [sentence.replace("w.c..", "w.c.") for sentence in found if sentence]


def _first(inputs: Inputs, answer: FiringAnswer) -> str:
    system = inputs.system
    half = show(answer.share * answer.rate, RATE, system, 1).partition(" ")[0]
    rate = f"{show(answer.rate, RATE, system, 1).partition(' ')[0]} ± {half} {RATE.label(system)}"
    wanted = show(answer.wanted, RATE, system, 1)
    where = f"{wanted} that the plate allows here"
    off = abs(100.0 * answer.correction.off_rate)
    if answer.verdict == "over":
        return f"No: overfired by {off:.1f} %. The burner takes {rate} instead of the {where}."
    if answer.verdict == "under":
        return f"No: underfired by {off:.1f} %. The burner takes {rate} instead of the {where}."
    if answer.verdict == "too close to call":
        return (
            f"Too close to call: {rate} against the {where}. Half a second of the watch is {100 * answer.share:.1f} %: clock "
            "more turns."
        )
    if answer.starved:
        return f"Not yet: the rate is right ({rate}), but too little pressure arrives when everything burns."
    if answer.verdict == "manifold":
        pressure = show(inputs.manifold, PRESSURE, system, DIGITS[system])
        return f"No: the rate is right ({rate}), but by a manifold pressure of {pressure}, out of its range."
    return f"Yes: the burner takes {rate}, within {100 * TOLERANCE:.0f} % of the {where}."


def _remedy(inputs: Inputs, answer: FiringAnswer) -> str:
    told, system = answer.correction, inputs.system
    needed, now = (
        show(v, PRESSURE, system, DIGITS[system]) for v in (told.manifold_pressure, inputs.manifold)
    )
    low, high = (show(v, PRESSURE, system, DIGITS[system]) for v in (told.lowest, told.highest))
    if answer.verdict == "too close to call" and told.remedy == "manifold":
        return ""
    if told.remedy in ("manifold", "orifice") and not answer.agrees:
        return (
            f"Set and change nothing yet: meter and orifices disagree. Find out why, clock again, then judge. (The square-root "
            f"law would ask for {needed}; {low} to {high} is the range.)"
        )
    if told.remedy == "manifold":
        return f"Permitted: set the manifold from {now} to {needed}, within its range of {low} to {high}, and clock again."
    if told.remedy == "supply pressure" and not answer.agrees and answer.verdict in ("over", "under"):
        return (
            "Set and change nothing yet: meter and orifices disagree, and by the flow clocked too little pressure would arrive. "
            "Clock again first, then measure the supply."
        )
    if told.remedy == "supply pressure":
        return (
            "Not permitted now: leave manifold and orifices alone until the supply pressure is right; a regulator that "
            "starves cannot be set."
        )
    if told.remedy == "orifice":
        at = show(inputs.plate_pressure, PRESSURE, system, DIGITS[system])
        present = f"#{round(inputs.drill)}"
        change = f"orifices {answer.drill} instead of {present}, with the manifold at {at}"
        if answer.drill == present:
            change = f"the manifold at {at}: the orifices {present} are the right ones"
        return (
            f"Not permitted by the manifold: it would need {needed}, and {low} to {high} is its range. Wrong orifices, a wrong "
            f"supply or a wrong clocking. By the rate clocked: {change}; the manufacturer's table decides."
        )
    return f"Nothing to set: the manifold stands at {now}, within {low} to {high}."


def _altitude(inputs: Inputs, answer: FiringAnswer) -> list[str]:
    code, other = answer.allowed[CODE], answer.allowed[OTHER]
    assert code is not None  # these two have a figure everywhere
    assert other is not None
    if code == other:
        return []
    system = inputs.system
    return [
        f"Two readings of the 4 % rule: counted from sea level (the code) {show(code, RATE, system, 1)} is left; counted above "
        f"2000 ft only, {show(other, RATE, system, 1)}. Judged by: {inputs.rule}. The appliance's own instructions come first."
    ]


def _orifices(inputs: Inputs, answer: FiringAnswer) -> str:
    by = show(answer.by_orifices, RATE, inputs.system, 1)
    off = answer.disagreement
    count = (
        f"{round(inputs.burners)} orifice{'s' if round(inputs.burners) > 1 else ''} #{round(inputs.drill)}"
    )
    if answer.agrees:
        return f"Cross-check: {count} would pass {by} at this manifold pressure, which agrees."
    if off > 0:
        why = "something else burns on this meter, or an orifice is larger than stamped"
    else:
        why = "an orifice is partly blocked or smaller than stamped, or the turns were miscounted"
    told = f"{100 * off:+.0f}".replace("-", "−")
    return f"Cross-check: {count} would pass {by} at this manifold pressure; the meter says {told} %: {why}."


def _supply(inputs: Inputs, answer: FiringAnswer) -> str:
    system = inputs.system
    pressure, least = (show(v, PRESSURE, system, DIGITS[system]) for v in (answer.supply, answer.gas.least))
    burning = [name for name, on in inputs.others.items() if on]
    when = f"with {' and '.join(burning)} burning too" if burning else "with nothing else burning"
    small = [name for name, state in answer.pipes.items() if not state.enough]
    tail = f" Too small by the longest-length method: {', '.join(small)}." if small else ""
    if answer.supply <= 0.0:
        return f"Supply: these pipes cannot carry that flow {when}: no pressure would be left at the furnace.{tail}"
    if answer.starved:
        return f"Supply: {pressure} at the furnace {when}, below the {least} that it needs.{tail}"
    return f"Supply: {pressure} at the furnace {when}; it needs {least}.{tail}"
