"""A connector that ends in a masonry chimney: lift and losses at a time after a cold start."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.physics import air
from hvaclib.physics.vent.capacity import SEGMENTS, STANDARD_GRAVITY, Rating, largest_flow
from hvaclib.physics.vent.column import density, march, transfer_units, wall_flow
from hvaclib.physics.vent.losses import entry_loss, loss, resistance
from hvaclib.physics.vent.wall import Wall, wall

FloatArray = NDArray[np.float64]

__all__ = ["Chimney", "largest_chimney_input", "lift_surplus", "outlet_temperature", "wall_conductance"]


@dataclass(frozen=True, slots=True)
class Chimney:
    """One appliance, its connector, and the flue that it ends in; SI.

    Attributes
    ----------
    connector : float
        m, diameter.
    flue : float
        m, diameter of the circle with the flue's area.
    height : float
        m, from the draft hood to the outlet.
    lateral : float
        m, of the connector.
    elbows : float
        90° elbows of the connector, its entry into the chimney not counted.
    kind : str
        Wall of the flue.
    connector_kind : str
        Wall of the connector.
    time : float
        s of burning since the cold start; the walls have warmed so far: as cold as their surroundings at 0.
    """

    connector: float
    flue: float
    height: float
    lateral: float
    elbows: float
    kind: str
    connector_kind: str
    time: float


def wall_conductance(material: Wall, film: FloatArray, time: float) -> FloatArray:
    """Return W/(m2 K) from the gas into a wall that was as cold as its surroundings, by gas minus surroundings.

    Parameters
    ----------
    material : Wall
        Layers with their resistances and heat capacities.
    film : ndarray
        W/(m2 K) from the gas to the wall; shape (N,).
    time : float
        s since the gas arrived, constant since then; infinite for a wall that has settled.

    Notes
    -----
    Exact for the layers: the matrix of the chain is made symmetric by the square roots of the capacities, and each
    of its modes dies away by itself.
    """
    count, layers = len(film), len(material.capacity)
    links = np.empty((count, layers + 1))
    links[:, 0] = 1.0 / (1.0 / film + material.resistance[0])
    links[:, 1:-1] = 1.0 / material.resistance[1:]
    links[:, -1] = material.film
    chain = np.zeros((count, layers, layers))
    rows = np.arange(layers)
    chain[:, rows, rows] = links[:, :-1] + links[:, 1:]
    chain[:, rows[1:], rows[:-1]] = chain[:, rows[:-1], rows[1:]] = -links[:, 1:-1]
    source = np.zeros((count, layers, 1))
    source[:, 0, 0] = links[:, 0]
    settled = np.linalg.solve(chain, source)
    root = np.sqrt(material.capacity)
    rates, modes = np.linalg.eigh(chain / (root[:, None] * root))
    share = np.swapaxes(modes, 1, 2) @ (root[:, None] * settled)
    fading = np.exp(-rates * time)[:, :, None] if np.isfinite(time) else np.zeros_like(share)
    inner = settled[:, 0, 0] - (modes @ (fading * share))[:, 0, 0] / root[0]
    result: FloatArray = links[:, 0] * (1.0 - inner)
    return result


def _flow_through(flow: float, rated: Rating, way: Chimney, altitude: float) -> tuple[float, float]:
    """Lift minus losses (Pa), and the temperature at the outlet (K), at a mass flow (kg/s)."""
    pressure = air.barometric_pressure.si(altitude=altitude)
    around = air.density.si(temperature=rated.ambient, altitude=altitude)
    entry, balance = rated.ambient + rated.rise, 0.0
    turns = rated.inlet_loss + way.elbows * loss("elbow")
    enters = float(entry_loss(way.connector**2, way.flue**2))
    for diameter, length, rise, kind, heads, tail in (
        (way.connector, way.lateral, 0.0, way.connector_kind, turns, enters),
        (way.flue, way.height, way.height, way.kind, 0.0, loss("cap")),
    ):
        material, area = wall(kind), np.pi * diameter**2 / 4
        step = max(length, 1e-6) / SEGMENTS
        mean, outlet = np.full(SEGMENTS, entry), np.asarray(entry)
        for _ in range(4):  # properties follow the temperature, which follows the properties only weakly
            touch = wall_flow(flow, diameter, max(length, 1e-6), material.roughness, mean, material.shape)
            through = wall_conductance(material, touch.film, way.time)
            units = transfer_units(np.pi * diameter * material.shape * step * through, flow)
            mean, outlet = march(entry, np.full(SEGMENTS, rated.ambient), units)
        weight = density(mean, pressure, rated.gas_constant)
        balance += STANDARD_GRAVITY * float(np.sum(around - weight)) * rise / SEGMENTS
        held = float(np.sum(resistance(touch.friction * step / diameter, area, weight)))
        held += float(resistance(heads, area, density(entry, pressure, rated.gas_constant)))
        held += float(resistance(tail, area, density(outlet, pressure, rated.gas_constant)))
        balance -= held * flow**2
        entry = float(outlet)
    return balance, entry


def largest_chimney_input(rated: Rating, way: Chimney, altitude: float = 0.0) -> float:
    """Return the largest input (W, gross) whose gas the chimney lifts at this time after a cold start."""
    area = np.pi * way.connector**2 / 4
    return largest_flow(lambda flow: _flow_through(flow, rated, way, altitude)[0], area) / rated.mass


def outlet_temperature(rated: Rating, way: Chimney, rate: float, altitude: float = 0.0) -> float:
    """Return K at the outlet with an input (W) and the gas that the codes rate a vent with."""
    return _flow_through(rate * rated.mass, rated, way, altitude)[1]


def lift_surplus(rated: Rating, way: Chimney, rate: float, altitude: float = 0.0) -> float:
    """Return lift minus losses (Pa) with an input (W): not below zero where the chimney carries it."""
    return _flow_through(rate * rated.mass, rated, way, altitude)[0]
