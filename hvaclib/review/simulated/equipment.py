"""Appliances of a dwelling as a job sheet lists them: plate, blower's table and vent."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from hvaclib.house.air_side import air_side_of
from hvaclib.physics.gas_supply.altitude import altitude_derate
from hvaclib.reference import load, value
from hvaclib.units import kinds, written
from hvaclib.visit import Appliance
from hvaclib.visit.plate import VentNote

if TYPE_CHECKING:
    from hvaclib.house import dwelling as house

CONDENSING = 0.87
"""Efficiency by higher heating value from which some of the flue gas's water must have condensed: with natural gas and
no excess air 0.89 is the end (`hvaclib.physics.flue_gas`), with the usual excess air some points less."""
MANIFOLD = {"natural gas": "3.5 in. w.c.", "propane": "10 in. w.c."}
SUPPLY = {
    "natural gas": ("4.5 in. w.c.", "10.5 in. w.c."),
    "propane": ("11 in. w.c.", "13 in. w.c."),
}
"""Of an invented rating plate, of usual size (common practice, no source)."""


def burners(dwelling: house.Dwelling) -> tuple[house.Appliance, ...]:
    """Appliances that a replacement job is about: those that burn gas or oil."""
    return tuple(each for each in dwelling.appliances if not each.solid_fuel)


def efficiency_of(appliance: house.Appliance) -> float:
    """Share of the input that stays: the file's, else the usual one of its kind."""
    if appliance.efficiency is not None:
        return appliance.efficiency
    usual = load("appliances")["kind"].get(appliance.kind)
    return float(usual["efficiency"]) if usual else value("air_side", "sealed_furnace_efficiency")


def appliance_of(dwelling: house.Dwelling, appliance: house.Appliance) -> Appliance:
    """One appliance with what its plate, its blower's table and its vent say.

    Parameters
    ----------
    dwelling : Dwelling
        Where it stands.
    appliance : hvaclib.house.dwelling.Appliance
        Of natural gas, propane or oil.

    Returns
    -------
    Appliance
        As a visit holds it.
    """
    efficiency = efficiency_of(appliance)
    row: dict[str, Any] = {
        "name": appliance.name,
        "kind": appliance.kind,
        "fuel": appliance.fuel,
        "zone": appliance.zone,
        "new": True,
        "condensing": appliance.sealed and efficiency >= CONDENSING,
        "input": written(appliance.input, kinds.POWER),
        # The simulated burner is the one that stands there: where a rule would take its plate for one of the plains, the
        # sheet says that it is not.
        "input_at_altitude": written(appliance.input, kinds.POWER) if _high(dwelling) else "",
        "efficiency": written(efficiency, kinds.FRACTION),
        "manifold_pressure": MANIFOLD.get(appliance.fuel, ""),
        "gas_supply": SUPPLY.get(appliance.fuel),
        **_vent(dwelling, appliance),
    }
    handler = dwelling.air_handler
    if handler is not None and appliance.kind.endswith("furnace"):
        side = air_side_of(dwelling)
        if side.furnace == appliance.name:
            row.update(_air(side))
            tap = (
                next((tap for tap in handler.fan.taps if tap.name == side.tap), None) if handler.fan else None
            )
            if tap is not None and tap.table is not None:
                row["blower"] = tuple(
                    (written(static, kinds.GAUGE_PRESSURE), written(flow, kinds.VOLUME_FLOW))
                    for static, flow in tap.table
                )
    return Appliance(**row)


def _high(dwelling: house.Dwelling) -> bool:
    """Whether the altitude would change a plate's input."""
    return float(altitude_derate.si(input_rate=1.0, altitude=dwelling.site.altitude)) < 1.0


def _air(side: Any) -> dict[str, Any]:
    row: dict[str, Any] = {}
    if side.rise_range is not None:
        row["rise"] = tuple(written(limit, kinds.TEMPERATURE_DIFFERENCE) for limit in side.rise_range)
    if side.maximum_static is not None:
        row["maximum_static"] = written(side.maximum_static, kinds.GAUGE_PRESSURE)
    return row


def _vent(dwelling: house.Dwelling, appliance: house.Appliance) -> dict[str, Any]:
    """The vent with the connector as one column, from the outlet to the top, and with whom it is shared."""
    if not appliance.vented or appliance.connector is None:
        return {}
    vent = dwelling.part("vents", cast("str", appliance.vent))
    outlet = dwelling.zone(appliance.zone).floor + (appliance.hood_height or 0.0)
    mates = [
        each.name
        for each in dwelling.appliances
        if each.vented and each.vent == appliance.vent and each.name != appliance.name
    ]
    note = VentNote(
        kind=vent.kind,
        diameter=written(vent.diameter, kinds.SIZE),
        height=written(vent.top - outlet, kinds.LENGTH),
        lateral=written(appliance.connector.lateral + vent.lateral, kinds.LENGTH),
        elbows=appliance.connector.elbows + vent.elbows,
    )
    return {"vent": note, "vent_shared_with": mates[0] if mates else ""}
