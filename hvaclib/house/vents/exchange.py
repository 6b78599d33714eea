"""Heat between the gas in a vent and its walls, segment by segment."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.pipes import LAYERS, SEGMENTS, Pipes
from hvaclib.physics.vent.column import SPECIFIC_HEAT, Flow, transfer_units, wall_flow

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Pull:
    """What draws the gas of each segment towards another temperature.

    Attributes
    ----------
    rest : ndarray, shape (N, P, S)
        K towards which it is drawn if it enters at 0 K.
    slope : ndarray, shape (P, S), or float
        K more of that for each kelvin of the entering gas: the gas warms the wall that cools it.
    units : ndarray, shape (P, S)
        Transfer units of one segment.
    """

    rest: FloatArray
    slope: FloatArray | float
    units: FloatArray

    def of(self, pipes: slice) -> Pull:
        """The pull on some of the pipes."""
        slope = self.slope if isinstance(self.slope, float) else self.slope[pipes]
        return Pull(self.rest[:, pipes], slope, self.units[pipes])

    def downward(self) -> Pull:
        """The same from top to foot."""
        return Pull(self.rest[::-1], self.slope, self.units)

    def carry(self, inlet: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the temperature (K) that enters each segment, shape (N, P, S), and the one that leaves the last."""
        kept = np.exp(-self.units)
        drawn = (1.0 - kept) * self.rest
        passed = self.slope + (1.0 - self.slope) * kept
        entering = np.empty_like(drawn)
        temperature = inlet
        for index in range(SEGMENTS):
            entering[index] = temperature
            temperature = drawn[index] + passed * temperature
        return entering, temperature

    def mean(self, entering: FloatArray) -> FloatArray:
        """Return the mean temperature (K) of each segment; exact for one of constant wall temperature."""
        average = -np.expm1(-self.units) / np.maximum(self.units, 1e-12)
        result: FloatArray = (1.0 - average) * self.rest
        result += (self.slope + (1.0 - self.slope) * average) * entering
        return result


def capacity_flow(flow: FloatArray) -> FloatArray:
    """Return W/K that the flow carries; never quite zero."""
    result: FloatArray = np.maximum(np.abs(flow), 1e-9) * SPECIFIC_HEAT
    return result


def units_of(pipes: Pipes, per_area: FloatArray, flow: FloatArray) -> FloatArray:
    """Return the number of transfer units of one segment, shape (P, S)."""
    return transfer_units(per_area * pipes.inside[:, None], flow)


def wall_response(
    pipes: Pipes, wall: FloatArray, exchange: FloatArray, surroundings: FloatArray, step: float
) -> tuple[FloatArray, FloatArray]:
    """Solve the tridiagonal heat balance of the layers for any temperature of the gas that enters a segment.

    Returns
    -------
    rest : ndarray, shape (LAYERS, N, P, S)
        K at the end of the step if the gas entered at 0 K.
    slope : ndarray, shape (LAYERS, P, S)
        K more for each kelvin of the entering gas; the same in all segments of a pipe.
    """
    store = pipes.capacity[..., None] / step
    between = 1.0 / pipes.resistance[1:, :, None]
    diagonal = [store[layer] + np.zeros_like(exchange) for layer in range(LAYERS)]
    diagonal[0] = diagonal[0] + exchange
    diagonal[-1] = diagonal[-1] + pipes.film[:, None]
    known = [store[layer] * wall[layer] for layer in range(LAYERS)]
    known[-1] = known[-1] + pipes.film[:, None] * surroundings
    given = [exchange, *[np.zeros_like(exchange)] * (LAYERS - 1)]
    for layer in range(LAYERS - 1):
        diagonal[layer] = diagonal[layer] + between[layer]
        diagonal[layer + 1] = diagonal[layer + 1] + between[layer]
    for layer in range(1, LAYERS):
        factor = between[layer - 1] / diagonal[layer - 1]
        diagonal[layer] = diagonal[layer] - factor * between[layer - 1]
        known[layer] = known[layer] + factor * known[layer - 1]
        given[layer] = given[layer] + factor * given[layer - 1]
    rest, slope = np.empty_like(wall), np.empty((LAYERS, *exchange.shape))
    rest[-1], slope[-1] = known[-1] / diagonal[-1], given[-1] / diagonal[-1]
    for layer in range(LAYERS - 2, -1, -1):
        rest[layer] = (known[layer] + between[layer] * rest[layer + 1]) / diagonal[layer]
        slope[layer] = (given[layer] + between[layer] * slope[layer + 1]) / diagonal[layer]
    return rest, slope


def wall_touch(pipes: Pipes, mean: FloatArray, flow: FloatArray) -> Flow:
    """Return what the flow does at the wall of each pipe whose gas has this mean temperature (K, shape (P, S))."""
    size = (pipes.diameter[:, None], pipes.length[:, None], pipes.roughness[:, None])
    return wall_flow(flow, *size, mean, pipes.shape[:, None])


def film_of(pipes: Pipes, gas: FloatArray, flow: FloatArray) -> FloatArray:
    """Return the film coefficient (W/(m2 K)) between gas (K, shape (N, P, S)) and wall of each pipe."""
    mean = gas.mean(axis=0)
    return wall_touch(pipes, mean, flow).film
