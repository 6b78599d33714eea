"""Dates as sheets have them: ISO, with names of months, and the two orders of day and month."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from typing import NamedTuple

from hvaclib.errors import InputError

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]+[\d:.]+(?:Z|[-+]\d\d:?\d\d)?)?", re.ASCII)
_TWO = re.compile(
    r"(\d{1,2})\s*[-/.]\s*(\d{1,2})\s*[-/.]\s*(\d{4}|\d{2})(?:[T ,]+[\d:]+(?:\s*[ap]m)?)?",
    re.ASCII | re.IGNORECASE,
)
_NAMED = re.compile(
    r"(?:[A-Za-z]+,\s*|[A-Za-z]{2,9}\.?\s+(?=\d))?(?:(\d{1,2})(?:st|nd|rd|th)?[\s.-]+([A-Za-z]{3,9})|([A-Za-z]{3,9})[\s.-]+(\d{1,2})(?:st|nd|rd|th)?)[\s.,-]+(\d{4}|\d{2})",
    re.ASCII,
)
_COMPACT = re.compile(r"((?:19|20)\d\d)(\d\d)(\d\d)", re.ASCII)
_SERIAL = re.compile(r"(\d{5})(?:\.\d*)?", re.ASCII)
EXPECTED = "a date as 2026-03-14"
DAY_ZERO = dt.date(1899, 12, 30)
"""The day from which spreadsheets count, but those set to 1904."""


class Dated(NamedTuple):
    """A date and how it was read."""

    date: dt.date
    why: str = ""


def date_of(text: str, day_first: bool | None, day_zero: dt.date = DAY_ZERO) -> Dated:
    """A date.

    Parameters
    ----------
    text : str
        Content of the cell.
    day_first : bool or None
        Whether 03/04/2026 is the third of April; ``None`` where nothing has settled it.
    day_zero : datetime.date
        The day from which a spreadsheet counts, for a date that has lost its form.

    Returns
    -------
    Dated

    Raises
    ------
    InputError
        If it is no date, or could be two.

    Examples
    --------
    >>> date_of("13/04/2026", None).date.isoformat(), date_of("Mar 4, 2026", None).date.isoformat()
    ('2026-04-13', '2026-03-04')
    """
    iso = _ISO.fullmatch(text)
    if iso is not None:
        return Dated(_date(int(iso[1]), int(iso[2]), int(iso[3]), text))
    named = _NAMED.fullmatch(text)
    if named is not None:
        day, month, year = named[1] or named[4], named[2] or named[3], named[5]
        if month[:3].lower() in _MONTHS:
            return Dated(_date(_year(year), _MONTHS.index(month[:3].lower()) + 1, int(day), text))
    two = _TWO.fullmatch(text)
    if two is None and (counted := _counted(text, day_zero)) is not None:
        return counted
    if two is None:
        raise InputError("not a date", given=text[:40], expected=EXPECTED)
    return _of_two(int(two[1]), int(two[2]), _year(two[3]), text, day_first)


def _counted(text: str, day_zero: dt.date) -> Dated | None:
    """Dates without separators, and days as spreadsheets count them, of this century."""
    compact = _COMPACT.fullmatch(text)
    if compact is not None:
        found = _date(int(compact[1]), int(compact[2]), int(compact[3]), text)
        return Dated(found, "year, month and day without separators")
    serial = _SERIAL.fullmatch(text)
    if serial is None:
        return None
    found = day_zero + dt.timedelta(days=int(serial[1]))
    return Dated(found, "a day as spreadsheets count them") if 2000 <= found.year <= 2099 else None


def order_in(texts: Iterable[str]) -> bool | None:
    """Order of day and month that the dates of a file settle.

    Parameters
    ----------
    texts : iterable of str
        Its dates.

    Returns
    -------
    bool or None
        Whether the day comes first; ``None`` where no date has a day above twelve, or both orders occur.
    """
    found = set()
    for text in texts:
        two = _TWO.fullmatch(text.strip())
        if two is not None and 12 < int(two[1]) <= 31 and int(two[2]) <= 12:
            found.add(True)
        elif two is not None and 12 < int(two[2]) <= 31 and int(two[1]) <= 12:
            found.add(False)
    return found.pop() if len(found) == 1 else None


def _of_two(first: int, second: int, year: int, text: str, day_first: bool | None) -> Dated:
    if max(first, second) > 12 or min(first, second) < 1 or year < 1 or first == second:
        day, month = (first, second) if first > 12 else (second, first)
        return Dated(_date(year, month, day, text))
    if day_first is None:
        either = [f"{dt.date(year, first, second):%Y-%m-%d}", f"{dt.date(year, second, first):%Y-%m-%d}"]
        raise InputError(
            f"could be {either[0]} (month first) or {either[1]} (day first)",
            given=text[:40],
            expected="a date as 2026-03-14, or the order named",
        )
    day, month = (first, second) if day_first else (second, first)
    return Dated(_date(year, month, day, text), f"the {'day' if day_first else 'month'} comes first")


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _date(year: int, month: int, day: int, text: str) -> dt.date:
    try:
        return dt.date(year, month, day)
    except ValueError:
        raise InputError("there is no such date", given=text[:40], expected=EXPECTED) from None
