"""The rise board's answer in words: the verdict with its rule, the airflow, what to check and in which order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.air_side import CAUTIONS, EXPANDED, FAR, OVERHEATED
from hvaclib.boards.verdicts import bar, cautions_of, rule_words
from hvaclib.procedures.air_checks import Check, what_to_check
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.rise.answer import RiseAnswer

RISE, FLOW = kinds.TEMPERATURE_DIFFERENCE, kinds.VOLUME_FLOW


def verdict(answer: RiseAnswer) -> Verdict:
    """The bar beside the answer; a plate without a range leaves it open."""
    return "unsure" if answer.finding is None else bar(answer.finding)


def words(answer: RiseAnswer, system: str) -> list[str]:
    """The answer first, then the airflow, the rule, and what to check in which order."""
    found = [_first(answer, system), *_airflow(answer, system)]
    if answer.now.in_sight:
        extra = show(answer.rise - answer.true_rise, RISE, system, 0)
        found.append(
            f"The supply thermometer sees the heat exchanger and reads some {extra} too high: the air itself rises by "
            f"{show(answer.true_rise, RISE, system, 0)}. Move it past the first turn and read again."
        )
    if answer.finding is not None:
        found.append(rule_words(answer.finding, answer.rules))
    order = checks(answer)
    if order:
        steps = "; ".join(f"{i}. {_lower(check.title)}" for i, check in enumerate(order, start=1))
        found.append(f"Check in this order: {steps}.")
    return found


def _lower(title: str) -> str:
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def _first(answer: RiseAnswer, system: str) -> str:
    rise = f"{show(answer.rise, RISE, system, 0)} ± {show(EXPANDED * answer.uncertainty, RISE, system, 1)}"
    band = answer.side.rise_range
    source = "as the thermometers read it" if answer.measured else "as computed"
    if band is None:
        return f"The rise is {rise}, {source}; the file states no range of the rating plate to judge it by."
    plate = f"{show(band[0], RISE, system, 0).partition(' ')[0]} to {show(band[1], RISE, system, 0)}"
    telling = answer.finding.verdict if answer.finding is not None else ""
    if telling == "pass":
        return f"Yes: a rise of {rise} lies within the plate's {plate}."
    if telling == "too close to call":
        return f"Too close to call: a rise of {rise} against the plate's {plate}. Measure again."
    if answer.now.in_sight and band[0] <= answer.true_rise <= band[1]:
        return (
            f"Read again: {rise} is out of the plate's {plate}, but the thermometer sees the heat exchanger."
        )
    high = answer.direction == "high"
    tail = "too little air for this much heat" if high else "too much air for this much heat"
    return f"No: a rise of {rise} is too {'high' if high else 'low'} for the plate's {plate}: {tail}."


def _airflow(answer: RiseAnswer, system: str) -> list[str]:
    """Airflow, with the rule of thumb beside it."""
    flow, off = answer.now.airflow, answer.rule.error
    rule = flow * (1.0 + off)
    way = "too little" if off < 0 else "too much"
    thumb = (
        f"The 1.08 rule would say {show(rule, FLOW, system, 0)}, {abs(100 * off):.0f} % {way}: here its constant "
        f"would have to be {answer.rule.constant:.2f}."
    )
    if not answer.measured:
        return [f"Airflow {show(flow, FLOW, system, 0)}, taken as given. From this rise: {_lower(thumb)}"]
    half = show(EXPANDED * answer.airflow_uncertainty, FLOW, system, 0)
    return [
        f"This rise tells an airflow of {show(flow, FLOW, system, 0)} ± {half}, if input and efficiency are right. {thumb}"
    ]


def checks(answer: RiseAnswer) -> tuple[Check, ...]:
    """What to check, in the order of the trade; nothing when the rise is within its rule."""
    if answer.finding is None or answer.finding.verdict == "pass":
        return ()
    band = answer.side.rise_range
    assert band is not None  # there is a finding
    high = answer.rise > (band[0] + band[1]) / 2
    return what_to_check("rise high" if high else "rise low")


def cautions(answer: RiseAnswer) -> list[str]:
    """What can hurt: the heat exchanger first when the rise is too high, the electricity when it is not."""
    band = answer.side.rise_range
    hot = [OVERHEATED] if band is not None and answer.rise > FAR * band[1] else []
    of_checks = [check.caution for check in checks(answer) if check.caution]
    found = cautions_of([] if answer.finding is None else [answer.finding], [*CAUTIONS, *of_checks])
    if answer.direction == "low":
        return list(
            dict.fromkeys([CAUTIONS[0], *of_checks, *found])
        )  # the rule's own speak of too high a rise
    return list(dict.fromkeys([[*hot, *found][0], CAUTIONS[0], *found]))
