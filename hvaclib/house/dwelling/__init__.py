"""The dwelling: what is there, read from a file, frozen, every quantity in SI."""

from __future__ import annotations

from hvaclib.house.dwelling.air_path import AirHandler, Blower, DuctComponent, Nameplate, Tap
from hvaclib.house.dwelling.model import FORMAT, Dwelling, Measurement, dwelling_schema
from hvaclib.house.dwelling.parts import (
    OUTDOORS,
    WALLS,
    Door,
    DuctShare,
    Fan,
    Leak,
    Opening,
    Site,
    Weather,
    Window,
    Zone,
)
from hvaclib.house.dwelling.sentences import DwellingFileError
from hvaclib.house.dwelling.vent_checks import vent_notes
from hvaclib.house.dwelling.venting import Appliance, Connector, Vent

__all__ = [
    "FORMAT",
    "OUTDOORS",
    "WALLS",
    "AirHandler",
    "Appliance",
    "Blower",
    "Connector",
    "Door",
    "DuctComponent",
    "DuctShare",
    "Dwelling",
    "DwellingFileError",
    "Fan",
    "Leak",
    "Measurement",
    "Nameplate",
    "Opening",
    "Setup",
    "Site",
    "Switches",
    "Tap",
    "Vent",
    "Weather",
    "Window",
    "Zone",
    "dwelling_schema",
    "vent_notes",
]
from hvaclib.house.setup import Setup, Switches
