"""The dwelling: what is there. Frozen; every quantity an SI float; checked as a whole when it is made."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from hvaclib.errors import InputError
from hvaclib.house.dwelling.air_path import AirHandler
from hvaclib.house.dwelling.changes import Changes
from hvaclib.house.dwelling.checks import problems
from hvaclib.house.dwelling.parts import (
    Door,
    Fan,
    Flag,
    Leak,
    Name,
    Opening,
    Part,
    Site,
    Weather,
    Window,
    Zone,
)
from hvaclib.house.dwelling.venting import Appliance, Vent
from hvaclib.house.setup import Setup, Switches

FORMAT = "hvaclib dwelling 1"


class Measurement(Part):
    """A reading taken in this dwelling, for comparison with what the simulation shows."""

    quantity: Name
    """Key of the measurable thing, as in the suite's vocabulary."""
    value: str
    """The value with its unit, as read."""
    where: str = ""
    """Zone or appliance it belongs to."""
    when: str = ""
    """State in which it was read, such as "baseline" or "worst case"."""
    instrument: str = ""
    """What it was read with."""


class Dwelling(Part, Changes):
    """A dwelling, as its file describes it.

    Notes
    -----
    Attributes carry the plural (``dwelling.zones``), the file's tables the singular (``[[zone]]``).
    Equality compares every value; the instance can be a key. Changes return a new dwelling.
    """

    format: Literal["hvaclib dwelling 1"]
    """Format of this file and its version."""
    name: Name
    """What the dwelling is called."""
    description: str = ""
    """What a reader should know about it."""
    invented: Flag = False
    """Whether the dwelling is made up."""
    site: Site = Field(default_factory=Site)
    """Where it stands."""
    weather: Weather
    """Outdoor conditions to start from."""
    zones: tuple[Zone, ...] = Field(alias="zone", min_length=1)
    """The volumes of air."""
    leaks: tuple[Leak, ...] = Field(alias="leak", default=())
    """Cracks."""
    openings: tuple[Opening, ...] = Field(alias="opening", default=())
    """Holes of known area."""
    doors: tuple[Door, ...] = Field(alias="door", default=())
    """Doors."""
    windows: tuple[Window, ...] = Field(alias="window", default=())
    """Windows that can be opened."""
    fans: tuple[Fan, ...] = Field(alias="fan", default=())
    """Fans."""
    air_handler: AirHandler | None = None
    """The central blower and its ducts."""
    vents: tuple[Vent, ...] = Field(alias="vent", default=())
    """Vents and chimneys in use."""
    appliances: tuple[Appliance, ...] = Field(alias="appliance", default=())
    """Fuel-burning appliances."""
    readings: tuple[Measurement, ...] = Field(alias="reading", default=())
    """What was measured in this dwelling."""

    @model_validator(mode="after")
    def _check(self) -> Dwelling:
        found = problems(self)
        if found:
            raise PydanticCustomError("problems", "{first}", {"first": found[0].what, "problems": found})
        return self

    def part(self, table: str, name: str) -> Any:
        """One part by its table (``"doors"``) and name.

        Raises
        ------
        InputError
            If there is none of that name; the nearest is suggested.
        """
        from hvaclib.house.dwelling.sentences import choice

        parts = {item.name: item for item in getattr(self, table)}
        if name not in parts:
            single = table.removesuffix("s")
            raise InputError(
                f"no {single} has this name",
                where=f"{single} of {self.name}",
                given=name,
                expected=choice(name, parts),
            )
        return parts[name]

    def zone(self, name: str) -> Zone:
        """The zone of this name."""
        found: Zone = self.part("zones", name)
        return found

    @property
    def zone_names(self) -> tuple[str, ...]:
        """Names of the zones, in the file's order, which is the order of the network."""
        return tuple(zone.name for zone in self.zones)

    def outlet_height(self, appliance: Appliance) -> float:
        """Height above outdoor ground of a vented appliance's outlet into the connector, m."""
        return self.zone(appliance.zone).floor + (appliance.hood_height or 0.0)

    def vent_base(self, vent: Vent) -> float:
        """Height above outdoor ground at which the lowest connector joins the vent, m."""
        return min(
            self.outlet_height(user) + user.connector.rise
            for user in self.users(vent)
            if user.connector is not None
        )

    def users(self, vent: Vent) -> tuple[Appliance, ...]:
        """The appliances on a vent, in the file's order."""
        return tuple(appliance for appliance in self.appliances if appliance.vent == vent.name)

    def default_setup(self) -> Setup:
        """The setup that the file describes: its weather and what it marks as on, open and firing."""
        return Setup(
            outdoor_temperature=self.weather.outdoor_temperature,
            wind_speed=self.weather.wind_speed,
            wind_direction=self.weather.wind_direction,
            fans=Switches({fan.name: float(fan.on) for fan in self.fans}),
            doors=Switches({door.name: door.open for door in self.doors}),
            windows=Switches({window.name: window.open for window in self.windows}),
            air_handler=None if self.air_handler is None else self.air_handler.on,
            firing=Switches({appliance.name: appliance.firing for appliance in self.appliances}),
        )


def dwelling_schema() -> dict[str, Any]:
    """The JSON Schema of the dwelling file, for editors that complete and check."""
    schema = Dwelling.model_json_schema(mode="validation")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": FORMAT}
