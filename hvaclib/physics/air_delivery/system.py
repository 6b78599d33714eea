"""The duct system: each component with its loss law, and where the system meets the fan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import ConvergenceError, InputError
from hvaclib.physics.air_delivery.ducts import duct_loss
from hvaclib.physics.air_delivery.fan import Fan
from hvaclib.units import checks, kinds

__all__ = ["Component", "coefficients_of", "duct_component", "operating_point_of_each", "operating_point_si"]

FloatArray = NDArray[np.float64]
_STEPS = 60
_TOLERANCE = 1e-12


@dataclass(frozen=True, slots=True)
class Component:
    """One part of the air path that loses pressure.

    Parameters
    ----------
    name : str
        As people call it: ``"filter"``.
    side : {"return", "supply"}
        Which side of the fan.
    loss : float
        Pa at `at`; zero or more.
    at : float
        m³/s, above zero.
    exponent : float
        The loss follows the flow to this power, 1 to 2.

    Raises
    ------
    InputError
        If a value is out of range.
    """

    name: str
    side: Literal["return", "supply"]
    loss: float
    at: float
    exponent: float = 2.0

    def __post_init__(self) -> None:
        try:
            checks.not_negative(self.loss, "loss", kinds.GAUGE_PRESSURE)
            checks.positive(self.at, "flow", kinds.VOLUME_FLOW)
            checks.within(self.exponent, 1.0, 2.0, "exponent", kinds.DIMENSIONLESS)
        except InputError as error:
            where = f"{self.name}, {error.where}" if self.name else error.where
            raise InputError(error.what, where=where, given=error.given, expected=error.expected) from None

    @property
    def coefficient(self) -> float:
        """Loss at 1 m³/s, Pa."""
        return float(self.loss / self.at**self.exponent)

    def loss_at(self, flow: ArrayLike) -> FloatArray:
        """Loss at a flow of zero or more, Pa; shape as given."""
        result: FloatArray = self.coefficient * np.asarray(flow, dtype=np.float64) ** self.exponent
        return result


def coefficients_of(components: Sequence[Component]) -> tuple[FloatArray, FloatArray]:
    """Coefficients of shape (C, 1) and exponents of shape (C,), as `operating_point_si` takes them."""
    coefficients = np.array([[item.coefficient] for item in components], dtype=np.float64).reshape(-1, 1)
    return coefficients, np.array([item.exponent for item in components], dtype=np.float64)


def duct_component(
    name: str,
    side: Literal["return", "supply"],
    *,
    at: float,
    diameter: float,
    length: float,
    heads: float = 0.0,
    area: float | None = None,
    **wall_and_air: float,
) -> Component:
    """Turn a duct of known geometry into a component: its loss at a flow, and the power it follows there.

    Parameters
    ----------
    name, side : str
        As of `Component`.
    at : float
        m³/s, near the flow at which it will work.
    diameter, length, heads, area : float
        As of `duct_loss`.
    **wall_and_air : float
        ``roughness``, ``density`` and ``viscosity`` of `duct_loss`.

    Returns
    -------
    Component
        Its loss is exact at `at` and within 1.5 % from half to one and a half times that flow, where the flow stays
        turbulent.
    """
    flows = at * np.array([1.0, 0.8, 1.25])
    loss, low, high = duct_loss(
        flows, diameter=diameter, length=length, heads=heads, area=area, **wall_and_air
    )
    exponent = float(np.clip(np.log(high / low) / np.log(1.25 / 0.8), 1.0, 2.0))
    return Component(name, side, float(loss), at, exponent)


def operating_point_si(
    fan: Fan, coefficients: ArrayLike, exponents: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Where a fan's curve and the duct system's curve cross, for many systems at once.

    Parameters
    ----------
    fan : FanTable or ConstantAirflow
        One fan for all scenarios.
    coefficients : array_like, shape (C, S)
        Loss of each component at 1 m³/s, Pa, in each scenario; zero or more.
    exponents : array_like, shape (C,)
        Power of the flow that each component's loss follows, 1 to 2.

    Returns
    -------
    flow : ndarray, shape (S,)
        m³/s.
    static : ndarray, shape (S,)
        Pa, external static pressure: sum of the losses.

    Raises
    ------
    InputError
        If a coefficient is negative or an exponent out of range.
    ConvergenceError
        If the iteration fails, naming the first scenario.

    Notes
    -----
    The fan's curve falls and the system's rises, so there is one crossing. The straight piece of the fan's curve that
    holds it is found by comparing both curves at its corners. Along that piece, p - Σ c q^n is concave and rises, so
    Newton's method from its lower end climbs to the crossing and never passes it.
    """
    exponent = np.atleast_1d(np.asarray(exponents, dtype=np.float64))
    coefficient = np.atleast_2d(np.asarray(coefficients, dtype=np.float64))
    checks.not_negative(coefficient, "coefficients", kinds.DIMENSIONLESS)
    checks.within(exponent, 1.0, 2.0, "exponents", kinds.DIMENSIONLESS)
    powers, group = np.unique(exponent, return_inverse=True)
    grouped = np.zeros((powers.size, coefficient.shape[1]))
    np.add.at(grouped, group, coefficient)
    static, flow = fan.nodes
    at_corners = (flow[:, None] ** powers) @ grouped
    piece = np.sum(static[1:-1, None] <= at_corners[1:-1], axis=0)
    low_p, low_q = static[piece], flow[piece]
    rise, fall = static[piece + 1] - low_p, low_q - flow[piece + 1]
    share = _climb(grouped, powers, (low_p, low_q, rise, fall))
    q = np.maximum(low_q - share * fall, 0.0)
    # on a level piece the system alone sets the pressure; elsewhere the two agree
    return q, low_p + share * rise


