"""The air handler in a dwelling file: its ducts, the rating plate, the blower's table, what the air passes on its way.

Static pressures and losses are those of standard air, as blower tables and filter data state them.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from hvaclib.house.dwelling.parts import DuctShare, Flag, Name, Named, Part
from hvaclib.house.dwelling.quantities import (
    CurveFlow,
    DuctLength,
    DuctSide,
    Flow,
    Loss,
    LossExponent,
    Rise,
    StaticPressure,
)

ComponentKind = Literal["grille", "return drop", "filter", "coil", "supply trunk", "registers"]


class Nameplate(Part):
    """What the furnace's rating plate says about its air."""

    rise: tuple[Rise, Rise] | None = None
    """Temperature rise that the plate allows, from least to most."""
    maximum_static: StaticPressure | None = None
    """Largest external static pressure that the plate allows."""
    static_at: Literal["hole 3", "hole 4"] = "hole 3"
    """Supply side of that pressure: "hole 3" before the coil, "hole 4" where the coil belongs to the unit."""


class Tap(Named):
    """One speed of the blower: a table, or the airflow that a constant-airflow blower holds."""

    table: tuple[tuple[StaticPressure, CurveFlow], ...] | None = None
    """Pairs of external static pressure and airflow; pressures rise, airflows fall."""
    flow: Flow | None = None
    """Airflow that a constant-airflow blower holds."""
    holds_to: StaticPressure | None = None
    """External static pressure up to which it holds that airflow."""
    shut_off: StaticPressure | None = None
    """External static pressure at which its airflow has fallen to nothing."""


class Blower(Part):
    """The furnace's blower with its speeds."""

    kind: Literal["tabulated", "constant airflow"] = "tabulated"
    """Whether its airflow follows a table, or is held by its motor up to a limit."""
    setting: Name
    """Name of the tap in use."""
    taps: tuple[Tap, ...] = Field(alias="tap", min_length=1)
    """Its speeds."""


class DuctComponent(Named):
    """One thing that the air passes: its loss at an airflow, its duct's size, or both."""

    kind: ComponentKind
    """What it is; that also says where along the air's way it lies."""
    loss: Loss | None = None
    """Pressure loss at the airflow ``at``."""
    at: Flow | None = None
    """Airflow at which it has this loss."""
    exponent: LossExponent | None = None
    """How the loss grows with airflow, 1 (creeping flow) to 2 (a hole); the kind's usual value when left out."""
    width: DuctSide | None = None
    """Inside width of the duct."""
    height: DuctSide | None = None
    """Inside height of the duct."""
    length: DuctLength | None = None
    """Straight length of the duct."""
    elbows: int = Field(default=0, ge=0, le=12, strict=True)
    """Number of 90-degree elbows in the duct."""

    @property
    def sized(self) -> bool:
        """Whether the duct's size is known."""
        return self.width is not None and self.height is not None and self.length is not None


class AirHandler(Part):
    """The central blower: what it blows in and what it draws back, leaks included."""

    zone: Name
    """Zone it stands in."""
    flow: Flow
    """Airflow of the blower."""
    on: Flag = False
    """Whether it runs in the setup that the file describes."""
    supplies: tuple[DuctShare, ...] = Field(alias="supply", min_length=1)
    """Registers: share of the flow blown into each zone."""
    returns: tuple[DuctShare, ...] = Field(alias="return", default=())
    """Grilles: share of the flow drawn from each zone."""
    supply_leakage: tuple[DuctShare, ...] = ()
    """Share of the flow lost from the supply ducts, and where."""
    return_leakage: tuple[DuctShare, ...] = ()
    """Share of the flow drawn in through leaks of the return ducts, and where."""
    nameplate: Nameplate | None = None
    """What the furnace's rating plate says about its air."""
    fan: Blower | None = None
    """The blower's speeds and their tables."""
    components: tuple[DuctComponent, ...] = Field(alias="component", default=())
    """What the air passes between room and room, beside the furnace itself."""
