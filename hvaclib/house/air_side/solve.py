"""Where blower and ducts meet, for S variants at once: airflow, static pressures at the test holes, temperature rise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.air_side.components import SEGMENTS, BoolArray, FloatArray
from hvaclib.house.air_side.side import AirSide
from hvaclib.physics import air
from hvaclib.physics.air_delivery import (
    operating_point_of_each,
    rise_from_airflow,
    thermometer_radiation_error,
)
from hvaclib.reference import value

IN_SIGHT = float(
    thermometer_radiation_error.si(
        air_temperature=value("air_side", "in_sight", "air"),
        surface_temperature=value("air_side", "in_sight", "surface"),
        view=value("air_side", "in_sight", "view"),
        air_speed=value("air_side", "in_sight", "speed"),
    )
)
"""K by which a supply thermometer in sight of the heat exchanger reads too high, in a usual case."""
_STANDARD = float(air.density.si(temperature=value("air_delivery", "default_temperature")))


@dataclass(frozen=True, slots=True, eq=False)
class AirState:
    """S variants of an air side at work.

    Parameters
    ----------
    flow : ndarray, shape (S,)
        m³/s of air as it is in the return.
    external_static : ndarray, shape (S,)
        Pa, supply less return as the plate counts it.
    rise, shown_rise : ndarray, shape (S,)
        K, true, and as the thermometers show it.
    losses : ndarray, shape (C, S)
        Pa, of each component.
    holes : ndarray, shape (4, S)
        Pa against the room, at the four test holes.
    return_temperature, supply_temperature, shown_supply_temperature : ndarray, shape (S,)
        K.
    density_ratio : ndarray, shape (S,)
        Density of the return air over that of standard air.
    within_table : ndarray of bool, shape (S,)
        Whether the blower works within the rows of its table.
    """

    flow: FloatArray
    external_static: FloatArray
    rise: FloatArray
    shown_rise: FloatArray
    losses: FloatArray
    holes: FloatArray
    return_temperature: FloatArray
    supply_temperature: FloatArray
    shown_supply_temperature: FloatArray
    density_ratio: FloatArray
    within_table: BoolArray

    @property
    def segments(self) -> FloatArray:
        """Loss between the test holes in the order of `SEGMENTS`, Pa, shape (4, S)."""
        return segment_losses(self.holes)

    def total_static(self, supply_hole: int) -> FloatArray:
        """External static pressure from the readings of two holes, Pa."""
        total: FloatArray = self.holes[supply_hole - 1] - self.holes[1]
        return total


def segment_losses(holes: FloatArray) -> FloatArray:
    """Losses between test holes, in the order of `SEGMENTS`, from pressures at the holes.

    Parameters
    ----------
    holes : ndarray, shape (4, ...)
        Pa against the room.

    Returns
    -------
    ndarray, shape (4, ...)
        Pa: room to hole 1, hole 1 to 2, hole 3 to 4, hole 4 to the room.
    """
    one, two, three, four = holes
    losses: FloatArray = np.stack([-one, one - two, three - four, four])
    return losses


def solve_air_side(side: AirSide) -> AirState:
    """Solve an air side and all its variants in one call.

    Parameters
    ----------
    side : AirSide
        Numbers of shape (S,), or plain ones for S = 1.

    Returns
    -------
    AirState

    Raises
    ------
    InputError
        If the blower moves no air, or a number is out of range.
    """
    return solve_cases([side])


def solve_cases(sides: Sequence[AirSide]) -> AirState:
    """Solve several variants with the same components, one after the other along S; their taps may differ.

    Parameters
    ----------
    sides : sequence of AirSide
        Each with plain numbers or arrays; their lengths add up to S.

    Returns
    -------
    AirState

    Raises
    ------
    InputError
        If the components differ in number or law, or as `solve_air_side`.

    Notes
    -----
    Blower table and losses are those of standard air. In thinner air both fall by the same ratio, so the volume flow
    stays and the pressures fall. All losses are those of air as dense as in the return: with the burner on, the
    supply side's are some 9 % higher for a rise of 50 °F, and the motor adds 1 to 2 °F to the rise; neither is
    reckoned here.
    """
    first = sides[0]
    exponents = np.array([item.exponent for item in first.components])
    if any([item.exponent for item in side.components] != exponents.tolist() for side in sides):
        raise InputError("the variants do not have the same components", where=first.name)
    sizes = [_size(side) for side in sides]
    coefficients = np.concatenate(
        [_coefficients(side, size) for side, size in zip(sides, sizes, strict=True)], axis=1
    )
    fans = list(dict.fromkeys(side.fan for side in sides))
    which = np.repeat([fans.index(side.fan) for side in sides], sizes)
    outside = np.array(
        [first.supply_hole == 3 or item.kind != "coil" for item in first.components], dtype=bool
    )
    flow, static = operating_point_of_each(fans, which, coefficients[outside], exponents[outside])
    covered = np.zeros(which.size, dtype=bool)
    for index, fan in enumerate(fans):
        covered[which == index] = fan.covers(static[which == index])
    numbers = {
        key: np.concatenate(
            [np.broadcast_to(getattr(side, key), size) for side, size in zip(sides, sizes, strict=True)]
        ).astype(np.float64)
        for key in ("output", "altitude", "return_temperature", "in_sight")
    }
    return _state(first, flow, coefficients * flow ** exponents[:, None], numbers, covered)


def _size(side: AirSide) -> int:
    """How many variants an air side holds."""
    numbers = (side.output, side.altitude, side.return_temperature, side.in_sight)
    shape = np.broadcast_shapes(
        (1,), *(np.shape(item.loss) for item in side.components), *(np.shape(number) for number in numbers)
    )
    if len(shape) != 1:
        raise InputError("the variants must lie along one axis", where=side.name, given=str(shape))
    return int(shape[0])


def _coefficients(side: AirSide, size: int) -> FloatArray:
    rows = [np.broadcast_to(item.coefficient, size) for item in side.components]
    return np.array(rows, dtype=np.float64).reshape(len(rows), size)


def _state(
    side: AirSide,
    flow: FloatArray,
    standard_losses: FloatArray,
    numbers: dict[str, FloatArray],
    covered: BoolArray,
) -> AirState:
    """Pressures in the air as it is, and what it takes up from the heat exchanger."""
    altitude, returned = numbers["altitude"], numbers["return_temperature"]
    ratio = np.asarray(air.density.si(temperature=returned, altitude=altitude)) / _STANDARD
    losses = standard_losses * ratio
    segments = np.zeros((4, flow.size))
    for item, loss in zip(side.components, losses, strict=True):
        segments[SEGMENTS.index(item.segment)] += loss
    into, strainer, coil, out = segments
    holes = np.stack([-into, -into - strainer, coil + out, out])
    rise = np.asarray(
        rise_from_airflow.si(output=numbers["output"], airflow=flow, altitude=altitude, temperature=returned)
    )
    supply, shown = returned + rise, rise + IN_SIGHT * numbers["in_sight"]
    return AirState(
        flow=flow,
        external_static=holes[side.supply_hole - 1] - holes[1],
        rise=rise,
        shown_rise=shown,
        losses=losses,
        holes=holes,
        return_temperature=returned,
        supply_temperature=supply,
        shown_supply_temperature=returned + shown,
        density_ratio=ratio,
        within_table=covered,
    )
