"""What a room with its appliances needs: volumes by the method that holds, the opening, the fan."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.physics import combustion_air
from hvaclib.physics.combustion_air.area import INDOOR, OpeningArea
from hvaclib.plots.air_room import AirRoom, Burner

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs

SEALED = "direct vent"
NONE = "none"


@dataclass(frozen=True, slots=True)
class Answer:
    """Volumes (m³), openings and fan for one room.

    Attributes
    ----------
    burners : tuple of Burner
        What stands in the room; sealed appliances take no air from it.
    rate : float
        W, of those that take air from the room.
    standard, known : float or None
        Volume by the standard method, none where it is not allowed; by the known infiltration, none where none is known.
    room, beyond : float
        Volume of the room, and of the rooms beyond that count on this route.
    opening : OpeningArea or None
        For the route chosen; none where nothing takes air from the room.
    fan : float
        m³/s, where a fan brings all air.
    """

    burners: tuple[Burner, ...]
    rate: float
    standard: float | None
    known: float | None
    room: float
    beyond: float
    route: str
    opening: OpeningArea | None
    fan: float

    @property
    def needed(self) -> float:
        """m³ by the method that holds; where both do, the code leaves the choice and the smaller one is enough."""
        return min(volume for volume in (self.standard, self.known) if volume is not None)

    @property
    def room_is_enough(self) -> bool:
        """Whether the room by itself has the volume."""
        return self.room >= self.needed * (1.0 - 1e-9)

    @property
    def together_enough(self) -> bool:
        """Whether the room and the rooms beyond have it."""
        return self.room + self.beyond >= self.needed * (1.0 - 1e-9)


def burners_of(inputs: Inputs) -> tuple[Burner, ...]:
    """The appliances that the controls put into the room."""
    said = (
        ("furnace", inputs.furnace_kind, inputs.furnace_rate),
        ("water heater", inputs.heater_kind, inputs.heater_rate),
    )
    return tuple(Burner(name, kind, rate) for name, kind, rate in said if kind != NONE)


def _known_volume(burners: list[Burner], ach: float | None) -> float | None:
    """m³ by the known infiltration (1/s): the volumes of both kinds of appliance add up."""
    if ach is None:
        return None
    parts = (
        combustion_air.required_volume.si(
            input_rate=item.rate, ach=ach, fan_assisted=item.kind == "fan-assisted"
        )
        for item in burners
    )
    return float(sum(parts))


def answer(inputs: Inputs) -> Answer:
    """Work out what the room needs."""
    burners = burners_of(inputs)
    taking = [item for item in burners if item.kind != SEALED]
    rate = sum(item.rate for item in taking)
    allowed = combustion_air.standard_method_allowed(inputs.ach)
    bores = {"furnace": inputs.furnace_connector, "water heater": inputs.heater_connector}
    louver = inputs.louver if inputs.louver != "known" else inputs.louver_share
    opening = None
    if rate > 0.0:
        opening = combustion_air.opening_area.si(
            input_rate=rate,
            route=inputs.route,
            openings=int(inputs.openings),
            louver=louver,
            connector_area=sum(math.pi / 4.0 * bores[item.name] ** 2 for item in taking),
        )
    return Answer(
        burners=burners,
        rate=rate,
        standard=float(combustion_air.required_volume.si(input_rate=rate)) if allowed else None,
        known=_known_volume(taking, inputs.ach),
        room=inputs.length * inputs.depth * inputs.height,
        beyond=inputs.beyond_length * inputs.beyond_width * inputs.height if inputs.route == INDOOR else 0.0,
        route=inputs.route,
        opening=opening,
        fan=float(combustion_air.mechanical_supply.si(input_rate=rate)),
    )


def drawing_of(inputs: Inputs, found: Answer) -> AirRoom:
    """The same for the picture; openings are drawn where the room alone is not enough."""
    opening = None if found.room_is_enough else found.opening
    return AirRoom(
        length=inputs.length, width=inputs.depth, height=inputs.height, burners=found.burners,
        needed=found.needed, room=found.room, beyond=0.0 if found.room_is_enough else found.beyond,
        route=found.route if opening else "", openings=opening.openings if opening else 2,
        face=opening.area if opening else 0.0, free=opening.free_area if opening else 0.0,
        louvered=inputs.louver != "none",
    )  # fmt: skip
