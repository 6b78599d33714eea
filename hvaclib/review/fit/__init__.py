"""From readings back to the house: the dwelling that explains them best, and how well that is known."""

from __future__ import annotations

from hvaclib.review.fit.fitting import fit
from hvaclib.review.fit.from_visit import Started, dwelling_from_visit
from hvaclib.review.fit.result import Explained, Fit
from hvaclib.review.fit.unknowns import Unknown

__all__ = ["Explained", "Fit", "Started", "Unknown", "dwelling_from_visit", "fit"]
