"""What the rules may ask about a visit beside its readings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.physics.gas_supply.altitude import altitude_derate
from hvaclib.visit.answers import reading_of

if TYPE_CHECKING:
    from hvaclib.visit.model import Appliance, Visit

PLATE_FACTS = ("maximum_static", "manifold_pressure", "efficiency")


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
    The input is what plate or instructions give for the altitude; where they give none, what the code leaves of the plate's
    input: 4 % less for each 1000 ft above sea level, from 2000 ft up (`hvaclib.physics.gas_supply.altitude_derate`).
    """
    altitude = visit.job.altitude_si
    kinds_of: dict[str, str] = {each.name: each.kind for each in visit.appliance}
    found: dict[str, Any] = {
        "appliances": {each.name: _of_appliance(each, kinds_of, altitude) for each in visit.appliance}
    }
    for entry in visit.entries("outdoor-temperature"):
        reading = reading_of(entry, visit)
        if reading is not None:
            found["outdoor_temperature"] = reading.value
    return found


def _of_appliance(appliance: Appliance, kinds_of: dict[str, str], altitude: float) -> dict[str, Any]:
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
    power = input_at(appliance, altitude)
    if power is not None:
        row["input"] = power
    plate = ((key, appliance.si(key)) for key in PLATE_FACTS)
    row.update({key: number for key, number in plate if number is not None})
    return row


def input_at(appliance: Appliance, altitude: float) -> float | None:
    """Input that an appliance may have at an altitude.

    Parameters
    ----------
    appliance : Appliance
    altitude : float
        m.

    Returns
    -------
    float or None
        W; what plate or instructions give for the altitude, else what the code leaves of the plate's input; ``None`` where
        the sheet has neither.
    """
    given = appliance.si("input_at_altitude")
    if given is not None:
        return given
    plate = appliance.si("input")
    return None if plate is None else float(altitude_derate.si(input_rate=plate, altitude=altitude))
