"""The static board's answer in words: the total against the plate, before and after, the part that is out of line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.air_side import CAUTIONS, FAR, OVERHEATED
from hvaclib.boards.static.answer import BEFORE, NOW
from hvaclib.boards.verdicts import bar, cautions_of, rule_words
from hvaclib.procedures.air_checks import Check, what_to_check
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.static.answer import StaticAnswer
    from hvaclib.rules import Finding

STATIC, FLOW, RISE = kinds.GAUGE_PRESSURE, kinds.VOLUME_FLOW, kinds.TEMPERATURE_DIFFERENCE


def pressure(value: float, system: str) -> str:
    """A static pressure as a person says it."""
    return show(value, STATIC, system, 2 if system == "field" else 0)


def of_static(answer: StaticAnswer) -> Finding | None:
    """What the rules say of the total external static pressure; None where the plate states no limit."""
    return next((item for item in answer.findings if item.rule.quantity == "external_static"), None)


def verdict(answer: StaticAnswer) -> Verdict:
    """The bar: the graver of total static pressure and temperature rise."""
    bars = [bar(item) for item in answer.findings]
    return next((kind for kind in ("fail", "unsure", "pass") if kind in bars), "unsure")


def words(answer: StaticAnswer, system: str) -> list[str]:
    """The answer first, then before and after, what was measured, the rules, and what to check."""
    found = [_first(answer, system)]
    found.append(
        _before_and_after(answer, system)
        if answer.changed
        else f"Computed: {_point(answer, NOW, system)}, on tap {answer.now.tap}."
    )
    if answer.constant:
        found.append(
            "The motor holds its airflow: more resistance raises static pressure and power first, and costs air only "
            "beyond what the motor can hold."
        )
    if not bool(answer.state.within_table[NOW]):
        found.append("This point lies beyond the rows of the blower's table: the curve is carried on there.")
    found += _measured(answer, system)
    found += [rule_words(item, answer.rules) for item in answer.findings]
    order = checks(answer)
    if order:
        steps = "; ".join(
            f"{i}. {check.title[:1].lower()}{check.title[1:]}" for i, check in enumerate(order, 1)
        )
        found.append(f"Check in this order: {steps}.")
    return [line.replace("..", ".") for line in found]  # the unit "in. w.c." brings its own full stop


def _first(answer: StaticAnswer, system: str) -> str:
    judged, limit = of_static(answer), answer.now.maximum_static
    total = pressure(answer.static, system)
    source = "computed" if answer.measured_total is None else "from two readings"
    if judged is None or limit is None:
        return f"The total external static pressure is {total} ({source}); the file states no limit of the rating plate."
    plate = pressure(limit, system)
    if judged.verdict == "pass":
        kept = f"the total external static pressure of {total} ({source}) keeps to the plate's {plate}"
        rise = next((item for item in answer.findings if item.rule.quantity == "temperature_rise"), None)
        if rise is not None and rise.verdict == "fail":
            return f"Not yet: {kept}, but the temperature rise of {show(answer.rise, RISE, system, 0)} is out of its range."
        return f"Yes: {kept}."
    if judged.verdict == "too close to call":
        return f"Too close to call: total external static pressure {total} ({source}), plate {plate}. Measure again."
    return f"No: the total external static pressure of {total} ({source}) is above the plate's {plate}: the ducts hold the air back."


def _point(answer: StaticAnswer, column: int, system: str) -> str:
    state = answer.state
    return (
        f"{show(float(state.flow[column]), FLOW, system, 0)} at {pressure(float(state.external_static[column]), system)}, "
        f"rise {show(float(state.rise[column]), RISE, system, 0)}"
    )


def _before_and_after(answer: StaticAnswer, system: str) -> str:
    done = ", ".join(change.words for change in answer.changes)
    return f"With {done}: {_point(answer, NOW, system)}. Before: {_point(answer, BEFORE, system)}."


def _measured(answer: StaticAnswer, system: str) -> list[str]:
    """What the typed pressures tell: airflow from the blower's table, the stretch that is out of line."""
    found: list[str] = []
    if answer.measured_flow is not None and answer.measured_rise is not None:
        found.append(
            f"Measured: at this total the blower's table has {show(answer.measured_flow, FLOW, system, 0)} on tap "
            f"{answer.now.tap}, which makes a rise of {show(answer.measured_rise, RISE, system, 0)}."
        )
    if answer.identification is not None:
        found.append(answer.identification.sentence)
    typed = sum(value is not None for value in answer.measured)
    if 0 < typed < len(answer.measured):
        found.append("Type the pressures at all four holes to see which part is out of line.")
    return found


def checks(answer: StaticAnswer) -> tuple[Check, ...]:
    """What to check, in the order of the trade; nothing when the total keeps to the plate."""
    judged = of_static(answer)
    return () if judged is None or judged.verdict == "pass" else what_to_check("static high")


def cautions(answer: StaticAnswer) -> list[str]:
    """What can hurt: the blower and its wiring first, and the heat exchanger when the rise is far above the plate."""
    band, rise = answer.now.rise_range, answer.rise
    hot = [OVERHEATED] if band is not None and rise > FAR * band[1] else []
    of_checks = [check.caution for check in checks(answer) if check.caution]
    bad = cautions_of(answer.findings, [])
    return list(dict.fromkeys([*hot, CAUTIONS[0], *bad, *CAUTIONS, *of_checks]))
