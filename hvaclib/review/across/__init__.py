"""Visits of one contractor side by side: sets that repeat, last digits, and scatter. A remark asks for another look."""

from __future__ import annotations

from hvaclib.review.across.tally import Tally, across, across_one

__all__ = ["Tally", "across", "across_one"]
