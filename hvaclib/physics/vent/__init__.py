"""Vents: theoretical draft, capacity, masonry chimneys, losses, walls and the gas column."""

from __future__ import annotations

from hvaclib.physics.vent.left_alone import left_alone
from hvaclib.physics.vent.masonry import chimney_area, chimney_capacity
from hvaclib.physics.vent.rated import capacity, theoretical_draft

__all__ = ["capacity", "chimney_area", "chimney_capacity", "left_alone", "theoretical_draft"]
