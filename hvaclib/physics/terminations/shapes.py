"""Whether two upright rectangles are closer than a rule allows; all functions broadcast over arrays of rectangles."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from hvaclib.physics.terminations.rules import Rule

__all__ = ["Span", "gap", "moves_out", "overlap", "too_close"]

Values: TypeAlias = float | npt.NDArray[np.float64]
Span: TypeAlias = tuple[Values, Values, Values, Values]
"""Left, bottom, right, top."""

SLACK = 1e-9  # m: a distance that is exactly kept is kept


def beside(one: Span, other: Span) -> Values:
    """Horizontal gap (m) between two rectangles; negative where they overlap along the wall."""
    return np.maximum(other[0] - one[2], one[0] - other[2])


def above(one: Span, other: Span) -> Values:
    """How far the first rectangle's bottom lies above the second's top, m; negative where it does not."""
    return one[1] - other[3]


def apart(one: Span, other: Span) -> Values:
    """Shortest distance between two rectangles, m; 0 where they touch."""
    across = np.maximum(beside(one, other), 0.0)
    up = np.maximum(np.maximum(above(one, other), above(other, one)), 0.0)
    return np.hypot(across, up)


def overlap(one: Span, other: Span) -> npt.NDArray[np.bool_]:
    """Whether two rectangles cover a common place."""
    up = np.maximum(above(one, other), above(other, one))
    return np.asarray((beside(one, other) < -SLACK) & (up < -SLACK))


def from_axis(one: Span, other: Span) -> Values:
    """Horizontal gap (m) between a rectangle and the upright through the middle of another."""
    middle = 0.5 * (other[0] + other[2])
    return np.maximum(middle - one[2], one[0] - middle)


def too_close(rule: Rule, terminal: Span, neighbour: Span) -> npt.NDArray[np.bool_]:
    """Whether a terminal breaks a rule towards a neighbour."""
    if rule.shape == "around":
        broken = apart(terminal, neighbour) < rule.distance - SLACK
    elif rule.shape == "beside":
        broken = (
            (beside(terminal, neighbour) < rule.distance - SLACK)
            & (above(neighbour, terminal) < rule.below - SLACK)
            & (above(terminal, neighbour) < rule.above - SLACK)
        )
    elif rule.shape == "over":
        broken = (beside(terminal, neighbour) < rule.within - SLACK) & (
            above(terminal, neighbour) < rule.distance - SLACK
        )
    elif rule.shape == "column":
        over = above(terminal, neighbour)
        broken = (
            (from_axis(terminal, neighbour) < rule.distance - SLACK)
            & (over > -(terminal[3] - terminal[1]) - SLACK)
            & (over < rule.height - SLACK)
        )
    else:
        broken = (beside(terminal, neighbour) < -SLACK) & (above(terminal, neighbour) < rule.distance - SLACK)
    return np.asarray(broken)


def moves_out(rule: Rule) -> list[tuple[str, float]]:
    """Directions in which a terminal can be moved out of a rule's reach, and the distance (m) needed in each."""
    return {
        "around": [("any direction", rule.distance)],
        "beside": [("beside", rule.distance), ("below", rule.below), ("above", rule.above)],
        "over": [("above", rule.distance), ("beside", rule.within)],
        "column": [("beside its centre line", rule.distance)],
        "height": [("above", rule.distance)],
    }[rule.shape]


def gap(direction: str, rule: Rule, terminal: Span, neighbour: Span) -> float:  # noqa: ARG001 - one signature
    """The distance (m) there is in a direction."""
    measure = {
        "any direction": lambda: apart(terminal, neighbour),
        "beside": lambda: beside(terminal, neighbour),
        "below": lambda: above(neighbour, terminal),
        "above": lambda: above(terminal, neighbour),
        "beside its centre line": lambda: from_axis(terminal, neighbour),
    }
    return float(measure[direction]())
