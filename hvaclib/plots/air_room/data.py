"""What the drawing of a room with its combustion air shows, in SI."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Burner:
    """An appliance: name, kind ("natural draft", "fan-assisted", "direct vent"), input (W)."""

    name: str
    kind: str
    rate: float


@dataclass(frozen=True, slots=True)
class AirRoom:
    """A room and what it needs.

    Attributes
    ----------
    length, width, height : float
        m, of the room.
    burners : tuple of Burner
        What stands in it.
    needed : float
        m³ that the method asks for; 0 where nothing burns.
    room, beyond : float
        m³ of the room, and of other rooms that count.
    route : str
        "direct", "vertical duct", "horizontal duct" or "indoor"; empty where no opening is needed.
    openings : int
        One or two.
    face, free : float
        m², of each opening.
    louvered : bool
        Whether louvers cover part of the face.
    """

    length: float
    width: float
    height: float
    burners: tuple[Burner, ...]
    needed: float
    room: float
    beyond: float
    route: str
    openings: int
    face: float
    free: float
    louvered: bool

    @property
    def side(self) -> float:
        """m, side of a square opening."""
        return float(self.face**0.5)
