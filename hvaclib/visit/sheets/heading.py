"""What one heading means: a fact of the job, of a plate, of an instrument, or an item with its place and stage."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import lru_cache

from hvaclib.errors import FileError, UnitError
from hvaclib.readings import TEST_HOLES
from hvaclib.units import kinds
from hvaclib.units.spelling import affine, unit_named
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.sheets.nearest import nearest_name
from hvaclib.visit.sheets.target import Target
from hvaclib.visit.sheets.words import Field, field_names, fold, item_names, words

LONGEST = 1_500
"""Longest heading, characters."""
_MOST_PARTS = 12
_NAME = r'"(?:[^"\\]|\\.)*"|[^"@|#:()\[\]]+?'
_EXACT = re.compile(
    rf"(?P<key>[a-z0-9]+(?:-[a-z0-9]+)*)\s*(?:@\s*(?P<where>{_NAME})\s*)?(?:\|\s*(?P<when>{_NAME})\s*)?"
    r"(?:#\s*(?P<number>\d{1,3})\s*)?(?::\s*(?P<part>[a-z_ ]+?)\s*)?(?:[(\[](?P<unit>[^()\[\]]*)[)\]]\s*)?"
)
_BEHIND = re.compile(r'(?P<name>"(?:[^"\\]|\\.)*"|[^":]+?)\s*:\s*(?P<field>[^:]+)')
_BRACKET = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_SEPARATOR = re.compile(r"\s*[,;:@|]\s*|\s+[-–—]\s+")
_INSTRUMENT = re.compile(r"instrument (\d{1,3})")


@lru_cache(maxsize=16_384)
def recognised(text: str, appliances: tuple[str, ...] = ()) -> Target | None:
    """What a heading means; ``None`` where `heading` would refuse it."""
    try:
        return _target(text, appliances)
    except FileError:
        return None


def heading(text: str, appliances: tuple[str, ...] = (), suggest: bool = True) -> Target:
    """What a heading means.

    Parameters
    ----------
    text : str
        As it stands in the table.
    appliances : tuple of str
        Names of the appliances of the table.
    suggest : bool
        Whether a refusal looks for the nearest heading, which takes some milliseconds.

    Returns
    -------
    Target

    Raises
    ------
    FileError
        If it is none that is known, or one that could mean several things.

    Examples
    --------
    >>> heading("Draft, water heater, worst case (Pa)", ("water heater",)).words
    'Draft at worst case at water heater'
    """
    found = recognised(text, appliances)
    return found if found is not None else _target(text, appliances, suggest)


def appliance_of(text: str) -> str | None:
    """Name of the appliance whose plate a heading speaks of; ``None`` where it speaks of none.

    Examples
    --------
    >>> appliance_of("Furnace: input (Btu/h)")
    'Furnace'
    """
    found = recognised(text)
    return found.where if found is not None and found.sort == "appliance" else None


def _target(text: str, appliances: tuple[str, ...], suggest: bool = False) -> Target:
    plain = " ".join(text.split())
    if len(plain) > LONGEST:
        raise FileError(
            "the heading is too long", given=plain[:40] + "…", expected=f"at most {LONGEST} characters"
        )
    return (
        _exact(plain, appliances)
        or _fact(plain, appliances)
        or _job(plain)
        or _item(plain, appliances, suggest)
    )


def _exact(plain: str, appliances: tuple[str, ...]) -> Target | None:
    """The heading that is written: ``draft-worst-case @ water heater | stage #2: note (Pa)``."""
    match = _EXACT.fullmatch(plain)
    if match is None:
        return None
    keys = item_names().get(fold(match["key"]), ())
    if len(keys) != 1 or item(keys[0]).key != match["key"]:
        return None
    part = field_names("entry").get(fold(match["part"] or ""))
    if match["part"] and (part is None or not part.part):
        return None
    where = match["where"]
    exact = bool(where) and where.startswith('"')
    name = _unquoted(where) if where else None
    if name is not None and not exact:
        name = "" if name in words("missing") else _spelled(name, appliances)
    when = _unquoted(match["when"] or "")
    found = Target(
        "item", keys[0], name, exact or name == "", when, int(match["number"] or 1), part.key if part else "value"
    )  # fmt: skip
    return _with_unit(found, (match["unit"] or "").strip(), plain)


