"""A dwelling with its vents as one network: vent rows filled in from the columns, solved, columns moved on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.build import Built, Prepared, prepare
from hvaclib.house.columns import SetupColumns
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.network import Network, Solution, solve
from hvaclib.house.rows import RowTable
from hvaclib.house.setup import Setup
from hvaclib.house.vents.columns import (
    STANDARD_GRAVITY,
    Around,
    Columns,
    flow_coefficient,
    lift,
    vertical_steps,
)
from hvaclib.house.vents.pipes import Fires, Pipes, fires_of, pipes_of
from hvaclib.house.vents.test_hole import Holes, holes_of
from hvaclib.physics import air

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class VentedHouse:
    """The static part: a prepared dwelling whose last rows are its connectors and stacks.

    Attributes
    ----------
    prepared : Prepared
        Zones and rows, junctions last.
    pipes, fires, holes
        Vents, what burns below them, where their draft is read.
    first : int
        Number of the first vent row.
    junctions : ndarray, shape (V,)
        Zone number of each stack's junction.
    steps : ndarray, shape (N, P)
        Height each segment climbs, m.
    pressure : float
        Barometric pressure, Pa.
    appliance_rows : ndarray, shape (A,)
        Row of each vented appliance among the dwelling's appliances.
    """

    prepared: Prepared
    pipes: Pipes
    fires: Fires
    holes: Holes
    first: int
    junctions: IntArray
    steps: FloatArray
    pressure: float
    appliance_rows: IntArray


@lru_cache(maxsize=16)
def vented_house(dwelling: Dwelling) -> VentedHouse:
    """Prepare a dwelling and its vents once; later calls with an equal dwelling return the same object."""
    pipes = pipes_of(dwelling)

    def add_vents(table: RowTable) -> None:
        for vent in pipes.vents:
            table.add_junction(junction_name(vent))
        for index, appliance in enumerate(pipes.appliances):
            vent = pipes.vents[pipes.junction[index]]
            table.add_path(f"{appliance.name} connector", "connector", appliance.zone, junction_name(vent))
            table.add_free_row(exponent=0.5)
        for vent in pipes.vents:
            table.add_path(vent, "vent", junction_name(vent), "outdoors")
            table.add_free_row(exponent=0.5)

    prepared = prepare(dwelling, add_vents)
    names = prepared.rows.zone_names
    return VentedHouse(
        prepared=prepared,
        pipes=pipes,
        fires=fires_of(pipes),
        holes=holes_of(pipes),
        first=prepared.rows.start.size - pipes.connectors - pipes.stacks,
        junctions=np.array([names.index(junction_name(vent)) for vent in pipes.vents], dtype=np.intp),
        steps=vertical_steps(pipes),
        pressure=float(air.barometric_pressure.si(altitude=dwelling.site.altitude)),
        appliance_rows=np.array(
            [dwelling.appliances.index(user) for user in pipes.appliances], dtype=np.intp
        ),
    )


def junction_name(vent: str) -> str:
    """Name of the zone in which the connectors of a vent meet."""
    return f"junction of {vent}"


@dataclass(slots=True)
class Moment:
    """S scenarios at one moment: the network with this moment's columns, its solution and what follows.

    Attributes
    ----------
    flow, friction : ndarray, shape (P, S)
        kg/s up each vent pipe; velocity heads of wall friction.
    guess : ndarray, shape (Z, S), optional
        Pressures to start the next solve from; the last solution's once there is one.
    added_heads : ndarray, shape (P, S), optional
        Velocity heads of loss that a scenario has in a vent pipe beyond what the dwelling says.
    """

    built: Built
    around: Around
    firing: FloatArray
    columns: Columns
    flow: FloatArray
    friction: FloatArray
    solution: Solution | None = None
    guess: FloatArray | None = None
    added_heads: FloatArray | None = None


def moment(
    house: VentedHouse, setups: Sequence[Setup] | SetupColumns, columns: Columns | None = None
) -> Moment:
    """Build the network of these setups and look around the vents; the columns are filled by the caller."""
    built = house.prepared.build(setups)
    firing = built.columns.firing[house.appliance_rows]
    around = _around(house, built)
    _burn(house, built, firing)
    shape = around.surroundings.shape
    nothing = columns if columns is not None else _empty(shape)
    return Moment(built, around, firing, nothing, np.full(shape, 1e-3), np.zeros(shape))


def _empty(shape: tuple[int, ...]) -> Columns:
    return Columns(np.zeros((0, *shape)), np.zeros(shape), np.zeros((0, 0, *shape)))


def _around(house: VentedHouse, built: Built) -> Around:
    scenarios = built.columns.scenarios
    outdoor = built.columns.outdoor_temperature
    fixed = house.prepared.temperature[:, None]
    indoors = np.where(np.isnan(fixed), outdoor, fixed) * np.ones((1, scenarios))
    pipes = house.pipes
    share = pipes.outdoor_share[:, None]
    return Around(
        room=indoors[pipes.zone],
        surroundings=indoors[pipes.surroundings] * (1.0 - share) + outdoor * share,
        outdoor_temperature=outdoor,
        outdoor_density=np.ascontiguousarray(built.density[-1]),
        pressure=house.pressure,
    )


def _burn(house: VentedHouse, built: Built, firing: FloatArray) -> None:
    """Enter the fuel's mass, and the flow that a fan-assisted appliance blows from its zone into the junction."""
    pipes, fires = house.pipes, house.fires
    supply = built.network.supply
    for index in range(pipes.connectors):
        zone = pipes.zone[index]
        if pipes.fan_assisted[index]:
            supply[zone] -= (fires.flow[index] - fires.fuel_flow[index]) * firing[index]
            supply[house.junctions[pipes.junction[index]]] += fires.flow[index] * firing[index]
        else:
            supply[zone] += fires.fuel_flow[index] * firing[index]


