"""The air side of a furnace: plate, blower, components, what heats the air; and its pure changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from hvaclib.errors import InputError
from hvaclib.house.air_side.components import AirComponent
from hvaclib.house.dwelling.sentences import choice
from hvaclib.physics.air_delivery.fan import Fan
from hvaclib.units import FloatOrArray, checks, kinds


@dataclass(frozen=True, slots=True, eq=False)
class AirSide:
    """One furnace with its ducts, or S variants of it: numbers may be arrays of shape (S,).

    Parameters
    ----------
    name, furnace : str
        Dwelling, and the appliance that heats the air.
    output : float or ndarray
        Heat given to the air, W.
    altitude : float or ndarray
        m above sea level.
    return_temperature : float or ndarray
        K, mixed return air.
    fans : mapping of str to FanTable or ConstantAirflow
        The blower at each tap, in standard air.
    tap : str
        Tap in use.
    components : tuple of AirComponent
        In the air's order.
    rise_range : tuple of float, optional
        K, least and most on the plate.
    maximum_static : float, optional
        Pa, on the plate.
    supply_hole : int
        Test hole, 3 or 4, at which the plate's external static pressure ends: 4 where the coil is part of the unit.
    in_sight : bool or ndarray
        Whether the supply thermometer sees the heat exchanger.
    tabulated : bool
        Whether the blower is known; else the airflow is the one that the file states, whatever the ducts.
    """

    name: str
    furnace: str
    output: FloatOrArray
    altitude: FloatOrArray
    return_temperature: FloatOrArray
    fans: Mapping[str, Fan]
    tap: str
    components: tuple[AirComponent, ...]
    rise_range: tuple[float, float] | None = None
    maximum_static: float | None = None
    supply_hole: int = 3
    in_sight: bool | FloatOrArray = False
    tabulated: bool = True

    @property
    def fan(self) -> Fan:
        """The blower at the tap in use."""
        return self.fans[self.tap]

    def component(self, name: str) -> AirComponent:
        """The component of this name, or else the first of this kind.

        Raises
        ------
        InputError
            If there is none; the nearest name is suggested.
        """
        for item in self.components:
            if item.name == name:
                return item
        for item in self.components:
            if item.kind == name:
                return item
        known = [item.name for item in self.components]
        raise InputError(
            "no component has this name or kind", where=self.name, given=name, expected=choice(name, known)
        )

    def with_component(self, name: str, change: Callable[[AirComponent], AirComponent]) -> AirSide:
        """Return it with one component changed."""
        old = self.component(name)
        return replace(
            self, components=tuple(change(item) if item is old else item for item in self.components)
        )

    def with_loss(self, name: str, loss: FloatOrArray, at: float | None = None) -> AirSide:
        """Return it with another loss of a component, Pa, at a flow, m³/s (the component's own by default)."""
        return self.with_component(name, lambda item: item.with_loss(loss, at))

    def with_factor(self, name: str, factor: FloatOrArray) -> AirSide:
        """Return it with a component's loss multiplied: above 1 degraded, below 1 cleaned."""
        return self.with_component(name, lambda item: item.scaled(factor))

    def with_filter_loss(self, loss: FloatOrArray, at: float | None = None) -> AirSide:
        """Return it with another filter, or the same one loaded."""
        return self.with_loss("filter", loss, at)

    def with_coil_loss(self, loss: FloatOrArray, at: float | None = None) -> AirSide:
        """Return it with the coil cleaned or dirty."""
        return self.with_loss("coil", loss, at)

    def with_return_drop(self, width: FloatOrArray, height: FloatOrArray) -> AirSide:
        """Return it with a return drop of another cross-section, m; its present size must be known."""
        return self.with_component("return drop", lambda item: item.with_size(width, height))

    def with_registers_open(self, before: FloatOrArray, now: FloatOrArray = 1.0) -> AirSide:
        """Return it with another share of the registers' free area open than before.

        Raises
        ------
        InputError
            If a share is not above 0, or above 1.

        Notes
        -----
        The loss of an opening goes with the square of the flow over its area.
        """
        for share, what in ((before, "share open before"), (now, "share open now")):
            checks.within(share, 0.01, 1.0, what, kinds.FRACTION)
        return self.with_factor("registers", (before / now) ** 2)

    def with_tap(self, tap: str) -> AirSide:
        """Return it with the blower on another tap.

        Raises
        ------
        InputError
            If there is no such tap.
        """
        if tap not in self.fans:
            raise InputError(
                "no tap has this name", where=self.name, given=tap, expected=choice(tap, self.fans)
            )
        return replace(self, tap=tap)

    def with_output(self, output: FloatOrArray) -> AirSide:
        """Return it with another heat output, W."""
        checks.positive(output, "output", kinds.POWER)
        return replace(self, output=output)

    def with_altitude(self, altitude: FloatOrArray) -> AirSide:
        """Return it at another altitude, m."""
        return replace(self, altitude=altitude)

    def with_return_temperature(self, temperature: FloatOrArray) -> AirSide:
        """Return it with other return air, K."""
        return replace(self, return_temperature=temperature)

    def with_in_sight(self, in_sight: bool | FloatOrArray) -> AirSide:
        """Return it with the supply thermometer in sight of the heat exchanger, or out of it."""
        return replace(self, in_sight=in_sight)

    def facts(self) -> dict[str, object]:
        """What rules may ask about the furnace's plate."""
        facts: dict[str, object] = {}
        if self.rise_range is not None:
            facts["rise_least"], facts["rise_most"] = self.rise_range
        if self.maximum_static is not None:
            facts["maximum_static"] = self.maximum_static
        return facts
