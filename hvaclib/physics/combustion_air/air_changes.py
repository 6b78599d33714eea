"""An air change rate as the trade says it: a bare number is per hour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from hvaclib.units import Quantity, kinds, quantity_si

HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class AirChanges:
    """An air change rate; ``0.35`` alone means 0.35 an hour, since nobody in the trade says it otherwise."""

    def to_si(self, value: Any, where: str) -> Any:
        """Bring a rate to 1/s."""
        if isinstance(value, str) and value.strip().replace(".", "", 1).isdecimal():
            value = f"{value.strip()} ACH"
        elif isinstance(value, (int, float, np.number)) and not isinstance(value, bool):
            return quantity_si(f"{float(value)!r} ACH", kinds.AIR_CHANGES, where)
        elif isinstance(value, Quantity) and value.dimensionless:
            value = Quantity(value.to("").magnitude, "1/hour")
        return quantity_si(value, kinds.AIR_CHANGES, where)

    def describe(self) -> str:
        """Say what is expected."""
        return "air change rate such as 0.35 ACH; a bare number is per hour"


PER_HOUR = AirChanges()
