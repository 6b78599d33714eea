"""Reviews as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from hvaclib.rules import RuleSet

ORDER = ("stop and call", "fail", "look again", "pass")
"""Severities of a visit, gravest first."""
MOST_STOPS = 20
"""Jobs that the summary names."""


def lines_of(review: Mapping[str, Any], *, brief: bool = False) -> list[str]:
    """One visit: its severity, and every remark with what to do and what can hurt.

    Parameters
    ----------
    review : mapping
        As `hvaclib.review.Review.to_record` gives it.
    brief : bool, optional
        The first line alone.

    Returns
    -------
    list of str
    """
    job = review["job"]
    head = f"{job['id']}, {job['contractor']}: {review['severity']}"
    if brief:
        return [head]
    return [
        f"{head} by '{review['rule_set']}' {review['version']}",
        *(line for remark in review["remarks"] for line in _remark_lines(remark)),
    ]


def _remark_lines(remark: Mapping[str, Any]) -> list[str]:
    lines = [f"  [{remark['severity']}] {remark['sentence']} ({remark['acts']})"]
    lines += [f"      do: {action}" for action in remark["do"]]
    return lines + [f"      caution: {text}" for text in remark["cautions"]]


def across_lines(remarks: Iterable[Mapping[str, Any]]) -> list[str]:
    """What the visits of a contractor say together.

    Parameters
    ----------
    remarks : iterable of mapping

    Returns
    -------
    list of str
    """
    return [line for remark in remarks for line in _remark_lines(remark)]


def summary_lines(counts: Mapping[str, int], stops: Sequence[str], rules: RuleSet) -> list[str]:
    """The pile in short.

    Parameters
    ----------
    counts : mapping of str to int
        Visits by severity.
    stops : sequence of str
        Jobs at which to stop and call.
    rules : RuleSet

    Returns
    -------
    list of str
    """
    number = sum(counts.values())
    parts = [f"{counts[severity]:,} {severity}" for severity in ORDER if counts.get(severity)]
    lines = [
        f"{number:,} visit{'s' * (number != 1)} by '{rules.name}' {rules.version}: {', '.join(parts) or 'none'}."
    ]
    if stops:
        more = f" and {len(stops) - MOST_STOPS:,} more" if len(stops) > MOST_STOPS else ""
        lines.append(f"Stop and call the program office about {'; '.join(stops[:MOST_STOPS])}{more}.")
    return lines
