"""The rows of a dwelling's network: what does not depend on the setup. One path may need several rows.

``RowTable`` is the builder; the vents append their junctions and rows to it before it is frozen into ``Rows``.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.dwelling.parts import OUTDOORS as OUTDOORS_NAME
from hvaclib.house.network.arrays import OUTDOORS, FloatArray, IntArray
from hvaclib.house.wind import FACES


@dataclass(frozen=True, slots=True)
class Path:
    """One thing that air passes, as people name it, and its rows in the network.

    Parameters
    ----------
    name, kind : str
        Name in the file, and ``"leak"``, ``"opening"``, ``"door"``, ``"window"``, ``"vent"`` and so on.
    start, end : str
        Names of the zones (or "outdoors"); positive flow runs from start to end.
    first, last : int
        Its rows are ``first`` to ``last - 1``.
    """

    name: str
    kind: str
    start: str
    end: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Rows:
    """Frozen rows: P rows, Z zones (junctions included), all SI.

    Parameters
    ----------
    zone_names : tuple of str
        Names in the order of the network; the dwelling's zones first, then junctions.
    paths : tuple of Path
        What the rows belong to.
    path : ndarray of int, shape (P,)
        Index of each row's path.
    start, end : ndarray of int, shape (P,)
        Zones, ``OUTDOORS`` for outdoors.
    exponent : ndarray, shape (P,)
        n.
    closed, opened : ndarray, shape (P,)
        Coefficient in standard air, kg/s/Pa**n, with its control at 0 and at 1.
    control : ndarray of int, shape (P,)
        Row of the positions (0 = nothing moves it, then doors, then windows).
    height : ndarray, shape (P,)
        Above outdoor ground, m.
    face : ndarray of int, shape (P,)
        Index in ``wind.FACES``.
    sign : ndarray, shape (P,)
        +1 where the path starts outdoors, -1 where it ends there, 0 inside: sign of the wind pressure.
    free : ndarray of bool, shape (P,)
        Rows whose coefficient and drive their owner fills in.
    """

    zone_names: tuple[str, ...]
    paths: tuple[Path, ...]
    path: IntArray
    start: IntArray
    end: IntArray
    exponent: FloatArray
    closed: FloatArray
    opened: FloatArray
    control: IntArray
    height: FloatArray
    face: IntArray
    sign: FloatArray
    free: IntArray


@dataclass(slots=True)
class RowTable:
    """Builder of rows. Append zones, paths and rows in any order of need, then ``freeze``.

    Parameters
    ----------
    zone_names : list of str
        Names of the zones so far.
    """

    zone_names: list[str]
    _paths: list[tuple[str, str, str, str]] = field(default_factory=list)
    _rows: list[tuple[float, ...]] = field(default_factory=list)
    _first: list[int] = field(default_factory=list)

    def index(self, zone: str) -> int:
        """Number of a zone in the network; ``OUTDOORS`` for "outdoors"."""
        if zone == OUTDOORS_NAME:
            return OUTDOORS
        if zone not in self.zone_names:
            raise InputError(
                "no zone has this name", where="network", given=zone, expected=", ".join(self.zone_names)
            )
        return self.zone_names.index(zone)

    def add_junction(self, name: str) -> int:
        """A zone without volume of its own (a vent's tee, a draft hood); returns its number.

        Its density is that of standard air until its owner fills in the drives of the rows that touch it.
        """
        if name in self.zone_names:
            raise InputError("a zone of this name exists", where="network", given=name)
        self.zone_names.append(name)
        return len(self.zone_names) - 1

    def add_path(self, name: str, kind: str, start: str, end: str) -> int:
        """A path without rows yet; rows added next belong to it. Returns its number."""
        self._paths.append((name, kind, start, end))
        self._first.append(len(self._rows))
        return len(self._paths) - 1

    def add_row(
        self,
        *,
        exponent: float,
        height: float,
        closed: float,
        opened: float | None = None,
        control: int = 0,
        face: str = "none",
    ) -> int:
        """A row of the last path with its coefficients in standard air; returns its number."""
        self._rows.append(
            (exponent, height, closed, closed if opened is None else opened, control, FACES.index(face), 0.0)
        )
        return len(self._rows) - 1

    def add_free_row(self, *, exponent: float, height: float = 0.0) -> int:
        """A row of the last path whose coefficient and drive start at zero and are filled in by their owner."""
        self._rows.append((exponent, height, 0.0, 0.0, 0, 0, 1.0))
        return len(self._rows) - 1

    def freeze(self) -> Rows:
        """The rows as arrays."""
        columns = np.array(self._rows, dtype=np.float64).reshape(len(self._rows), 7).T
        bounds = [*self._first, len(self._rows)]
        paths = tuple(
            Path(*path, first, last)
            for path, first, last in zip(self._paths, bounds[:-1], bounds[1:], strict=True)
        )
        owner = np.repeat(np.arange(len(paths), dtype=np.intp), [path.last - path.first for path in paths])
        starts = np.array([self.index(path.start) for path in paths], dtype=np.intp)[owner]
        ends = np.array([self.index(path.end) for path in paths], dtype=np.intp)[owner]
        return Rows(
            zone_names=tuple(self.zone_names),
            paths=paths,
            path=owner,
            start=starts,
            end=ends,
            exponent=columns[0].copy(),
            height=columns[1].copy(),
            closed=columns[2].copy(),
            opened=columns[3].copy(),
            control=columns[4].astype(np.intp),
            face=columns[5].astype(np.intp),
            sign=(starts == OUTDOORS).astype(np.float64) - (ends == OUTDOORS),
            free=columns[6].astype(np.intp),
        )
