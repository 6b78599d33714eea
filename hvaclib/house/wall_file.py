"""Read a wall with its terminals and openings from a small TOML file of the suite's own.

::

    format = "hvaclib wall 1"
    name = "north wall"
    width = "30 ft"
    height = "9.5 ft"
    column = "US"                    # or "Canada"; US when left out
    walkway = ["0 ft", "12 ft"]      # optional: stretch with a public walkway at grade

    [[item]]                         # left from the wall's left end seen from outside, bottom from grade
    name = "window"
    kind = "window"
    left = "5.5 ft"
    bottom = "3 ft"
    width = "3 ft"
    height = "4 ft"

    [new]                            # optional: a terminal that is to be placed
    kind = "mechanical draft"
    size = "4 in"
    input = "80 kBtu/h"
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.errors import FileError, HvacError
from hvaclib.physics.terminations import COLUMNS, NEIGHBOURS, Item, Wall, first_cover
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.units import Kind

__all__ = ["FORMAT", "ITEMS", "PLACED", "WallPlan", "parse_wall", "read_wall"]

FORMAT = "hvaclib wall 1"
MAXIMUM_SIZE = 200_000
"""Largest file that is read, bytes."""
MOST_ITEMS = 100
LARGEST = (parse_si("120 ft", kinds.LENGTH), parse_si("40 ft", kinds.LENGTH))
"""Largest width and height of a wall, m."""
ITEMS = (*(kind for kind in NEIGHBOURS if kind not in ("grade", "public walkway")), "fixed window")
"""What an item may be."""
PLACED = ("mechanical draft", "direct vent")
"""What a new terminal may be; these need the input of their appliance."""
NEW = "new terminal"


@dataclass(frozen=True, slots=True)
class WallPlan:
    """What a file says.

    Attributes
    ----------
    name : str
        What people call the wall.
    wall : Wall
        The wall without the new terminal.
    column : str
        Which code's column.
    new : Item or None
        The terminal that is to be placed, in the wall's lower left corner.
    """

    name: str
    wall: Wall
    column: str
    new: Item | None


def read_wall(path: str | Path, instead: Mapping[str, str] | None = None) -> WallPlan:
    """Read a wall file.

    Parameters
    ----------
    path : str or Path
        The file.
    instead : mapping, optional
        Other values for "column", and for "kind", "size" and "input" of the new terminal.

    Returns
    -------
    WallPlan

    Raises
    ------
    FileError
        If the file cannot be read as a wall: one sentence that says where and why.
    """
    path = Path(path)
    try:
        if path.stat().st_size > MAXIMUM_SIZE:
            raise FileError("the file is too large for a wall", where=path.name, expected="at most 0.2 MB")
        content = path.read_bytes()
    except OSError as error:
        missing = isinstance(error, FileNotFoundError)  # its own words differ from system to system
        reason = "no such file" if missing else (error.strerror or type(error).__name__).lower()
        raise FileError(
            f"the file cannot be read ({reason})", where=str(path), expected="a wall file (.toml)"
        ) from error
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            "this is not UTF-8 text", where=path.name, expected="a text file saved as UTF-8"
        ) from error
    return parse_wall(text, path.name, instead)


def parse_wall(text: str, source: str = "wall", instead: Mapping[str, str] | None = None) -> WallPlan:
    """Read a wall from the text of a file; see `read_wall`."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        raise FileError(
            f"this cannot be read: {message[0].lower()}{message[1:]}",
            where=source,
            expected='key = "value" or [[item]]',
        ) from error
    top = _Table(data, source)
    if data.get("format") != FORMAT:
        raise FileError(
            "this is not a wall file",
            where=f"{source}, format",
            given=data.get("format"),
            expected=f'"{FORMAT}"',
        )
    top.known("format", "name", "width", "height", "column", "walkway", "item", "new")
    other = dict(instead or {})
    column = _Table({"column": other.pop("column", data.get("column", "US"))}, source).choice(
        "column", COLUMNS
    )
    new = data.get("new")
    if new is not None or other:
        new = _new_terminal(_Table({**_table(new or {}, f"{source}, [new]"), **other}, f"{source}, [new]"))
    try:
        wall = Wall(
            top.size("width", LARGEST[0]), top.size("height", LARGEST[1]), _items(data, source), _walkway(top)
        )
    except FileError:
        raise
    except HvacError as error:  # of the wall itself, which does not know the file
        raise FileError(
            error.what, where=f"{source}, {error.where}", given=error.given, expected=error.expected
        ) from error
    _refuse_covering(wall.items, source)
    return WallPlan(top.text("name", source), wall, column, new)


