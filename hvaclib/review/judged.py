"""Readings against a rule set, as remarks."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from hvaclib.review.completeness import INSTEAD
from hvaclib.review.remark import Remark, Severity
from hvaclib.visit.checklist import Item, items

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from hvaclib.rules import Finding, Findings


def of_findings(findings: Findings, said: Iterable[Remark], asked: frozenset[str]) -> Iterator[Remark]:
    """Findings as remarks of kind 'rule' and 'close-call'.

    Parameters
    ----------
    findings : Findings
        Of a rule set about a visit.
    said : iterable of Remark
        What completeness already says; a missing reading is not told twice.
    asked : frozenset of str
        Items that the job needs; a rule is not held against a reading that the job has no need of.

    Yields
    ------
    Remark
    """
    absent = {(remark.item, remark.where) for remark in said}
    for finding in findings:
        if finding.verdict == "pass":
            continue
        line = _line(finding)
        unread = finding.verdict == "not measured" and finding.reading is None
        if unread and line is not None and (line.key not in asked or _said(line, finding, absent)):
            continue
        if finding.verdict == "not measured" and line is not None and (line.key, finding.where) in absent:
            continue  # such as a reading of an appliance that the job does not have
        yield _remark(finding, line)


def _said(line: Item, finding: Finding, absent: set[tuple[str, str]]) -> bool:
    keys = {line.key, *(key for group in INSTEAD.get(line.key, ()) for key in group)}
    return any(
        (key in keys and where in (finding.where, line.where, "house"))
        or (key in keys and key.startswith("static-hole"))
        for key, where in absent
    )


def _remark(finding: Finding, line: Item | None) -> Remark:
    close = finding.verdict == "too close to call"
    hurts = (*finding.cautions, *([line.caution] if line is not None and line.caution else []))
    return Remark(
        "close-call" if close else "rule",
        _severity(finding),
        finding.sentence,
        item=line.key if line is not None else "",
        where=finding.where,
        when=finding.when,
        acts=line.acts if line is not None else "installer",
        do=finding.actions,
        cautions=tuple(dict.fromkeys(hurts)),
        source=finding.source,
        rule=finding.rule.id,
    )


def _severity(finding: Finding) -> Severity:
    """That of the rule where it is broken; what is unsure or missing asks for another look, a stop excepted."""
    if finding.verdict == "noted" or finding.severity == "note":
        return "note"
    if finding.verdict == "fail" or finding.stops:
        return finding.severity
    return "look again"


def _line(finding: Finding) -> Item | None:
    """The line of the record that a finding is about; ``None`` for what no line asks for."""
    lines = _by_quantity().get(finding.rule.quantity, ())
    here = [line for line in lines if line.where == finding.where] or lines
    then = [line for line in here if line.stage == finding.when] or here
    return then[0] if then else None


@cache
def _by_quantity() -> dict[str, tuple[Item, ...]]:
    found: dict[str, tuple[Item, ...]] = {}
    for line in items():
        if line.quantity:
            found[line.quantity] = (*found.get(line.quantity, ()), line)
    return found
