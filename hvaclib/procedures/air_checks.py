"""What to look at when a figure of the air side is out of bounds, in the order of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hvaclib.errors import InputError
from hvaclib.readings import nearest
from hvaclib.reference import load


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at.

    Attributes
    ----------
    title, do : str
        What, and how.
    source : str
        Where the advice comes from.
    caution : str
        What can hurt; empty where nothing does.
    """

    title: str
    do: str
    source: str
    caution: str


@cache
def what_to_check(trouble: str) -> tuple[Check, ...]:
    """What to look at, first things first.

    Parameters
    ----------
    trouble : str
        "rise high", "rise low" or "static high"; empty for nothing wrong.

    Returns
    -------
    tuple of Check
        Empty where nothing is wrong.

    Raises
    ------
    InputError
        If there is no such trouble.
    """
    rows = load("air_side")["check"]
    known = dict.fromkeys(row["when"] for row in rows)
    if trouble and trouble not in known:
        raise InputError(
            "no advice for this", where="trouble", given=trouble, expected=nearest(trouble, known)
        )
    return tuple(
        Check(row["title"], row["do"], row["source"], row["caution"])
        for row in rows
        if row["when"] == trouble
    )
