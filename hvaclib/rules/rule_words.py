"""A rule in words: its limit and where it applies, in both unit systems, without any reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.rules.facts import TITLES
from hvaclib.rules.wording import both
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.rules.model import Decision, Rule
    from hvaclib.rules.sides import Side

_SIDES = {"below": "below", "at_most": "at most", "above": "above", "at_least": "at least"}
_LOWER_FIRST = ("above", "at_least", "below", "at_most")


def limit_words(rule: Rule) -> str:
    """What a reading must be by a rule, as a phrase that follows 'it must be'.

    Parameters
    ----------
    rule : Rule

    Returns
    -------
    str
        Such as "at least −3 Pa and at most 3 Pa" or "at most 103 % of the input on the rating plate".

    Examples
    --------
    >>> from hvaclib.rules import load
    >>> limit_words(next(rule for rule in load("plain").rules if rule.id == "room-pressure"))
    'at least −4 Pa and at most 4 Pa'
    """
    kind = rule.measurable.kind
    if kind is None:
        return rule.limit.answer or f"noted when {rule.limit.note_when}"
    sides = sorted(rule.sides, key=lambda side: _LOWER_FIRST.index(side.name))
    return " and ".join(side_words(side, kind) for side in sides)


def side_words(side: Side, kind: kinds.Kind) -> str:
    """One side of a limit in words.

    Parameters
    ----------
    side : Side
    kind : hvaclib.units.Kind
        Kind of the quantity.

    Returns
    -------
    str
    """
    opening = _SIDES[side.name]
    if side.fact:
        return f"{opening} {plate_words(side, kind)}"
    if not side.follows_outdoors:
        return f"{opening} {both(side.points[0][1], kind)}"
    bends = [f"{both(limit, kind)} at {both(at, kinds.TEMPERATURE)}" for at, limit in side.points]
    return f"{opening} {', '.join(bends)} outdoors (straight between, held beyond)"


def plate_words(side: Side, kind: kinds.Kind) -> str:
    """Where a limit on the rating plate comes from, such as "103 % of the rating plate's input for the altitude".

    Parameters
    ----------
    side : Side
        With a fact.
    kind : hvaclib.units.Kind
        Kind of the quantity.

    Returns
    -------
    str
    """
    text = TITLES[side.fact]
    if side.times != 1.0:
        text = f"{show(side.times, kinds.FRACTION)} of {text}"
    if side.plus:
        width = kinds.TEMPERATURE_DIFFERENCE if kind is kinds.TEMPERATURE else kind
        text += f" {'plus' if side.plus > 0.0 else 'less'} {both(abs(side.plus), width)}"
    return text


def condition_words(rule: Rule) -> str:
    """Where a rule applies, in words.

    Parameters
    ----------
    rule : Rule

    Returns
    -------
    str
        "always" where it has no condition.
    """
    parts = []
    if rule.applies.stage:
        parts.append(f"stage: {' or '.join(rule.applies.stage)}")
    for name, _ in rule.asks:
        allowed = getattr(rule.applies, name)
        title = TITLES[name].removeprefix("the ").removeprefix("whether ")
        parts.append(f"{title}: {' or '.join(allowed)}")
    band = rule.applies.outdoor_temperature
    if band is not None:
        low, high = band.range
        start = "" if band.start is None else f"from {both(low, kinds.TEMPERATURE)}"
        end = "" if band.end is None else f"to {both(high, kinds.TEMPERATURE)}"
        parts.append(f"outdoors {' '.join(part for part in (start, end) if part)}")
    return "; ".join(parts) or "always"


def decision_words(decision: Decision) -> str:
    """How a rule set decides near a limit, in words.

    Parameters
    ----------
    decision : Decision

    Returns
    -------
    str
    """
    low, high = (show(value, kinds.FRACTION) for value in decision.range)
    return f"fails up to a probability of {low} to conform, passes from {high}"
