"""Checks of range that a calculation's body makes, with the value shown as people read it."""

from __future__ import annotations

from typing import Any

import numpy as np

from hvaclib.errors import InputError
from hvaclib.units.kinds import Kind
from hvaclib.units.showing import show

__all__ = ["not_negative", "positive", "within"]


def _first(value: Any, wrong: Any) -> float:
    return float(np.broadcast_to(value, np.shape(wrong))[wrong].flat[0]) if np.ndim(wrong) else float(value)


def positive(value: Any, argument: str, kind: Kind) -> None:
    """Refuse zero and less.

    Parameters
    ----------
    value : float or ndarray
        In SI; NaN is refused too.
    argument : str
        Name of the argument, for the sentence.
    kind : Kind
        For showing the value.

    Raises
    ------
    InputError
        Naming the first value that is out of range.
    """
    wrong = ~(np.asarray(value) > 0.0)
    if wrong.any():
        given = show(_first(value, wrong), kind)
        raise InputError("must be above zero", where=argument, given=given, expected=kind.expected)


def not_negative(value: Any, argument: str, kind: Kind) -> None:
    """Refuse what is below zero; as `positive` otherwise."""
    wrong = ~(np.asarray(value) >= 0.0)
    if wrong.any():
        given = show(_first(value, wrong), kind)
        raise InputError("must not be negative", where=argument, given=given, expected=kind.expected)


def within(value: Any, low: float, high: float, argument: str, kind: Kind) -> None:
    """Refuse what lies outside a closed range, given in SI; as `positive` otherwise."""
    array = np.asarray(value)
    wrong = ~((array >= low) & (array <= high))
    if wrong.any():
        raise InputError(
            "out of range",
            where=argument,
            given=show(_first(value, wrong), kind),
            expected=f"{show(low, kind)} to {show(high, kind)}",
        )