def solve_moment(house: VentedHouse, now: Moment) -> None:
    """Fill in the vent rows from the columns and the last flows, solve, and store flows and friction in `now`."""
    pipes = house.pipes
    count = pipes.connectors
    coefficient, friction = flow_coefficient(
        pipes, now.columns, now.flow, now.firing, house.pressure, now.added_heads
    )
    blown = pipes.fan_assisted[:, None] * now.firing
    coefficient[:count] *= 1.0 - blown
    raised = lift(house.steps, now.columns, now.around)
    zone_column = now.built.density[pipes.zone] - now.around.outdoor_density
    raised[:count] -= zone_column * (STANDARD_GRAVITY * pipes.foot[:count, None])
    network = now.built.network
    network.coefficient[house.first :] = coefficient
    network.drive[house.first :] = raised
    now.solution = solve(network, now.guess)
    now.guess = now.solution.pressure
    flow = now.solution.flow[house.first :].copy()
    flow[:count] += blown * house.fires.flow[:, None]
    now.flow, now.friction = flow, friction


def part_of(now: Moment, scenarios: IntArray) -> Moment:
    """The same moment for some of the scenarios."""
    network = _network_of(now.built.network, scenarios)
    around = now.around
    return Moment(
        built=replace(now.built, network=network, density=now.built.density[:, scenarios]),
        around=replace(
            around,
            room=around.room[:, scenarios],
            surroundings=around.surroundings[:, scenarios],
            outdoor_temperature=around.outdoor_temperature[scenarios],
            outdoor_density=around.outdoor_density[scenarios],
        ),
        firing=now.firing[:, scenarios],
        columns=now.columns.at(scenarios),
        flow=now.flow[:, scenarios],
        friction=now.friction[:, scenarios],
        solution=None if now.solution is None else _solution_of(now.solution, scenarios),
        guess=None if now.guess is None else now.guess[:, scenarios],
        added_heads=None if now.added_heads is None else now.added_heads[:, scenarios],
    )


def _network_of(network: Network, scenarios: IntArray) -> Network:
    curves = tuple(
        replace(
            curve,
            switch=curve.switch[scenarios],
            drive=None if curve.drive is None else curve.drive[scenarios],
        )
        for curve in network.curves
    )
    return replace(
        network,
        coefficient=network.coefficient[:, scenarios],
        drive=network.drive[:, scenarios],
        supply=network.supply[:, scenarios],
        curves=curves,
    )


def _solution_of(solution: Solution, scenarios: IntArray) -> Solution:
    return replace(
        solution,
        pressure=solution.pressure[:, scenarios],
        flow=solution.flow[:, scenarios],
        curve_flow=solution.curve_flow[:, scenarios],
        converged=solution.converged[scenarios],
        iterations=solution.iterations[scenarios],
        residual=solution.residual[scenarios],
    )