def _fact(plain: str, appliances: tuple[str, ...]) -> Target | None:
    """A fact of a plate, an instrument or the job, behind its name and a colon."""
    match = _BEHIND.fullmatch(plain)
    if match is None:
        return None
    name = _unquoted(match["name"])
    exact = match["name"].startswith('"')
    field, unit = _field_and_unit(match["field"], "appliance")
    number = None if exact else _INSTRUMENT.fullmatch(fold(name))
    if number is not None:
        found = field_names("instrument").get(fold(match["field"]))
        return None if found is None else Target("instrument", found.key, number[1])
    if fold(name) in ("job", "visit") and not exact:
        return _job(match["field"])
    if field is None or (not exact and fold(name) in item_names()):
        return None
    owner = name if exact else _spelled(name, appliances)
    return _with_unit(Target("appliance", field.key, owner, exact), unit, plain)


def _job(plain: str) -> Target | None:
    field, unit = _field_and_unit(plain, "job")
    if field is not None:
        return _with_unit(Target("job", field.key), unit, plain)
    column = field_names("entry").get(fold(plain))
    if column is not None and fold(plain) not in item_names():
        return Target("entry", column.key)
    return None


def _field_and_unit(text: str, sort: str) -> tuple[Field | None, str]:
    """A field and the unit behind it: "input (Btu/h)", "input, Btu/h" or "input"."""
    names = field_names(sort)
    if fold(text) in names:
        return names[fold(text)], ""
    bracket = re.fullmatch(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]", text)
    comma = bracket or re.fullmatch(r"(.*?)\s*,\s*([^,]*)", text)
    if comma is not None and fold(comma[1]) in names:
        return names[fold(comma[1])], comma[2].strip()
    return None, ""


def _item(plain: str, appliances: tuple[str, ...], suggest: bool) -> Target:
    """An item under any of its names, with place, stage, part and unit in any order beside it."""
    brackets = [each.strip() for each in _BRACKET.findall(plain) if each.strip()]
    parts = [part for part in _SEPARATOR.split(_BRACKET.sub(" ", plain)) if part.strip()]
    name, others = _named(parts, appliances)
    if name is None:
        if not suggest:
            raise FileError("the heading is not known", given=plain)
        raise FileError("the heading is not known", given=plain, expected=_suggestion(plain, parts))
    keys = item_names()[name]
    details = _details(keys, [*others, *brackets], appliances, plain)
    keys = _of_stage(keys, details.when)
    if len(keys) > 1:
        known = " or ".join(f"'{item(key).title}'" for key in keys)
        raise FileError("the heading could mean several items", given=plain, expected=known)
    line = item(keys[0])
    found = replace(details, key=keys[0], when="" if details.when == line.stage else details.when)
    return _with_unit(replace(found, unit=""), details.unit, plain)


def _named(parts: list[str], appliances: tuple[str, ...]) -> tuple[str | None, list[str]]:
    """The longest run of parts that names an item, and the other parts."""
    names = item_names()
    if len(parts) > _MOST_PARTS:
        return None, parts
    for length in range(min(len(parts), 6), 0, -1):
        for start in range(len(parts) - length + 1):
            run = fold(", ".join(part.strip() for part in parts[start : start + length]))
            if run in names:
                return run, parts[:start] + parts[start + length :]
    for index, part in enumerate(parts):
        text = fold(part)
        for place in (*appliances, *words("stages"), *TEST_HOLES):
            known = fold(place)
            rest = text.removeprefix(f"{known} ") if text.startswith(f"{known} ") else text
            rest = rest if rest != text else text.removesuffix(f" {known}")
            if rest != text and rest in names:
                return rest, [*parts[:index], place, *parts[index + 1 :]]
    return None, parts


