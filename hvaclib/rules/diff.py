"""What two rule sets do differently, in sentences with numbers in both unit systems."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Literal

from hvaclib.rules.model import Rule, RuleSet
from hvaclib.rules.rule_words import condition_words, decision_words, limit_words
from hvaclib.rules.strictness import Stricter, meet, stricter_conditions, stricter_limit, stricter_severity

Subject = Literal[
    "decision",
    "only in the first",
    "only in the second",
    "stands for another",
    "quantity",
    "limit",
    "severity",
    "conditions",
    "source",
    "required",
    "group",
    "words",
]
_TEXTS = ("title", "do", "cautions", "note")


@dataclass(frozen=True, slots=True)
class Change:
    """One difference between two rule sets.

    Parameters
    ----------
    about : str
        What differs.
    rule : str
        Id of the rule, that of the first set where it has two; empty for what concerns the whole set.
    first, second : str
        What each set has, in words; empty where it has nothing.
    stricter : str
        "first", "second", "neither", "each in part" or "cannot tell".
    sentence : str
        The difference in words.
    """

    about: Subject
    rule: str
    first: str
    second: str
    stricter: Stricter
    sentence: str

    def to_record(self) -> dict[str, str]:
        """Plain mapping for JSON and tables.

        Returns
        -------
        dict
        """
        return asdict(self)


def diff(first: RuleSet, second: RuleSet) -> tuple[Change, ...]:
    """Differences between two rule sets.

    Parameters
    ----------
    first, second : RuleSet

    Returns
    -------
    tuple of Change
        How they decide near a limit first, then rule by rule in the order of the first set, then what only the second has;
        empty where both ask for the same in the same words.

    Notes
    -----
    Rules are matched by their id. What is left is matched by its quantity and stage, so that a rule which was replaced by
    another about the same thing reads as one change and not as two.
    """
    names = _names(first, second)
    found = list(_decision(first, second, names))
    pairs, only_first, only_second = _matched(first.rules, second.rules)
    for one, other in pairs:
        found += _of_pair(one, other, names)
    for rule in only_first:
        found.append(_alone(rule, "only in the first", names))
    for rule in only_second:
        found.append(_alone(rule, "only in the second", names))
    order = {rule.id: number for number, rule in enumerate(first.rules)}
    return tuple(sorted(found, key=lambda each: order.get(each.rule, len(order)) if each.rule else -1))


def summary(first: RuleSet, second: RuleSet, changes: Sequence[Change]) -> str:
    """One sentence that counts the differences.

    Parameters
    ----------
    first, second : RuleSet
    changes : sequence of Change
        As `diff` gave them.

    Returns
    -------
    str
    """
    one, other = _names(first, second)
    if not changes:
        same = first.digest == second.digest
        return f"{one} and {other} {'are the same' if same else 'ask for the same; only names differ'}."
    counts = {side: sum(each.stricter == side for each in changes) for side in ("first", "second")}
    rest = len(changes) - sum(counts.values())
    return (
        f"{one} and {other} differ in {len(changes)} {'point' if len(changes) == 1 else 'points'}: "
        f"{one} is stricter in {counts['first']}, {other} in {counts['second']}, neither clearly in {rest}."
    )


def _names(first: RuleSet, second: RuleSet) -> tuple[str, str]:
    if first.name != second.name:
        return f"'{first.name}'", f"'{second.name}'"
    one, other = f"'{first.name} {first.version}'", f"'{second.name} {second.version}'"
    return (one, other) if one != other else (f"{one} (first)", f"{one} (second)")


def _matched(
    first: Sequence[Rule], second: Sequence[Rule]
) -> tuple[list[tuple[Rule, Rule]], list[Rule], list[Rule]]:
    by_id = {rule.id: rule for rule in second}
    pairs = [(rule, by_id.pop(rule.id)) for rule in first if rule.id in by_id]
    matched = {one.id for one, _ in pairs}
    only_first = [rule for rule in first if rule.id not in matched]
    only_second = list(by_id.values())
    for rule in list(only_first):
        other = next((each for each in only_second if meet(rule, each)), None)
        if other is not None:
            pairs.append((rule, other))
            only_first.remove(rule)
            only_second.remove(other)
    return pairs, only_first, only_second


def _decision(first: RuleSet, second: RuleSet, names: tuple[str, str]) -> Iterator[Change]:
    one, other = (decision_words(each.decision) for each in (first, second))
    if one != other:
        (low, high), (low_other, high_other) = first.decision.range, second.decision.range
        firsts, seconds = low > low_other or high > high_other, low < low_other or high < high_other
        stricter: Stricter = "each in part" if firsts and seconds else "first" if firsts else "second"
        sentence = f"Near a limit {names[0]} {one}; {names[1]} {other}{_verdict(stricter, names)}."
        yield Change("decision", "", one, other, stricter, sentence)
    if first.decision.source != second.decision.source:
        yield _plain("source", "", first.decision.source, second.decision.source, names, "the decision")


def _alone(rule: Rule, about: Subject, names: tuple[str, str]) -> Change:
    here = about == "only in the first"
    have, lack = names if here else names[::-1]
    text = f"{rule.measurable.title}: {limit_words(rule)} ({rule.severity}; {condition_words(rule)})"
    sentence = f"Only {have} has the rule {rule.id!r}, '{rule.title}': {text}; {lack} has no such rule."
    return Change(
        about, rule.id, text if here else "", "" if here else text, "first" if here else "second", sentence
    )


def _of_pair(one: Rule, other: Rule, names: tuple[str, str]) -> Iterator[Change]:
    what = f"rule {one.id!r}"
    if one.id != other.id:
        sentence = f"Where {names[0]} has the rule {one.id!r}, {names[1]} has {other.id!r}, '{other.title}'."
        yield Change("stands for another", one.id, one.id, other.id, "neither", sentence)
    if one.quantity != other.quantity:
        yield _plain("quantity", one.id, one.measurable.title, other.measurable.title, names, what)
    else:
        yield from _limit(one, other, names)
    if one.severity != other.severity:
        stricter = stricter_severity(one, other)
        yield _judged("severity", one.id, (one.severity, other.severity), stricter, names, what)
    if condition_words(one) != condition_words(other):
        words = condition_words(one), condition_words(other)
        yield _judged("conditions", one.id, words, stricter_conditions(one, other), names, what)
    if one.source != other.source:
        yield _plain("source", one.id, one.source, other.source, names, what)
    if one.required != other.required:
        needed = {True: "needed", False: "not needed"}
        words = needed[one.required], needed[other.required]
        yield _judged("required", one.id, words, "first" if one.required else "second", names, what)
    if one.group != other.group:
        yield _plain("group", one.id, one.group or "none", other.group or "none", names, what)
    changed = [name for name in _TEXTS if getattr(one, name) != getattr(other, name)]
    if changed and one.id == other.id:
        old, new = (" ".join(_text(getattr(rule, name)) for name in changed) for rule in (one, other))
        keys = " and ".join(changed)
        yield Change("words", one.id, old, new, "neither", f"The {what} says it in other words ({keys}).")


def _limit(one: Rule, other: Rule, names: tuple[str, str]) -> Iterator[Change]:
    words = limit_words(one), limit_words(other)
    if one.limit != other.limit and (one.sides != other.sides or words[0] != words[1]):
        what = f"{one.measurable.title} (rule {one.id!r})"
        yield _judged("limit", one.id, words, stricter_limit(one, other), names, what)


def _judged(
    about: Subject,
    rule: str,
    words: tuple[str, str],
    stricter: Stricter,
    names: tuple[str, str],
    what: str,
) -> Change:
    subject = f"{what[:1].upper()}{what[1:]}" if about == "limit" else f"The {what}, {about}"
    sentence = f"{subject}: {words[0]} in {names[0]}, {words[1]} in {names[1]}{_verdict(stricter, names)}."
    return Change(about, rule, words[0], words[1], stricter, sentence)


def _plain(about: Subject, rule: str, one: str, other: str, names: tuple[str, str], what: str) -> Change:
    opening = what if what.startswith("the ") else f"the {what}"
    sentence = f"The {about} of {opening}: {names[0]} has '{one}', {names[1]} has '{other}'."
    return Change(about, rule, one, other, "neither", sentence)


def _verdict(stricter: Stricter, names: tuple[str, str]) -> str:
    ends = {
        "first": f"; {names[0]} is stricter",
        "second": f"; {names[1]} is stricter",
        "each in part": "; each is stricter in part",
        "cannot tell": "; which is stricter depends on the rating plate",
    }
    return ends.get(stricter, "")


def _text(value: str | tuple[str, ...]) -> str:
    return value if isinstance(value, str) else " ".join(value)