def _climb(
    coefficient: FloatArray, powers: FloatArray, piece: tuple[FloatArray, FloatArray, FloatArray, FloatArray]
) -> FloatArray:
    """Newton along each scenario's straight piece: share of the way from its lower end, shape (S,)."""
    low_p, low_q, rise, fall = piece
    share = np.zeros_like(low_p)
    with np.errstate(divide="ignore"):
        for _ in range(_STEPS):
            q = np.maximum(low_q - share * fall, 0.0)
            logarithm = np.log(q)
            loss, slope = np.zeros_like(q), np.zeros_like(q)
            for power, row in zip(powers, coefficient, strict=True):
                # at no flow the logarithm is -inf: a linear loss has no use for it, and exp(-inf) is 0
                steep = row * (1.0 if power == 1.0 else np.exp((power - 1.0) * logarithm))
                loss += steep * q
                slope += power * steep
            step = (loss - low_p - share * rise) / (rise + slope * fall)
            share = np.minimum(share + step, 1.0)
            if np.max(np.abs(step), initial=0.0) < _TOLERANCE:
                return share
    scenario = int(np.argmax(np.abs(step)))
    raise ConvergenceError("no crossing of fan and duct system found", where=f"scenario {scenario}")


def operating_point_of_each(
    fans: Sequence[Fan], choice: ArrayLike, coefficients: ArrayLike, exponents: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """As `operating_point_si`, each scenario with one of several fans (speed taps).

    Parameters
    ----------
    fans : sequence of FanTable or ConstantAirflow
        A few.
    choice : array_like of int, shape (S,)
        Which of them works in each scenario.
    coefficients, exponents : array_like
        As of `operating_point_si`; coefficients of shape (C, S) or (C, 1).

    Returns
    -------
    flow, static : ndarray, shape (S,)
        m³/s and Pa.
    """
    which = np.atleast_1d(np.asarray(choice))
    coefficient = np.atleast_2d(np.asarray(coefficients, dtype=np.float64))
    coefficient = np.broadcast_to(coefficient, (coefficient.shape[0], which.size))
    flow, static = np.full(which.size, np.nan), np.full(which.size, np.nan)
    for index in np.unique(which):
        mine = which == index
        flow[mine], static[mine] = operating_point_si(fans[int(index)], coefficient[:, mine], exponents)
    return flow, static
