"""The air side that a dwelling file describes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.air_side.components import component_of
from hvaclib.house.air_side.side import AirSide
from hvaclib.house.dwelling import OUTDOORS, AirHandler, Appliance, Blower, Dwelling, Nameplate, Tap
from hvaclib.physics.air_delivery import ConstantAirflow, FanTable
from hvaclib.physics.air_delivery.fan import Fan
from hvaclib.reference import load, value

UNKNOWN_BLOWER = "the file's airflow"
"""Tap of a blower of which the file states nothing but the airflow."""
_BEYOND_ANY_DUCT = 5000.0  # Pa: a blower without a table holds its airflow whatever the ducts take


def air_side_of(dwelling: Dwelling, outdoor_temperature: float | None = None) -> AirSide:
    """The air side of a dwelling's furnace.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    outdoor_temperature : float, optional
        K, for return ducts that draw air from outdoors or from unheated zones; the file's by default.

    Returns
    -------
    AirSide

    Raises
    ------
    InputError
        If the dwelling has no air handler or no furnace.

    Notes
    -----
    The furnace is the first in the air handler's zone, or else the first of the file. Where the file has no blower
    table, the blower holds the airflow that the file states (``tabulated`` is then false).
    """
    handler = dwelling.air_handler
    if handler is None:
        raise InputError(
            "the dwelling has no air handler", where=dwelling.name, expected="a table [air_handler]"
        )
    plate = handler.nameplate or Nameplate()
    outdoors = dwelling.weather.outdoor_temperature if outdoor_temperature is None else outdoor_temperature
    furnace = _furnace(dwelling, handler)
    return AirSide(
        name=dwelling.name,
        furnace=furnace.name,
        output=furnace.input * _efficiency(furnace),
        altitude=dwelling.site.altitude,
        return_temperature=_return_temperature(dwelling, handler, outdoors),
        fans=_fans(handler.fan) if handler.fan else {UNKNOWN_BLOWER: _holds(handler.flow)},
        tap=handler.fan.setting if handler.fan else UNKNOWN_BLOWER,
        components=tuple(component_of(item, handler.flow) for item in handler.components),
        rise_range=plate.rise,
        maximum_static=plate.maximum_static,
        supply_hole=4 if plate.static_at == "hole 4" else 3,
        tabulated=handler.fan is not None,
    )


def _furnace(dwelling: Dwelling, handler: AirHandler) -> Appliance:
    furnaces = [item for item in dwelling.appliances if item.kind.endswith("furnace")]
    if not furnaces:
        raise InputError(
            "no furnace heats the air of the air handler",
            where=dwelling.name,
            expected="an appliance whose kind is a furnace",
        )
    return next((item for item in furnaces if item.zone == handler.zone), furnaces[0])


def _efficiency(furnace: Appliance) -> float:
    if furnace.efficiency is not None:
        return furnace.efficiency
    usual = load("appliances")["kind"].get(furnace.kind)
    return float(usual["efficiency"]) if usual else value("air_side", "sealed_furnace_efficiency")


def _fans(blower: Blower) -> Mapping[str, Fan]:
    return MappingProxyType({tap.name: _fan(tap) for tap in blower.taps})


def _fan(tap: Tap) -> Fan:
    if tap.table is not None:
        table = np.asarray(tap.table)
        return FanTable(static=table[:, 0], flow=table[:, 1], name=tap.name)
    return ConstantAirflow(tap.flow or 0.0, tap.holds_to or 0.0, tap.shut_off or 0.0, tap.name)


def _holds(flow: float) -> Fan:
    return ConstantAirflow(flow, _BEYOND_ANY_DUCT, name=UNKNOWN_BLOWER)


def _return_temperature(dwelling: Dwelling, handler: AirHandler, outdoors: float) -> float:
    """Temperature of what the return grilles and the leaks of the return ducts draw in, mixed, K."""

    def temperature(name: str) -> float:
        found = None if name == OUTDOORS else dwelling.zone(name).temperature
        return outdoors if found is None else found

    drawn = (*handler.returns, *handler.return_leakage)
    return math.fsum(item.share * temperature(item.zone) for item in drawn) / math.fsum(
        item.share for item in drawn
    )
