"""Judge readings by a rule set: no limit is in here, and a missing reading or fact is said, not passed over."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.rules import wording
from hvaclib.rules.conformity import Bounds, conformance_probability, guard_band
from hvaclib.rules.facts import Facts
from hvaclib.rules.findings import Finding, Findings, Verdict
from hvaclib.rules.model import Rule, RuleSet

_OUTDOORS = "outdoor_temperature"


def judge(readings: Readings, rules: RuleSet, facts: Facts | Mapping[str, Any] | None = None) -> Findings:
    """Findings of a rule set about readings.

    Parameters
    ----------
    readings : Readings
        From a visit or a simulated house; the stage of a rule is compared with ``Reading.when``.
    rules : RuleSet
        The rule set.
    facts : Facts or mapping, optional
        What the conditions of the rules ask for; see `Facts.from_mapping`.

    Returns
    -------
    Findings
        One finding for each rule and reading that it applies to, and one 'not measured' where a required
        reading of a known appliance, zone or the house is missing or a fact is not given. A rule that does
        not apply gives none. A rule of severity 'note' that is not met is 'noted', never 'fail'. Of rules in one group, a milder failure and what is met are left out.

    Raises
    ------
    InputError
        If a fact is unknown, or a reading names an unknown instrument.

    Notes
    -----
    The uncertainty of the outdoor temperature is not carried into a limit that follows it.

    References
    ----------
    JCGM 106:2012, chapters 7 and 8.
    """
    known = facts if isinstance(facts, Facts) else Facts.from_mapping(facts or {})
    found = [finding for rule in rules.rules for finding in _of_rule(rule, readings, rules, known)]
    return Findings(_without_milder(found), rules.name, rules.version, rules.digest)


def _of_rule(rule: Rule, readings: Readings, rules: RuleSet, facts: Facts) -> Iterator[Finding]:
    place, stages = rule.measurable.place, rule.applies.stage or ()
    seen: set[str] = set()
    for reading in readings.of(rule.quantity):
        if stages and reading.when not in stages:
            continue
        outdoors = _outdoor_temperature(readings, facts, reading.when)
        applies, lacking, row = _applies(rule, place, reading.where, facts, outdoors)
        seen.add(reading.where)
        if lacking:
            sentence = wording.unknown(rule, reading.where, reading.when, lacking)
            yield Finding(rule, reading.where, reading.when, "not measured", sentence, reading)
        elif applies:
            yield from _of_reading(rule, reading, rules, outdoors, row)
    if rule.required and not (place == "house" and seen):
        yield from _missing(rule, [name for name in facts.places(place) if name not in seen], readings, facts)


def _missing(rule: Rule, places: list[str], readings: Readings, facts: Facts) -> Iterator[Finding]:
    when = (rule.applies.stage or ("",))[0]
    outdoors = _outdoor_temperature(readings, facts, when)
    for where in places:
        applies, lacking, row = _applies(rule, rule.measurable.place, where, facts, outdoors)
        if lacking:
            yield Finding(rule, where, when, "not measured", wording.unknown(rule, where, when, lacking))
        elif applies:
            must = _must(rule, outdoors, row)
            yield Finding(rule, where, when, "not measured", wording.missing(rule, where, when, must))


def _must(rule: Rule, outdoors: float, row: Mapping[str, Any]) -> str:
    """What a reading must be; nothing for a rule of a group, whose limits belong together."""
    kind = rule.measurable.kind
    if kind is None:
        return str(rule.limit.answer or rule.limit.note_when)
    return "" if rule.group else wording.limits(rule.bounds(outdoors, row), kind)


def _outdoor_temperature(readings: Readings, facts: Facts, when: str) -> float:
    """Outdoor temperature at a stage, K; NaN when neither a reading nor a fact gives it."""
    reading = readings.get(_OUTDOORS, when=when) or readings.get(_OUTDOORS)
    return reading.value if reading else float(facts.common.get(_OUTDOORS, math.nan))


def _applies(
    rule: Rule, place: str, where: str, facts: Facts, outdoors: float
) -> tuple[bool, tuple[str, ...], Mapping[str, Any]]:
    """Whether a rule applies at a place, the facts that are missing to tell or to judge, and the facts it applies by."""
    answers = [(*_conditions(rule, row, outdoors), row) for row in facts.beside(place, where)]
    held = [(lacking, row) for holds, lacking, row in answers if holds]
    if not held:
        return False, (), {}
    lacking, row = next((each for each in held if not each[0]), held[0])
    return True, lacking, row


def _conditions(rule: Rule, row: Mapping[str, Any], outdoors: float) -> tuple[bool, tuple[str, ...]]:
    """Whether no condition is broken by the facts of one appliance, and which facts are missing."""
    lacking: list[str] = []
    for name in ("start", "fuel", "appliance_kind", "vent_shared_with", "vent_damper"):
        allowed = getattr(rule.applies, name)
        if allowed is None:
            continue
        if name not in row:
            lacking.append(name)
        elif not set(allowed) & set(row[name]):
            return False, ()
    lacking += [name for name in dict.fromkeys(rule.plate_facts) if name not in row]
    band = rule.applies.outdoor_temperature
    if (band is not None or rule.follows_outdoors) and math.isnan(outdoors):
        lacking.append(_OUTDOORS)
    elif band is not None and not band.range[0] <= outdoors <= band.range[1]:
        return False, ()
    return True, tuple(lacking)


def _of_reading(
    rule: Rule, reading: Reading, rules: RuleSet, outdoors: float, row: Mapping[str, Any]
) -> Iterator[Finding]:
    if rule.measurable.yes_or_no:
        yield from _of_answer(rule, reading)
    else:
        yield _of_number(rule, reading, rules, rule.bounds(outdoors, row))


def _of_answer(rule: Rule, reading: Reading) -> Iterator[Finding]:
    answer, text = "yes" if reading.yes else "no", wording.answered(rule, reading)
    if rule.limit.note_when is not None:
        if answer == rule.limit.note_when:
            yield Finding(rule, reading.where, reading.when, "noted", text, reading)
        return
    good = answer == rule.limit.answer
    verdict: Verdict = "pass" if good else "fail"
    yield Finding(rule, reading.where, reading.when, verdict, text, reading, probability=float(good))


def _of_number(rule: Rule, reading: Reading, rules: RuleSet, bounds: Bounds) -> Finding:
    kind = rule.measurable.kind
    assert kind is not None
    uncertainty = standard_uncertainty(reading)
    probability = conformance_probability(reading.value, uncertainty, bounds)
    margin = bounds.margin(reading.value)
    shown = wording.difference(margin, kind) if math.isfinite(margin) else ""
    low, high = rules.decision.range
    verdict: Verdict
    if probability >= high:
        verdict, ending = "pass", wording.passed(shown if margin else "", probability)
    elif probability <= low:
        verdict, ending = "fail", wording.failed(shown if margin else "", probability)
    else:
        guard = guard_band(uncertainty, high) if high < 1.0 else math.inf
        verdict, ending = "too close to call", wording.unsure(rule, bounds, guard, probability)
    return Finding(
        rule,
        reading.where,
        reading.when,
        "noted" if rule.severity == "note" and verdict != "pass" else verdict,
        f"{wording.value_and_limit(rule, reading, bounds)}. {ending}",
        reading,
        bounds,
        margin,
        shown,
        probability,
    )


def _without_milder(found: list[Finding]) -> list[Finding]:
    """Drop, in each group at one place and stage, what a graver finding already says."""
    groups: dict[tuple[str, str, str, int], list[Finding]] = {}
    for finding in found:
        if finding.rule.group:
            groups.setdefault(_group(finding), []).append(finding)
    kept = {id(each) for members in groups.values() for each in _gravest_of(members)}
    return [finding for finding in found if not finding.rule.group or id(finding) in kept]


def _group(finding: Finding) -> tuple[str, str, str, int]:
    return finding.rule.group, finding.where, finding.when, id(finding.reading)


def _gravest_of(members: list[Finding]) -> list[Finding]:
    failed = [each for each in members if each.verdict == "fail"]
    worst = max(failed, key=lambda each: each.gravity) if failed else None
    floor = worst.gravity if worst else (0, 0)
    graver = [each for each in members if each.verdict == "too close to call" and each.gravity > floor]
    kept = ([worst] if worst else []) + graver
    if not kept:
        # Nothing wrong: one finding speaks for all, the gravest missing one, or the one nearest its limit.
        lacking = [each for each in members if each.verdict == "not measured"]
        near = min(members, key=lambda each: math.inf if each.margin is None else each.margin)
        kept = [max(lacking, key=lambda each: each.gravity)] if lacking else [near]
    return kept
