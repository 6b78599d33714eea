"""What was done to a sheet after it was written: the changes that ``planted.toml`` lists, one small function each."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from hvaclib.units import parse_si
from hvaclib.units.spelling import affine, unit_named
from hvaclib.visit import Entry, Visit

Change = Mapping[str, Any]
Sheets = Mapping[str, Visit]
_VALUE = re.compile(r"(-?\d+(?:\.(\d+))?) (.*)")
_DECIMALS = {"Pa": 1, "°F": 1, "in. w.c.": 3}
"""What a display in that unit shows."""


def planted(visit: Visit, changes: Sequence[Change], sheets: Sheets) -> Visit:
    """A sheet with changes done to it, one after the other.

    Parameters
    ----------
    visit : Visit
    changes : sequence of mapping
        As ``planted.toml`` has them.
    sheets : mapping of str to Visit
        The other sheets, for a page that was copied.

    Returns
    -------
    Visit
    """
    for change in changes:
        if "year" in change:
            date = visit.job.date.replace(year=change["year"])
            visit = visit.model_copy(update={"job": visit.job.model_copy(update={"date": date})})
        elif "copied_from" in change:
            visit = _with_page(visit, sheets[change["copied_from"]], change["steps"])
        else:
            entries = _changed(list(visit.entry), change)
            visit = visit.model_copy(update={"entry": tuple(entries)})
    return visit


def touched(change: Change, visit: Visit) -> set[tuple[str, str]]:
    """Items and places of the lines that a change is about."""
    if "item" not in change:
        return {
            (each.item, each.where) for each in visit.entry if each.line.step.key in change.get("steps", ())
        }
    keys = [change["item"], change.get("exchanged_with")]
    return {
        (each.item, each.where)
        for each in visit.entry
        if each.item in keys and ("where" not in change or each.where == change["where"])
    }


def _changed(entries: list[Entry], change: Change) -> list[Entry]:
    spots = [
        number
        for number, each in enumerate(entries)
        if each.item == change["item"] and each.where == change.get("where", each.where)
    ]
    assert len(spots) == 1, (change, len(spots))
    (spot,) = spots
    found = entries[spot]
    if change.get("drop"):
        return entries[:spot] + entries[spot + 1 :]
    if "moved_behind" in change:
        return _moved(entries, spot, change["moved_behind"])
    if "exchanged_with" in change:
        return _exchanged(entries, spot, change)
    if "again" in change:
        again = found.model_copy(update={"value": _with_number(found.value, change["again"])})
        return [*entries[: spot + 1], again, *entries[spot + 1 :]]
    if "sum_of" in change:
        parts = [next(each.value for each in entries if each.item == key) for key in change["sum_of"]]
        return _put(entries, spot, _with_number(found.value, f"{sum(_number(part) for part in parts):.3f}"))
    if "place" in change:
        return [*entries[:spot], found.model_copy(update={"where": change["place"]}), *entries[spot + 1 :]]
    for key, make in _MADE.items():
        if key in change:
            return _put(entries, spot, make(found, change[key]), change.get("note", ""))
    raise AssertionError(change)


def _put(entries: list[Entry], spot: int, value: str, note: str = "") -> list[Entry]:
    made = entries[spot].model_copy(update={"value": value, "note": note})
    return [*entries[:spot], made, *entries[spot + 1 :]]


def _number(text: str) -> float:
    found = _VALUE.fullmatch(text)
    assert found is not None, text
    return float(found[1])


def _with_number(text: str, number: str) -> str:
    """Another number with the unit that was there; where there was none, the text itself."""
    found = _VALUE.fullmatch(text)
    return number if found is None else f"{number} {found[3]}"


def _times(entry: Entry, factor: float) -> str:
    found = _VALUE.fullmatch(entry.value)
    assert found is not None
    return _with_number(entry.value, f"{float(found[1]) * factor:.{len(found[2] or '')}f}")


def _transposed(entry: Entry, first: int) -> str:
    """Two neighbouring digits of the number in each other's place."""
    found = _VALUE.fullmatch(entry.value)
    assert found is not None
    digits = list(found[1])
    spots = [number for number, each in enumerate(digits) if each.isdigit()][first : first + 2]
    one, other = spots
    assert digits[one] != digits[other], entry
    digits[one], digits[other] = digits[other], digits[one]
    return _with_number(entry.value, "".join(digits))


