"""Where the flue gas goes: up the vent, out of the hood above its own fire, or out of another appliance's hood."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.vents.pipes import Pipes

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spillage:
    """Flue gas that enters the house, shape (A, S) each.

    Attributes
    ----------
    share : ndarray
        Share of each fire's gas that enters the house, by its own hood or by another's; 0 where nothing burns.
    hood_gas : ndarray
        kg/s of undiluted flue gas, whichever fire it is from, that comes out of each appliance's hood or outlet.
    """

    share: FloatArray
    hood_gas: FloatArray


def spillage(pipes: Pipes, flow: FloatArray, flue_gas: FloatArray) -> Spillage:
    """Follow the flue gas of every fire to where it leaves.

    Parameters
    ----------
    flow : ndarray, shape (P, S)
        kg/s up each pipe, connectors first.
    flue_gas : ndarray, shape (A, S)
        kg/s of undiluted gas that each fire makes.

    Notes
    -----
    A hood spills what its connector does not take. What the connectors bring is mixed in the junction; where
    another connector is reversed, its share of the mixture comes out of that hood, whether its burner is lit or not.
    """
    count = pipes.connectors
    up, down = np.maximum(flow[:count], 0.0), np.maximum(-flow[:count], 0.0)
    kept = np.minimum(up, flue_gas)
    member = (pipes.junction[:count] == np.arange(pipes.stacks)[:, None]).astype(float)
    entering = np.maximum(member @ up + np.maximum(-flow[count:], 0.0), 1e-12)
    strength = (member @ kept) / entering
    returned = np.minimum((member @ down) / entering, 1.0)
    burning = flue_gas > 0.0
    taken = kept / np.where(burning, flue_gas, 1.0)
    share = np.where(burning, 1.0 - taken * (1.0 - returned[pipes.junction[:count]]), 0.0)
    return Spillage(share, flue_gas - kept + down * strength[pipes.junction[:count]])
