"""A rule set as a yes-or-no question, for those who size a remedy and know no limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from hvaclib.readings import Readings
from hvaclib.rules.facts import Facts
from hvaclib.rules.judge import judge
from hvaclib.rules.model import RuleSet


def acceptance(rules: RuleSet, facts: Facts | Mapping[str, Any]) -> Callable[[Readings], bool]:
    """Return a function that says whether readings meet every rule that they answer.

    Parameters
    ----------
    rules : RuleSet
        The rule set.
    facts : Facts or mapping
        As for `judge`.

    Returns
    -------
    callable
        True where no finding that rests on a reading fails or is too close to call; what only asks for another look
        does not count, nor what was not measured.
    """
    known = facts if isinstance(facts, Facts) else Facts.from_mapping(facts)

    def accepts(readings: Readings) -> bool:
        return not any(
            finding.reading is not None
            and finding.verdict in ("fail", "too close to call")
            and finding.severity in ("fail", "stop and call")
            for finding in judge(readings, rules, known)
        )

    return accepts
