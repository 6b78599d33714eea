"""Vents and the appliances that use them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hvaclib.house.dwelling.parts import Flag, Name, Named, Part
from hvaclib.house.dwelling.quantities import (
    Blockage,
    Diameter,
    Distance,
    Efficiency,
    Height,
    InputRate,
    Length,
    Oxygen,
    Share,
)

ApplianceKind = Literal[
    "draft-hood water heater",
    "draft-hood furnace",
    "draft-hood boiler",
    "fan-assisted water heater",
    "fan-assisted furnace",
    "fan-assisted boiler",
    "two-pipe sealed water heater",
    "two-pipe sealed furnace",
    "two-pipe sealed boiler",
    "solid-fuel stove",
    "fireplace",
]


class Vent(Named):
    """A vertical vent or chimney, from where the lowest connector joins it to its top."""

    kind: Literal["double-wall", "single-wall", "lined masonry", "masonry"]
    """Construction of its wall."""
    diameter: Diameter
    """Inside diameter, or that of the circle of equal area."""
    top: Height
    """Height of its outlet above outdoor ground."""
    lateral: Distance = 0.0
    """Horizontal run of the vent itself (offsets), beside those of the connectors."""
    elbows: int = Field(default=0, ge=0, le=12, strict=True)
    """Number of 90-degree elbows in the vent itself."""
    cap: Flag = True
    """Whether it ends in a cap."""
    blockage: Blockage = 0.0
    """Share of its area that a nest, fallen liner or debris blocks."""
    outdoor_share: Share = 0.0
    """Share of its height that stands in outdoor air."""


class Connector(Part):
    """The pipe from an appliance's outlet to the vent."""

    kind: Literal["double-wall", "single-wall"] = "single-wall"
    """Construction of its wall."""
    diameter: Diameter
    """Inside diameter."""
    rise: Length
    """Height from the appliance's outlet to where the connector joins the vent."""
    lateral: Distance = 0.0
    """Horizontal run."""
    elbows: int = Field(default=0, ge=0, le=12, strict=True)
    """Number of 90-degree elbows."""

    @property
    def length(self) -> float:
        """Length along the pipe, m."""
        return self.rise + self.lateral


class Appliance(Named):
    """A fuel-burning appliance."""

    kind: ApplianceKind
    """How it burns and vents."""
    zone: Name
    """Zone it stands in."""
    fuel: Literal["natural gas", "propane", "fuel oil", "wood", "pellets", "coal"] = "natural gas"
    """What it burns."""
    input: InputRate
    """Input rate, by higher heating value."""
    efficiency: Efficiency | None = None
    """Share of the input that is not lost up the vent; the kind's usual value when left out."""
    oxygen: Oxygen | None = None
    """Share of oxygen in the dry flue gas before dilution; the kind's usual value when left out."""
    vent: Name | None = None
    """Name of the vent it uses; left out for a sealed appliance."""
    connector: Connector | None = None
    """The pipe to the vent; left out for a sealed appliance."""
    hood_height: Distance | None = None
    """Height above the zone's floor of the draft hood's outlet, or of the flue outlet where there is no hood."""
    test_hole: Distance | None = None
    """Distance of the draft test hole along the pipe from that outlet."""
    firing: Flag = False
    """Whether it burns in the setup that the file describes."""

    @property
    def draft_hood(self) -> bool:
        """Whether it takes dilution air through a draft hood."""
        return self.kind.startswith("draft-hood")

    @property
    def fan_assisted(self) -> bool:
        """Whether a fan of its own moves the flue gas into a vent that draws by buoyancy."""
        return self.kind.startswith("fan-assisted")

    @property
    def sealed(self) -> bool:
        """Whether it takes its air from outdoors and blows its flue gas there through pipes of its own."""
        return self.kind.startswith("two-pipe sealed")

    @property
    def solid_fuel(self) -> bool:
        """Whether it burns solid fuel, which forbids the depressurization test while it operates."""
        return self.kind in {"solid-fuel stove", "fireplace"} or self.fuel in {"wood", "pellets", "coal"}

    @property
    def vented(self) -> bool:
        """Whether it is a draft-hood or fan-assisted appliance on a vent of the file."""
        return self.vent is not None and (self.draft_hood or self.fan_assisted)