def _in_unit(entry: Entry, unit: str) -> str:
    """The number that an instrument set to another unit shows, with the unit of the sheet."""
    thing = entry.line.measurable
    assert thing is not None
    assert thing.kind is not None
    scale, offset = affine(unit_named(unit, thing.kind), thing.kind)
    number = (parse_si(entry.value, thing.kind) - offset) / scale
    return _with_number(entry.value, f"{number:.{_DECIMALS[unit]}f}")


_MADE: Mapping[str, Callable[[Entry, Any], str]] = {
    "value": lambda entry, value: value,
    "number": lambda entry, number: _with_number(entry.value, number),
    "factor": _times,
    "transposed": _transposed,
    "number_in": _in_unit,
}


def _moved(entries: list[Entry], spot: int, behind: str) -> list[Entry]:
    """A line behind the last of an item, and a minute after it."""
    last = max(number for number, each in enumerate(entries) if each.item == behind)
    hour, minute = (int(part) for part in entries[last].at.split(":"))
    after = 60 * hour + minute + 1
    made = entries[spot].model_copy(update={"at": f"{after // 60:02d}:{after % 60:02d}"})
    before = [each for number, each in enumerate(entries[: last + 1]) if number != spot]
    return [*before, made, *entries[last + 1 :]]


def _exchanged(entries: list[Entry], spot: int, change: Change) -> list[Entry]:
    here = entries[spot]
    holes = here.line.place == "test hole"
    other = next(
        number
        for number, each in enumerate(entries)
        if each.item == change["exchanged_with"] and (holes or each.where == here.where)
    )
    one, two = here.value, entries[other].value
    return _put(_put(entries, spot, two), other, one)


def _with_page(visit: Visit, source: Visit, steps: Sequence[str]) -> Visit:
    """A sheet with the values of another one's page, its own times kept."""
    page = {(each.item, each.where): each.value for each in source.entry if each.line.step.key in steps}
    entries = [
        each.model_copy(update={"value": page[each.item, each.where]})
        if (each.item, each.where) in page
        else each
        for each in visit.entry
    ]
    return visit.model_copy(update={"entry": tuple(entries)})


def with_habit(visits: Sequence[Visit], habit: Mapping[str, Any], rng: np.random.Generator) -> list[Visit]:
    """Sheets of a contractor who writes all of them in one way.

    Parameters
    ----------
    visits : sequence of Visit
    habit : mapping
        ``favourite_digits``: how often a number's last digit becomes a 0 or a 5. ``from_memory``: the item that is not
        read, with ``where``, the value that comes to mind and how far it strays.
    rng : numpy.random.Generator

    Returns
    -------
    list of Visit
    """
    made = []
    for visit in visits:
        entries = []
        for each in visit.entry:
            value = each.value
            if (
                "favourite_digits" in habit
                and _VALUE.fullmatch(value)
                and rng.random() < habit["favourite_digits"]
            ):
                value = _favoured(value)
            if each.item == habit.get("from_memory") and each.where == habit["where"]:
                usual = _number(habit["around"])
                value = _with_number(each.value, f"{usual + rng.uniform(-1.0, 1.0) * habit['within']:.1f}")
            entries.append(each.model_copy(update={"value": value}))
        made.append(visit.model_copy(update={"entry": tuple(entries)}))
    return made


def _favoured(text: str) -> str:
    """The nearest number whose last digit is 0 or 5."""
    found = _VALUE.fullmatch(text)
    assert found is not None
    decimals = len(found[2] or "")
    units = round(float(found[1]) * 10**decimals / 5) * 5
    return _with_number(text, f"{units / 10**decimals:.{decimals}f}")
