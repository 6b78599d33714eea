"""The words for what can be read in a house: one entry for each measurable thing, from ``vocabulary.toml``."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal, cast

from hvaclib.errors import InputError
from hvaclib.units import kinds, parse_si

Place = Literal["house", "zone", "appliance", "test hole"]
TEST_HOLES = ("hole 1", "hole 2", "hole 3", "hole 4")
"""Static-pressure test holes along the air's way: before the filter, after it, after the heat exchanger, after the coil."""
YES_OR_NO = "yes or no"


@dataclass(frozen=True, slots=True)
class Measurable:
    """One thing that can be read: what it is called, its kind and sign, and how it is taken.

    Parameters
    ----------
    key : str
        Name in files and in Python.
    title : str
        Name for people.
    kind : hvaclib.units.Kind or None
        Kind of quantity; ``None`` for an item answered with yes or no.
    place : str
        What a reading of it belongs to: "house", "zone", "appliance" or "test hole".
    sign : str
        Sign convention, or what a yes means.
    how : str
        How it is measured, in one sentence.
    instrument : str
        The usual instrument: a name in the table of instruments, or "eye".
    least, most : float
        Bounds, SI, that no true value can pass.
    infinite : str
        Words for a value without end; empty where none can occur.
    caution : str
        What can hurt while it is measured; empty where nothing does.
    difference : bool
        Whether it is the difference of two readings of the instrument.
    """

    key: str
    title: str
    kind: kinds.Kind | None
    place: Place
    sign: str
    how: str
    instrument: str
    least: float
    most: float
    infinite: str = ""
    caution: str = ""
    difference: bool = False

    @property
    def yes_or_no(self) -> bool:
        """Whether the item is answered with yes or no instead of a number."""
        return self.kind is None


def kind_named(name: str) -> kinds.Kind | None:
    """Kind of ``hvaclib.units`` by its name in lower case; ``None`` for 'yes or no'.

    Parameters
    ----------
    name : str
        For example "pressure difference".

    Returns
    -------
    hvaclib.units.Kind or None

    Raises
    ------
    InputError
        If there is no such kind.
    """
    if name == YES_OR_NO:
        return None
    kind = getattr(kinds, name.upper().replace(" ", "_"), None)
    if not isinstance(kind, kinds.Kind):
        raise InputError("no such kind of quantity", where="kind", given=name)
    return kind


def nearest(name: str, names: Iterable[str]) -> str:
    """Sentence part that names the closest of the known names, or all when none is close.

    Parameters
    ----------
    name : str
        What was given.
    names : iterable of str
        What is known.

    Returns
    -------
    str
    """
    known = list(names)
    close = known if len(known) == 1 else difflib.get_close_matches(name, known, n=1)
    return f"{close[0]!r}" if close else "one of " + ", ".join(repr(each) for each in known)


def measurable(key: str) -> Measurable:
    """Entry of the vocabulary.

    Parameters
    ----------
    key : str
        Name of the measurable thing, such as "draft".

    Returns
    -------
    Measurable

    Raises
    ------
    InputError
        If the vocabulary has no such key; the sentence names the nearest one.

    Examples
    --------
    >>> measurable("draft").title
    'Draft at the test hole'
    """
    try:
        return VOCABULARY[key]
    except KeyError:
        raise InputError(
            "nothing measurable has this name",
            where="quantity",
            given=key,
            expected=nearest(key, VOCABULARY),
        ) from None


def _entry(key: str, row: Mapping[str, Any]) -> Measurable:
    kind = kind_named(row["kind"])

    def bound(name: str, otherwise: float) -> float:
        return parse_si(row[name], kind) if kind is not None and name in row else otherwise

    return Measurable(
        key=key,
        title=row["title"],
        kind=kind,
        place=cast("Place", row["place"]),
        sign=row["sign"],
        how=row["how"],
        instrument=row["instrument"],
        least=bound("least", float("-inf")),
        most=bound("most", float("inf")),
        infinite=row.get("infinite", ""),
        caution=row.get("caution", ""),
        difference=row.get("difference", False),
    )


def _read() -> Mapping[str, Measurable]:
    text = resources.files(__package__).joinpath("vocabulary.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: _entry(key, row) for key, row in tomllib.loads(text).items()})


VOCABULARY: Mapping[str, Measurable] = _read()
