"""Figures from outside the project, each with its unit, condition, source and how sure it is: one loader for all."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from hvaclib.errors import FileError

__all__ = ["CERTAINTY", "Figure", "figure", "load", "names", "rows", "value"]

CERTAINTY = ("found", "computed", "definition", "from memory", "common practice")
"""How a ``certainty`` may begin: read in the source; computed from it; exact; recalled; no source."""

_FOLDER = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with its passport.

    Parameters
    ----------
    value : float or tuple of float
        In `unit`.
    unit : str
        As people write it.
    source : str
        Document, edition and place.
    certainty : str
        Begins with one of `CERTAINTY`.
    condition : str
        State for which it holds; empty where there is none to name.
    """

    value: float | tuple[float, ...]
    unit: str
    source: str
    certainty: str
    condition: str = ""


def names() -> tuple[str, ...]:
    """Names of all tables."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


@cache
def load(name: str) -> dict[str, Any]:
    """Read one table; later calls return the same object, which is not to be changed.

    Parameters
    ----------
    name : str
        File name without ``.toml``, such as ``"air"``.

    Returns
    -------
    dict
        The table as written. Every entry with a ``value`` has been checked for unit, source and certainty.

    Raises
    ------
    FileError
        If there is no such table, or an entry has no passport.
    """
    path = _FOLDER / f"{name}.toml"
    if not path.is_file():
        raise FileError("no such reference table", given=name, expected=" or ".join(names()))
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise FileError(f"not valid TOML ({error})", where=path.name) from error
    _check(table, path.name, "")
    return table


def _check(node: Any, file: str, place: str) -> None:
    if isinstance(node, list):
        for index, item in enumerate(node):
            _check(item, file, f"{place}[{index}]")
    if not isinstance(node, dict):
        return
    if "value" in node:
        for key in ("unit", "source", "certainty"):
            if not isinstance(node.get(key), str) or (not node[key] and key != "unit"):
                raise FileError(f"a figure without its {key}", where=f"{file}, {place}")
        if not node["certainty"].startswith(CERTAINTY):
            given, expected = node["certainty"], "one that begins with " + ", ".join(CERTAINTY)
            raise FileError("an unknown certainty", where=f"{file}, {place}", given=given, expected=expected)
    for key, child in node.items():
        _check(child, file, f"{place}.{key}" if place else key)


@cache
def figure(name: str, *keys: str) -> Figure:
    """Look up one figure with its passport.

    Parameters
    ----------
    name : str
        Table.
    *keys : str
        Way to the figure: ``figure("openings", "discharge", "sharp-edged")``.

    Returns
    -------
    Figure

    Raises
    ------
    FileError
        If the table has no such figure.

    Examples
    --------
    >>> figure("air", "standard_atmosphere").value
    101325.0
    """
    node: Any = load(name)
    for depth, key in enumerate(keys):
        if not isinstance(node, dict) or key not in node:
            expected = " or ".join(node) if isinstance(node, dict) else "a figure one level up"
            where = ", ".join((f"{name}.toml", *keys[:depth]))
            raise FileError("no such figure", where=where, given=key, expected=expected)
        node = node[key]
    if not isinstance(node, dict) or "value" not in node:
        raise FileError("this is no figure", where=", ".join((f"{name}.toml", *keys)))
    raw = node["value"]
    number = tuple(float(item) for item in raw) if isinstance(raw, list) else float(raw)
    return Figure(number, node["unit"], node["source"], node["certainty"], node.get("condition", ""))


def value(name: str, *keys: str) -> float:
    """Look up one figure's number alone; it is in the unit that the table names.

    Parameters
    ----------
    name : str
        Table.
    *keys : str
        Way to the figure.

    Returns
    -------
    float

    Raises
    ------
    FileError
        If there is no such figure, or it is a list of numbers.
    """
    number = figure(name, *keys).value
    if isinstance(number, tuple):
        raise FileError("a list of numbers where one is needed", where=", ".join((f"{name}.toml", *keys)))
    return number


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Read a published table that is kept row by row; whoever uses it names its source.

    Parameters
    ----------
    name : str
        File name without ``.csv``, such as ``"vent_capacity"``.

    Returns
    -------
    tuple of dict
        One a row, text as written; not to be changed.

    Raises
    ------
    FileError
        If there is no such table.
    """
    path = _FOLDER / f"{name}.csv"
    if not path.is_file():
        known = sorted(item.stem for item in _FOLDER.glob("*.csv"))
        raise FileError("no such published table", given=name, expected=" or ".join(known))
    return tuple(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
