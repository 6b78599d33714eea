"""An outside wall as a rectangle with what opens and ends in it, and the pairs that are too close."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from hvaclib.errors import InputError
from hvaclib.physics.terminations.rules import Rule, rules_for
from hvaclib.physics.terminations.shapes import Span, Values, gap, moves_out, overlap, too_close
from hvaclib.units import kinds, show

__all__ = ["GRADE", "Item", "TooClose", "Wall", "first_cover", "pairs_too_close"]

GRADE = "grade"


@dataclass(frozen=True, slots=True)
class Item:
    """Something in a wall: an upright rectangle, m from the wall's left end and from grade.

    Attributes
    ----------
    name : str
        What people call it.
    kind : str
        One of `rules.NEIGHBOURS`, or "fixed window", which nothing needs to keep away from.
    left, bottom, width, height : float
        m; a round terminal is its enclosing square.
    input_rate : float
        W, of a terminal's appliance.
    """

    name: str
    kind: str
    left: float
    bottom: float
    width: float
    height: float
    input_rate: float = 0.0

    @property
    def span(self) -> Span:
        """Left, bottom, right and top, m."""
        return self.left, self.bottom, self.left + self.width, self.bottom + self.height

    def at(self, x: float, y: float) -> Item:
        """The same item with its centre elsewhere, m."""
        return replace(self, left=x - self.width / 2, bottom=y - self.height / 2)

    @property
    def centre(self) -> tuple[float, float]:
        """Of the rectangle, m."""
        return self.left + self.width / 2, self.bottom + self.height / 2


@dataclass(frozen=True, slots=True)
class Wall:
    """An outside wall.

    Attributes
    ----------
    width, height : float
        m, above grade.
    items : tuple of Item
        What is in it; names differ.
    walkway : tuple of float, optional
        Stretch of the wall (left, right; m) along which a public walkway runs at grade.

    Raises
    ------
    InputError
        If a size is not above zero, an item does not lie in the wall, or a name comes twice.
    """

    width: float
    height: float
    items: tuple[Item, ...]
    walkway: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if not (self.width > 0.0 and self.height > 0.0):
            raise InputError(
                "a wall needs a width and a height", where="wall", given=(self.width, self.height),
                expected="both above zero",
            )  # fmt: skip
        seen: set[str] = set()
        for item in self.items:
            left, bottom, right, top = item.span
            if item.name in seen:
                raise InputError("two things have one name", where="wall", given=item.name)
            seen.add(item.name)
            fits = all(map(math.isfinite, item.span)) and item.width > 0.0 and item.height > 0.0
            if (
                not fits
                or left < -1e-9
                or bottom < -1e-9
                or right > self.width + 1e-9
                or top > self.height + 1e-9
            ):
                raise InputError(
                    f"this does not lie in the wall: it reaches from {_length(left)} to {_length(right)} along and from "
                    f"{_length(bottom)} to {_length(top)} up",
                    where=item.name,
                    expected=f"within {_length(self.width)} along and {_length(self.height)} up",
                )

    def neighbours(self) -> tuple[Item, ...]:
        """The items, and the ground (and walkway) below them as items without height."""
        ground = [Item("grade", GRADE, 0.0, 0.0, self.width, 0.0)]
        if self.walkway is not None:
            left, right = self.walkway
            ground.append(Item("public walkway", "public walkway", left, 0.0, right - left, 0.0))
        return (*self.items, *ground)

    def with_item(self, item: Item) -> Wall:
        """The wall with one more item, or with another in the place of that name."""
        others = tuple(other for other in self.items if other.name != item.name)
        return replace(self, items=(*others, item))


def _length(edge: Values) -> str:
    """A length in both systems: a wall does not know which one its reader uses."""
    value = float(edge)
    return (
        f"{show(value, kinds.LENGTH)} ({show(value, kinds.LENGTH, 'si')})"
        if math.isfinite(value)
        else "nowhere"
    )


def first_cover(items: tuple[Item, ...]) -> tuple[Item, Item] | None:
    """The first thing that covers one before it, and that one; none where all stand side by side."""
    for number, item in enumerate(items):
        for other in items[:number]:
            if overlap(item.span, other.span):
                return item, other
    return None


@dataclass(frozen=True, slots=True)
class TooClose:
    """A pair that breaks a rule.

    Attributes
    ----------
    terminal, neighbour : Item
        Which asks for the distance, and which is too near.
    rule : Rule
        The rule.
    needed, present : float
        m, in the direction of the least move: the distance asked for and the one there is; a negative one overlaps.
    direction : str
        "any direction", "beside", "below" or "above": where the least move leads.
    """

    terminal: Item
    neighbour: Item
    rule: Rule
    needed: float
    present: float
    direction: str


def pairs_too_close(wall: Wall, column: str = "US") -> tuple[TooClose, ...]:
    """Every pair of things in a wall that is closer than a rule allows.

    Parameters
    ----------
    wall : Wall
        The wall.
    column : {"US", "Canada"}
        Which code's column.

    Returns
    -------
    tuple of TooClose
        Each rule broken, the greatest lack first.
    """
    found: list[TooClose] = []
    seen: set[tuple[str, frozenset[str]]] = set()
    for terminal in wall.items:
        for neighbour in wall.neighbours():
            if neighbour is terminal:
                continue
            for rule in rules_for(terminal.kind, neighbour.kind, terminal.input_rate, column):
                pair = (rule.id, frozenset({terminal.name, neighbour.name}))
                if pair in seen or not too_close(rule, terminal.span, neighbour.span):
                    continue
                seen.add(pair)
                found.append(_lack(rule, terminal, neighbour))
    return tuple(sorted(found, key=lambda item: item.present - item.needed))


def _lack(rule: Rule, terminal: Item, neighbour: Item) -> TooClose:
    """What is there and what is needed, in the direction in which the least move mends it."""
    direction, needed = min(
        moves_out(rule), key=lambda way: way[1] - gap(way[0], rule, terminal.span, neighbour.span)
    )
    present = gap(direction, rule, terminal.span, neighbour.span)
    return TooClose(terminal, neighbour, rule, needed, present, direction)
