"""What a value would be if it had been written in another unit, with another sign, or in another's place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from hvaclib.readings.vocabulary import kind_named
from hvaclib.review.plausibility.figures import slip_rows, swap_rows
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from hvaclib.review.plausibility.sheet import Name, Sheet

_ALONE = frozenset({"sign", "tenfold", "tenth"})
"""Slips of the pen, which happen to one number; another unit is a setting of the instrument, and stays for a page."""
_ICE = 273.15
_FAHRENHEIT_ZERO = 459.67


@dataclass(frozen=True, slots=True)
class Slip:
    """A way to read a value again.

    Parameters
    ----------
    key, words : str
        Its name, and how it was written, in words.
    again : callable
        From the value as written to the value as meant, SI.
    """

    key: str
    words: str
    again: Callable[[float], float]


@cache
def slips_of(key: str) -> tuple[Slip, ...]:
    """Ways to read the values of an item again.

    Parameters
    ----------
    key : str
        Name of the item.

    Returns
    -------
    tuple of Slip
    """
    thing = item(key).measurable
    if thing is None or thing.kind is None:
        return ()
    return tuple(
        Slip(row["key"], row["words"], _numbers[row["number"]] if "number" in row else _scaled(row["factor"]))
        for row in slip_rows()
        if any(kind_named(name) is thing.kind for name in row["kinds"])
    )


def swaps_of(sheet: Sheet) -> Iterator[tuple[Name, Name]]:
    """Pairs of readings on a sheet that may stand in each other's place."""
    by_item: dict[str, list[Name]] = {}
    for name in sheet.values:
        by_item.setdefault(name.item, []).append(name)
    for one, other in swap_rows():
        for first in by_item.get(one, ()):
            for second in by_item.get(other, ()):
                if first.where == second.where or first.item.startswith("static-hole"):
                    yield first, second


def pages_of(sheet: Sheet) -> Iterator[tuple[str, tuple[tuple[Name, Callable[[float], float]], ...]]]:
    """Readings of one step that an instrument set to another unit would have shown wrongly, all of them.

    Parameters
    ----------
    sheet : Sheet

    Yields
    ------
    tuple
        How they were written, in words, and each reading with the way to read it again; two readings at least.
    """
    pages: dict[tuple[str, str], list[tuple[Name, Callable[[float], float]]]] = {}
    for name in sheet.values:
        for slip in slips_of(name.item):
            if slip.key not in _ALONE:
                pages.setdefault((item(name.item).step.key, slip.words), []).append((name, slip.again))
    for (_, words), rows in pages.items():
        if len(rows) > 1:
            yield words, tuple(rows)


def as_fahrenheit(kelvin: float) -> float:
    """Temperature, K, if the number that was read as °C was one of °F."""
    return (kelvin - _ICE + _FAHRENHEIT_ZERO) / 1.8


def as_celsius(kelvin: float) -> float:
    """Temperature, K, if the number that was read as °F was one of °C."""
    return kelvin * 1.8 - _FAHRENHEIT_ZERO + _ICE


_numbers = {"celsius read as fahrenheit": as_celsius, "fahrenheit read as celsius": as_fahrenheit}


def _scaled(factor: float) -> Callable[[float], float]:
    return lambda value: factor * value
