"""A wall judged: what is too close, whether a new terminal may stand where it is put, the nearest place where it may."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hvaclib.physics.terminations.region import Region, allowed_region, is_allowed
from hvaclib.physics.terminations.shapes import overlap
from hvaclib.physics.terminations.wall import Item, TooClose, Wall, pairs_too_close

__all__ = ["Judged", "judge_wall"]


@dataclass(frozen=True)
class Judged:
    """A wall with what the rules say of it.

    Attributes
    ----------
    wall : Wall
        With the new terminal where it is put.
    column : str
        Which code's column.
    lacks : tuple of TooClose
        Pairs too close, the gravest first.
    terminal : Item or None
        The new terminal where it is put; none where it is not.
    region : Region or None
        Where the new terminal may stand; none where there is none to place.
    """

    wall: Wall
    column: str
    lacks: tuple[TooClose, ...]
    terminal: Item | None = None
    region: Region | None = None

    @property
    def own(self) -> tuple[TooClose, ...]:
        """What the new terminal has to do with."""
        if self.terminal is None:
            return ()
        name = self.terminal.name
        return tuple(item for item in self.lacks if name in (item.terminal.name, item.neighbour.name))

    @property
    def others(self) -> tuple[TooClose, ...]:
        """What is too close without the new terminal."""
        own = self.own
        return tuple(item for item in self.lacks if item not in own)

    @property
    def covered(self) -> tuple[Item, ...]:
        """What the new terminal stands on."""
        if self.terminal is None:
            return ()
        here = self.terminal
        return tuple(
            item for item in self.wall.items if item.name != here.name and overlap(here.span, item.span)
        )

    @cached_property
    def stands(self) -> bool | None:
        """Whether the new terminal may stand where it is: breaks no rule, covers nothing; none where it is not put."""
        if self.terminal is None:
            return None
        return bool(is_allowed(self.wall, self.terminal, *self.terminal.centre, self.column))

    @property
    def met(self) -> bool:
        """Whether nothing is too close, and a terminal put in the wall may stand there."""
        return not self.lacks and self.stands is not False

    @cached_property
    def nearest(self) -> tuple[float, float] | None:
        """The nearest place allowed, m along and m up, to a step of the map; none where none is, or nothing is put."""
        if self.terminal is None or self.region is None:
            return None
        if self.stands:
            return self.terminal.centre
        if not self.region.allowed.any():
            return None
        x, y = self.terminal.centre
        away = np.hypot(self.region.x[None, :] - x, self.region.y[:, None] - y)
        row, column = np.unravel_index(np.where(self.region.allowed, away, np.inf).argmin(), away.shape)
        return float(self.region.x[column]), float(self.region.y[row])


def judge_wall(
    wall: Wall,
    terminal: Item | None = None,
    *,
    at: tuple[float, float] | None = None,
    step: float = 0.05,
    column: str = "US",
) -> Judged:
    """Judge a wall, and a new terminal in it.

    Parameters
    ----------
    wall : Wall
        Without the new terminal.
    terminal : Item, optional
        Kind, size and input of the new terminal.
    at : tuple of float, optional
        m along and m up, where its centre is put; left out, only the map of places allowed is made.
    step : float, default 0.05
        m, spacing of the map at most.
    column : {"US", "Canada"}
        Which code's column.

    Returns
    -------
    Judged

    Raises
    ------
    InputError
        If the terminal does not lie in the wall.
    """
    put = None if terminal is None or at is None else terminal.at(*at)
    full = wall if put is None else wall.with_item(put)
    region = None if terminal is None else allowed_region(wall, terminal, step, column)
    return Judged(full, column, pairs_too_close(full, column), put, region)
