"""Review of records that come back: what is missing, out of order, beyond the rules, or cannot all be true."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from hvaclib.review.remark import KINDS, Remark, RemarkKind, Review

if TYPE_CHECKING:
    from hvaclib.review.derived import readings_with_derived
    from hvaclib.review.record import review_visit
    from hvaclib.review.stream import review_many

__all__ = [
    "KINDS",
    "Remark",
    "RemarkKind",
    "Review",
    "readings_with_derived",
    "review_many",
    "review_visit",
]

_LATER = {
    "readings_with_derived": "hvaclib.review.derived",
    "review_many": "hvaclib.review.stream",
    "review_visit": "hvaclib.review.record",
}


def __getattr__(name: str) -> Any:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_LATER[name]), name)
