"""The gas columns of all vents: how warm they are, what they lift, and how they follow the flow.

A column is what gives a vent its memory. Inside one network solve it is held fixed, which keeps the balance of
the house convex; between solves it follows the flow, either to its steady profile (`settle`) or through time with
the heat stored in the walls (`advance`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.pipes import LAYERS, SEGMENTS, Fires, Pipes
from hvaclib.physics.vent.column import SPECIFIC_HEAT, march, transfer_units, wall_flow

FloatArray = NDArray[np.float64]

STANDARD_GRAVITY = 9.80665
DRY_AIR_GAS_CONSTANT = 287.055


@dataclass(frozen=True, slots=True)
class Around:
    """What surrounds the vents in S scenarios.

    Attributes
    ----------
    room : ndarray, shape (A, S)
        K, air of each appliance's zone.
    surroundings : ndarray, shape (P, S)
        K, what each pipe loses heat to.
    outdoor_temperature, outdoor_density : ndarray, shape (S,)
        K, kg/m3.
    pressure : float
        Pa, barometric.
    """

    room: FloatArray
    surroundings: FloatArray
    outdoor_temperature: FloatArray
    outdoor_density: FloatArray
    pressure: float


@dataclass(frozen=True, slots=True)
class Columns:
    """State of the gas and the walls of P pipes in S scenarios, N segments from foot to top.

    Attributes
    ----------
    gas : ndarray, shape (N, P, S)
        K, mean of each segment.
    gas_constant : ndarray, shape (P, S)
        J/(kg K).
    wall : ndarray, shape (LAYERS, N, P, S)
        K of each storing layer.
    """

    gas: FloatArray
    gas_constant: FloatArray
    wall: FloatArray

    def density(self, pressure: float) -> FloatArray:
        """kg/m3 of each segment, shape (N, P, S)."""
        return pressure / (self.gas_constant * self.gas)

    def at(self, scenarios: FloatArray | slice) -> Columns:
        """The columns of some scenarios."""
        return Columns(self.gas[..., scenarios], self.gas_constant[..., scenarios], self.wall[..., scenarios])


def _filled(temperature: FloatArray, gas_constant: FloatArray, surroundings: FloatArray) -> Columns:
    gas = np.repeat(temperature[None], SEGMENTS, axis=0)
    wall = np.broadcast_to(surroundings, (LAYERS, SEGMENTS, *surroundings.shape)).copy()
    return Columns(gas=gas, gas_constant=gas_constant.copy(), wall=wall)


def cold(around: Around) -> Columns:
    """Return columns as warm as what surrounds them: a vent that has not been used for hours.

    Which way such a vent breathes is then up to the house: it draws weakly where its column of room air lifts more
    than the zone pulls, and fills with outdoor air where it does not.
    """
    shape = around.surroundings.shape
    return _filled(around.surroundings.copy(), np.full(shape, DRY_AIR_GAS_CONSTANT), around.surroundings)


def hot(pipes: Pipes, fires: Fires, around: Around, firing: FloatArray) -> Columns:
    """Return columns full of flue gas, half diluted, where something burns below them.

    Parameters
    ----------
    firing : ndarray, shape (A, S)
        1 where an appliance burns.
    """
    count = pipes.connectors
    rise = np.zeros_like(around.surroundings)
    rise[:count] = 0.5 * fires.rise[:, None] * firing
    for stack in range(pipes.stacks):
        users = pipes.junction[:count] == stack
        rise[count + stack] = rise[:count][users].max(axis=0)
    temperature = around.surroundings + rise
    constant = np.full_like(temperature, DRY_AIR_GAS_CONSTANT)
    start = _filled(temperature, constant, around.surroundings)
    start.wall[0] += 0.8 * rise
    return start


def vertical_steps(pipes: Pipes) -> FloatArray:
    """Return the height (m) that each segment climbs, shape (N, P): a pipe rises first, then runs sideways."""
    edges = np.linspace(0.0, 1.0, SEGMENTS + 1)[:, None] * pipes.length
    climbed: FloatArray = np.diff(np.minimum(edges, pipes.rise), axis=0)
    return climbed


def lift(steps: FloatArray, columns: Columns, around: Around) -> FloatArray:
    """Return the pressure (Pa) by which each pipe's column is lighter than outdoor air, shape (P, S)."""
    lighter = around.outdoor_density - columns.density(around.pressure)
    result: FloatArray = STANDARD_GRAVITY * np.einsum("np,nps->ps", steps, lighter)
    return result


