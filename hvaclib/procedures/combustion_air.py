"""A dwelling with combustion-air openings added: what the tables of a code ask for, put where its vents are."""

from __future__ import annotations

from hvaclib.house.dwelling import Dwelling

INSET = 0.1524
"""m, 6 in from ceiling or floor: within the 12 in of IFGC (2018) 304.6.1 and 304.6.2."""


def with_combustion_air(dwelling: Dwelling, free_area: float, openings: int) -> Dwelling:
    """Add one opening (high) or two (high and low) between the room of the vented appliances and outdoors.

    Parameters
    ----------
    dwelling : Dwelling
        With a vented appliance; its own openings stay.
    free_area : float
        m² of each; 0 changes nothing.
    openings : int
        One or two.

    Returns
    -------
    Dwelling
    """
    if free_area <= 0.0:
        return dwelling
    vented = next(item for item in dwelling.appliances if item.vented)
    zone = dwelling.part("zones", vented.zone)
    levels = (zone.ceiling - INSET, zone.floor + INSET)[:openings]
    for height, level in zip(levels, ("high", "low"), strict=False):
        name = f"combustion air, {level}"
        dwelling = dwelling.with_opening(name, (zone.name, "outdoors"), free_area, height)
    return dwelling
