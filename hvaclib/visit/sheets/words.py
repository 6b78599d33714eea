"""The headings and words of tables of visits, from ``headings.toml`` and the items of the record."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from hvaclib.readings.vocabulary import kind_named
from hvaclib.units import kinds
from hvaclib.visit.checklist import items

SORTS = ("job", "appliance", "instrument", "entry")


@dataclass(frozen=True, slots=True)
class Field:
    """A heading that is no item: a fact of the job, of a rating plate, of an instrument, or a column of the long form.

    Parameters
    ----------
    key, heading : str
        Name in the record, and the heading that is written.
    sort : str
        What its cells hold: "text", "number", "pair" and so on.
    kind : hvaclib.units.Kind or None
        Kind of its number.
    part : bool
        Whether it may stand behind the heading of an item.
    """

    key: str
    heading: str
    sort: str
    kind: kinds.Kind | None
    part: bool


@lru_cache(maxsize=16_384)
def fold(text: str) -> str:
    """A heading or word with its spelling levelled: case, hyphens, spaces, subscripts, signs at its end.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> fold(" Draft_worst-case: "), fold("O₂")
    ('draft worst case', 'o2')
    """
    plain = unicodedata.normalize("NFKC", text).casefold()
    plain = re.sub(r"[\s_\-‐‑–—]+", " ", plain)
    return plain.strip(" .:*?;,")


@cache
def fields(sort: str) -> Mapping[str, Field]:
    """The headings of one sort by their names in the record.

    Parameters
    ----------
    sort : {"job", "appliance", "instrument", "entry"}

    Returns
    -------
    mapping of str to Field
    """
    return MappingProxyType({row["key"]: _field(row) for row in _document()[sort]})


@cache
def field_names(sort: str) -> Mapping[str, Field]:
    """The same by every heading under which they are known, folded."""
    found: dict[str, Field] = {}
    for row in _document()[sort]:
        for name in (row["heading"], row["key"], *row.get("also", ())):
            found.setdefault(fold(name.replace(".", " ")), fields(sort)[row["key"]])
            found.setdefault(fold(name), fields(sort)[row["key"]])
    return MappingProxyType(found)


@cache
def item_names() -> Mapping[str, tuple[str, ...]]:
    """Keys of the items by every name under which they are known, folded.

    Returns
    -------
    mapping of str to tuple of str
        Id, title and other names of an item go before the title and the key of what it measures, which several items
        can share.
    """
    own: dict[str, list[str]] = {}
    shared: dict[str, list[str]] = {}
    for each in items():
        for name in dict.fromkeys(fold(name) for name in (each.key, each.title, *each.also)):
            own.setdefault(name, []).append(each.key)
        thing = each.measurable
        if thing is not None:
            for name in dict.fromkeys((fold(thing.title), fold(thing.key))):
                shared.setdefault(name, []).append(each.key)
    return MappingProxyType({name: tuple(keys) for name, keys in {**shared, **own}.items()})


@cache
def words(name: str) -> frozenset[str]:
    """A list of words of cells: "missing", "less_than", "more_than", "totals" or "stages"."""
    return frozenset(_document()["words"][name])


@cache
def choices(key: str) -> Mapping[str, str]:
    """Other words for the choices of a field, folded, with the choice that they mean."""
    table = _document()["choices"].get(key, {})
    return MappingProxyType({fold(word): choice for choice, row in table.items() for word in row})


def _field(row: Mapping[str, Any]) -> Field:
    kind = kind_named(row["kind"]) if "kind" in row else None
    return Field(row["key"], row["heading"], row.get("sort", "text"), kind, row.get("part", False))


@cache
def _document() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("headings.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
