"""What ``wall`` says: pairs too close with rule and distance, the share allowed, the nearest place allowed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from hvaclib.cli import settings
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.physics.terminations import Item, Region, TooClose, Wall
    from hvaclib.plots.style import System


@dataclass(frozen=True, slots=True)
class Placed:
    """A wall, judged.

    Attributes
    ----------
    wall : Wall
        With the new terminal where it is placed.
    column : str
        Which code's column.
    lacks : tuple of TooClose
        Pairs too close, the gravest first.
    region : Region or None
        Where the new terminal may stand; none where there is none to place.
    terminal : Item or None
        The new terminal, where it is placed.
    """

    wall: Wall
    column: str
    lacks: tuple[TooClose, ...]
    region: Region | None
    terminal: Item | None

    @property
    def stands(self) -> bool | None:
        """Whether the new terminal may stand where it is: it breaks no rule and covers nothing; none where not placed."""
        from hvaclib.physics.terminations import is_allowed

        if self.terminal is None:
            return None
        return bool(is_allowed(self.wall, self.terminal, *self.terminal.centre, self.column))

    @property
    def met(self) -> bool:
        """Whether nothing is too close, and a terminal placed may stand there."""
        return not self.lacks and self.stands is not False

    @property
    def nearest(self) -> tuple[float, float] | None:
        """The nearest place allowed on the map, m along and m up; none where none is, or nothing is placed."""
        if self.terminal is None or self.region is None or not self.region.allowed.any():
            return None
        if self.stands:
            return self.terminal.centre
        x, y = self.terminal.centre
        away = np.hypot(self.region.x[None, :] - x, self.region.y[:, None] - y)
        row, column = np.unravel_index(np.where(self.region.allowed, away, np.inf).argmin(), away.shape)
        return float(self.region.x[column]), float(self.region.y[row])


def report_of(placed: Placed, system: System, assumed: dict[str, str]) -> tuple[dict[str, Any], bool]:
    """The report of a wall that JSON can hold, and whether everything in it is met.

    Parameters
    ----------
    placed : Placed
        The wall, judged.
    system : {"field", "si"}
        Units of words and tables.
    assumed : dict
        What was taken as on the board.
    """
    from hvaclib.boards.base import Page, PageTable
    from hvaclib.boards.terminations.page import CAUTIONS

    page = Page(
        answer=_words(placed, system),
        verdict="pass" if placed.met else "fail",
        cautions=CAUTIONS,
        tables=[PageTable("Clearances that are broken", [_row(lack, system) for lack in placed.lacks])],
        sources=_sources(placed),
    )
    return settings.content(page, assumed, _numbers(placed)), placed.met


def _words(placed: Placed, system: System) -> list[str]:
    from hvaclib.plots.elevation.drawing import lack_words

    said = [_first(placed)]
    for lack in placed.lacks:
        words = lack_words(lack, system)
        said.append(f"{words[0].upper()}{words[1:]}: {lack.rule.title} ({lack.rule.column}).")
    if placed.region is not None:
        share = 100.0 * placed.region.share
        said.append(
            f"The new terminal may stand on {max(1, round(share))} % of the wall." if placed.region.allowed.any()
            else "Nowhere in this wall may the new terminal stand."
        )  # fmt: skip
    if placed.nearest is not None and not placed.stands:
        along, up = (show(part, kinds.LENGTH, system, 2) for part in placed.nearest)
        said.append(
            f"Nearest place allowed for its centre: about {along} along the wall and {up} above grade."
        )
    return said


def _first(placed: Placed) -> str:
    count = (
        "one clearance is broken" if len(placed.lacks) == 1 else f"{len(placed.lacks)} clearances are broken"
    )
    if placed.terminal is not None:
        own = [
            lack for lack in placed.lacks if placed.terminal.name in (lack.terminal.name, lack.neighbour.name)
        ]
        if placed.stands:
            tail = f", but elsewhere in the wall {count}" if placed.lacks else ""
            return f"{'No' if tail else 'Yes'}: by these rules the new terminal may stand here{tail}."
        return f"No: {count}." if own else "No: here the new terminal covers something."
    if placed.lacks:
        return f"No: in this wall {count}."
    return (
        "Yes: by these rules nothing in this wall is too close."
        if _sources(placed)
        else "No rule has a say here."
    )


def _row(lack: TooClose, system: System) -> dict[str, Any]:
    there = show(abs(lack.present), kinds.SIZE, system, 1)
    return {
        "what": lack.terminal.name,
        "too close to": lack.neighbour.name,
        "there is": there if lack.present >= 0.0 else f"{there} the wrong way",
        "needed": f"{show(lack.needed, kinds.SIZE, system, 1)} ({lack.direction})",
        "rule": lack.rule.title,
        "source": f"{lack.rule.column}: {lack.rule.source}",
        "how sure": lack.rule.certainty,
        "note": lack.rule.condition,
    }


def _sources(placed: Placed) -> list[str]:
    """Every rule that has a say about a pair in the wall."""
    from hvaclib.physics.terminations import rules_for

    found = [
        f"{rule.title} ({rule.column}): {rule.source} [{rule.certainty}]"
        for one in placed.wall.items
        for other in placed.wall.neighbours()
        if other is not one
        for rule in rules_for(one.kind, other.kind, one.input_rate, placed.column)
    ]
    return list(dict.fromkeys(found))


def _numbers(placed: Placed) -> dict[str, Any]:
    """Pairs with their distances, m, the share of the wall, places as m along and m up."""
    pairs = [
        {
            "terminal": lack.terminal.name,
            "neighbour": lack.neighbour.name,
            "rule": lack.rule.id,
            "column": lack.rule.column,
            "certainty": lack.rule.certainty,
            "direction": lack.direction,
            "needed_m": lack.needed,
            "present_m": lack.present,
        }
        for lack in placed.lacks
    ]
    return {
        "too_close": pairs,
        "share_allowed": None if placed.region is None else placed.region.share,
        "at_m": None if placed.terminal is None else list(placed.terminal.centre),
        "allowed_here": placed.stands,
        "nearest_allowed_m": None if placed.nearest is None else list(placed.nearest),
    }
