"""From an entry of the sheet to a reading or an answer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.errors import HvacError, InputError
from hvaclib.readings import Reading, Readings, uncertainty_of
from hvaclib.units import kinds, parse_si
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from hvaclib.readings import Measurable
    from hvaclib.visit.model import Entry, InstrumentNote, Visit

YES = frozenset({"yes", "y", "true", "x", "ok", "done", "1", "✓", "✔"})
NO = frozenset({"no", "n", "false", "0", "✗", "✘"})


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to a yes or no, a note or a photo.

    Parameters
    ----------
    entry : Entry
        Where it stands.
    yes : bool or None
        For a yes or no.
    text : str
        The words, or the name of the photo file.
    """

    entry: Entry
    yes: bool | None
    text: str


def yes_of(text: str) -> bool:
    """A yes or a no as people write it.

    Raises
    ------
    InputError
        For anything else.

    Examples
    --------
    >>> yes_of("Y"), yes_of("no")
    (True, False)
    """
    word = text.strip().lower().rstrip(".")
    if word in YES:
        return True
    if word in NO:
        return False
    raise InputError("not an answer", given=text, expected="yes or no")


def answer_of(entry: Entry) -> Answer | None:
    """Answer of an entry that is no number; ``None`` when it was not given.

    Raises
    ------
    InputError
        If a yes or no is answered with something else.
    """
    if not entry.taken:
        return None
    if entry.line.yes_or_no:
        return Answer(entry, yes_of(entry.value), entry.value)
    return Answer(entry, None, entry.photo or entry.value)


def reading_of(entry: Entry, visit: Visit) -> Reading | None:
    """Reading of an entry; ``None`` when the item is no reading or was not taken.

    Parameters
    ----------
    entry : Entry
    visit : Visit
        The record it stands in, for the accuracy of its instruments.

    Returns
    -------
    Reading or None

    Raises
    ------
    InputError, UnitError
        If the value is not what the item needs; the sentence names the item.

    Notes
    -----
    'Less than' a value, where the quantity cannot be below a least one, is taken as anything between the two: their
    middle, with the standard uncertainty of a rectangle. Any other bound is taken as the value, and the note says so.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7, for the rectangle.
    """
    if not entry.taken or not entry.line.quantity:
        return None
    try:
        return _read(
            entry.item,
            entry.value,
            entry.where or entry.line.where or "house",
            entry.stage,
            entry.bound,
            entry.note,
            entry.instrument,
            visit.instrument,
        )
    except HvacError as error:
        raise type(error)(error.what, where=entry.place, given=error.given, expected=error.expected) from None


@lru_cache(maxsize=16_384)
def _read(
    key: str,
    text: str,
    where: str,
    stage: str,
    bound: str,
    note: str,
    instrument: str,
    instruments: tuple[InstrumentNote, ...],
) -> Reading:
    """Reading of a text; most lines of a sheet stand on a thousand others word by word."""
    thing = item(key).measurable
    assert thing is not None
    if thing.kind is None:
        return Reading(thing.key, float(yes_of(text)), where, stage, note=note)
    value = _number(text, thing)
    known = _uncertainty(value, thing, instrument, instruments)
    if bound == "less than" and math.isfinite(thing.least) and value >= thing.least:
        width = value - thing.least
        value, known = thing.least + width / 2.0, max(width / math.sqrt(12.0), known or 0.0)
        note = _joined(note, f"the sheet says less than {text}")
    elif bound:
        note = _joined(note, f"the sheet says {bound} {text}; taken as the value")
    return Reading(thing.key, value, where, stage, note=note, standard_uncertainty=known)


def readings_of(visit: Visit) -> Readings:
    """The readings of a visit, in the order of the sheet.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    Readings
        The same type that a simulated house gives.

    Raises
    ------
    InputError, UnitError
        For the first entry whose value is not what its item needs.
    """
    found = (reading_of(entry, visit) for entry in visit.entry)
    return Readings(each for each in found if each is not None)


def _number(text: str, thing: Measurable) -> float:
    text = text.strip()
    if thing.infinite and text.lower() in ("inf", "never", "did not stop", thing.infinite):
        return math.inf
    assert thing.kind is not None
    return parse_si(text, thing.kind)


def _uncertainty(
    value: float, thing: Measurable, instrument: str, instruments: tuple[InstrumentNote, ...]
) -> float | None:
    """Standard uncertainty by the accuracy that the sheet declares for its instrument; ``None`` for the usual one."""
    for note in instruments:
        if note.measures == thing.key and note.accuracy and (not instrument or instrument == note.name):
            assert thing.kind is not None
            width = kinds.TEMPERATURE_DIFFERENCE if thing.kind is kinds.TEMPERATURE else thing.kind
            accuracy = _accuracy(note.accuracy, value, width)
            resolution = parse_si(note.resolution, width) if note.resolution else 0.0
            once = uncertainty_of(accuracy=accuracy, resolution=resolution)
            return math.sqrt(2.0) * once if thing.difference else once
    return None


def _accuracy(text: str, value: float, kind: kinds.Kind) -> float:
    """Half width of an accuracy: a number of the kind, or 'N % of reading'."""
    share, sign, rest = text.partition("%")
    if sign and rest.strip() in ("of reading", "of the reading"):
        return parse_si(f"{share} %", kinds.FRACTION) * abs(value)
    return parse_si(text, kind)


def _joined(*notes: str) -> str:
    return "; ".join(note for note in notes if note)
