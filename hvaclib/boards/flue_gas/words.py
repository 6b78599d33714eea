"""The flue-gas board's answer in words: can it be, is it clean, what it loses, what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.verdicts import bar, cautions_of, rule_words
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.flue_gas.answer import FlueAnswer
    from hvaclib.physics.flue_gas.losses import FlueLosses
    from hvaclib.rules import Finding

TEMPERATURE, PPM = kinds.TEMPERATURE, kinds.CONCENTRATION
CAUTIONS = (
    "Carbon monoxide has no smell. Keep a meter that alarms running in the room; if it rises: stop the burner, get "
    "people out, ventilate, and call from outdoors.",
    "Burner, gas pressure and air are set by a licensed technician with the manufacturer's instructions, with the "
    "analyser in the flue. Never take air away for efficiency while the CO rises.",
    "The flue pipe is hot. Drill a test hole only where the manufacturer allows one, never into a pipe of a sealed "
    "appliance or a double-wall vent, and close it again.",
    "This is a simulation: it teaches and plans. In the house the readings decide, with the adopted code and the "
    "manufacturer's instructions.",
)
RISING = "The carbon monoxide has risen with the setting: do not leave it so, whatever the efficiency says."
NEAR = 20.0
"""K above the dew point below which a stack is called near it; common practice, no source."""
STEADY = 5e-6
"""Rise of CO, as a mole fraction, that an analyser does not tell from none."""


def telling(answer: FlueAnswer) -> Finding | None:
    """The finding to quote: the gravest that is not met, else the first."""
    return _gravest(answer.findings)


def _gravest(findings: Sequence[Finding]) -> Finding | None:
    bad = [item for item in findings if item.verdict not in ("pass", "noted")]
    return next(iter([*bad, *findings]), None)


def _apart(findings: Sequence[Finding]) -> tuple[Finding | None, list[Finding]]:
    """What to say of the CO, and whatever else is not met: another quantity must not make clean gas look dirty."""
    about_co = [item for item in findings if item.rule.quantity == "co_air_free"]
    others = [
        item
        for item in findings
        if item.rule.quantity != "co_air_free" and item.verdict not in ("pass", "noted")
    ]
    return _gravest(about_co), others


def verdict(answer: FlueAnswer) -> Verdict:
    """The bar beside the answer: readings that cannot be leave it open, unless the CO is out of its rule already."""
    found = telling(answer)
    shade: Verdict = "unsure" if found is None else bar(found)
    if shade == "fail" or (
        answer.checked.possible and not answer.checked.suspicions and not _rotting(answer)
    ):
        return shade
    return "unsure"


def words(answer: FlueAnswer, system: str) -> list[str]:
    """Sentences, the answer first."""
    said = list(answer.checked.contradictions)
    if said:
        said[0] = f"These readings cannot be right. {said[0]}"
    found, others = _apart(answer.findings)
    if answer.losses is not None and found is not None:
        said += [_first(answer, found, system)]
        said += [*answer.checked.suspicions]
        said += [rule_words(found, answer.rules), *(found.actions if found.verdict != "pass" else ())]
        for item in others:
            said += [rule_words(item, answer.rules), *item.actions]
        said += [_heat(answer.losses), _water(answer, answer.losses, system), *_tuning(answer)]
    elif found is not None:
        co = show(answer.sample.co, PPM, system, 0)
        said += [
            f"Whatever is wrong with them: CO of {co} as read is too much, and air-free it can only be more.",
            *found.actions,
        ]
    return said


def _first(answer: FlueAnswer, found: Finding, system: str) -> str:
    assert answer.co_air_free is not None  # the caller has looked
    assert answer.losses is not None
    assert answer.co_uncertainty is not None
    co = f"{show(answer.co_air_free, PPM, system, 0)} ± {show(2 * answer.co_uncertainty, PPM, system, 0)} air-free"
    air = f"{100 * float(answer.losses.excess_air):.0f} % excess air"
    heat = f"{100 * float(answer.losses.efficiency_hhv):.1f} % of the heat stays"
    start = {
        "pass": f"Clean: CO is {co}",
        "fail": f"{'Look again' if found.severity == 'look again' else 'Not clean'}: CO is {co}",
    }.get(found.verdict, f"Too close to call: CO is {co}")
    head = start if answer.checked.possible else f"If they were right: CO would be {co}"
    return f"{head}, with {air}; {heat} (higher heating value)."


def _heat(losses: FlueLosses) -> str:
    return (
        f"Efficiency {100 * float(losses.efficiency_hhv):.1f} % on the higher heating value, "
        f"{100 * float(losses.efficiency_lhv):.1f} % on the lower: never compare the one with the other. Lost: "
        f"{100 * float(losses.dry_gas):.1f} % in hot dry gas, {100 * float(losses.latent + losses.water):.1f} % in the "
        f"water, {100 * float(losses.carbon_monoxide):.2f} % in CO."
    )


def _rotting(answer: FlueAnswer) -> bool:
    """Whether an appliance that is not sealed lets its flue gas condense."""
    if answer.losses is None or answer.sealed:
        return False
    return float(answer.losses.condensed) > 0.0


def _water(answer: FlueAnswer, losses: FlueLosses, system: str) -> str:
    dew = show(float(losses.dew_point), TEMPERATURE, system, 0)
    if float(losses.condensed) > 0.0:
        rate = show(answer.condensate, kinds.MASS_FLOW, system)
        tail = (
            "It needs a drain with a trap, and a vent listed for condensing."
            if answer.sealed
            else "This appliance and its vent are not made for acid water: find out why the gas is so cold (input, "
            "airflow, return water), and have a licensed technician raise it."
        )
        return (
            f"Below its dew point of {dew}: up to {100 * float(losses.condensed):.0f} % of the water condenses, {rate} "
            f"at this input. {tail}"
        )
    above = answer.sample.stack - float(losses.dew_point)
    degrees = show(above, kinds.TEMPERATURE_DIFFERENCE, system, 0)
    if above < NEAR and not answer.sealed:
        return f"The gas condenses below {dew}, and the stack is only {degrees} above: on the cold wall of its vent it will."
    return f"The gas condenses below {dew}; the stack is {degrees} above."


def _tuning(answer: FlueAnswer) -> list[str]:
    """What the setting has brought."""
    if answer.before_refused:
        return [
            "The readings before allow no sum of losses, so nothing is compared: the stack must be no colder than the combustion "
            "air, and the oxygen well below that of air."
        ]
    if answer.before is None or answer.losses is None or answer.before_sample is None:
        return []
    was, now = float(answer.before.efficiency_hhv), float(answer.losses.efficiency_hhv)
    saved = 1.0 - was / now
    way = "less" if saved >= 0 else "more"
    said = (
        f"Against before: from {100 * was:.1f} to {100 * now:.1f} % on the higher heating value, {abs(100 * saved):.1f} % "
        f"{way} fuel for the same heat while it burns."
    )
    risen = answer.sample.co - answer.before_sample.co > STEADY
    return [said, RISING] if risen else [said]


def cautions(answer: FlueAnswer) -> list[str]:
    """What can hurt, the rules' own first."""
    tuned = _tuning(answer)
    first = [RISING] if RISING in tuned else []
    return list(dict.fromkeys([*first, *cautions_of(answer.findings, CAUTIONS)]))
