"""Fans: a maker's table, a motor that holds its airflow, and the laws that carry a curve to another speed or density."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import InputError
from hvaclib.reference import value
from hvaclib.units import calculation, checks, kinds, show

__all__ = ["ConstantAirflow", "Fan", "FanTable", "SpeedChange", "fan_speed"]

FloatArray = NDArray[np.float64]
_SHUT_OFF = value("air_delivery", "constant_airflow", "shut_off")


@dataclass(frozen=True, eq=False)
class FanTable:
    """A maker's table of one speed tap: external static pressure and airflow, straight between its rows.

    Parameters
    ----------
    static : ndarray, shape (K,)
        Pa, external static pressure, rising; K is 2 or more.
    flow : ndarray, shape (K,)
        m³/s, falling.
    name : str
        Of the tap, for sentences.

    Raises
    ------
    InputError
        If the table is too short, negative, or the flow does not fall as the static pressure rises.

    Notes
    -----
    Beyond its rows the curve goes on along the first and the last straight piece: to no static pressure, and to no
    flow (the shut-off). `covers` says whether a point lies within the rows.
    """

    static: FloatArray
    flow: FloatArray
    name: str = "fan table"

    def __post_init__(self) -> None:
        static, flow = (np.array(item, dtype=np.float64) for item in (self.static, self.flow))
        if static.ndim != 1 or static.shape != flow.shape or static.size < 2:
            raise InputError(
                "a fan table needs two rows or more",
                where=self.name,
                expected="rows of static pressure and airflow",
            )
        order = np.argsort(static, kind="stable")
        static, flow = static[order], flow[order]
        if not (np.isfinite(static).all() and np.isfinite(flow).all() and static[0] >= 0 and flow[-1] >= 0):
            raise InputError(
                "the table has a negative static pressure or airflow",
                where=self.name,
                expected="zero and above",
            )
        wrong = (np.diff(static) <= 0) | (np.diff(flow) >= 0)
        if wrong.any():
            raise _not_falling(static, flow, int(np.argmax(wrong)), self.name)
        static.flags.writeable = flow.flags.writeable = False
        object.__setattr__(self, "static", static)
        object.__setattr__(self, "flow", flow)

    @property
    def nodes(self) -> tuple[FloatArray, FloatArray]:
        """The whole curve from no static pressure to no flow: static and flow, each of shape (N,)."""
        p, q = self.static, self.flow
        head_p, head_q = p[:1], q[:1]
        if p[0] > 0.0:
            head_p = np.concatenate(([0.0], p[:1]))
            head_q = np.concatenate(([q[0] + p[0] * (q[0] - q[1]) / (p[1] - p[0])], q[:1]))
        tail_p, tail_q = p[1:], q[1:]
        if q[-1] > 0.0:
            end = p[-1] + q[-1] * (p[-1] - p[-2]) / (q[-2] - q[-1])
            tail_p, tail_q = np.append(tail_p, end), np.append(tail_q, 0.0)
        return np.concatenate((head_p, tail_p)), np.concatenate((head_q, tail_q))

    @property
    def shut_off(self) -> float:
        """Static pressure at which the flow stops, Pa."""
        return float(self.nodes[0][-1])

    def flow_at(self, static: ArrayLike) -> FloatArray:
        """Airflow at an external static pressure, m³/s; shape as given.

        Raises
        ------
        InputError
            If the static pressure is negative or above the shut-off.
        """
        return _flow_at(self, static)

    def covers(self, static: ArrayLike) -> NDArray[np.bool_]:
        """Whether a static pressure, Pa, lies within the rows of the table."""
        array = np.asarray(static, dtype=np.float64)
        edge = 1e-9 * self.static[-1]
        return np.asarray((array >= self.static[0] - edge) & (array <= self.static[-1] + edge))

    def scaled(self, speed: float = 1.0, density: float = 1.0) -> FanTable:
        """Carry to another speed and air density, each as a ratio, by the fan laws."""
        return replace(self, static=self.static * speed**2 * density, flow=self.flow * speed)


@dataclass(frozen=True, eq=False)
class ConstantAirflow:
    """A fan whose electronically commutated motor holds the airflow, up to a static pressure at which it gives out.

    Parameters
    ----------
    flow : float
        m³/s that it is set to hold.
    maximum_static : float
        Pa, highest external static pressure at which it holds that flow.
    shut_off : float, optional
        Pa at which the flow has fallen to nothing; above `maximum_static`. 1.6 times that where it is not known.
    name : str
        For sentences.

    Raises
    ------
    InputError
        If flow or limit is not above zero, or the shut-off not above the limit.

    Notes
    -----
    Beyond the limit the flow falls straight to the shut-off. A fan of this kind hides a dirty filter: the flow stays,
    the static pressure and the motor's power grow, until the limit is passed.
    """

    flow: float
    maximum_static: float
    shut_off: float = 0.0
    name: str = "constant-airflow fan"

    def __post_init__(self) -> None:
        checks.positive(self.flow, "flow", kinds.VOLUME_FLOW)
        checks.positive(self.maximum_static, "maximum_static", kinds.GAUGE_PRESSURE)
        if self.shut_off == 0.0:
            object.__setattr__(self, "shut_off", _SHUT_OFF * self.maximum_static)
        if not self.shut_off > self.maximum_static:
            raise InputError(
                "the flow must stop at a higher static pressure than that up to which it is held",
                where=self.name, given=show(self.shut_off, kinds.GAUGE_PRESSURE),
                expected=f"above {show(self.maximum_static, kinds.GAUGE_PRESSURE)}",
            )  # fmt: skip

    @property
    def nodes(self) -> tuple[FloatArray, FloatArray]:
        """The whole curve from no static pressure to no flow: static and flow, each of shape (3,)."""
        static = np.array([0.0, self.maximum_static, self.shut_off])
        return static, np.array([self.flow, self.flow, 0.0])

    def flow_at(self, static: ArrayLike) -> FloatArray:
        """Airflow at an external static pressure, m³/s; refusals as of `FanTable.flow_at`."""
        return _flow_at(self, static)

    def covers(self, static: ArrayLike) -> NDArray[np.bool_]:
        """Whether the fan still holds its flow at a static pressure, Pa."""
        array = np.asarray(static, dtype=np.float64)
        return np.asarray((array >= 0.0) & (array <= self.maximum_static * (1.0 + 1e-9)))

    def scaled(self, speed: float = 1.0, density: float = 1.0) -> ConstantAirflow:
        """Set to another flow (ratio); the limit is the motor's torque, so its static follows density alone."""
        return replace(
            self,
            flow=self.flow * speed,
            maximum_static=self.maximum_static * density,
            shut_off=self.shut_off * density,
        )


