"""Figures of the checks between readings, from ``laws.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from hvaclib.units import parse_si
from hvaclib.visit.checklist import item


@dataclass(frozen=True, slots=True)
class LawFigures:
    """What one law has from outside.

    Parameters
    ----------
    key, kind : str
        Its name, and the sort of remark that it makes.
    words : str
        The law in one clause.
    model : float
        Its own standard uncertainty, in the unit of its residual.
    source : str
        Where law and figure come from.
    """

    key: str
    kind: str
    words: str
    model: float
    source: str


@dataclass(frozen=True, slots=True)
class SheetFigures:
    """What holds for a whole sheet.

    Parameters
    ----------
    false_alarm : float
        Share of sound sheets that may show any remark.
    weigh : float
        Share of the weight that a reading must carry to be named.
    unusual : float
        Share of sound readings outside their usual range.
    """

    false_alarm: float
    weigh: float
    unusual: float


@cache
def laws() -> dict[str, LawFigures]:
    """Figures of every law by its key."""
    rows = _document()["law"]
    return {
        key: LawFigures(key, row["kind"], row["words"], float(row["model"]), row["source"])
        for key, row in rows.items()
    }


@cache
def sheet_figures() -> SheetFigures:
    """Figures that hold for a whole sheet."""
    row = _document()["sheet"]
    return SheetFigures(row["false_alarm"], row["weigh"], row["unusual"])


@cache
def bound(key: str) -> float:
    """One figure that a law needs, SI."""
    return float(_document()["bound"][key]["value"])


@cache
def usual(key: str) -> tuple[float, float]:
    """Range, SI, in which nearly all sound readings of an item lie."""
    thing = item(key).measurable
    assert thing is not None
    assert thing.kind is not None
    low, high = _document()["usual"][key]
    return parse_si(low, thing.kind), parse_si(high, thing.kind)


@cache
def slip_rows() -> tuple[dict[str, Any], ...]:
    """Ways to read a value again."""
    return tuple(_document()["slip"])


@cache
def swap_rows() -> tuple[tuple[str, str], ...]:
    """Pairs of items that are easily written in each other's place."""
    return tuple((row["items"][0], row["items"][1]) for row in _document()["swap"])


@cache
def _document() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("laws.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
