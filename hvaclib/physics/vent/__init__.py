"""Vents: theoretical draft, capacity, losses, walls and the gas column."""

from __future__ import annotations

from hvaclib.physics.vent.rated import capacity, theoretical_draft

__all__ = ["capacity", "theoretical_draft"]
