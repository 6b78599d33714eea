"""The door-crack method: open the door until the pressure is within the limit, measure the gap, have the area."""

from __future__ import annotations

import numpy as np

from hvaclib.errors import InputError
from hvaclib.units import FloatOrArray, calculation, checks, kinds, show

__all__ = ["door_crack_area", "latch_strip", "wedge"]


def latch_strip(gap: FloatOrArray, door_height: FloatOrArray) -> FloatOrArray:
    """Area (m²) of the upright strip between the latch edge and the jamb, lengths in m."""
    return gap * door_height


def wedge(gap: FloatOrArray, door_width: FloatOrArray) -> FloatOrArray:
    """Area (m²) of the triangle over the top of the door, and of the one under its bottom, lengths in m."""
    return gap * door_width / 2.0


@calculation(
    gap=kinds.SIZE,
    door_width=kinds.SIZE,
    door_height=kinds.SIZE,
    undercut=kinds.SIZE,
    frame_width=kinds.SIZE,
    gives=kinds.AREA,
)
def door_crack_area(
    *,
    gap: FloatOrArray,
    door_width: FloatOrArray,
    door_height: FloatOrArray,
    undercut: FloatOrArray = 0.0,
    frame_width: FloatOrArray | None = None,
) -> FloatOrArray:
    """Free area round a door that stands open by a gap at its latch side.

    Parameters
    ----------
    gap : size
        Straight from the latch edge of the door to the jamb; zero (shut) or more, at most the door's width.
    door_width : size
        Of the leaf, above zero.
    door_height : size
        Of the leaf, above zero.
    undercut : size, default 0 in
        Below the leaf, zero or more.
    frame_width : size, optional
        Clear width of the frame, to catch a mistyped door; not needed for the area.

    Returns
    -------
    area
        In sq in (m² through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the gap is larger than the door, the door wider than its frame, or a size negative.

    Notes
    -----
    ``gap × height`` (upright strip at the latch) ``+ 2 × gap × width / 2`` (the triangles over the top and under the
    bottom, from the hinge to the latch) ``+ undercut × width``. The triangle has two sides as long as the door is
    wide, so that its area is exactly ``gap × width / 2 × cos(θ/2)`` with ``sin(θ/2) = gap / (2 width)``: the cosine
    left out overstates it by 0.5 % at a gap of one fifth of the width and by 15 % at a gap as large as the door.
    The lower triangle lies close above the floor and passes less than its area; the method counts it whole, which
    makes the remedy built from the area larger, never smaller.

    References
    ----------
    .. [1] Door-crack method for sizing room pressure relief: common practice, no source.

    Examples
    --------
    >>> round(door_crack_area(gap="1 in", door_width="30 in", door_height="80 in", undercut="0.5 in"), 1)
    <Quantity(125.0, 'inch ** 2')>
    """
    checks.positive(door_width, "door_width", kinds.SIZE)
    checks.positive(door_height, "door_height", kinds.SIZE)
    checks.not_negative(gap, "gap", kinds.SIZE)
    checks.not_negative(undercut, "undercut", kinds.SIZE)
    _refuse_larger(gap, door_width, "gap", "the gap is larger than the door is wide")
    _refuse_larger(undercut, door_height, "undercut", "the undercut is larger than the door is high")
    if frame_width is not None:
        checks.positive(frame_width, "frame_width", kinds.SIZE)
        _refuse_larger(door_width, frame_width, "door_width", "the door is wider than its frame")
    return latch_strip(gap, door_height) + 2.0 * wedge(gap, door_width) + undercut * door_width


def _refuse_larger(given: FloatOrArray, most: FloatOrArray, where: str, what: str) -> None:
    wrong = np.asarray(given) > np.asarray(most) * (1.0 + 1e-9)
    if np.any(wrong):
        first = np.argmax(
            np.broadcast_to(wrong, np.broadcast_shapes(np.shape(given), np.shape(most))).ravel()
        )
        pair = [float(np.broadcast_to(side, wrong.shape).ravel()[first]) for side in (given, most)]
        raise InputError(
            what,
            where=where,
            given=show(pair[0], kinds.SIZE),
            expected=f"at most {show(pair[1], kinds.SIZE)}",
        )
