"""What the instruments would show in a simulated dwelling, test by test, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scipy.optimize import brentq

from hvaclib.errors import InputError
from hvaclib.physics.flue_gas.analysis import co2_from_o2, co_air_free
from hvaclib.physics.flue_gas.losses import efficiency
from hvaclib.physics.fuel import FUEL
from hvaclib.procedures.preconditions import appliance_zones, taken
from hvaclib.procedures.room_pressure import ALONE, room_pressures
from hvaclib.procedures.static_pressure import static_pressure
from hvaclib.procedures.temperature_rise import temperature_rise
from hvaclib.procedures.worst_case import worst_case
from hvaclib.readings import Reading, Readings
from hvaclib.reference import load
from hvaclib.review.simulated.equipment import MANIFOLD, SUPPLY, burners, efficiency_of
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Appliance, Dwelling

_SEALED_OXYGEN = 0.065
"""Of a sealed appliance, where the file does not say (common practice, no source)."""
_HOTTEST = 900.0
"""K, end of the search for a flue-gas temperature."""
_STAGES = frozenset({"natural", "baseline", "worst case"})


@dataclass(frozen=True, slots=True)
class Burner:
    """How a burner is set.

    Parameters
    ----------
    oxygen : float, optional
        Share in the dry flue gas; the file's, or the usual one of the appliance's kind.
    carbon_monoxide : float
        Share in the dry flue gas as measured.
    firing : float
        Share of the plate's input; manifold pressure follows by the square-root law.
    """

    oxygen: float | None = None
    carbon_monoxide: float = 20e-6
    firing: float = 1.0


def simulated_readings(dwelling: Dwelling, burner: Mapping[str, Burner] | None = None) -> Readings:
    """Every reading of a replacement job in a simulated dwelling.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    burner : mapping of str to Burner, optional
        Setting of burners by the name of the appliance; as their plates say unless named.

    Returns
    -------
    Readings
        With the stages of a visit's items. A test that the dwelling has no equipment for is left out.

    Raises
    ------
    InputError
        If a burner's efficiency cannot be had with its oxygen, or a test cannot be simulated.

    Notes
    -----
    What no simulation gives, carbon monoxide in the rooms, is the dwelling file's reading, or zero. The efficiency is the
    appliance's; the flue-gas temperature follows from it and from oxygen (`hvaclib.physics.flue_gas`).
    """
    found = list(_room_air(dwelling))
    for each in burners(dwelling):
        found += _fire(dwelling, each, (burner or {}).get(each.name, Burner()))
    outdoors = dwelling.weather.outdoor_temperature
    found.append(Reading("outdoor_temperature", outdoors, "house"))
    if appliance_zones(dwelling):
        found += _draft(dwelling)
    if dwelling.air_handler is not None and any(
        each.kind.endswith("furnace") for each in dwelling.appliances
    ):
        found += _air(dwelling)
    return Readings(found)


def _room_air(dwelling: Dwelling) -> Iterator[Reading]:
    known = {(each.where, each.when): each for each in taken(dwelling) if each.quantity == "co_ambient"}
    for zone in dict.fromkeys(each.zone for each in burners(dwelling)):
        for stage in ("arrival", "worst case"):
            yield known.get((zone, stage), Reading("co_ambient", 0.0, zone, stage))


def _fire(dwelling: Dwelling, appliance: Appliance, burner: Burner) -> list[Reading]:
    name, fuel = appliance.name, FUEL.to_si(appliance.fuel, "fuel")
    usual = load("appliances")["kind"].get(appliance.kind, {})
    oxygen = burner.oxygen or appliance.oxygen or float(usual.get("oxygen", _SEALED_OXYGEN))
    monoxide = burner.carbon_monoxide
    air = dwelling.weather.outdoor_temperature if appliance.sealed else _room(dwelling, appliance.zone)
    stack = _stack(appliance, oxygen, monoxide, air, dwelling.site.altitude)
    found = [
        Reading("oxygen_flue", oxygen, name),
        Reading("carbon_dioxide_flue", float(co2_from_o2.si(fuel=fuel, o2=oxygen)), name),
        Reading("co_flue", monoxide, name),
        Reading("co_air_free", float(co_air_free.si(co=monoxide, o2=oxygen)), name),
        Reading("stack_temperature", stack, name),
        Reading("combustion_air_temperature", air, name),
        Reading("steady_efficiency", efficiency_of(appliance), name),
        Reading("clocked_input", burner.firing * appliance.input, name),
    ]
    if appliance.fuel in MANIFOLD:
        plate = parse_si(MANIFOLD[appliance.fuel], kinds.GAUGE_PRESSURE)
        low, high = (parse_si(text, kinds.GAUGE_PRESSURE) for text in SUPPLY[appliance.fuel])
        found.append(Reading("manifold_pressure", plate * burner.firing**2, name))
        found.append(Reading("gas_supply_pressure", 0.5 * (low + high), name))
    return found


def _room(dwelling: Dwelling, zone: str) -> float:
    found = dwelling.zone(zone).temperature
    return dwelling.weather.outdoor_temperature if found is None else found


def _stack(appliance: Appliance, oxygen: float, monoxide: float, air: float, altitude: float) -> float:
    """Flue-gas temperature, K, at which the appliance has its efficiency."""
    wanted, fuel = efficiency_of(appliance), FUEL.to_si(appliance.fuel, "fuel")

    def above(stack: float) -> float:
        found = efficiency.si(
            fuel=fuel, stack_temperature=stack, air_temperature=air, o2=oxygen, co=monoxide, altitude=altitude
        )
        return float(found) - wanted

    least, most = air + 1.0, _HOTTEST
    if above(least) < 0.0 or above(most) > 0.0:
        raise InputError(
            "no flue-gas temperature gives this efficiency with this oxygen",
            where=f"{appliance.name}, efficiency",
            given=wanted,
            expected=f"{above(most) + wanted:.2f} to {above(least) + wanted:.2f}",
        )
    return float(brentq(above, least, most, xtol=1e-10))


def _draft(dwelling: Dwelling) -> Iterator[Reading]:
    for zone in appliance_zones(dwelling):
        for each in worst_case(dwelling, zone=zone).readings:
            if each.quantity in ("caz_pressure", "draft", "spillage_time") and each.when in _STAGES:
                yield each


def _air(dwelling: Dwelling) -> Iterator[Reading]:
    rise, static = temperature_rise(dwelling).readings, static_pressure(dwelling).readings
    for key in ("return_temperature", "supply_temperature", "temperature_rise"):
        yield from rise.of(key)
    for key in ("static_pressure", "external_static", "airflow"):
        yield from static.of(key)
    if any(not door.outer for door in dwelling.doors):
        for each in room_pressures(dwelling).readings:
            if each.when == ALONE:
                yield Reading("room_pressure", each.value, each.where)