class _Table:
    """One table of the file; what it refuses names file, table and key."""

    def __init__(self, data: Mapping[str, Any], where: str) -> None:
        self.data, self.where = data, where

    def known(self, *names: str) -> None:
        """Refuse any other key."""
        for key in self.data:
            if key not in names:
                raise FileError(
                    "there is no such key", where=self.where, given=key, expected=_nearest(key, names)
                )

    def text(self, key: str, default: str | None = None) -> str:
        """Text in quotes, not empty."""
        value = self.data.get(key, default)
        if value is None:
            raise FileError(f"the key '{key}' is missing", where=self.where, expected=f'{key} = "…"')
        if not isinstance(value, str) or not value.strip():
            raise FileError(
                "this is not text", where=f"{self.where}, {key}", given=value, expected="text in quotes"
            )
        return " ".join(value.split())  # a refusal that names it stays one line

    def choice(self, key: str, options: Iterable[str]) -> str:
        """One of several words."""
        value = self.text(key)
        if value not in options:
            raise FileError(
                "there is no such choice",
                where=f"{self.where}, {key}",
                given=value,
                expected=_nearest(value, options),
            )
        return value

    def quantity(self, key: str, kind: Kind, default: str | None = None) -> float:
        """A quantity with its unit, to SI."""
        return _quantity(self.text(key, default), kind, f"{self.where}, {key}")

    def size(self, key: str, most: float, default: str | None = None) -> float:
        """A length above zero, m."""
        value = self.quantity(key, kinds.LENGTH, default)
        if not 0.0 < value <= most * (1.0 + 1e-9):
            raise FileError(
                "this size cannot be", where=f"{self.where}, {key}", given=self.data.get(key),
                expected=f"more than 0 and at most {most / 0.3048:g} ft",
            )  # fmt: skip
        return value


def _quantity(text: str, kind: Kind, where: str) -> float:
    try:
        return parse_si(text, kind)
    except HvacError as error:
        raise FileError(
            error.what, where=where, given=text, expected=error.expected or kind.expected
        ) from error


def _nearest(name: str, known: Iterable[str]) -> str:
    names = list(known)
    near = difflib.get_close_matches(name, names, 1, 0.6)
    return f"'{near[0]}'" if near else "one of: " + ", ".join(names)


def _table(value: object, where: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise FileError(
            "this is not a table", where=where, given=value, expected="keys with their values below it"
        )
    return value


def _items(data: Mapping[str, Any], source: str) -> tuple[Item, ...]:
    rows = data.get("item", [])
    if not isinstance(rows, list) or len(rows) > MOST_ITEMS:
        raise FileError(
            "this is not a list of items",
            where=f"{source}, item",
            expected=f"at most {MOST_ITEMS} [[item]] tables",
        )
    return tuple(_item(row, number, source) for number, row in enumerate(rows, 1))


def _item(row: object, number: int, source: str) -> Item:
    found = _Table(_table(row, f"{source}, item {number}"), f"{source}, item {number}")
    name = found.text("name")
    found.where = f'{source}, item "{name}"'
    found.known("name", "kind", "left", "bottom", "width", "height", "input")
    if name == NEW:
        raise FileError(
            "this name is kept for the terminal in [new]", where=found.where, expected="another name"
        )
    kind = found.choice("kind", ITEMS)
    return Item(
        name, kind, found.quantity("left", kinds.LENGTH), found.quantity("bottom", kinds.LENGTH),
        found.size("width", LARGEST[0]), found.size("height", LARGEST[1]), _input(found, kind),
    )  # fmt: skip


def _input(table: _Table, kind: str) -> float:
    """W; distances of some terminals depend on it, so it may not be left out there."""
    if kind not in PLACED and "input" not in table.data:
        return 0.0
    value = table.quantity("input", kinds.POWER)
    if value <= 0.0:
        raise FileError(
            "an input is above zero",
            where=f"{table.where}, input",
            given=table.data["input"],
            expected="such as '80 kBtu/h'",
        )
    return value


def _new_terminal(table: _Table) -> Item:
    table.known("kind", "size", "input")
    size = table.size("size", parse_si("3 ft", kinds.LENGTH))
    kind = table.choice("kind", PLACED)
    return Item(NEW, kind, 0.0, 0.0, size, size, _input(table, kind))


def _walkway(top: _Table) -> tuple[float, float] | None:
    value = top.data.get("walkway")
    if value is None:
        return None
    where = f"{top.where}, walkway"
    if not isinstance(value, list) or len(value) != 2 or not all(isinstance(end, str) for end in value):
        raise FileError(
            "a walkway has two ends", where=where, given=value, expected='such as ["0 ft", "12 ft"]'
        )
    left, right = (_quantity(end, kinds.LENGTH, where) for end in value)
    if not 0.0 <= left < right <= top.size("width", LARGEST[0]) * (1.0 + 1e-9):
        raise FileError(
            "the walkway does not lie along the wall",
            where=where,
            given=value,
            expected="left end, then right end",
        )
    return left, right


def _refuse_covering(items: tuple[Item, ...], source: str) -> None:
    pair = first_cover(items)
    if pair is not None:
        raise FileError(
            f"it covers '{pair[1].name}'",
            where=f'{source}, item "{pair[0].name}"',
            expected="things side by side",
        )
