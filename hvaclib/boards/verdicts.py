"""How a board says what a rule found: the bar beside the answer, and the rule in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hvaclib.boards.base.page import Verdict
    from hvaclib.rules import Finding, RuleSet

VERDICTS: dict[str, Verdict] = {
    "pass": "pass",
    "noted": "pass",
    "fail": "fail",
    "too close to call": "unsure",
    "not measured": "unsure",
}


def bar(finding: Finding) -> Verdict:
    """The bar beside the answer: a rule that only asks to look again does not make it red."""
    asks = finding.severity in ("look again", "note")
    return "unsure" if asks and finding.verdict == "fail" else VERDICTS[finding.verdict]


def rule_words(finding: Finding, rules: RuleSet) -> str:
    """What the rule says of the reading, with the rule's title and the rule set's version."""
    verdict = {
        "pass": "Within the rule",
        "fail": "Look again, by the rule" if finding.severity == "look again" else "Out of the rule",
        "too close to call": "Too close to call, by the rule",
    }.get(finding.verdict, "By the rule")
    return f'{verdict} "{finding.rule.title}" ({rules.name} {rules.version}): {finding.sentence}'


def cautions_of(findings: Iterable[Finding], standing: Sequence[str]) -> list[str]:
    """Cautions of what is out of its rule or too close to call first, then those that always stand."""
    bad = [item for item in findings if item.verdict in ("fail", "too close to call")]
    return list(dict.fromkeys([*(text for item in bad for text in item.cautions), *standing]))