def flow_coefficient(
    pipes: Pipes, columns: Columns, flow: FloatArray, firing: FloatArray, pressure: float
) -> tuple[FloatArray, FloatArray]:
    """Return C (kg/s/Pa**0.5) of each pipe and its wall friction (velocity heads) at the last flow, both (P, S)."""
    count = pipes.connectors
    mean = columns.gas.mean(axis=0)
    touch = wall_flow(flow, pipes.diameter[:, None], pipes.length[:, None], pipes.roughness[:, None], mean)
    friction = touch.friction * (pipes.length / pipes.diameter)[:, None]
    weight = pressure / (columns.gas_constant * mean)
    ends = np.concatenate([columns.gas[0, :count], columns.gas[-1, count:]])
    at_fittings = pressure / (columns.gas_constant * ends)
    heads = np.repeat(pipes.heads[:, None], flow.shape[1], axis=1)
    heads[:count] += (pipes.idle_heads - pipes.heads)[:count, None] * (1.0 - firing)
    drop = friction / weight + heads / at_fittings
    return pipes.area[:, None] * np.sqrt(2.0 / drop), friction


def flue_gas(
    fires: Fires, around: Around, firing: FloatArray, warmth: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return flow (kg/s) and temperature (K) of undiluted flue gas, shape (A, S).

    Parameters
    ----------
    warmth : ndarray, shape (A, S)
        How far the appliance has warmed up, 0 to 1.
    """
    return fires.flow[:, None] * firing, around.room + fires.rise[:, None] * firing * warmth


def settle(
    pipes: Pipes,
    fires: Fires,
    columns: Columns,
    flow: FloatArray,
    around: Around,
    firing: FloatArray,
) -> Columns:
    """Return the steady columns that would go with these flows (walls in balance, appliances warm)."""
    film = _film(pipes, columns, flow)
    outward = pipes.resistance.sum(axis=0) + 1.0 / pipes.film
    per_area = 1.0 / (1.0 / film + outward[:, None])
    target = np.broadcast_to(around.surroundings, columns.gas.shape)
    gas, constant, _ = _follow(
        pipes, fires, flow, around, firing, np.ones_like(firing), target, per_area, columns
    )
    share = per_area * (gas - target)  # W/m2 through the wall
    wall = np.empty_like(columns.wall)
    inner = gas - share / film
    for layer in range(LAYERS):
        inner = inner - share * pipes.resistance[layer][:, None]
        wall[layer] = inner
    return Columns(gas=gas, gas_constant=constant, wall=wall)


def advance(
    pipes: Pipes,
    fires: Fires,
    columns: Columns,
    flow: FloatArray,
    around: Around,
    firing: FloatArray,
    warmth: FloatArray,
    step: float,
) -> Columns:
    """Return the columns `step` seconds later: gas in balance with the wall, walls by implicit Euler."""
    film = _film(pipes, columns, flow)
    gas, constant, entering = _follow(
        pipes, fires, flow, around, firing, warmth, columns.wall[0], film, columns
    )
    inside = np.pi * (pipes.diameter * pipes.length)[:, None] / SEGMENTS
    units = transfer_units(film * inside, flow)
    # Heat into the wall counted from the gas that enters a segment: implicit in the wall's own temperature.
    exchange = np.maximum(np.abs(flow), 1e-9) * SPECIFIC_HEAT * -np.expm1(-units) / inside
    wall = _walls_later(pipes, columns.wall, entering, exchange, around.surroundings, step)
    return Columns(gas=gas, gas_constant=constant, wall=wall)


def _film(pipes: Pipes, columns: Columns, flow: FloatArray) -> FloatArray:
    mean = columns.gas.mean(axis=0)
    touch = wall_flow(flow, pipes.diameter[:, None], pipes.length[:, None], pipes.roughness[:, None], mean)
    return touch.film


def _walls_later(
    pipes: Pipes,
    wall: FloatArray,
    entering: FloatArray,
    exchange: FloatArray,
    surroundings: FloatArray,
    step: float,
) -> FloatArray:
    """Solve the tridiagonal heat balance of the layers, all segments at once."""
    store = pipes.capacity[:, None, :, None] / step
    between = 1.0 / pipes.resistance[1:, None, :, None]
    first = 1.0 / (1.0 / exchange + pipes.resistance[0][:, None])
    last = pipes.film[None, :, None]
    diagonal = [np.broadcast_to(store[layer], wall.shape[1:]).copy() for layer in range(LAYERS)]
    known = [store[layer] * wall[layer] for layer in range(LAYERS)]
    diagonal[0] += first
    known[0] = known[0] + first * entering
    diagonal[-1] += last
    known[-1] = known[-1] + last * surroundings
    for layer in range(LAYERS - 1):
        diagonal[layer] += between[layer]
        diagonal[layer + 1] += between[layer]
    for layer in range(1, LAYERS):
        factor = between[layer - 1] / diagonal[layer - 1]
        diagonal[layer] -= factor * between[layer - 1]
        known[layer] = known[layer] + factor * known[layer - 1]
    later = np.empty_like(wall)
    later[-1] = known[-1] / diagonal[-1]
    for layer in range(LAYERS - 2, -1, -1):
        later[layer] = (known[layer] + between[layer] * later[layer + 1]) / diagonal[layer]
    return later


def _follow(
    pipes: Pipes,
    fires: Fires,
    flow: FloatArray,
    around: Around,
    firing: FloatArray,
    warmth: FloatArray,
    target: FloatArray,
    per_area: FloatArray,
    columns: Columns,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Carry the gas along every pipe in the direction of its flow, through hoods and junctions.

    Returns segment means, gas constants, and the temperature at which the gas enters each segment.
    """
    count = pipes.connectors
    inside = np.pi * (pipes.diameter * pipes.length)[:, None] / SEGMENTS
    units = np.broadcast_to(transfer_units(per_area * inside, flow), target.shape)
    up = flow >= 0.0
    gas_flow, gas_temperature = flue_gas(fires, around, firing, warmth)
    share = np.clip(gas_flow / np.maximum(flow[:count], 1e-9), 0.0, 1.0)
    share = np.where(up[:count], share, 0.0)
    constant = np.full_like(columns.gas_constant, DRY_AIR_GAS_CONSTANT)
    constant[:count] += share * (fires.gas_constant[:, None] - DRY_AIR_GAS_CONSTANT)
    hood = around.room + share * (gas_temperature - around.room)

    # Connectors as if all rose; stacks as if all fell: both feed the junctions.
    rising, risen = march(hood, target[:, :count], units[:, :count])
    falling, fallen = rising, np.broadcast_to(around.outdoor_temperature, flow[count:].shape)
    if not up[count:].all():
        falling, fallen = march(around.outdoor_temperature, target[::-1, count:], units[::-1, count:])
    mixed, mixed_constant = _junctions(pipes, flow, risen, fallen, constant, around)
    climbing, _ = march(mixed, target[:, count:], units[:, count:])
    back = mixed[pipes.junction[:count]]
    gas = np.concatenate([rising, climbing], axis=1)
    if not up[:count].all():
        sinking, _ = march(back, target[::-1, :count], units[::-1, :count])
        gas[:, :count] = np.where(up[:count], rising, sinking[::-1])
    if not up[count:].all():
        gas[:, count:] = np.where(up[count:], climbing, falling[::-1])
    constant[:count] = np.where(up[:count], constant[:count], mixed_constant[pipes.junction[:count]])
    constant[count:] = np.where(up[count:], mixed_constant, DRY_AIR_GAS_CONSTANT)
    start = np.concatenate(
        [np.where(up[:count], hood, back), np.where(up[count:], mixed, around.outdoor_temperature)]
    )
    return gas, constant, _entering(start, gas, target, units, up)


def _entering(
    start: FloatArray, gas: FloatArray, target: FloatArray, units: FloatArray, up: FloatArray
) -> FloatArray:
    """Return the temperature with which the gas enters each segment, from the segment means."""
    average = -np.expm1(-units) / np.maximum(units, 1e-12)
    leaving = target + (gas - target) / np.maximum(average, 1e-12) * np.exp(-units)
    upward = np.concatenate([start[None], leaving[:-1]])
    downward = np.concatenate([leaving[1:], start[None]])
    return np.where(up, upward, downward)


def _junctions(
    pipes: Pipes,
    flow: FloatArray,
    risen: FloatArray,
    fallen: FloatArray,
    constant: FloatArray,
    around: Around,
) -> tuple[FloatArray, FloatArray]:
    """Mix what flows into each junction; one that nothing enters is taken as room air."""
    count = pipes.connectors
    member = (pipes.junction[:count] == np.arange(pipes.stacks)[:, None]).astype(float)
    into = np.maximum(flow[:count], 0.0)
    down = np.maximum(-flow[count:], 0.0)
    total = member @ into + down
    room = (member @ around.room) / member.sum(axis=1)[:, None]
    some = np.maximum(total, 1e-12)
    heat = member @ (into * risen) + down * fallen
    spread = member @ (into * constant[:count]) + down * DRY_AIR_GAS_CONSTANT
    still = total <= 1e-12
    mixed = np.where(still, room, heat / some)
    return mixed, np.where(still, DRY_AIR_GAS_CONSTANT, spread / some)