Fan = FanTable | ConstantAirflow


def _flow_at(fan: Fan, static: ArrayLike) -> FloatArray:
    array = np.asarray(static, dtype=np.float64)
    curve_static, curve_flow = fan.nodes
    if not (array >= 0.0).all():
        raise InputError(
            "a fan that blows works against a static pressure of zero or more: check the signs of the two readings",
            where=fan.name, given=show(float(np.min(array)), kinds.GAUGE_PRESSURE),
            expected="supply reading less return reading",
        )  # fmt: skip
    if (array > curve_static[-1]).any():
        raise InputError(
            "this static pressure is above the fan's shut-off, where it moves no air",
            where=fan.name, given=show(float(np.max(array)), kinds.GAUGE_PRESSURE),
            expected=f"at most {show(float(curve_static[-1]), kinds.GAUGE_PRESSURE)}",
        )  # fmt: skip
    return np.asarray(np.interp(array, curve_static, curve_flow))


def _not_falling(static: FloatArray, flow: FloatArray, row: int, name: str) -> InputError:
    """Say which two rows contradict each other."""
    low, high = (
        f"{show(float(flow[k]), kinds.VOLUME_FLOW)} at {show(float(static[k]), kinds.GAUGE_PRESSURE)}"
        for k in (row, row + 1)
    )
    return InputError(
        "the airflow must fall as the static pressure rises", where=name, given=f"{low} and {high}",
        expected="less airflow in each row of higher static pressure",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SpeedChange:
    """Flow, static pressure and power of a fan after a change.

    Parameters
    ----------
    airflow : float
        m³/s.
    static : float
        Pa.
    power : float
        W to the air and in the fan; the motor's own losses do not follow.
    """

    airflow: Annotated[float, kinds.VOLUME_FLOW]
    static: Annotated[float, kinds.GAUGE_PRESSURE]
    power: Annotated[float | None, kinds.POWER]


@calculation(
    airflow=kinds.VOLUME_FLOW,
    static=kinds.GAUGE_PRESSURE,
    speed_ratio=kinds.DIMENSIONLESS,
    power=kinds.POWER,
    density_ratio=kinds.DIMENSIONLESS,
    gives=SpeedChange,
)
def fan_speed(
    *,
    airflow: float,
    static: float,
    speed_ratio: float,
    power: float | None = None,
    density_ratio: float = 1.0,
) -> SpeedChange:
    """What a fan does at another speed on the same ducts, by the fan laws.

    Parameters
    ----------
    airflow : air flow
        At the present speed.
    static : pressure above the surrounding air
        External static pressure at the present speed.
    speed_ratio : plain number
        New speed over present speed.
    power : heat or power, optional
        At the present speed.
    density_ratio : plain number, default 1
        New air density over present density.

    Returns
    -------
    SpeedChange
        Airflow, static pressure, and power where it was given.

    Raises
    ------
    InputError
        If a value is not above zero.

    Notes
    -----
    Flow follows the speed, static pressure its square, power its cube; pressure and power follow the density too. Exact
    only where every loss follows the square of the flow; a filter departs from it.

    References
    ----------
    .. [1] ASHRAE Handbook - HVAC Systems and Equipment, chapter on fans, fan laws.

    Examples
    --------
    >>> round(fan_speed(airflow="1000 cfm", static="0.5 in. w.c.", speed_ratio="1.2").static, 2)
    <Quantity(0.72, 'inch_H2O')>
    """
    checks.positive(airflow, "airflow", kinds.VOLUME_FLOW)
    checks.positive(static, "static", kinds.GAUGE_PRESSURE)
    checks.positive(speed_ratio, "speed_ratio", kinds.DIMENSIONLESS)
    checks.positive(density_ratio, "density_ratio", kinds.DIMENSIONLESS)
    if power is not None:
        checks.positive(power, "power", kinds.POWER)
    return SpeedChange(
        airflow=airflow * speed_ratio,
        static=static * speed_ratio**2 * density_ratio,
        power=None if power is None else power * speed_ratio**3 * density_ratio,
    )
