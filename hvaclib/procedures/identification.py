"""Which component is out of line: static pressures at four test holes against the losses that the ducts should have."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hvaclib.errors import InputError
from hvaclib.house.air_side import HOLES, SEGMENTS, AirSide, segment_losses
from hvaclib.physics import air
from hvaclib.readings import Reading, standard_uncertainty
from hvaclib.reference import value
from hvaclib.units import kinds, show

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
COVERAGE = 1.96
"""Half width of a 95 % interval of a normal distribution, in standard deviations (JCGM 100:2008, table G.1)."""
STANDS_OUT = 2.234
"""Standard deviations beyond which a stretch stands out: four are compared, and none of four sound ones may do so by
chance with 95 % probability, so Φ(z) = 0.95^(1/4) (Šidák 1967)."""
SLACK = 2.0
"""Pa by which two readings of the same pressure may differ in a plenum's turbulence: common practice, no source."""
_STANDARD = float(air.density.si(temperature=value("air_delivery", "default_temperature")))


@dataclass(frozen=True, slots=True)
class Segment:
    """What the profile says about one stretch between test holes.

    Parameters
    ----------
    name : str
        One of `SEGMENTS`.
    components : tuple of str
        What lies there; the readings cannot tell them apart.
    design, measured : float
        Loss that the components should have at the airflow of the day, and the one read, Pa.
    ratio, low, high : float
        Measured over design, and its 95 % interval.
    verdict : str
        "high", "low" or "in line".
    """

    name: str
    components: tuple[str, ...]
    design: float
    measured: float
    ratio: float
    low: float
    high: float
    verdict: str


@dataclass(frozen=True, slots=True)
class Identification:
    """Which stretch of the air's way takes more pressure than it should.

    Parameters
    ----------
    flow, flow_uncertainty : float
        Airflow from the blower's table, m³/s, and its standard uncertainty.
    segments : tuple of Segment
        Stretches with components, in the air's order.
    named : str
        Stretch that is out of line; empty where none is.
    sentence : str
        The finding in words.
    """

    flow: float
    flow_uncertainty: float
    segments: tuple[Segment, ...]
    named: str
    sentence: str


@dataclass(frozen=True, slots=True, eq=False)
class Identified:
    """The same for S profiles at once.

    Parameters
    ----------
    flow, flow_uncertainty : ndarray, shape (S,)
        m³/s.
    design, measured : ndarray, shape (4, S)
        Pa in the air of the day, stretch by stretch.
    ratio : ndarray, shape (4, S)
        Measured over design; NaN where nothing lies in the stretch.
    deviation : ndarray, shape (4, S)
        Standard uncertainty of ln(ratio), scatter of ducts as built included.
    named : ndarray of int, shape (S,)
        Row of the stretch that is out of line on the high side; -1 where none is.
    """

    flow: FloatArray
    flow_uncertainty: FloatArray
    design: FloatArray
    measured: FloatArray
    ratio: FloatArray
    deviation: FloatArray
    named: IntArray


def hole_uncertainty(profile: ArrayLike) -> FloatArray:
    """Standard uncertainty of pressures read at the test holes with the usual manometer, Pa; shape as given."""
    array = np.asarray(profile, dtype=np.float64)
    flat = [standard_uncertainty(Reading("static_pressure", float(p), HOLES[0])) for p in array.ravel()]
    return np.array(flat).reshape(array.shape)


def identify_many(profiles: ArrayLike, side: AirSide, uncertainty: ArrayLike | None = None) -> Identified:
    """Compare S measured profiles with one duct system, in one vectorised call.

    Parameters
    ----------
    profiles : array_like, shape (4, S)
        Static pressures at the four test holes against the room, Pa.
    side : AirSide
        Plate, blower and components as they should be, with plain numbers.
    uncertainty : array_like, shape (4, S), optional
        Standard uncertainty of each, Pa; that of the usual manometer by default.

    Returns
    -------
    Identified

    Raises
    ------
    InputError
        If the external static pressure is negative or above the blower's shut-off.

    Notes
    -----
    The airflow comes from the blower's table at the external static pressure of two holes. Each component's design
    loss at that airflow is compared with the loss between its holes, on the logarithm. Three errors count: the
    manometer's, the scatter of ducts as built about their design, and the airflow's, which all stretches share. The
    stretch named is the one that stands out most against the errors that it does not share, provided that it is above
    its design beyond chance when all errors count, at a risk of 5 % for the four stretches together.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2, for the combination of the three.
    """
    holes = np.asarray(profiles, dtype=np.float64)
    sigma = hole_uncertainty(holes) if uncertainty is None else np.asarray(uncertainty, dtype=np.float64)
    returned = air.density.si(temperature=side.return_temperature, altitude=side.altitude)
    thin = float(np.max(returned)) / _STANDARD
    static = (holes[side.supply_hole - 1] - holes[1]) / thin
    flow, flow_share = _flow(side, static, np.hypot(sigma[side.supply_hole - 1], sigma[1]) / thin)
    design, exponent = _design(side, flow)
    design *= thin
    measured = segment_losses(holes)
    errors = np.stack([sigma[0], np.hypot(sigma[0], sigma[1]), np.hypot(sigma[2], sigma[3]), sigma[3]])
    there = design > 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(there, measured / np.where(there, design, 1.0), np.nan)
        own = np.hypot(errors / np.maximum(measured, errors), value("air_side", "as_built"))
        above = np.where(there, np.log(np.maximum(ratio, 1e-3)), -np.inf)
    deviation = np.hypot(own, exponent * flow_share)
    row = np.argmax(above / own, axis=0)
    column = np.arange(flow.size)
    stands_out = above[row, column] > STANDS_OUT * deviation[row, column]
    named = np.where(stands_out, row, -1).astype(np.intp)
    return Identified(flow, flow * flow_share, design, measured, ratio, deviation, named)


