"""What a manometer shows at the test hole: static pressure inside the pipe against the room beside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.columns import STANDARD_GRAVITY, Around, Columns
from hvaclib.house.vents.pipes import SEGMENTS, Pipes
from hvaclib.physics.vent.losses import loss

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Holes:
    """Where the test holes are, as weights on the segments; A appliances, N segments.

    Attributes
    ----------
    connector_climb, stack_climb : ndarray, shape (N, A)
        m of height that the pipe gains in each segment before the hole.
    connector_share, stack_share : ndarray, shape (A,)
        Share of the pipe's length that lies before the hole.
    rest_climb : ndarray, shape (N, A)
        m of height that the connector gains behind the hole.
    bends : ndarray, shape (A,)
        Velocity heads of elbows before the hole.
    height : ndarray, shape (A,)
        m above grade.
    """

    connector_climb: FloatArray
    stack_climb: FloatArray
    rest_climb: FloatArray
    connector_share: FloatArray
    stack_share: FloatArray
    bends: FloatArray
    height: FloatArray


def holes_of(pipes: Pipes) -> Holes:
    """Return the test holes of these pipes; one behind the connector's end lies in the stack."""
    count = pipes.connectors
    reach = np.minimum(pipes.hole, pipes.length[:count])
    beyond = np.minimum(pipes.hole - reach, pipes.length[pipes.stack_of])
    whole = _climb(pipes.length[:count], pipes.rise[:count], pipes.length[:count])
    before = _climb(pipes.length[:count], pipes.rise[:count], reach)
    turned = [
        user.connector is not None and user.connector.elbows > 0 and hole > rise
        for user, hole, rise in zip(pipes.appliances, pipes.hole, pipes.rise[:count], strict=True)
    ]
    climbed = before.sum(axis=0)
    behind = _climb(pipes.length[pipes.stack_of], pipes.rise[pipes.stack_of], beyond)
    return Holes(
        connector_climb=before,
        stack_climb=behind,
        rest_climb=whole - before,
        connector_share=reach / np.maximum(pipes.length[:count], 1e-9),
        stack_share=beyond / np.maximum(pipes.length[pipes.stack_of], 1e-9),
        bends=np.where(turned, loss("elbow"), 0.0),
        height=pipes.foot[:count] + climbed + behind.sum(axis=0),
    )


def _climb(length: FloatArray, rise: FloatArray, reach: FloatArray) -> FloatArray:
    """Return the height each segment gains up to `reach`, shape (N, A); a pipe rises first."""
    edges = np.linspace(0.0, 1.0, SEGMENTS + 1)[:, None] * length
    gained: FloatArray = np.diff(np.minimum(np.minimum(edges, reach), rise), axis=0)
    return gained


def draft_at_hole(
    pipes: Pipes,
    holes: Holes,
    columns: Columns,
    flow: FloatArray,
    friction: FloatArray,
    around: Around,
    room_density: FloatArray,
    zone_pressure: FloatArray,
    junction_pressure: FloatArray,
) -> FloatArray:
    """Return the draft reading (Pa) of each appliance, negative where the vent draws, shape (A, S).

    Parameters
    ----------
    flow : ndarray, shape (P, S)
        kg/s, upward positive.
    friction : ndarray, shape (P, S)
        Velocity heads of wall friction over the whole pipe.
    room_density : ndarray, shape (A, S)
        kg/m3 of the air in each appliance's zone.
    zone_pressure : ndarray, shape (A, S)
        Pa, unknown of the network for that zone (at grade, in the zone's own column).
    junction_pressure : ndarray, shape (V, S)
        Pa at the junctions, against outdoor air at the same height.

    Notes
    -----
    Upward: from room pressure the gas loses the inlet's velocity heads and friction as far as the hole, and gains
    what its column is lighter than the room's air. Downward (reversed): the gas meets the room's pressure where it
    leaves the hood, so that only friction stands between hole and room, and it pushes. A fan-assisted appliance that
    burns is not open to the room: its reading is found from the junction backwards.
    """
    count = pipes.connectors
    weight = columns.density(around.pressure)
    own, stack = weight[:, :count], weight[:, pipes.stack_of]
    up = flow[:count]
    head = np.square(up / pipes.area[:count, None]) / (2.0 * own[0])
    along = _head(up, pipes.area[:count, None], own) * friction[:count]
    beyond = _head(flow[pipes.stack_of], pipes.area[pipes.stack_of, None], stack) * friction[pipes.stack_of]
    lifted = np.einsum("na,nas->as", holes.connector_climb, room_density - own)
    lifted += np.einsum("na,nas->as", holes.stack_climb, room_density - stack)
    lost = holes.connector_share[:, None] * along + holes.stack_share[:, None] * beyond
    entered = np.where(up > 0, pipes.inlet_heads[:count, None] * head, 0.0)
    open_to_room: FloatArray = (
        STANDARD_GRAVITY * lifted - lost - entered - np.sign(up) * holes.bends[:, None] * head
    )
    if not pipes.fan_assisted.any():
        return open_to_room
    climb = STANDARD_GRAVITY * np.einsum("na,nas->as", holes.rest_climb, around.outdoor_density - own)
    fittings = (pipes.heads - pipes.inlet_heads)[:count, None] * head * np.sign(up)
    inside = junction_pressure[pipes.junction[:count]] - climb
    inside = inside + (1.0 - holes.connector_share)[:, None] * along + fittings
    beside = (
        zone_pressure - (room_density - around.outdoor_density) * STANDARD_GRAVITY * holes.height[:, None]
    )
    result: FloatArray = np.where(pipes.fan_assisted[:, None], inside - beside, open_to_room)
    return result


def _head(flow: FloatArray, area: FloatArray, weight: FloatArray) -> FloatArray:
    """Return the signed velocity head (Pa) at the mean density of a pipe."""
    result: FloatArray = np.sign(flow) * np.square(flow / area) / (2.0 * weight.mean(axis=0))
    return result
