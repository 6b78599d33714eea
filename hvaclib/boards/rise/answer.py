"""The answer of the rise board: the point, its curves and every what-if, all from one vectorised call."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.boards.air_side import judged
from hvaclib.errors import InputError
from hvaclib.house.air_side import IN_SIGHT, AirSide
from hvaclib.physics.air_delivery import (
    airflow_from_rise,
    rise_from_airflow,
    standard_airflow_rule_error,
)
from hvaclib.readings import Reading, standard_uncertainty
from hvaclib.units import kinds, parse_si, show

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy.typing as npt

    from hvaclib.physics.air_delivery.rise import RuleError
    from hvaclib.rules import Finding, RuleSet

Control = Literal["input", "efficiency", "airflow", "altitude", "in sight", "return air"]
CONTROLS: tuple[Control, ...] = ("input", "efficiency", "airflow", "altitude", "in sight", "return air")
STEP_WORDS: Mapping[Control, str] = {
    "input": "10 % more input",
    "efficiency": "5 points more efficiency",
    "airflow": "a fifth less airflow",
    "altitude": "3,000 ft (914 m) higher",
    "in sight": "thermometer in sight of the heat exchanger",
    "return air": "return air 10 °F (5.6 K) colder",
}
CURVE = 120  # points of a curve


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the rise depends on, SI: input W, efficiency, airflow m³/s, altitude m, return K, thermometer in sight."""

    input: float
    efficiency: float
    airflow: float
    altitude: float
    return_temperature: float
    in_sight: bool = False

    def values(self) -> tuple[float, ...]:
        """In the order of `CONTROLS`."""
        return (
            self.input, self.efficiency, self.airflow, self.altitude, float(self.in_sight), self.return_temperature
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One control alone, from the reference: the rise shown then, K, and whether it was moved or only tried."""

    control: Control
    rise: float
    tried: bool


@dataclass(frozen=True, slots=True)
class RiseAnswer:
    """What the board knows.

    Attributes
    ----------
    side : AirSide
        The furnace, with its plate.
    reference, now : Conditions
        As the file has it, and as the controls say.
    measured : bool
        Whether the rise was read and the airflow computed from it.
    rise, start : float
        K, as the thermometers show it, now and at the reference.
    true_rise : float
        K, of the air; less than shown where the thermometer sees the heat exchanger.
    uncertainty : float
        Standard uncertainty of the rise shown, K.
    what_ifs : tuple of WhatIf
        One a control, then none.
    flow, curve, reference_curve : ndarray
        m³/s and K, shape (CURVE,).
    rule : RuleError
        How far the 1.08 rule is off here.
    finding : Finding or None
        What the rule set says of the rise; None where the plate states no range.
    rules : RuleSet
        The rule set.
    readings : tuple of Reading
        Supply, return, rise and airflow.
    """

    side: AirSide
    reference: Conditions
    now: Conditions
    measured: bool
    rise: float
    start: float
    true_rise: float
    uncertainty: float
    what_ifs: tuple[WhatIf, ...]
    flow: npt.NDArray[np.float64]
    curve: npt.NDArray[np.float64]
    reference_curve: npt.NDArray[np.float64]
    rule: RuleError
    finding: Finding | None
    rules: RuleSet
    readings: tuple[Reading, ...]

    @property
    def airflow_uncertainty(self) -> float:
        """Standard uncertainty of an airflow computed from the rise, m³/s: that of the rise alone."""
        return self.now.airflow * self.uncertainty / self.true_rise

    @property
    def direction(self) -> Literal["high", "low", ""]:
        """Whether the rise lies above or below the plate's range."""
        band = self.side.rise_range
        if band is None or band[0] <= self.rise <= band[1]:
            return ""
        return "high" if self.rise > band[1] else "low"


def airflow_of(now: Conditions, supply: float) -> float:
    """Airflow from two thermometers, m³/s.

    Parameters
    ----------
    now : Conditions
        Its airflow is not used.
    supply : float
        Supply thermometer, K.

    Raises
    ------
    InputError
        With the likely cause, when the rise is zero or negative, or no more than the radiation explains.
    """
    shown = supply - now.return_temperature
    excess = IN_SIGHT if now.in_sight else 0.0
    if 0.0 < shown <= excess:
        raise InputError(
            "the heat exchanger in sight of the thermometer explains the whole rise, so the airflow cannot be told",
            where="rise", given=show(shown, kinds.TEMPERATURE_DIFFERENCE),
            expected="a supply thermometer out of sight of it",
        )  # fmt: skip
    rise = shown - excess if shown > 0.0 else shown
    return float(
        airflow_from_rise.si(
            output=now.input * now.efficiency,
            rise=rise,
            altitude=now.altitude,
            temperature=now.return_temperature,
        )
    )


def answer(
    side: AirSide, reference: Conditions, now: Conditions, measured: bool, rules: RuleSet
) -> RiseAnswer:
    """Work out the answer; all rises of points, what-ifs and curves come from one call.

    Raises
    ------
    InputError
        When there is no airflow, or a number is out of range.
    """
    cases, tried = _cases(reference, now)
    flow = _flows(reference.airflow, now.airflow)
    rise = _rises(cases, flow, reference, now)
    points, curve, start = rise[: len(cases)], rise[len(cases) : -CURVE], rise[-CURVE:]
    shown = points + IN_SIGHT * np.array([case[4] for case in cases])
    now_rise = float(shown[-1])
    readings = _readings(side, now, now_rise, measured)
    findings = judged(readings, side, rules, ("temperature_rise",))
    what_ifs = tuple(
        WhatIf(control, float(value), is_tried)
        for control, value, is_tried in zip(CONTROLS, shown[1:-1], tried, strict=True)
    )
    return RiseAnswer(
        side, reference, now, measured, now_rise, float(shown[0]), float(points[-1]),
        standard_uncertainty(readings[2]), what_ifs, flow, curve, start,
        standard_airflow_rule_error.si(altitude=now.altitude, temperature=now.return_temperature),
        findings[0] if findings else None, rules, readings,
    )  # fmt: skip


def _cases(reference: Conditions, now: Conditions) -> tuple[list[tuple[float, ...]], list[bool]]:
    """Reference, one row a control alone, and as things stand; an unmoved control is tried with a usual step."""
    start, end = reference.values(), now.values()
    steps = (
        1.1 * start[0], min(start[1] + 0.05, 1.0), 0.8 * start[2],
        start[3] + parse_si("3000 ft", kinds.LENGTH), 1.0,
        start[5] - parse_si("10 °F", kinds.TEMPERATURE_DIFFERENCE),
    )  # fmt: skip
    cases, tried = [start], []
    for i, (a, b) in enumerate(zip(start, end, strict=True)):
        unmoved = abs(a - b) <= 1e-6 * max(abs(a), 1.0)
        tried.append(unmoved)
        cases.append((*start[:i], steps[i] if unmoved else b, *start[i + 1 :]))
    return [*cases, end], tried


def _flows(*airflows: float) -> npt.NDArray[np.float64]:
    """Airflows of the curves, wide enough for every frame of the chart."""
    # without airflow the law refuses the point itself; the curve only has to be one that can be drawn
    return np.geomspace(max(0.2 * min(airflows), 1e-6), max(2.5 * max(airflows), 1e-3), CURVE)


def _rises(
    cases: list[tuple[float, ...]], flow: npt.NDArray[np.float64], reference: Conditions, now: Conditions
) -> npt.NDArray[np.float64]:
    """True rise of every case, then along the curve as things stand, then along that of the reference: one call."""
    rows = np.array(cases)
    ends = np.repeat(np.array([now.values(), reference.values()]), CURVE, axis=0)
    ends[:, 2] = np.concatenate([flow, flow])
    every = np.concatenate([rows, ends])
    return np.asarray(
        rise_from_airflow.si(
            output=every[:, 0] * every[:, 1],
            airflow=every[:, 2],
            altitude=every[:, 3],
            temperature=every[:, 5],
        )
    )


def _readings(side: AirSide, now: Conditions, rise: float, measured: bool) -> tuple[Reading, ...]:
    where = side.furnace
    return (
        Reading("supply_temperature", now.return_temperature + rise, where),
        Reading("return_temperature", now.return_temperature, where),
        Reading("temperature_rise", rise, where),
        Reading("airflow", now.airflow, where, computed=measured),
    )
