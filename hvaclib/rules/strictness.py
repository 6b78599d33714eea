"""Which of two rules asks for more: limits side by side, conditions, severity."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from hvaclib.rules.model import CONDITIONS

if TYPE_CHECKING:
    from hvaclib.rules.model import Rule
    from hvaclib.rules.sides import Side

Stricter = Literal["first", "second", "neither", "each in part", "cannot tell"]
SEVERITIES = ("note", "look again", "fail", "stop and call")
"""From the mildest to the gravest."""


def stricter_limit(first: Rule, second: Rule) -> Stricter:
    """Which of two rules about one quantity has the narrower limit.

    Parameters
    ----------
    first, second : Rule

    Returns
    -------
    str
        "neither" where both limits are the same, "each in part" where one is narrower on one side or in some weather and
        the other elsewhere, "cannot tell" where only the rating plate could.

    Notes
    -----
    Limits along the outdoor temperature are straight between their points, so that comparing them at the points of both
    compares them everywhere.
    """
    if first.measurable.kind is None:
        return "neither" if first.limit == second.limit else "each in part"
    found: set[Stricter] = set()
    for upper in (False, True):
        pair = [next((s for s in rule.sides if s.upper is upper), None) for rule in (first, second)]
        found |= _narrower(*pair)
    return _one_of(found)


def stricter_conditions(first: Rule, second: Rule) -> Stricter:
    """Which of two rules applies to more; the one that does asks for more.

    Parameters
    ----------
    first, second : Rule

    Returns
    -------
    str
        As for `stricter_limit`.
    """
    found: set[Stricter] = set()
    for name in ("stage", *CONDITIONS):
        one, other = (getattr(rule.applies, name) for rule in (first, second))
        found |= _wider(_choices(one), _choices(other))
    (low, high), (low_other, high_other) = _band(first), _band(second)
    if low < low_other or high > high_other:
        found.add("first")
    if low_other < low or high_other > high:
        found.add("second")
    return _one_of(found)


def stricter_severity(first: Rule, second: Rule) -> Stricter:
    """Which of two rules takes a failure more gravely; see `stricter_limit` for the result."""
    one, other = (SEVERITIES.index(rule.severity) for rule in (first, second))
    return "neither" if one == other else "first" if one > other else "second"


def meet(one: Rule, other: Rule) -> bool:
    """Whether two rules about the same quantity can both apply to one reading.

    Parameters
    ----------
    one, other : Rule

    Returns
    -------
    bool
    """
    if one.quantity != other.quantity:
        return False
    for name in ("stage", *CONDITIONS):
        allowed = [getattr(rule.applies, name) for rule in (one, other)]
        if None not in allowed and not set(allowed[0]) & set(allowed[1]):
            return False
    (low, high), (low_other, high_other) = _band(one), _band(other)
    return max(low, low_other) <= min(high, high_other)


def _band(rule: Rule) -> tuple[float, float]:
    """Outdoor temperatures that a rule applies at, K."""
    band = rule.applies.outdoor_temperature
    return band.range if band else (-math.inf, math.inf)


def _narrower(first: Side | None, second: Side | None) -> set[Stricter]:
    if first is None or second is None:
        return set() if first is second else {"second" if first is None else "first"}
    if first.fact or second.fact:
        return _narrower_plate(first, second)
    places = sorted({at for side in (first, second) for at, _ in side.points})
    found: set[Stricter] = set()
    for at in places:
        found |= _nearer(first, second, first.at(at, {}), second.at(at, {}))
    return found


def _narrower_plate(first: Side, second: Side) -> set[Stricter]:
    if first.fact != second.fact:
        return {"cannot tell"}
    times = _nearer(first, second, first.times, second.times, ends=False)
    plus = _nearer(first, second, first.plus, second.plus, ends=False)
    if len(times | plus) > 1:
        return {"cannot tell"}
    return times | plus or _nearer(first, second, 0.0, 0.0)


def _nearer(first: Side, second: Side, one: float, other: float, *, ends: bool = True) -> set[Stricter]:
    """Which of two values on the same side holds more back; at the same value the open side does."""
    if not math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12):  # a line read off at a point of another
        return {"first"} if (one < other) is first.upper else {"second"}
    if not ends or first.open is second.open:
        return set()
    return {"first"} if first.open else {"second"}


def _choices(allowed: tuple[str, ...] | None) -> frozenset[str] | None:
    return None if allowed is None else frozenset(allowed)


def _wider(first: frozenset[str] | None, second: frozenset[str] | None) -> set[Stricter]:
    if first == second:
        return set()
    if first is None or second is None:
        return {"first" if first is None else "second"}
    found: set[Stricter] = set()
    if first - second:
        found.add("first")
    if second - first:
        found.add("second")
    return found


def _one_of(found: set[Stricter]) -> Stricter:
    if "cannot tell" in found:
        return "cannot tell"
    if len(found) > 1:
        return "each in part"
    return next(iter(found), "neither")
