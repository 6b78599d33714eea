"""The limits that a rule set has for one quantity, for those who draw the band or size a remedy to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hvaclib.rules.conformity import Bounds
    from hvaclib.rules.model import RuleSet


def bounds_of(rules: RuleSet, quantity: str, outdoor_temperature: float) -> Bounds | None:
    """Return the limits of the first rule about a quantity.

    Parameters
    ----------
    rules : RuleSet
        The rule set.
    quantity : str
        Key of the vocabulary, such as "room_pressure".
    outdoor_temperature : float
        K.

    Returns
    -------
    Bounds or None
        None where the set has no rule about it.
    """
    for rule in rules.rules:
        if rule.quantity == quantity:
            return rule.bounds(outdoor_temperature)
    return None
