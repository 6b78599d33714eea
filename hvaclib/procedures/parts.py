"""Work in parts: a generator that yields None at each pause and its results in between.

A page answers its controls in the pauses; whoever has the time drains the parts at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

T = TypeVar("T")


def last(parts: Iterator[T | None]) -> T:
    """Return the last result of work in parts.

    Raises
    ------
    RuntimeError
        If the work gave none.
    """
    result: T | None = None
    for part in parts:
        if part is not None:
            result = part
    if result is None:
        raise RuntimeError("work in parts ended without a result")
    return result
