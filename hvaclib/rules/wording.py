"""Findings in words for the person with the probe in hand, in both unit systems."""

from __future__ import annotations

import math

from hvaclib.readings import Reading
from hvaclib.rules.conformity import Bounds
from hvaclib.rules.facts import TITLES
from hvaclib.rules.model import Rule
from hvaclib.units import kinds, show

_DIFFERENCES = {"TEMPERATURE": kinds.TEMPERATURE_DIFFERENCE, "PRESSURE": kinds.PRESSURE_DIFFERENCE}


def both(value: float, kind: kinds.Kind) -> str:
    """Value in field units, with SI in brackets where that reads differently.

    Parameters
    ----------
    value : float
        SI.
    kind : hvaclib.units.Kind

    Returns
    -------
    str
    """
    if kind is kinds.TIME and math.isfinite(value) and abs(value) >= 60.0:
        return _minutes(value)
    field, si = show(value, kind, "field"), show(value, kind, "si")
    return field if field == si else f"{field} ({si})"


def _minutes(value: float) -> str:
    """Time in minutes and whole seconds, as a stopwatch is read."""
    minutes, seconds = divmod(round(abs(value)), 60)
    rest = f" {seconds} s" if seconds else ""
    return f"{'−' if value < 0 else ''}{minutes} min{rest}"


def difference(value: float, kind: kinds.Kind) -> str:
    """Size of a difference between two values of a kind, in both unit systems.

    Parameters
    ----------
    value : float
        SI.
    kind : hvaclib.units.Kind
        Kind of the two values.

    Returns
    -------
    str
    """
    for name, width in _DIFFERENCES.items():
        if kind is getattr(kinds, name):
            return both(abs(value), width)
    return both(abs(value), kind)


def limits(bounds: Bounds, kind: kinds.Kind) -> str:
    """Limits as a phrase that follows 'it must be'.

    Parameters
    ----------
    bounds : Bounds
    kind : hvaclib.units.Kind

    Returns
    -------
    str
        Such as "below 0 Pa" or "at least −2 Pa and at most 5 Pa".
    """
    parts = []
    if math.isfinite(bounds.lower):
        parts.append(f"{'above' if bounds.lower_open else 'at least'} {both(bounds.lower, kind)}")
    if math.isfinite(bounds.upper):
        parts.append(f"{'below' if bounds.upper_open else 'at most'} {both(bounds.upper, kind)}")
    return " and ".join(parts)


def start(where: str, when: str) -> str:
    """Opening of a sentence: place and stage."""
    place = f"{where}, {when}" if when else where
    return f"{place[:1].upper()}{place[1:]}"


def percent(probability: float) -> str:
    """Probability in words that never round an open question to certainty."""
    if 0.995 <= probability < 1.0:
        return "more than 99 %"
    if 0.0 < probability < 0.005:
        return "less than 1 %"
    return f"{100.0 * probability:.0f} %"


def value_and_limit(rule: Rule, reading: Reading, bounds: Bounds) -> str:
    """What was read, and what it must be."""
    thing, name = rule.measurable, _name(rule)
    assert thing.kind is not None
    opening = start(reading.where, reading.when)
    must = limits(bounds, thing.kind)
    if math.isinf(reading.value):
        return f"{opening}: {thing.infinite}; the {name} must be {must}"
    by = " by calculation" if reading.computed else ""
    return f"{opening}: {name} is {both(reading.value, thing.kind)}{by}; it must be {must}{_whence(rule)}"


def _whence(rule: Rule) -> str:
    """Where a limit comes from that the rule set does not hold as it is."""
    if rule.follows_outdoors:
        return " at this outdoor temperature"
    made = [side for side in rule.sides if side.fact and (side.times != 1.0 or side.plus)]
    if not made:
        return ""
    from hvaclib.rules.rule_words import plate_words

    kind = rule.measurable.kind
    assert kind is not None
    return f" ({' and '.join(plate_words(side, kind) for side in reversed(made))})"


