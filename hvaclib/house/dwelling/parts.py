"""The parts of a dwelling through which air moves: zones, leaks, openings, doors, windows, fans, the air handler.

Heights ``z`` are above outdoor ground (grade); a sill is above a floor and says which.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from hvaclib.house.dwelling.quantities import (
    Altitude,
    Coefficient,
    CrackArea,
    CurveFlow,
    CurvePressure,
    Distance,
    Exponent,
    FloorArea,
    Flow,
    Gap,
    Height,
    Length,
    OpeningArea,
    OutdoorTemperature,
    PositiveShare,
    RoomTemperature,
    WindDirection,
    WindSpeed,
)

OUTDOORS = "outdoors"
"""The name that stands for outdoors wherever a zone can be named."""

Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]
Flag = Annotated[bool, Field(strict=True)]
Face = Literal["north", "east", "south", "west", "roof", "walls", "none"]
WALLS: tuple[Face, ...] = ("north", "east", "south", "west")


class Part(BaseModel):
    """Base of every table of a dwelling file: frozen, unknown keys refused."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        populate_by_name=True,
        serialize_by_alias=True,
        use_attribute_docstrings=True,
    )


class Named(Part):
    """A part that people and other parts call by its name."""

    name: Name
    """What people call it; other tables refer to it by this name."""


class Site(Part):
    """Where the dwelling stands."""

    altitude: Altitude = 0.0
    """Altitude above sea level; it sets the air's density."""
    shielding: Literal["none", "light", "moderate", "heavy", "very heavy"] = "moderate"
    """How far neighbouring houses and trees hold the wind off."""


class Weather(Part):
    """Outdoor conditions that a file starts from."""

    outdoor_temperature: OutdoorTemperature
    """Outdoor air temperature."""
    wind_speed: WindSpeed = 0.0
    """Wind speed at the height of the eaves in the open."""
    wind_direction: WindDirection = 0.0
    """Bearing the wind blows from, clockwise from north."""


class Zone(Named):
    """A volume of air at one temperature, with one pressure to be found."""

    floor: Height
    """Height of the floor above outdoor ground; below ground it is negative."""
    height: Length
    """Floor to ceiling."""
    floor_area: FloorArea
    """Floor area."""
    temperature: RoomTemperature | None = None
    """Air temperature; left out when ``unheated = true``."""
    unheated: Flag = False
    """Whether the zone is as cold as outdoors (vented attic, open garage)."""
    row: int | None = Field(default=None, ge=0, le=20, strict=True)
    """Row in the drawing, 0 = lowest; worked out from the floor when left out."""
    column: int | None = Field(default=None, ge=0, le=20, strict=True)
    """Column in the drawing, 0 = left; worked out from the order when left out."""

    @property
    def ceiling(self) -> float:
        """Height of the ceiling above outdoor ground, m."""
        return self.floor + self.height

    @property
    def volume(self) -> float:
        """Volume, m³."""
        return self.floor_area * self.height


class Leak(Named):
    """A crack with a power law, as a blower door finds it."""

    between: tuple[Name, Name]
    """The two zones it joins; one of them may be "outdoors"."""
    flow_at_50: Flow
    """Air that passes at a pressure difference of 50 Pa, as volume of standard air."""
    exponent: Exponent = 0.65
    """Exponent of the power law, 0.5 (a hole) to 1 (a long fine crack)."""
    height: Height
    """Height above outdoor ground, or of the lower end of a tall leak."""
    top: Height | None = None
    """Upper end of a leak spread evenly over a height; left out for a leak at one height."""
    faces: Face = "none"
    """Side of the house it faces; "walls" spreads it over all four, "none" keeps the wind off."""


class Opening(Named):
    """A hole of known free area at one height."""

    between: tuple[Name, Name]
    """The two zones it joins; one of them may be "outdoors"."""
    area: OpeningArea
    """Free area, after louvers and screens."""
    height: Height
    """Height of its middle above outdoor ground."""
    coefficient: Coefficient | None = None
    """Discharge coefficient; the suite's default for a sharp-edged opening when left out."""
    purpose: Literal[
        "combustion air", "relief grille", "transfer", "passive vent", "unused chimney", "other"
    ] = "other"
    """What it is for."""
    faces: Face = "none"
    """Side of the house it faces; "none" keeps the wind off."""


class Door(Named):
    """A door: open, a tall opening with flow both ways; closed, an undercut and a crack."""

    between: tuple[Name, Name]
    """The two zones it joins; one of them may be "outdoors"."""
    width: Length
    """Clear width."""
    height: Length
    """Clear height."""
    sill: Distance = 0.0
    """Height of its sill above the higher of the two floors."""
    undercut: Gap = 0.0
    """Gap below the closed door."""
    crack_area: CrackArea = 0.0
    """Free area of the crack round the sides and top of the closed door, and of any grille in it."""
    open: Flag = False
    """Whether it stands open in the setup that the file describes."""
    faces: Face = "none"
    """Side of the house an outer door faces."""

    @property
    def outer(self) -> bool:
        """Whether it leads outdoors."""
        return OUTDOORS in self.between


class Window(Named):
    """A window that can be opened."""

    zone: Name
    """Zone it opens from."""
    area: OpeningArea
    """Free area when open."""
    sill: Distance
    """Height of its sill above the zone's floor."""
    height: Length
    """Height of the open part."""
    face: Face = "none"
    """Side of the house it faces."""
    open: Flag = False
    """Whether it is open in the setup that the file describes."""


class Fan(Named):
    """A fan with a fixed flow or a falling curve: range hood, dryer, bath fan, supply fan."""

    zone: Name
    """Zone it stands in."""
    to: Name = OUTDOORS
    """Where it blows to, or draws from when it supplies: "outdoors" or another zone."""
    direction: Literal["exhaust", "supply"] = "exhaust"
    """Whether it takes air out of its zone or brings it in."""
    flow: Flow | None = None
    """Fixed airflow; a fan has either this or a curve."""
    curve: tuple[tuple[CurvePressure, CurveFlow], ...] | None = None
    """Falling curve: pairs of pressure rise and airflow, from free delivery up."""
    height: Height | None = None
    """Height of its duct above outdoor ground; the middle of its zone when left out."""
    on: Flag = False
    """Whether it runs in the setup that the file describes."""

    @property
    def ends(self) -> tuple[str, str]:
        """Names of the zone the air leaves and the zone it enters."""
        return (self.zone, self.to) if self.direction == "exhaust" else (self.to, self.zone)


class DuctShare(Part):
    """Part of the air handler's flow that goes to, or comes from, one zone."""

    zone: Name
    """Zone, or "outdoors" for duct leakage outside the house."""
    share: PositiveShare
    """Share of the whole flow."""
