"""Review of records that come back: what is missing, out of order, beyond the rules, or cannot all be true."""

from __future__ import annotations

from hvaclib.review.remark import KINDS, Remark, RemarkKind, Review

__all__ = ["KINDS", "Remark", "RemarkKind", "Review"]