def judged(
    rule: Rule,
    reading: Reading,
    bounds: Bounds,
    margin: float,
    probability: float,
    passes: bool | None,
    guard: float,
) -> str:
    """Sentence for a number that was judged.

    Parameters
    ----------
    rule : Rule
    reading : Reading
    bounds : Bounds
        Limits that were applied.
    margin : float
        Distance to the nearer limit, SI, negative when outside.
    probability : float
        Of conformance.
    passes : bool or None
        ``None`` where it is too close to call.
    guard : float
        As for `unsure`.

    Returns
    -------
    str
    """
    opening = value_and_limit(rule, reading, bounds)
    if passes is None:
        return f"{opening}. {unsure(rule, bounds, guard, probability)}"
    kind = rule.measurable.kind
    assert kind is not None
    shown = difference(margin, kind) if margin and math.isfinite(margin) else ""
    if passes:
        ending = f"It passes{f' with {shown} to spare' if shown else ''}"
    else:
        ending = f"It fails{f' by {shown}' if shown else ''}"
    return f"{opening}. {ending}{_likely(probability)}."


def _likely(probability: float) -> str:
    if probability < 0.005 or probability >= 0.995:
        return ""
    return f"; the probability that the true value meets the rule is {percent(probability)}"


def _name(rule: Rule) -> str:
    title = rule.measurable.title
    return f"{title[:1].lower()}{title[1:]}"


def unsure(rule: Rule, bounds: Bounds, guard: float, probability: float) -> str:
    """Ending for a reading too close to its limit.

    Parameters
    ----------
    rule : Rule
    bounds : Bounds
    guard : float
        Distance from the limit at which a reading with the same uncertainty would pass, SI.
    probability : float

    Returns
    -------
    str
    """
    text = f"Too close to call: measure again. The probability that the true value meets the rule is {percent(probability)}"
    kind = rule.measurable.kind
    assert kind is not None
    one_sided = math.isinf(bounds.lower) != math.isinf(bounds.upper)
    if one_sided and guard > 0.0 and math.isfinite(guard):
        upper = math.isfinite(bounds.upper)
        settled = bounds.upper - guard if upper else bounds.lower + guard
        text += f"; a reading of {both(settled, kind)} or {'below' if upper else 'above'} would pass"
    if rule.severity == "stop and call":
        text += ". Until then act as if it had failed"
    return text + "."


def answered(rule: Rule, reading: Reading) -> str:
    """Item answered with yes or no, and what it must be."""
    answer = "yes" if reading.yes else "no"
    text = f"{start(reading.where, reading.when)}: {_name(rule)}? {answer.capitalize()}"
    if rule.limit.answer is None:
        return f"{text}. {rule.title}."
    return (
        f"{text}, as it must be."
        if answer == rule.limit.answer
        else f"{text}, and it must be {rule.limit.answer}."
    )


def missing(rule: Rule, where: str, when: str, bounds: Bounds | None) -> str:
    """Sentence for a reading that a rule needs and nobody took; ``bounds`` is ``None`` where no one limit says it all."""
    opening, kind = start(where, when), rule.measurable.kind
    if kind is None:
        answer = rule.limit.answer or rule.limit.note_when
        return f"{opening}: nobody noted whether {_name(rule)}; the answer must be {answer}."
    must = limits(bounds, kind) if bounds else ""
    return f"{opening}: {_name(rule)} was not measured{f'; it must be {must}' if must else ''}."


def unknown(rule: Rule, where: str, when: str, facts: tuple[str, ...]) -> str:
    """Sentence for a rule that cannot be applied because a fact is missing."""
    named = " and ".join(TITLES[name] for name in facts)
    verb = "is" if len(facts) == 1 else "are"
    return (
        f"{start(where, when)}: the rule '{rule.title}' cannot be judged, because {named} {verb} not given."
    )
