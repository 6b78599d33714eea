"""The input that appliances of a job may have at its altitude."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from hvaclib.physics.gas_supply.altitude import altitude_derate
from hvaclib.visit import facts_of

if TYPE_CHECKING:
    from hvaclib.visit import Appliance, Visit


def facts_there(visit: Visit) -> dict[str, Any]:
    """Facts of a visit as `hvaclib.visit.facts_of`, with every input for the altitude of the job.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    dict
        As the rules ask for them.
    """
    found = facts_of(visit)
    for each in visit.appliance:
        power = input_at(each, visit.job.altitude_si)
        if power is not None:
            found["appliances"][each.name]["input"] = power
    return found


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
        W; what plate or instructions give for the altitude, else what the code leaves of the plate's input: 4 % less for
        each 1000 ft above sea level, from 2000 ft up; ``None`` where the sheet has neither.

    References
    ----------
    NFPA 54 (2002), 11.1.2, by `hvaclib.physics.gas_supply.altitude_derate`.
    """
    given = appliance.si("input_at_altitude")
    if given is not None:
        return given
    plate = appliance.si("input")
    return None if plate is None else _left(plate, altitude)


@lru_cache(maxsize=4_096)
def _left(plate: float, altitude: float) -> float:
    return float(altitude_derate.si(input_rate=plate, altitude=altitude))
