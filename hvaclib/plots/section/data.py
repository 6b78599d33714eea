"""What the section through a dwelling shows: plain numbers, SI, no solver and no dwelling file needed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from hvaclib.errors import InputError

PathKind = Literal["leak", "opening", "door", "window", "fan", "duct"]
VentStatus = Literal["drawing", "spilling", "reversed", "idle"]
STATUS_ORDER: tuple[VentStatus, ...] = ("idle", "drawing", "spilling", "reversed")
OUTDOORS = "outdoors"


@dataclass(frozen=True, slots=True)
class SectionZone:
    """One zone: floor and height in m (floor above grade), floor area in m², pressure in Pa to outdoors."""

    name: str
    floor: float
    height: float
    floor_area: float
    pressure: float
    attic: bool = False


@dataclass(frozen=True, slots=True)
class SectionPath:
    """One way for air: forward and backward flow in m³/s, both ≥ 0; active means open or running."""

    name: str
    start: str
    end: str
    kind: PathKind
    forward: float = 0.0
    backward: float = 0.0
    active: bool = True


@dataclass(frozen=True, slots=True)
class SectionAppliance:
    """One appliance: draft in Pa at the test hole (negative = drawing), or none if it has no such hole."""

    name: str
    kind: str
    zone: str
    firing: bool = False
    vent: str = ""
    draft: float | None = None
    status: VentStatus = "idle"


@dataclass(frozen=True, slots=True)
class SectionVent:
    """One vent column: the zone it starts in and its top, m above grade."""

    name: str
    zone: str
    top: float


@dataclass(frozen=True, slots=True)
class Section:
    """Everything the drawing needs for one state of one dwelling.

    Raises
    ------
    InputError
        A number that is not finite, a negative flow, or a name that no zone has.
    """

    zones: tuple[SectionZone, ...]
    paths: tuple[SectionPath, ...] = ()
    appliances: tuple[SectionAppliance, ...] = ()
    vents: tuple[SectionVent, ...] = ()
    air_handler_zone: str = ""
    air_handler_on: bool = False

    def __post_init__(self) -> None:
        if not self.zones:
            raise InputError("there is no zone to draw", where="section", expected="at least one zone")
        names = {zone.name for zone in self.zones}
        for zone in self.zones:
            for key in ("floor", "height", "floor_area", "pressure"):
                _finite(getattr(zone, key), f'zone "{zone.name}": {key}')
        for path in self.paths:
            for key in ("forward", "backward"):
                value = _finite(getattr(path, key), f'path "{path.name}": {key}')
                if value < 0:
                    raise InputError(
                        "a flow is counted by direction and cannot be negative",
                        where=f'path "{path.name}": {key}',
                        given=value,
                        expected="0 or more",
                    )
            _known(path.start, names | {OUTDOORS}, f'path "{path.name}": start')
            _known(path.end, names | {OUTDOORS}, f'path "{path.name}": end')
        for vent in self.vents:
            _finite(vent.top, f'vent "{vent.name}": top')
            _known(vent.zone, names, f'vent "{vent.name}": zone')
        for appliance in self.appliances:
            if appliance.draft is not None:
                _finite(appliance.draft, f'appliance "{appliance.name}": draft')
            _known(appliance.zone, names, f'appliance "{appliance.name}": zone')

    def vent_status(self, vent: str) -> VentStatus:
        """The worst state among the appliances on a vent; 'idle' where none is on it."""
        states = [a.status for a in self.appliances if a.vent == vent]
        return max(states, key=STATUS_ORDER.index, default="idle")


def _finite(value: float, where: str) -> float:
    if not math.isfinite(value):
        raise InputError("a drawing needs a number", where=where, given=value, expected="a finite number")
    return value


def _known(name: str, names: set[str], where: str) -> None:
    if name not in names:
        raise InputError(
            "no zone has this name", where=where, given=name, expected="one of: " + ", ".join(sorted(names))
        )
