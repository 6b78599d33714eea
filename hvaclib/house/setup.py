"""The setup: what is on, what is open, what burns, and the weather. Pure data; every change returns a new one."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar

from hvaclib.errors import InputError
from hvaclib.units import Kind, kinds, show

V = TypeVar("V", bound=float)

OUTDOOR_TEMPERATURE = (200.0, 340.0)
"""K that a setup takes."""
WIND_SPEED = (0.0, 60.0)
"""m/s that a setup takes."""


def _range(low: float, high: float, kind: Kind) -> str:
    return f"{show(low, kind)} to {show(high, kind)}"


class Switches(Mapping[str, V], Generic[V]):
    """A frozen, hashable mapping from names to positions.

    Parameters
    ----------
    positions : mapping
        Position of each switch: 0..1 for a fan's speed, True or False for the rest.
    """

    __slots__ = ("_positions",)

    def __init__(self, positions: Mapping[str, V] | Iterable[tuple[str, V]] = ()) -> None:
        self._positions: dict[str, V] = dict(positions)

    def __getitem__(self, name: str) -> V:
        """Position of one switch."""
        return self._positions[name]

    def __iter__(self) -> Iterator[str]:
        """Names in the order of the dwelling file."""
        return iter(self._positions)

    def __len__(self) -> int:
        """How many switches there are."""
        return len(self._positions)

    def __hash__(self) -> int:
        """Hash of the positions, whatever their order."""
        return hash(frozenset(self._positions.items()))

    def __repr__(self) -> str:
        """Show the positions."""
        return f"Switches({self._positions!r})"

    def __reduce__(self) -> tuple[object, ...]:
        """Travel to a worker as a plain dict."""
        return (Switches, (self._positions,))

    def moved(self, name: str, position: V, what: str) -> Switches[V]:
        """The same switches with one moved.

        Raises
        ------
        InputError
            If there is no switch of that name; the nearest is suggested.
        """
        if name not in self._positions:
            nearest = difflib.get_close_matches(name, self._positions, 1, 0.5)
            hint = (
                f"'{nearest[0]}'"
                if nearest
                else ("one of " + ", ".join(self._positions) or "none: there is none")
            )
            raise InputError(f"no {what} has this name", where="setup", given=name, expected=hint)
        return Switches({**self._positions, name: position})


def _none() -> Switches[bool]:
    return Switches()


def _no_fans() -> Switches[float]:
    return Switches()


@dataclass(frozen=True, slots=True)
class Setup:
    """One state of weather, fans, doors, windows, air handler and burners.

    Parameters
    ----------
    outdoor_temperature : float
        K.
    wind_speed : float
        m/s, at the eaves in the open.
    wind_direction : float
        Bearing the wind blows from, rad clockwise from north.
    fans : Switches of float
        Speed of each fan, 0 (off) to 1.
    doors, windows : Switches of bool
        Whether each stands open.
    air_handler : bool or None
        Whether it runs; None where there is none.
    firing : Switches of bool
        Whether each appliance burns.

    Notes
    -----
    ``Dwelling.default_setup()`` makes one that names every switch of the dwelling, so that the methods
    here can refuse a name that does not exist.
    """

    outdoor_temperature: float
    wind_speed: float = 0.0
    wind_direction: float = 0.0
    fans: Switches[float] = field(default_factory=_no_fans)
    doors: Switches[bool] = field(default_factory=_none)
    windows: Switches[bool] = field(default_factory=_none)
    air_handler: bool | None = None
    firing: Switches[bool] = field(default_factory=_none)

    def with_fan(self, name: str, speed: float = 1.0) -> Setup:
        """The same with one fan at a speed, 0 (off) to 1."""
        if not 0.0 <= speed <= 1.0:
            raise InputError(
                "a fan's speed is out of range",
                where=f'fan "{name}"',
                given=speed,
                expected="0 (off) to 1 (full)",
            )
        return replace(self, fans=self.fans.moved(name, float(speed), "fan"))

    def with_fans(self, speed: float) -> Setup:
        """The same with every fan at one speed."""
        return replace(self, fans=Switches({name: float(speed) for name in self.fans}))

    def with_door(self, name: str, *, open: bool) -> Setup:
        """The same with one door open or closed."""
        return replace(self, doors=self.doors.moved(name, open, "door"))

    def with_window(self, name: str, *, open: bool) -> Setup:
        """The same with one window open or closed."""
        return replace(self, windows=self.windows.moved(name, open, "window"))

    def with_air_handler(self, *, on: bool) -> Setup:
        """The same with the air handler running or not."""
        if self.air_handler is None:
            raise InputError("the dwelling has no air handler", where="setup")
        return replace(self, air_handler=on)

    def with_firing(self, name: str, *, on: bool = True) -> Setup:
        """The same with one appliance burning or not."""
        return replace(self, firing=self.firing.moved(name, on, "appliance"))

    def with_outdoor_temperature(self, temperature: float) -> Setup:
        """The same at another outdoor temperature, K."""
        if not OUTDOOR_TEMPERATURE[0] <= temperature <= OUTDOOR_TEMPERATURE[1]:
            raise InputError(
                "the outdoor temperature is out of range",
                where="setup",
                given=show(temperature, kinds.TEMPERATURE),
                expected=_range(*OUTDOOR_TEMPERATURE, kinds.TEMPERATURE),
            )
        return replace(self, outdoor_temperature=float(temperature))

    def with_wind(self, speed: float, direction: float | None = None) -> Setup:
        """The same with another wind: speed m/s, bearing it blows from in rad."""
        if not WIND_SPEED[0] <= speed <= WIND_SPEED[1]:
            raise InputError(
                "the wind speed is out of range",
                where="setup",
                given=show(speed, kinds.WIND_SPEED),
                expected=_range(*WIND_SPEED, kinds.WIND_SPEED),
            )
        return replace(
            self,
            wind_speed=float(speed),
            wind_direction=self.wind_direction if direction is None else float(direction),
        )
