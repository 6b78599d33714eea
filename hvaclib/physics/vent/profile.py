"""Temperature of the gas, and of the wall that it touches, along a connector and its flue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hvaclib.physics.vent.capacity import SEGMENTS, Rating
from hvaclib.physics.vent.chimney import wall_conductance
from hvaclib.physics.vent.column import march, transfer_units, wall_flow
from hvaclib.physics.vent.wall import wall

FloatArray = NDArray[np.float64]

__all__ = ["Piece", "Profile", "profile"]


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of connector or flue; SI.

    Attributes
    ----------
    diameter, length, climb : float
        m; the diameter is that of the circle of equal area, the climb is the height that it gains.
    kind : str
        Wall.
    around : float
        K of the surroundings; the wall was as cold as they when the burner lit.
    outdoors : bool
        Whether its outside is in outdoor air.
    """

    diameter: float
    length: float
    climb: float
    kind: str
    around: float
    outdoors: bool = False


@dataclass(frozen=True, slots=True)
class Profile:
    """What is found at the middle of each segment, from the draft hood on.

    Attributes
    ----------
    piece : ndarray of int, shape (N,)
        Which piece the segment belongs to.
    height : ndarray, shape (N,)
        m above the draft hood.
    climb : ndarray, shape (N,)
        m of height that the segment gains.
    gas, wall : ndarray, shape (N,)
        K of the gas, and of the inner face of the wall.
    outlet : float
        K of the gas where it leaves.
    """

    piece: NDArray[np.intp]
    height: FloatArray
    climb: FloatArray
    gas: FloatArray
    wall: FloatArray
    outlet: float


def profile(rated: Rating, pieces: Sequence[Piece], flow: float, time: float) -> Profile:
    """Follow the gas of one flow through pieces that were cold when the burner lit.

    Parameters
    ----------
    rated : Rating
        State in which the gas enters.
    pieces : sequence of Piece
        In the order of the flow; a piece without length is passed over.
    flow : float
        kg/s, above zero.
    time : float
        s of burning; infinite for a wall that has settled.

    Returns
    -------
    Profile
        Of `SEGMENTS` segments a piece.

    Notes
    -----
    The wall stores heat as in `wall_conductance`, each segment as if its gas had been as hot as now since the start.
    The inner face is cooler than the gas by the heat that passes over the film's conductance.
    """
    entry, base = rated.ambient + rated.rise, 0.0
    found: list[tuple[int, FloatArray, FloatArray, FloatArray]] = []
    for index, piece in enumerate(pieces):
        if piece.length <= 0.0:
            continue
        material = wall(piece.kind)
        if piece.outdoors:
            material = replace(material, film=material.outdoor_film)
        mean, outlet = np.full(SEGMENTS, entry), np.asarray(entry)
        around = np.full(SEGMENTS, piece.around)
        for _ in range(4):  # properties follow the temperature, which follows the properties only weakly
            touch = wall_flow(flow, piece.diameter, piece.length, material.roughness, mean, material.shape)
            through = wall_conductance(material, touch.film, time)
            face = np.pi * piece.diameter * material.shape * piece.length / SEGMENTS
            units = transfer_units(face * through, flow)
            mean, outlet = march(entry, around, units)
        heights = base + piece.climb * (np.arange(SEGMENTS) + 0.5) / SEGMENTS
        inner = mean - through / touch.film * (mean - piece.around)
        found.append((index, heights, mean, inner))
        entry, base = float(outlet), base + piece.climb
    return Profile(
        np.repeat([item[0] for item in found], SEGMENTS),
        np.concatenate([item[1] for item in found]),
        np.repeat([pieces[item[0]].climb / SEGMENTS for item in found], SEGMENTS),
        np.concatenate([item[2] for item in found]),
        np.concatenate([item[3] for item in found]),
        entry,
    )
