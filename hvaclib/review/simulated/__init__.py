"""Visits made by simulating a dwelling: the same record that a contractor brings back."""

from __future__ import annotations

from hvaclib.review.simulated.readings import Burner, simulated_readings
from hvaclib.review.simulated.sheet import visit_of

__all__ = ["Burner", "simulated_readings", "visit_of"]