def _details(keys: tuple[str, ...], others: list[str], appliances: tuple[str, ...], plain: str) -> Target:
    """Place, stage, part and unit, told apart by what they are."""
    line = item(keys[0])
    found = Target("item", keys[0])
    for other in others:
        text = fold(other)
        part = field_names("entry").get(text)
        thing = line.measurable
        if text in words("stages"):
            found = replace(found, when=text)
        elif part is not None and part.part:
            found = replace(found, part=part.key)
        elif thing is not None and thing.kind is not None and is_unit(other, thing.kind):
            found = replace(found, unit=other)
        elif text in {fold(name) for name in appliances}:
            found = replace(found, where=_spelled(other, appliances))
        elif line.place in ("zone", "room", "house") or text in TEST_HOLES:
            found = replace(found, where=other.strip())
        else:
            raise FileError(
                f"{other.strip()!r} in the heading is neither place nor stage nor unit",
                given=plain,
                expected=_choices_of(line, appliances),
            )
    return found


def _choices_of(line: Item, appliances: tuple[str, ...]) -> str:
    places = [f"'{name}'" for name in appliances] if line.place == "appliance" else []
    thing = line.measurable
    units = [f"{thing.kind.expected}"] if thing is not None and thing.kind is not None else []
    stages = [f"'{stage}'" for stage in sorted(words("stages"))]
    return "one of " + ", ".join([*places, *stages]) + (f", or the unit of {units[0]}" if units else "")


def _of_stage(keys: tuple[str, ...], stage: str) -> tuple[str, ...]:
    """Of the items of a name, or else of those that measure the same, the ones of a stage."""
    if not stage:
        return keys
    own = tuple(key for key in keys if item(key).stage == stage)
    quantities = {item(key).quantity for key in keys} - {""}
    others = tuple(
        key
        for key in dict.fromkeys(key for each in item_names().values() for key in each)
        if item(key).quantity in quantities and item(key).stage == stage
    )
    return own or others or keys


def _with_unit(target: Target, unit: str, plain: str) -> Target:
    """The target with its unit, once that is known to fit; text and dates keep what stands in the bracket."""
    if not unit:
        return target
    kind = target.kind
    if kind is None:
        return replace(target, unit=unit if target.key == "date" else "")
    try:
        affine(unit_named(unit, kind), kind)
    except UnitError as error:
        raise FileError(error.what, given=plain, expected=f"a unit of {kind.expected}") from None
    return replace(target, unit=unit)


@lru_cache(maxsize=4096)
def is_unit(text: str, kind: kinds.Kind) -> bool:
    """Whether a text is a unit of a kind, or looks so much like a unit that it must be refused as one."""
    try:
        affine(unit_named(text.strip(), kind), kind)
    except UnitError:
        return any(character in text for character in "°%/") and len(text) < 12
    return bool(text.strip())


def _spelled(name: str, appliances: tuple[str, ...]) -> str:
    """An appliance's name as the table spells it first."""
    if name in appliances:
        return name
    return next((each for each in appliances if fold(each) == fold(name)), name.strip())


def _unquoted(text: str) -> str:
    if not text.startswith('"'):
        return text.strip()
    try:
        return str(json.loads(text))
    except ValueError:
        return text.strip('"')


def _suggestion(plain: str, parts: list[str]) -> str:
    for part in dict.fromkeys((plain, *parts[:4])):
        near = nearest_name(fold(part))
        if near is not None:
            keys = item_names().get(near)
            return f"{item(keys[0]).title!r}" if keys else f"{near!r}"
    return "the id or title of an item, or a fact of the job or of a plate ('furnace: input')"
