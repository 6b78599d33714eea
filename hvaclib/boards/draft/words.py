"""The draft board's answer in words: what the vents do, the rule it rests on, what to do."""

from __future__ import annotations

from math import isinf
from typing import TYPE_CHECKING

from hvaclib.boards.base.page import Verdict
from hvaclib.boards.verdicts import bar, rule_words
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.draft.answer import Answer
    from hvaclib.rules import Finding


def verdict(answer: Answer) -> Verdict:
    """The bar beside the answer: a rule that only asks to look again does not make it red."""
    if not answer.burning:
        return ""
    if answer.idle_hoods:
        return "fail"
    first = _telling(answer)
    if first is None:
        return "unsure"
    return bar(first)


def words(answer: Answer, system: str) -> list[str]:
    """The answer in words: what the vents do, the rule it rests on, what to do."""
    if not answer.burning:
        pressure = show(float(answer.state.pressure(answer.zone)[0]), kinds.PRESSURE_DIFFERENCE, system, 1)
        return [
            f"Nothing burns on a vent; the {answer.zone} lies at {pressure} against outdoors. Tick a burner."
        ]
    found = [_vent_words(answer, name, system) for name in answer.burning]
    if answer.idle_hoods:
        hoods = ", ".join(answer.idle_hoods)
        found.append(f"Flue gas of the burning appliance comes out at the idle {hoods}.")
    first = _telling(answer)
    if first is not None:
        found.append(rule_words(first, answer.rules))
        found += list(first.actions)
    missing = [item.rule.measurable.title for item in answer.findings.missing if _belongs(item, answer)]
    if missing:
        found.append("Not in these readings: " + "; ".join(dict.fromkeys(missing)) + ".")
    return found


def _belongs(finding: Finding, answer: Answer) -> bool:
    """Whether a missing reading could have been taken in this stage, at something that burns."""
    stages = finding.rule.applies.stage
    burning = finding.rule.measurable.place != "appliance" or finding.where in answer.burning
    return burning and (not stages or answer.stage in stages)


def _telling(answer: Answer) -> Finding | None:
    """The finding to quote: the gravest that is not met, else the one about the draft itself."""
    judged = [item for item in answer.findings.ranked if item.reading is not None and item.verdict != "noted"]
    bad = [item for item in judged if item.verdict != "pass"]
    about_draft = [item for item in judged if item.rule.quantity == "draft"]
    return next(iter([*bad, *about_draft, *judged]), None)


def _vent_words(answer: Answer, name: str, system: str) -> str:
    run = answer.run
    assert run is not None  # something burns
    row = run.appliances.index(name)
    draft, spilling = float(run.draft[row, -1]), float(run.spillage[row, -1])
    reading = show(draft, kinds.PRESSURE_DIFFERENCE, system, 1)
    vents = answer.state.vents
    item = answer.situation.dwelling.part("appliances", name)
    if vents.reversed[row, 0]:
        return (
            f"No: the vent of the {name} runs backwards after five minutes, and all of its flue gas enters the "
            f"{item.zone} (reading at the test hole {reading})."
        )
    if spilling > 0.0:
        return (
            f"No: the {name} spills {100 * spilling:.0f} % of its flue gas into the {item.zone} after five minutes "
            f"(reading at the test hole {reading})."
        )
    if not item.draft_hood and draft > 0.0:
        return (
            f"No: the fan of the {name} has to push, {reading} at the test hole after five minutes: the vent stands "
            "under pressure, and flue gas leaks from every joint that is not tight. Its pressure switch should stop "
            "the burner; the fan is taken here as strong as it needs to be."
        )
    seconds = float(run.spillage_time[row])
    calm = "without spilling" if seconds < 1.0 else f"spillage stopped after {seconds:.0f} s"
    tail = f", {calm}" if item.draft_hood and not isinf(seconds) else ""
    return f"{'Yes' if draft < 0 else 'Hardly'}: the {name} draws, {reading} at the test hole after five minutes{tail}."
