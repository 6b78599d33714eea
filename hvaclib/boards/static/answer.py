"""The answer of the static board: every variant in one call, the curves for the chart, and what was measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.boards.air_side import judged
from hvaclib.boards.static.changes import Change
from hvaclib.errors import InputError
from hvaclib.house.air_side import HOLES, AirSide, AirState, solve_cases
from hvaclib.physics.air_delivery import ConstantAirflow, rise_from_airflow
from hvaclib.procedures.identification import Identification, identify
from hvaclib.readings import Reading
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from hvaclib.rules import Finding, RuleSet

STATIC = kinds.GAUGE_PRESSURE
BEFORE, NOW = 0, 1
"""Columns of the state: the file, all changes together; then each change alone."""
CURVE = 90  # points of the ducts' curve
Line = tuple["npt.NDArray[np.float64]", "npt.NDArray[np.float64]"]
"""Airflow m³/s and static pressure Pa of a curve."""


@dataclass(frozen=True, slots=True)
class StaticAnswer:
    """What the board knows.

    Attributes
    ----------
    before, now : AirSide
        As the file has it, and with all changes.
    changes : tuple of Change
        What was changed.
    state : AirState
        Columns `BEFORE`, `NOW`, then each change alone.
    measured : tuple of float or None
        Pressures typed for the four test holes, Pa.
    measured_total : float or None
        Total external static pressure from the two holes that give it, Pa; None where one is missing.
    measured_flow, measured_rise : float or None
        Airflow that the blower's table has at that total, m³/s, and the rise that follows, K.
    identification : Identification or None
        Which stretch is out of line; None until all four holes are typed.
    findings : list of Finding
        What the rule set says of total static pressure and temperature rise.
    rules : RuleSet
        The rule set.
    readings : tuple of Reading
        What is judged and shown.
    """

    before: AirSide
    now: AirSide
    changes: tuple[Change, ...]
    state: AirState
    measured: tuple[float | None, ...]
    measured_total: float | None
    measured_flow: float | None
    measured_rise: float | None
    identification: Identification | None
    findings: list[Finding]
    rules: RuleSet
    readings: tuple[Reading, ...]

    @property
    def changed(self) -> bool:
        """Whether a control stands elsewhere than the file."""
        return bool(self.changes)

    @property
    def constant(self) -> bool:
        """Whether the blower holds its airflow."""
        return isinstance(self.now.fan, ConstantAirflow)

    @property
    def static(self) -> float:
        """The total external static pressure that is judged, Pa: the measured one, else the computed."""
        computed = float(self.state.external_static[NOW])
        return computed if self.measured_total is None else self.measured_total

    @property
    def rise(self) -> float:
        """The temperature rise that is judged, K: at the airflow of the measured total, else the computed one."""
        return float(self.state.rise[NOW]) if self.measured_rise is None else self.measured_rise


def answer(
    side: AirSide, asked: Sequence[Change], measured: Sequence[float | None], rules: RuleSet
) -> StaticAnswer:
    """Work out the answer: one call for the file, all changes, and each change alone.

    Parameters
    ----------
    side : AirSide
        As the file has it.
    asked : sequence of Change
        From `hvaclib.boards.static.changes`.
    measured : sequence of float or None
        Pressures at the four test holes, Pa.
    rules : RuleSet
        To judge by.

    Raises
    ------
    InputError
        When the measured pressures cannot be those of a running blower, or blower and ducts do not meet.
    """
    now = side
    for change in asked:
        now = change.apply(now)
    state = solve_cases([side, now, *(change.apply(side) for change in asked)])
    values = [None if value is None else float(value) for value in measured]
    total = _total(side.supply_hole, values)
    flow = None if total is None else _table_flow(now, total, float(state.density_ratio[NOW]))
    found = None if any(value is None for value in values) else identify(np.array(values, dtype=float), now)
    rise = None if flow is None else _rise(now, flow)
    point = (float(state.external_static[NOW]), float(state.flow[NOW]), float(state.rise[NOW]))
    if total is not None and flow is not None and rise is not None:
        point = (total, flow, rise)
    readings = _readings(side, state, values, point, computed=total is None)
    findings = judged(readings, side, rules, ("external_static", "temperature_rise"))
    return StaticAnswer(
        side, now, tuple(asked), state, tuple(values), total, flow, rise, found, findings, rules, readings
    )


def _total(hole: int, measured: Sequence[float | None]) -> float | None:
    """Total external static pressure from two holes, Pa; refused when the supply does not lie above the return."""
    supply, returned = measured[hole - 1], measured[1]
    if supply is None or returned is None:
        return None
    if supply <= returned:
        raise InputError(
            "the supply side does not lie above the return side, which no running blower does: hoses or signs may be "
            "exchanged",
            where=f"hole {hole} and hole 2",
            given=f"{show(supply, STATIC)} and {show(returned, STATIC)}",
            expected=f"hole {hole} above hole 2",
        )
    return supply - returned


def _table_flow(side: AirSide, total: float, density_ratio: float) -> float:
    """Airflow at a measured total, m³/s; the blower's law refuses a total above its shut-off."""
    return float(np.asarray(side.fan.flow_at(np.array([total / density_ratio])))[0])


def _rise(side: AirSide, flow: float) -> float:
    return float(
        rise_from_airflow.si(
            output=side.output, airflow=flow, altitude=side.altitude, temperature=side.return_temperature
        )
    )


def _readings(
    side: AirSide, state: AirState, measured: Sequence[float | None], point: tuple[float, float, float], *,
    computed: bool,
) -> tuple[Reading, ...]:  # fmt: skip
    """The four holes, measured where they were, and the point that is judged: total static, airflow, rise."""
    where = side.furnace
    holes = [
        Reading(
            "static_pressure",
            float(state.holes[i, NOW]) if value is None else value,
            hole,
            computed=value is None,
        )
        for i, (hole, value) in enumerate(zip(HOLES, measured, strict=True))
    ]
    static, flow, rise = point
    return (
        *holes,
        Reading("external_static", static, where, computed=computed),
        Reading("airflow", flow, where, computed=True),
        Reading("temperature_rise", rise, where, computed=True),
    )


def duct_line(side: AirSide, state: AirState, column: int, most: float) -> Line:
    """Curve of the ducts outside the unit up to an airflow, in the air of the day.

    Parameters
    ----------
    side : AirSide
        Whose components.
    state : AirState
        For the density.
    column : int
        Of the state.
    most : float
        Largest airflow, m³/s.
    """
    flow = np.linspace(0.0, most, CURVE)
    outside = [item for item in side.components if side.supply_hole == 3 or item.kind != "coil"]
    loss = sum((float(item.coefficient) * flow**item.exponent for item in outside), np.zeros_like(flow))
    return flow, loss * float(state.density_ratio[column])


def fan_line(side: AirSide, tap: str, state: AirState, column: int) -> Line:
    """Curve of the blower at a tap, in the air of the day."""
    static, flow = side.fans[tap].nodes
    return flow, static * float(state.density_ratio[column])
