"""The wall of a vent or chimney: what holds the heat and what stores it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.reference import load

FloatArray = NDArray[np.float64]

#: Perimeter over that of the circle of equal area.
SHAPES = {"round": 1.0, "square": 2.0 / math.sqrt(math.pi)}


@dataclass(frozen=True, slots=True)
class Wall:
    """One kind of vent wall, per square metre of its inside.

    Attributes
    ----------
    roughness : float
        m, of the inside.
    resistance : ndarray
        m2 K/W in front of each storing layer, from the gas outwards.
    capacity : ndarray
        J/(m2 K) of each storing layer.
    shape : float
        Perimeter of the flue over that of the circle of equal area: 1 for a round one, 2/sqrt(pi) for a square tile.
    film : float
        W/(m2 K) from the outermost layer to still surroundings.
    outdoor_film : float
        W/(m2 K) from the outermost layer to outdoor air.
    """

    kind: str
    roughness: float
    resistance: FloatArray
    capacity: FloatArray
    shape: float
    film: float
    outdoor_film: float

    @property
    def outward_resistance(self) -> float:
        """m2 K/W from the inner face of the wall to still surroundings."""
        return float(np.sum(self.resistance)) + 1.0 / self.film


@cache
def wall(kind: str) -> Wall:
    """Return the wall named in ``reference/vents.toml``.

    Raises
    ------
    InputError
        If there is no such kind.
    """
    table = load("vents")
    kinds = table["wall"]
    if kind not in kinds:
        raise InputError(
            "no such kind of vent", where="kind", given=kind, expected=" or ".join(sorted(kinds))
        )
    row = kinds[kind]
    return Wall(
        kind=kind,
        roughness=float(row["roughness"]),
        resistance=np.array([layer["resistance"] for layer in row["layers"]], dtype=float),
        capacity=np.array([layer["capacity"] for layer in row["layers"]], dtype=float),
        shape=SHAPES[row.get("section", "round")],
        film=float(row["outside_film"]),
        outdoor_film=float(table["outdoor_film"]["value"]),
    )
