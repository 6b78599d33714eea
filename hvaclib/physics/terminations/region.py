"""Where in a wall a new terminal may stand: one vectorised test over a grid of places."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from hvaclib.physics.terminations.rules import rules_for
from hvaclib.physics.terminations.shapes import SLACK, Span, Values, overlap, too_close
from hvaclib.physics.terminations.wall import Item, Wall

__all__ = ["Region", "allowed_region", "is_allowed"]


@dataclass(frozen=True, slots=True)
class Region:
    """Places of a terminal's centre.

    Attributes
    ----------
    x, y : ndarray
        m from the wall's left end, shape (C,), and above grade, shape (R,).
    allowed : ndarray
        Whether the terminal breaks no rule there; shape (R, C).
    """

    x: npt.NDArray[np.float64]
    y: npt.NDArray[np.float64]
    allowed: npt.NDArray[np.bool_]

    @property
    def share(self) -> float:
        """Share of the wall's area that is allowed, from 0 to 1: each place stands for the wall nearest to it."""
        return float(_nearest_part(self.y) @ self.allowed @ _nearest_part(self.x))


def _nearest_part(places: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Share of a line that lies nearest to each of its places; the two at its ends have half a step."""
    halves = np.diff(places) / 2.0
    shares: npt.NDArray[np.float64] = (np.append(halves, 0.0) + np.append(0.0, halves)) / (
        places[-1] - places[0]
    )
    return shares


def is_allowed(wall: Wall, terminal: Item, x: Values, y: Values, column: str = "US") -> npt.NDArray[np.bool_]:
    """Whether a new terminal may have its centre at places in a wall.

    Parameters
    ----------
    wall : Wall
        The wall; an item with the terminal's own name is left out.
    terminal : Item
        Kind, size and input of the new terminal; its own place does not matter.
    x, y : float or ndarray
        m, centre of the terminal; broadcast against each other.
    column : {"US", "Canada"}
        Which code's column.

    Returns
    -------
    ndarray of bool
        True where the terminal lies in the wall, covers nothing, and breaks no rule, neither its own towards a
        neighbour nor a neighbour's towards it.
    """
    across, up = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    half, rise = terminal.width / 2, terminal.height / 2
    here: Span = (across - half, up - rise, across + half, up + rise)
    fine = (here[0] >= -SLACK) & (here[2] <= wall.width + SLACK) & (here[1] >= -SLACK)
    fine = np.asarray(fine & (here[3] <= wall.height + SLACK))
    for item in wall.neighbours():
        if item.name == terminal.name:
            continue
        fine &= ~overlap(here, item.span)
        for rule in rules_for(terminal.kind, item.kind, terminal.input_rate, column):
            fine &= ~too_close(rule, here, item.span)
        for rule in rules_for(item.kind, terminal.kind, item.input_rate, column):
            fine &= ~too_close(rule, item.span, here)
    return fine


def allowed_region(wall: Wall, terminal: Item, step: float = 0.05, column: str = "US") -> Region:
    """Test a grid of places over the whole wall; `step` is its spacing at most, m."""
    x = np.linspace(0.0, wall.width, max(2, int(np.ceil(wall.width / step)) + 1))
    y = np.linspace(0.0, wall.height, max(2, int(np.ceil(wall.height / step)) + 1))
    return Region(x, y, is_allowed(wall, terminal, x[None, :], y[:, None], column))
