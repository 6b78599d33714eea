"""Figures of the comparison of visits, from ``figures.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from hvaclib.visit.checklist import item


@dataclass(frozen=True, slots=True)
class Compared:
    """How one reading of the sheet is compared between visits.

    Parameters
    ----------
    tied : str
        The cause that it shares with others.
    digits : bool
        Whether its last shown digit is free.
    varies : bool
        Whether it must differ from house to house by more than the instrument's standard uncertainty.
    """

    tied: str
    digits: bool = False
    varies: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """What a remark of one kind says beside its numbers.

    Parameters
    ----------
    do : tuple of str
        What to look at, with a gap for the readings.
    innocent : str
        Explanations that blame nobody.
    source : str
        The method.
    """

    do: tuple[str, ...]
    innocent: str
    source: str


def figure(table: str, key: str) -> float:
    """A number of one table, such as ``figure("family", "false_alarm")``."""
    return float(_document()[table][key])


@cache
def compared() -> dict[str, Compared]:
    """Readings that are compared, by item."""
    return {item(key).key: Compared(**row) for key, row in _document()["item"].items()}


@cache
def sets() -> dict[str, frozenset[str]]:
    """Items of each set of readings that may be copied together."""
    known = compared()
    return {
        name: frozenset(key for key in known if not row["steps"] or item(key).step.key in row["steps"])
        for name, row in _document()["set"].items()
    }


@cache
def laws() -> tuple[str, ...]:
    """Keys of the laws whose residuals must scatter."""
    return tuple(_document()["law"])


@cache
def words() -> dict[str, Words]:
    """Words of each kind of remark."""
    return {
        kind: Words(tuple(row["do"]), row["innocent"], row["source"])
        for kind, row in _document()["words"].items()
    }


@cache
def _document() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("figures.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
