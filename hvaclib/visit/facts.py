"""What the rules may ask about a visit beside its readings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.visit.answers import reading_of

if TYPE_CHECKING:
    from hvaclib.visit.model import Visit
    from hvaclib.visit.plate import Appliance

PLATE_FACTS = ("maximum_static", "manifold_pressure", "input", "efficiency")


def facts_of(visit: Visit) -> dict[str, Any]:
    """Facts of a visit as one mapping: those of each appliance by its name, and the outdoor temperature.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    dict
        With 'appliances'; SI numbers. A number that the plate does not give is left out.

    Notes
    -----
    The input is what plate or instructions give for the altitude, and that of the plate where they give none.
    """
    kinds_of: dict[str, str] = {each.name: each.kind for each in visit.appliance}
    found: dict[str, Any] = {
        "appliances": {each.name: _of_appliance(each, kinds_of) for each in visit.appliance}
    }
    for entry in visit.entries("outdoor-temperature"):
        reading = reading_of(entry, visit)
        if reading is not None:
            found["outdoor_temperature"] = reading.value
    return found


def _of_appliance(appliance: Appliance, kinds_of: dict[str, str]) -> dict[str, Any]:
    other = appliance.vent_shared_with
    row: dict[str, Any] = {
        "appliance_kind": appliance.kind,
        "fuel": appliance.fuel,
        "zone": appliance.zone,
        "start": appliance.start,
        "condensing": "yes" if appliance.condensing else "no",
        "vent_damper": "yes" if appliance.vent_damper else "no",
        "vent_shared_with": kinds_of[other] if other else "nothing",
    }
    rise = appliance.range_si("rise")
    if rise is not None:
        row["rise_least"], row["rise_most"] = rise
    supply = appliance.range_si("gas_supply")
    if supply is not None:
        row["gas_supply_least"], row["gas_supply_most"] = supply
    if appliance.input_at_altitude:
        row["input"] = appliance.si("input_at_altitude")
    plate = ((key, appliance.si(key)) for key in PLATE_FACTS)
    row.update({key: number for key, number in plate if number is not None and key not in row})
    return row
