"""What must be known before the worst-case test, what forbids it, and in which order appliances are fired."""

from __future__ import annotations

from collections.abc import Iterable

from hvaclib.errors import InputError
from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.steady import Start
from hvaclib.readings import Reading, Readings

NOT_SIMULATED = frozenset({"co_ambient", "co_air_free", "oxygen_flue"})
"""Quantities that only an instrument in the house can give; the file's readings of them join the simulated ones."""


def appliance_zones(dwelling: Dwelling) -> tuple[str, ...]:
    """Return the zones with vented appliances, in the file's order."""
    return tuple(dict.fromkeys(item.zone for item in dwelling.appliances if item.vented))


def facts_of(dwelling: Dwelling, start: Start = "cold") -> dict[str, object]:
    """Return what rules may ask about a dwelling's appliances."""
    rows = {}
    for item in dwelling.appliances:
        mates = [other.kind for other in dwelling.appliances if other.vented and other.vent == item.vent]
        if item.vented:
            mates.remove(item.kind)
        shared = tuple(mates) if item.vented and mates else ("nothing",)
        rows[item.name] = {
            "appliance_kind": item.kind,
            "fuel": item.fuel,
            "zone": item.zone,
            "vent_shared_with": shared,
        }
    return {"start": start, "appliances": rows, "house": dwelling.name}


def preconditions(dwelling: Dwelling, setup: Setup) -> Readings:
    """Return what must be known before a fan is switched on: solid fuel, sealed appliances, outdoor temperature."""
    readings = [
        Reading("outdoor_temperature", setup.outdoor_temperature, dwelling.name, "baseline"),
        Reading("wind_speed", setup.wind_speed, dwelling.name, "baseline"),
    ]
    burning = any(item.solid_fuel and setup.firing[item.name] for item in dwelling.appliances)
    readings.append(Reading("solid_fuel_operating", float(burning), dwelling.name, "baseline"))
    readings += [
        Reading("appliance_sealed", 1.0, item.name, "baseline") for item in dwelling.appliances if item.sealed
    ]
    return Readings([*readings, *taken(dwelling)])


def taken(dwelling: Dwelling) -> list[Reading]:
    """Return the readings of the dwelling's file that no simulation gives, such as carbon monoxide."""
    records = [
        {
            "quantity": item.quantity,
            "value": item.value,
            "where": item.where or dwelling.name,
            "when": item.when,
        }
        for item in dwelling.readings
        if item.quantity in NOT_SIMULATED
    ]
    return [Reading.from_record(record) for record in records]


def refuse_solid_fuel(dwelling: Dwelling, setup: Setup) -> None:
    """Refuse the test while a solid fuel burns.

    Raises
    ------
    InputError
        Naming the appliance and the reason.
    """
    for item in dwelling.appliances:
        if item.solid_fuel and setup.firing[item.name]:
            raise InputError(
                f'the worst-case test is not allowed while "{item.name}" burns solid fuel, because depressurizing the '
                "house can pull its smoke and carbon monoxide into the rooms",
                where=dwelling.name,
                expected="the fire out and the ashes cold",
            )


def with_fires(dwelling: Dwelling, setup: Setup, names: Iterable[str]) -> Setup:
    """Return the setup with exactly these appliances burning, and sealed ones running beside them."""
    burning = set(names)
    for item in dwelling.appliances:
        setup = setup.with_firing(item.name, on=item.name in burning or (item.sealed and bool(burning)))
    return setup


def firing_order(dwelling: Dwelling, zone: str | None = None) -> tuple[Appliance, ...]:
    """Return the vented appliances (of a zone), the smallest input first, as the test fires them."""
    vented = [item for item in dwelling.appliances if item.vented and zone in (None, item.zone)]
    return tuple(sorted(vented, key=lambda item: item.input))
