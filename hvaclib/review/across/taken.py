"""What one visit brings to the comparison: its readings as they were shown, and the residuals of laws."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from hvaclib.errors import HvacError
from hvaclib.readings import standard_uncertainty
from hvaclib.review.across import figures
from hvaclib.review.derived import record_of
from hvaclib.review.plausibility.sheet import Name
from hvaclib.units import parse_si
from hvaclib.units.kinds import Kind
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.readings import Reading
    from hvaclib.review.derived import Record
    from hvaclib.review.plausibility.law import Check
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.visit import Entry, Visit

_SHOWN = re.compile(r"\s*([-+−–]?)\s*(\d[\d,]*|(?=\.))(?:\.(\d*))?\s*([^\d/].*)?$")


class Shown(NamedTuple):
    """A number as the sheet shows it.

    ``number`` counts units of the last digit, ``step`` is that unit in SI.
    """

    number: int
    decimals: int
    unit: str
    step: float


class Place(NamedTuple):
    """A reading's item, and its appliance's kind or its place: alike in every house."""

    item: str
    where: str


class Taken(NamedTuple):
    """A reading that counts in the comparison.

    Parameters
    ----------
    place : Place
        What it is of.
    value : float
        SI.
    width : float
        Its standard uncertainty, SI.
    shown : Shown or None
        The number as it was written, where it is a plain decimal one.
    instrument : str
        As the sheet names it.
    constant : bool
        Whether it stands at a value that many houses have by nature: zero of what cannot be less, or a bound.
    """

    place: Place
    value: float
    width: float
    shown: Shown | None
    instrument: str
    constant: bool


@dataclass(frozen=True, slots=True)
class Brought:
    """What one visit brings.

    Parameters
    ----------
    taken : dict of Place to Taken
        The first of each.
    residuals : dict of str to float
        By law, over the instruments' standard uncertainty; those that rounding explains are left out, because they may
        have been reckoned.
    model : str
        Kinds and inputs on the rating plates, in words that are the same for homes of one model.
    """

    taken: dict[Place, Taken]
    residuals: dict[str, float]
    model: str

    def __reduce__(self) -> tuple[Any, ...]:
        # From process to process: plain numbers and texts are packed in a third of the time.
        rows = [
            (*place, one.value, one.width, one.shown and tuple(one.shown), one.instrument, one.constant)
            for place, one in self.taken.items()
        ]
        return _unpacked, (rows, self.residuals, self.model)


def _unpacked(rows: list[tuple[Any, ...]], residuals: dict[str, float], model: str) -> Brought:
    taken = {}
    for item_key, where, value, width, shown, instrument, constant in rows:
        place = Place(item_key, where)
        taken[place] = Taken(place, value, width, shown and Shown(*shown), instrument, constant)
    return Brought(taken, residuals, model)


def brought(visit: Visit) -> Brought:
    """What a visit brings; an entry that cannot be read is left out.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    Brought
    """
    return brought_by(record_of(visit))


def brought_by(record: Record) -> Brought:
    """What a visit brings whose values have been read; see `brought`.

    Parameters
    ----------
    record : Record

    Returns
    -------
    Brought
    """
    visit = record.given
    roles = _roles(visit)
    taken: dict[Place, Taken] = {}
    rows: dict[Name, Taken] = {}
    for entry, reading in record.pairs:
        if entry.item not in figures.compared() or not math.isfinite(reading.value):
            continue
        one = _taken(entry, reading, roles)
        taken.setdefault(one.place, one)
        rows.setdefault(_name(entry), one)
    plates = sorted(f"{each.kind} {each.fuel} {each.input}" for each in visit.appliance)
    return Brought(taken, _residuals(record.sheet, record.checks, rows), "; ".join(plates))


@lru_cache(maxsize=8_192)
def shown_of(text: str, kind: Kind) -> Shown | None:
    """Number of a plain decimal text; ``None`` for fractions, chains and what has no number.

    Examples
    --------
    >>> from hvaclib.units import kinds
    >>> shown_of("-3.20 Pa", kinds.PRESSURE_DIFFERENCE)
    Shown(number=-320, decimals=2, unit='Pa', step=0.01)
    """
    match = _SHOWN.match(text)
    if match is None:
        return None
    sign, whole, part, unit = match.groups()
    digits = (whole or "").replace(",", "") + (part or "")
    if not digits:
        return None
    decimals, unit = len(part or ""), (unit or "").strip()
    try:
        step = _slope(unit, kind) * 10.0**-decimals
    except HvacError:  # a reading was made of the text, but not in the way of one number and one unit
        return None
    return Shown(-int(digits) if sign in ("-", "−", "–") else int(digits), decimals, unit, step)


@lru_cache(maxsize=512)
def _slope(unit: str, kind: Kind) -> float:
    return parse_si(f"1 {unit}", kind) - parse_si(f"0 {unit}", kind)


def _taken(entry: Entry, reading: Reading, roles: dict[str, str]) -> Taken:
    thing = reading.measurable
    assert thing.kind is not None
    natural = bool(entry.bound) or (math.isfinite(thing.least) and reading.value == thing.least)
    return Taken(
        Place(entry.item, roles.get(entry.where, "") if entry.line.place != "room" else entry.where),
        reading.value,
        standard_uncertainty(reading),
        None if entry.bound else shown_of(entry.value, thing.kind),
        entry.instrument,
        natural,
    )


def _name(entry: Entry) -> Name:
    line = entry.line
    return Name(line.key, line.where or ("house" if line.place == "house" else entry.where))


def _roles(visit: Visit) -> dict[str, str]:
    """Kind of each appliance by its name, with a number from the second of a kind on."""
    roles: dict[str, str] = {}
    for each in visit.appliance:
        same = sum(role.split(" (")[0] == each.kind for role in roles.values())
        roles[each.name] = f"{each.kind} ({same + 1})" if same else str(each.kind)
    return roles


def _residuals(sheet: Sheet, checks: Iterable[Check], rows: dict[Name, Taken]) -> dict[str, float]:
    compared, found = figures.laws(), {}
    for check in checks:
        key = check.law.key
        if key in compared and key not in found and not _reckoned(check, sheet, rows):
            found[key] = replace(check, model=0.0).score(sheet.values)
    return found


def _reckoned(check: Check, sheet: Sheet, rows: dict[Name, Taken]) -> bool:
    """Whether the last digits of the readings explain all of the residual, or cannot be told."""
    numbers = [sheet.values[name].x for name in check.names]
    off = check.residual(*numbers)
    slack = 0.0
    for place, name in enumerate(check.names):
        one = rows.get(name)
        if one is None or one.shown is None:
            return True
        numbers[place] += one.shown.step / 2.0
        slack += abs(check.residual(*numbers) - off)
        numbers[place] = sheet.values[name].x
    return abs(off) <= slack * (1.0 + 1e-9)


def title(key: str) -> str:
    """Title of an item, as a sentence goes on with it."""
    words = item(key).title
    return words[:1].lower() + words[1:]
