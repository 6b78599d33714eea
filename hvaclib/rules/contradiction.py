"""Rules of one set that no reading can meet together."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from hvaclib.errors import FileError
from hvaclib.rules.rule_words import limit_words
from hvaclib.rules.strictness import meet

if TYPE_CHECKING:
    from hvaclib.rules.conformity import Bounds
    from hvaclib.rules.model import Rule, RuleSet


def contradictions(rules: RuleSet, name: str) -> list[FileError]:
    """Refusals for every two rules that can apply to one reading, which it cannot meet both.

    Parameters
    ----------
    rules : RuleSet
    name : str
        What the sentences call the file.

    Returns
    -------
    list of FileError
        Empty for a set that can be met. Rules of severity 'note' and limits from the rating plate are not compared.
    """
    by_quantity: dict[str, list[Rule]] = {}
    for rule in rules.rules:
        if rule.severity != "note" and not rule.plate_facts:
            by_quantity.setdefault(rule.quantity, []).append(rule)
    return [
        FileError(
            f"no reading can meet this rule and {one.id!r}",
            where=f'{name}, rule "{other.id}", limit',
            given=limit_words(other),
            expected=f"something that leaves room beside '{limit_words(one)}'",
        )
        for members in by_quantity.values()
        for one, other in combinations(members, 2)
        if meet(one, other) and _apart(one, other)
    ]


def _apart(one: Rule, other: Rule) -> bool:
    """Whether the limits have nothing in common in any weather."""
    if one.measurable.kind is None:
        return one.limit.answer != other.limit.answer
    weathers = (*one.outdoor_temperatures, *other.outdoor_temperatures) or (0.0,)
    # One of the two must lie beyond the other on the same side in all weathers: between the points both are straight.
    return any(
        all(_below(low.bounds(at), high.bounds(at)) for at in weathers)
        for low, high in ((one, other), (other, one))
    )


def _below(low: Bounds, high: Bounds) -> bool:
    """Whether everything within the first limits is below all within the second."""
    if low.upper != high.lower:
        return low.upper < high.lower
    return low.upper_open or high.lower_open
