"""Judge readings by a rule set: no limit is in here, and a missing reading or fact is said, not passed over."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.rules import wording
from hvaclib.rules.conformity import Bounds, conformance_probability, guard_band
from hvaclib.rules.facts import Facts
from hvaclib.rules.findings import Finding, Findings, Verdict
from hvaclib.rules.model import Rule, RuleSet

_OUTDOORS = "outdoor_temperature"
_Row = Mapping[str, Any]


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
        not apply gives none. A rule of severity 'note' that is not met is 'noted', never 'fail'. Of rules in
        one group, a milder failure and what is met are left out.

    Raises
    ------
    InputError
        If a fact is unknown, or a reading names an unknown instrument.

    Notes
    -----
    A limit that follows the outdoor temperature takes over its standard uncertainty, times the slope; whether a rule
    applies within a band of outdoor temperatures is decided by the reading as it is.

    References
    ----------
    JCGM 106:2012, chapters 7 and 8; JCGM 100:2008 (GUM), 5.1.2.
    """
    known = facts if isinstance(facts, Facts) else Facts.from_mapping(facts or {})
    case = _Case(readings, known)
    asked = [rule for rule in rules.rules if rule.required or rule.quantity in case.taken]
    found = [finding for rule in asked for finding in _of_rule(rule, case, rules)]
    return Findings(_without_milder(found), rules.name, rules.version, rules.digest)


class _Case:
    """What one judgement looks up again and again, worked out once."""

    def __init__(self, readings: Readings, facts: Facts) -> None:
        self.facts = facts
        self.taken: dict[str, list[Reading]] = {}
        for reading in readings:
            self.taken.setdefault(reading.quantity, []).append(reading)
        self._rows: dict[tuple[str, str], list[_Row]] = {}
        self._outdoors: dict[str, tuple[float, float]] = {}

    def beside(self, place: str, where: str) -> list[_Row]:
        """Facts that bear on a place, one mapping an appliance."""
        rows = self._rows.get((place, where))
        if rows is None:
            rows = self._rows[place, where] = list(self.facts.beside(place, where))
        return rows

    def outdoors(self, when: str) -> tuple[float, float]:
        """Outdoor temperature at a stage and its standard uncertainty, K; NaN where nothing gives it."""
        if when not in self._outdoors:
            readings = self.taken.get(_OUTDOORS, [])
            then = [reading for reading in readings if reading.when == when] or readings
            if then:
                self._outdoors[when] = then[-1].value, standard_uncertainty(then[-1])
            else:
                self._outdoors[when] = float(self.facts.common.get(_OUTDOORS, math.nan)), 0.0
        return self._outdoors[when]


def _of_rule(rule: Rule, case: _Case, rules: RuleSet) -> Iterator[Finding]:
    place, stages = rule.measurable.place, rule.applies.stage or ()
    seen: set[str] = set()
    for reading in case.taken.get(rule.quantity, ()):
        if stages and reading.when not in stages:
            continue
        applies, lacking, row = _applies(rule, case, reading.where, reading.when)
        seen.add(reading.where)
        if lacking:
            words = partial(wording.unknown, rule, reading.where, reading.when, lacking)
            yield Finding(rule, reading.where, reading.when, "not measured", words, reading)
        elif applies and rule.measurable.yes_or_no:
            yield from _of_answer(rule, reading)
        elif applies:
            bounds = rule.bounds(*_outdoor_arguments(case, reading.when, row))
            yield _of_number(rule, reading, rules, bounds)
    if rule.required and not (place == "house" and seen):
        missing = [name for name in case.facts.places(place) if name not in seen]
        yield from _missing(rule, missing, case)


def _outdoor_arguments(case: _Case, when: str, row: _Row) -> tuple[float, _Row, float]:
    temperature, uncertainty = case.outdoors(when)
    return temperature, row, uncertainty


def _missing(rule: Rule, places: list[str], case: _Case) -> Iterator[Finding]:
    when = (rule.applies.stage or ("",))[0]
    for where in places:
        applies, lacking, row = _applies(rule, case, where, when)
        if lacking:
            words = partial(wording.unknown, rule, where, when, lacking)
            yield Finding(rule, where, when, "not measured", words)
        elif applies:
            bounds = None
            if rule.measurable.kind is not None and not rule.group:
                # The limits of a group belong together, and none of them alone is what the reading must be.
                bounds = rule.bounds(*_outdoor_arguments(case, when, row))
            words = partial(wording.missing, rule, where, when, bounds)
            yield Finding(rule, where, when, "not measured", words)


def _applies(rule: Rule, case: _Case, where: str, when: str) -> tuple[bool, tuple[str, ...], _Row]:
    """Whether a rule applies at a place, which facts are missing to tell or to judge, and the facts it applies by."""
    if rule.unconditional:
        return True, (), case.beside(rule.measurable.place, where)[0]
    outdoors = case.outdoors(when)[0]
    first: tuple[tuple[str, ...], _Row] | None = None
    for row in case.beside(rule.measurable.place, where):
        holds, lacking = _conditions(rule, row, outdoors)
        if holds and not lacking:
            return True, (), row
        if holds and first is None:
            first = lacking, row
    return (True, *first) if first else (False, (), {})


def _conditions(rule: Rule, row: _Row, outdoors: float) -> tuple[bool, tuple[str, ...]]:
    """Whether no condition is broken by the facts of one appliance, and which facts are missing."""
    lacking: list[str] = []
    for name, allowed in rule.asks:
        given = row.get(name)
        if given is None:
            lacking.append(name)
        elif allowed.isdisjoint(given):
            return False, ()
    for name in rule.plate_facts:
        if name not in row and name not in lacking:
            lacking.append(name)
    band = rule.applies.outdoor_temperature
    if (band is not None or rule.follows_outdoors) and math.isnan(outdoors):
        lacking.append(_OUTDOORS)
    elif band is not None and not band.range[0] <= outdoors <= band.range[1]:
        return False, ()
    return True, tuple(lacking)


def _of_answer(rule: Rule, reading: Reading) -> Iterator[Finding]:
    answer, words = "yes" if reading.yes else "no", partial(wording.answered, rule, reading)
    if rule.limit.note_when is not None:
        if answer == rule.limit.note_when:
            yield Finding(rule, reading.where, reading.when, "noted", words, reading)
        return
    good = answer == rule.limit.answer
    verdict: Verdict = "pass" if good else "fail"
    yield Finding(rule, reading.where, reading.when, verdict, words, reading, probability=float(good))


def _of_number(rule: Rule, reading: Reading, rules: RuleSet, bounds: Bounds) -> Finding:
    uncertainty = standard_uncertainty(reading)
    probability = conformance_probability(reading.value, uncertainty, bounds)
    margin = bounds.margin(reading.value)
    low, high = rules.decision.range
    passes: bool | None = None
    guard = 0.0
    verdict: Verdict = "too close to call"
    if probability >= high:
        verdict, passes = "pass", True
    elif probability <= low:
        verdict, passes = "fail", False
    else:
        both = math.hypot(uncertainty, bounds.upper_uncertainty, bounds.lower_uncertainty)
        guard = guard_band(both, high) if high < 1.0 else math.inf
    return Finding(
        rule,
        reading.where,
        reading.when,
        "noted" if rule.severity == "note" and verdict != "pass" else verdict,
        partial(wording.judged, rule, reading, bounds, margin, probability, passes, guard),
        reading,
        bounds,
        margin,
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
