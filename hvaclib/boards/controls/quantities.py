"""Two quantities as the trade counts them on this board: hours of a setback, gallons of condensate an hour."""

from hvaclib.units.kinds import Kind

HOURS = Kind("HOURS", "time", "second", "hour", "hour", "8 h or 30 min", 1, 1)
DRAIN_FLOW = Kind(
    "DRAIN_FLOW", "water flow", "meter**3/second", "gallon/hour", "liter/hour", "0.5 gal/h or 2 L/h", 2, 2
)