def _flow(side: AirSide, static: FloatArray, error: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Airflow from the blower's table, m³/s, and its standard uncertainty as a share."""
    flow = side.fan.flow_at(static)
    curve_static, curve_flow = side.fan.nodes
    pieces = np.diff(curve_flow) / np.diff(curve_static)
    piece = np.clip(np.searchsorted(curve_static, static, side="right") - 1, 0, pieces.size - 1)
    moved = np.abs(pieces[piece]) * error
    return flow, np.hypot(moved / np.maximum(flow, 1e-6), value("air_side", "table_airflow"))


def _design(side: AirSide, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Loss of each stretch in standard air, Pa, and the power of the flow that it follows, each of shape (4, S)."""
    loss, slope = np.zeros((4, flow.size)), np.zeros((4, flow.size))
    for item in side.components:
        each = np.asarray(item.coefficient) * flow**item.exponent
        loss[SEGMENTS.index(item.segment)] += each
        slope[SEGMENTS.index(item.segment)] += item.exponent * each
    return loss, slope / np.where(loss > 0.0, loss, 1.0)


def identify(profile: ArrayLike, side: AirSide, uncertainty: ArrayLike | None = None) -> Identification:
    """Say which stretch of the air's way is out of line in one measured profile.

    Parameters
    ----------
    profile : array_like, shape (4,)
        Static pressures at the test holes 1 to 4 against the room, Pa.
    side : AirSide
        As `identify_many`.
    uncertainty : array_like, shape (4,), optional
        Standard uncertainties, Pa; those of the usual manometer by default.

    Returns
    -------
    Identification

    Raises
    ------
    InputError
        If the blower has no table, no component is known, or the pressures cannot be those of a running blower.
    """
    holes = np.asarray(profile, dtype=np.float64)
    check_profile(holes, side)
    sigma = None if uncertainty is None else np.asarray(uncertainty, dtype=np.float64)[:, None]
    found = identify_many(holes[:, None], side, sigma)
    segments = tuple(_segment(found, row, side) for row in range(4) if found.design[row, 0] > 0.0)
    named = SEGMENTS[found.named[0]] if found.named[0] >= 0 else ""
    return Identification(
        flow=float(found.flow[0]),
        flow_uncertainty=float(found.flow_uncertainty[0]),
        segments=segments,
        named=named,
        sentence=_sentence(named, segments),
    )


def check_profile(holes: FloatArray, side: AirSide) -> None:
    """Refuse pressures that no running blower makes, and an air side that they cannot be compared with.

    Raises
    ------
    InputError
        Saying which hole, what was read and what is expected.
    """
    if not side.tabulated:
        raise InputError(
            "without the blower's table the airflow cannot be told", where=side.name,
            expected="[[air_handler.fan.tap]] with a table",
        )  # fmt: skip
    if not side.components:
        raise InputError(
            "no component's loss is known, so no reading can be compared", where=side.name,
            expected="[[air_handler.component]]",
        )  # fmt: skip
    if holes.shape != (4,) or not np.isfinite(holes).all():
        raise InputError("a profile needs a reading at each of the four test holes", where="profile")
    one, two, three, four = (float(p) for p in holes)
    rows = (
        (one > SLACK, 1, one, "zero or below: the return side is under suction"),
        (two > one + SLACK, 2, two, "no higher than at hole 1: the filter takes pressure"),
        (four < -SLACK, 4, four, "zero or above: the supply side is under pressure"),
        (three < four - SLACK, 3, three, "no lower than at hole 4: the coil takes pressure"),
    )
    for wrong, number, pressure, expected in rows:
        if wrong:
            given = show(pressure, kinds.GAUGE_PRESSURE)
            what = "this cannot be with the blower running: look at hoses, holes and signs"
            raise InputError(what, where=HOLES[number - 1], given=given, expected=expected)


def _segment(found: Identified, row: int, side: AirSide) -> Segment:
    ratio, deviation = float(found.ratio[row, 0]), float(found.deviation[row, 0])
    low, high = ratio * np.exp(-COVERAGE * deviation), ratio * np.exp(COVERAGE * deviation)
    apart = np.log(max(ratio, 1e-3)) / deviation
    in_line = "low" if apart < -STANDS_OUT else "in line"
    return Segment(
        name=SEGMENTS[row],
        components=tuple(item.name for item in side.components if item.segment == SEGMENTS[row]),
        design=float(found.design[row, 0]),
        measured=float(found.measured[row, 0]),
        ratio=ratio,
        low=float(low),
        high=float(high),
        verdict="high" if apart > STANDS_OUT else in_line,
    )


def _sentence(named: str, segments: tuple[Segment, ...]) -> str:
    low = [item for item in segments if item.verdict == "low"]
    also = (
        f" Less than designed: {', '.join(item.name for item in low)} (missing, or bypassed?)." if low else ""
    )
    if not named:
        return f"No stretch of the air's way stands out against its design.{also}"
    item = next(each for each in segments if each.name == named)
    others = [each.name for each in segments if each.verdict == "high" and each.name != named]
    more = f" Above design too: {', '.join(others)}." if others else ""
    which = named if item.components == (named,) else f"{named} ({', '.join(item.components)})"
    return (
        f"Out of line: the {which} takes {show(item.measured, kinds.GAUGE_PRESSURE)} where "
        f"{show(item.design, kinds.GAUGE_PRESSURE)} belongs at this airflow, {item.ratio:.1f} times as much "
        f"({item.low:.1f} to {item.high:.1f} with 95 % confidence).{more}{also}"
    )
