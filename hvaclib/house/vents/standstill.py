"""Which end fills a vent pipe that nearly stands still: gas of both ends meets in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.pipes import Pipes
from hvaclib.reference import value

FloatArray = NDArray[np.float64]

EXCHANGE_SPEED = 0.05
"""m/s: least mean speed below which a pipe fills from both ends, for gas hardly warmer than what sinks on it
(assumption, no source for vents)."""
STANDSTILL_DENSITY = 1.1
"""kg/m3, of the lukewarm gas in it; only turns that speed into a flow."""


def rising_share(pipes: Pipes, flow: FloatArray, fire: FloatArray, above: FloatArray) -> FloatArray:
    """Return how far each pipe is filled from its foot (1) and not from its top (0), shape (P, S).

    Parameters
    ----------
    flow : ndarray, shape (P, S)
        kg/s, upwards.
    fire, above : ndarray, shape (A, S)
        K, undiluted flue gas at each hood (the room's air where nothing burns), and what would sink on it from the
        junction.

    Notes
    -----
    A pipe that nearly stands still exchanges gas at both ends and holds some of each. Without this a connector whose
    gas lifts it only while it sinks has no steady state at all. Hot flue gas climbs into its connector against a
    stream slower than a share of sqrt(g D (hot - cold) / hot), so that a breath of air down the vent does not keep a
    burning appliance from starting it.
    """
    count = pipes.connectors
    buoyancy = np.maximum(fire - above, 0.0) / fire
    gravity = float(value("air", "standard_gravity"))
    reach = float(value("vents", "opposed_stream")) * np.sqrt(
        gravity * pipes.diameter[:count, None] * buoyancy
    )
    speed = np.full(flow.shape, EXCHANGE_SPEED)
    speed[:count] = np.maximum(speed[:count], reach)
    slow = speed * (STANDSTILL_DENSITY * pipes.area[:, None])
    result: FloatArray = np.clip(0.5 + 0.5 * flow / slow, 0.0, 1.0)
    return result
