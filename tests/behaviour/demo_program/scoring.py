"""What a review found of what was planted, and what it says that nothing explains."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from demo_program.making import Defect, defects, exact, sound
from demo_program.planting import touched
from hvaclib.errors import FileError
from hvaclib.readings import Readings
from hvaclib.review import Remark, review_visit
from hvaclib.review.across import across
from hvaclib.review.remark import KINDS, SEVERITIES
from hvaclib.rules import Facts, Finding, RuleSet, completed, judge, load
from hvaclib.visit import Visit, facts_of, readings_of
from hvaclib.visit.checklist import item

TODAY = dt.date(2026, 6, 1)
_DERIVED = {
    "caz_pressure_change": ("baseline-pressure", "worst-case-pressure"),
    "anticipator_difference": ("thermostat-current", "anticipator-setting"),
    "filter_pressure_drop": ("static-hole-1", "static-hole-2"),
    "excess_air": ("flue-oxygen",),
}
_INSTEAD = {
    "external-static": {"static-hole-2", "static-hole-3"},
    "flue-co-air-free": {"flue-co", "flue-oxygen"},
    "temperature-rise": {"supply-temperature", "return-temperature"},
}


@dataclass
class Score:
    """The outcome of one review of the program.

    Parameters
    ----------
    found : dict of int to bool
        By number of the defect, whether every expected remark was made.
    said : list of (str, bool)
        Kind of each expected remark, and whether it was made.
    named : dict of int to bool
        Of defects that laws between readings must find: whether what is named as most likely wrong is what was changed.
    true, false, close : list
        Visit and remark: what the house really is, what nothing explains, and what was too close to call in sound readings.
    untold : list
        Limits that a house breaks by its exact readings, and that were passed.
    """

    found: dict[int, bool] = field(default_factory=dict)
    said: list[tuple[str, bool]] = field(default_factory=list)
    named: dict[int, bool] = field(default_factory=dict)
    true: list[tuple[str, Remark]] = field(default_factory=list)
    false: list[tuple[str, Remark]] = field(default_factory=list)
    close: list[tuple[str, Remark]] = field(default_factory=list)
    untold: list[tuple[str, Finding]] = field(default_factory=list)

    def table(self) -> list[tuple[str, int, int, int]]:
        """Rows of kind of remark, how many were to be made, those of them that were, and false alarms."""
        planted = Counter(kind for kind, _ in self.said)
        made = Counter(kind for kind, yes in self.said if yes)
        false = Counter(remark.kind for _, remark in self.false)
        return [
            (kind, planted[kind], made[kind], false[kind]) for kind in KINDS if planted[kind] or false[kind]
        ]


def score(visits: Mapping[str, Visit], refusals: Iterable[FileError], rules: RuleSet) -> Score:
    """Review the program and hold the remarks against what was planted.

    Parameters
    ----------
    visits : mapping of str to Visit
        As they were read from their files.
    refusals : iterable of FileError
        What the reading of the files refused.
    rules : RuleSet

    Returns
    -------
    Score
    """
    found = Score()
    reviews = {name: review_visit(visit, rules, today=TODAY) for name, visit in visits.items()}
    together = across(visits.values())
    refused = [error.sentence for error in refusals]
    for defect in defects():
        remarks = (*(reviews[defect["visit"]].remarks if "visit" in defect else ()), *together)
        said = [(want["kind"][0], _said(want, remarks, refused, defect)) for want in defect["expect"]]
        found.said += said
        found.found[defect["id"]] = all(yes for _, yes in said)
        if "visit" in defect and any(
            KINDS.get(kind) and KINDS[kind].about == "plausibility" for kind, _ in said
        ):
            right = {key for key, _ in _planted_in(defect["visit"])}
            fits = [each for each in remarks if each.suspects and right & set(each.suspects)]
            found.named[defect["id"]] = any(each.likely in right for each in fits)
    for name, review in reviews.items():
        _sort(name, review.remarks, found, rules, visits[name])
    for remark in together:
        # A value that is written down again and again shows in its last digits too.
        expected = any(
            (remark.kind in want["kind"] or "from_memory" in each.get("habit", {}))
            and remark.where.endswith(_contractor(each))
            for each in defects()
            for want in each["expect"]
        )
        (found.true if expected else found.false).append((remark.where, remark))
    return found


def _contractor(defect: Defect) -> str:
    return str(defect.get("contractor") or defect["visit"].partition("-")[0].title())


def _said(want: Mapping[str, Any], remarks: Iterable[Remark], refused: list[str], defect: Defect) -> bool:
    return any(_fits(want, each, defect) for each in remarks) or (
        "refusal" in want["kind"] and any(_names(want, each) for each in refused)
    )


def _names(want: Mapping[str, Any], sentence: str) -> bool:
    return (
        any(item(key).title.lower() in sentence.lower() for key in want["item"]) and want["where"] in sentence
    )


def _fits(want: Mapping[str, Any], remark: Remark, defect: Defect) -> bool:
    if remark.kind not in want["kind"]:
        return False
    if SEVERITIES.index(remark.severity) > SEVERITIES.index(want["severity"]):
        return False
    if KINDS[remark.kind].about == "across":
        return remark.where.endswith(_contractor(defect)) and defect.get("visit", "") in remark.sentence
    if want.get("rule", remark.rule) != remark.rule:
        return False
    if "item" in want and not {remark.item, *remark.suspects} & set(want["item"]):
        return False
    return "where" not in want or remark.where == want["where"] or bool(remark.suspects)


@cache
def true_findings(name: str, rule_set: str) -> list[Finding]:
    """Limits that the house of a visit breaks by the exact readings of its simulation, or is too close to."""
    rules = load(rule_set)
    clean = sound(name)
    asked = {(each.quantity, each.where, each.when) for each in readings_of(clean)}
    facts = Facts.from_mapping(facts_of(clean))
    shown = Readings(each for each in exact()[name] if (each.quantity, each.where, each.when) in asked)
    findings = judge(completed(shown, facts), rules, facts)
    return [
        each
        for each in findings
        if each.reading is not None and each.verdict in ("fail", "too close to call")
    ]


def _sort(name: str, remarks: Iterable[Remark], found: Score, rules: RuleSet, visit: Visit) -> None:
    """Tell true remarks from false alarms."""
    truth = {(each.rule.id, each.where): each for each in true_findings(name, rules.name)}
    changed = _planted_in(name)
    told = {(each.rule, each.where) for each in remarks if each.rule}
    stops = {(each.item, each.where) for each in remarks if each.severity == "stop and call"}
    for each in remarks:
        if each.severity == "note":
            continue
        if (each.rule, each.where) in truth or each.kind == "worked-on" or _explained(each, changed):
            assert each.kind != "worked-on" or (each.item, each.where) in stops
            found.true.append((name, each))
        elif each.kind == "close-call":
            found.close.append((name, each))
        else:
            found.false.append((name, each))
    broken = [each for key, each in truth.items() if each.verdict == "fail" and key not in told]
    gone = {key for key, _ in changed}
    found.untold += [(name, each) for each in broken if not gone & set(_items_of(each.rule.quantity))]
    assert visit.job.id == name


def _items_of(quantity: str) -> tuple[str, ...]:
    from hvaclib.visit import items

    return _DERIVED.get(quantity) or tuple(each.key for each in items() if each.quantity == quantity)


def _planted_in(name: str) -> set[tuple[str, str]]:
    """Lines that something planted changed; of a habit, those that it touches."""
    clean = sound(name)
    found = set()
    for each in defects():
        if each.get("visit") == name:
            for change in each.get("change", ()):
                found |= {("", "")} if "year" in change else touched(change, clean)
                if "place" in change:
                    found.add((change["item"], change["place"]))
                if "moved_behind" in change:
                    found |= {
                        (entry.item, entry.where)
                        for entry in clean.entry
                        if change["item"] in entry.line.after
                        or (entry.item == change["item"] and entry.line.after)
                    }
        habit = each.get("habit", {})
        if "from_memory" in habit and name.startswith(each["contractor"].upper()):
            found.add((habit["from_memory"], habit["where"]))
    return found


def _explained(remark: Remark, changed: set[tuple[str, str]]) -> bool:
    if remark.kind == "date":
        return ("", "") in changed
    keys = {key for key, _ in changed}
    if remark.suspects:
        return bool(keys & set(remark.suspects))
    if remark.rule and not remark.item:
        names = next((_DERIVED[quantity] for quantity in _DERIVED if _of_rule(remark, quantity)), ())
        return bool(keys & set(names))
    places = {where for key, where in changed if key == remark.item or key in _INSTEAD.get(remark.item, ())}
    return remark.where in places or any(where.startswith("hole") for where in places)


def _of_rule(remark: Remark, quantity: str) -> bool:
    words = {
        "caz_pressure_change": "change of the zone",
        "anticipator_difference": "anticipator",
        "filter_pressure_drop": "filter",
        "excess_air": "excess air",
    }
    return words[quantity] in remark.sentence.lower()
