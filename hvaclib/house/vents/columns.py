"""The gas columns of all vents: how warm they are, what they lift, and how they follow the flow.

A column is what gives a vent its memory. Inside one network solve it is held fixed, which keeps the balance of
the house convex; between solves it follows the flow, either to its steady profile (`settle`) or through time with
the heat stored in the walls (`advance`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.exchange import Pull, capacity_flow, film_of, units_of, wall_response, wall_touch
from hvaclib.house.vents.pipes import LAYERS, SEGMENTS, Fires, Pipes
from hvaclib.house.vents.standstill import rising_share

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

    def at(self, scenarios: NDArray[np.intp] | slice) -> Columns:
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
    pipes: Pipes,
    columns: Columns,
    flow: FloatArray,
    firing: FloatArray,
    pressure: float,
    added_heads: FloatArray | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Return C (kg/s/Pa**0.5) of each pipe and its wall friction (velocity heads) at the last flow, both (P, S).

    ``added_heads`` (P, S) is what a scenario loses in fittings beyond what the dwelling says.
    """
    count = pipes.connectors
    mean = columns.gas.mean(axis=0)
    touch = wall_touch(pipes, mean, flow)
    friction = touch.friction * (pipes.length / pipes.diameter)[:, None]
    weight = pressure / (columns.gas_constant * mean)
    ends = np.concatenate([columns.gas[0, :count], columns.gas[-1, count:]])
    at_fittings = pressure / (columns.gas_constant * ends)
    heads = np.repeat(pipes.heads[:, None], flow.shape[1], axis=1)
    heads[:count] += (pipes.idle_heads - pipes.heads)[:count, None] * (1.0 - firing)
    if added_heads is not None:
        heads += added_heads
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
    film = film_of(pipes, columns.gas, flow)
    outward = pipes.resistance.sum(axis=0) + 1.0 / pipes.film
    per_area = 1.0 / (1.0 / film + outward[:, None])
    pull = Pull(np.broadcast_to(around.surroundings, columns.gas.shape), 0.0, units_of(pipes, per_area, flow))
    gas, constant, _ = _follow(pipes, fires, flow, around, firing, np.ones_like(firing), pull)
    share = per_area * (gas - pull.rest)  # W/m2 through the wall
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
    """Return the columns `step` seconds later: gas in balance with the wall, walls by implicit Euler.

    Notes
    -----
    Gas and walls are solved together, segment after segment in the direction of flow, so that the heat which the
    gas gives off is exactly what the walls store and pass on, however long the step.
    """
    film = film_of(pipes, columns.gas, flow)
    units = units_of(pipes, 1.0 / (1.0 / film + pipes.resistance[0][:, None]), flow)
    # W/m2 into the wall for each kelvin by which the entering gas is warmer than the first layer.
    exchange = capacity_flow(flow) * -np.expm1(-units) / pipes.inside[:, None]
    rest, slope = wall_response(pipes, columns.wall, exchange, around.surroundings, step)
    gas, constant, entering = _follow(
        pipes, fires, flow, around, firing, warmth, Pull(rest[0], slope[0], units)
    )
    return Columns(gas=gas, gas_constant=constant, wall=rest + slope[:, None] * entering)


def _follow(
    pipes: Pipes,
    fires: Fires,
    flow: FloatArray,
    around: Around,
    firing: FloatArray,
    warmth: FloatArray,
    pull: Pull,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Carry the gas along every pipe in the direction of its flow, through hoods and junctions.

    Returns segment means, gas constants, and the temperature at which the gas enters each segment.
    """
    count = pipes.connectors
    up = flow >= 0.0
    gas_flow, gas_temperature = flue_gas(fires, around, firing, warmth)
    share = np.clip(gas_flow / np.maximum(flow[:count], 1e-9), 0.0, 1.0)
    constant = np.full_like(flow, DRY_AIR_GAS_CONSTANT)
    constant[:count] += share * (fires.gas_constant[:, None] - DRY_AIR_GAS_CONSTANT)
    hood = around.room + share * (gas_temperature - around.room)

    # Connectors as if all rose; stacks as if all fell: both feed the junctions.
    connectors, stacks = pull.of(slice(None, count)), pull.of(slice(count, None))
    rising, risen = connectors.carry(hood)
    outdoors = np.broadcast_to(around.outdoor_temperature, flow[count:].shape)
    fallen = outdoors
    if not up[count:].all():
        _, fallen = stacks.downward().carry(outdoors)
    mixed, mixed_constant = _junctions(pipes, flow, risen, fallen, constant, around)
    climbing, _ = stacks.carry(mixed)
    entering = np.concatenate([rising, climbing], axis=1)
    back = mixed[pipes.junction[:count]]
    constant[count:] = mixed_constant
    clear = rising_share(pipes, flow, gas_temperature, back)
    if (clear < 1.0).any():
        sinking, _ = connectors.downward().carry(back)
        falling, _ = stacks.downward().carry(outdoors)
        down = np.concatenate([sinking[::-1], falling[::-1]], axis=1)
        entering = clear * entering + (1.0 - clear) * down
        above = np.concatenate(
            [mixed_constant[pipes.junction[:count]], np.full_like(mixed, DRY_AIR_GAS_CONSTANT)]
        )
        constant = clear * constant + (1.0 - clear) * above
    return pull.mean(entering), constant, entering


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
