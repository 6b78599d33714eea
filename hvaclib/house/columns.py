"""Many setups as arrays: one row a switch, one column a scenario."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.dwelling.sentences import choice
from hvaclib.house.network.arrays import FloatArray
from hvaclib.house.setup import Setup, Switches

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.house.dwelling import Dwelling


@dataclass(frozen=True, slots=True)
class SetupColumns:
    """S setups of one dwelling as arrays, SI, rows in the order of the dwelling's tables.

    Parameters
    ----------
    outdoor_temperature, wind_speed, wind_direction : ndarray, shape (S,)
        K, m/s, rad.
    fans : ndarray, shape (F, S)
        Speed, 0 to 1.
    doors, windows : ndarray, shape (D, S) and (W, S)
        1 open, 0 closed.
    air_handler : ndarray, shape (S,)
        1 running, 0 not.
    firing : ndarray, shape (A, S)
        1 burning, 0 not.
    """

    outdoor_temperature: FloatArray
    wind_speed: FloatArray
    wind_direction: FloatArray
    fans: FloatArray
    doors: FloatArray
    windows: FloatArray
    air_handler: FloatArray
    firing: FloatArray

    @property
    def scenarios(self) -> int:
        """Number of setups, S."""
        return int(self.outdoor_temperature.size)


def setup_columns(dwelling: Dwelling, setups: Sequence[Setup]) -> SetupColumns:
    """Setups as columns.

    Parameters
    ----------
    dwelling : Dwelling
        The dwelling that they belong to.
    setups : sequence of Setup
        At least one.

    Returns
    -------
    SetupColumns

    Raises
    ------
    InputError
        If there is no setup, or one does not name every switch of the dwelling.
    """
    if not setups:
        raise InputError("there is no setup", where=dwelling.name, expected="one setup or more")
    return SetupColumns(
        outdoor_temperature=np.array([setup.outdoor_temperature for setup in setups], dtype=np.float64),
        wind_speed=np.array([setup.wind_speed for setup in setups], dtype=np.float64),
        wind_direction=np.array([setup.wind_direction for setup in setups], dtype=np.float64),
        fans=_positions(dwelling, "fan", [setup.fans for setup in setups]),
        doors=_positions(dwelling, "door", [setup.doors for setup in setups]),
        windows=_positions(dwelling, "window", [setup.windows for setup in setups]),
        air_handler=np.array([bool(setup.air_handler) for setup in setups], dtype=np.float64),
        firing=_positions(dwelling, "appliance", [setup.firing for setup in setups]),
    )


def _positions(dwelling: Dwelling, table: str, switches: Sequence[Mapping[str, float]]) -> FloatArray:
    names = [part.name for part in getattr(dwelling, f"{table}s")]
    wanted = set(names)
    rows: dict[int, list[float]] = {}
    for item in switches:
        # scenarios share most of their switches: each distinct mapping is read once
        if id(item) not in rows:
            wrong = wanted.symmetric_difference(item)
            if wrong:
                name = min(wrong)
                what = (
                    f"the {table} is not in the setup"
                    if name in wanted
                    else f"the dwelling has no such {table}"
                )
                raise InputError(what, where="setup", given=name, expected=choice(name, names))
            rows[id(item)] = [float(item[name]) for name in names]
    table_rows = [rows[id(item)] for item in switches]
    return np.ascontiguousarray(np.array(table_rows, dtype=np.float64).reshape(len(switches), len(names)).T)


def setup_of(dwelling: Dwelling, columns: SetupColumns, index: int) -> Setup:
    """One column as a setup again."""

    def flags(table: str, rows: FloatArray) -> Switches[bool]:
        return Switches(
            {part.name: bool(rows[row, index]) for row, part in enumerate(getattr(dwelling, table))}
        )

    return Setup(
        outdoor_temperature=float(columns.outdoor_temperature[index]),
        wind_speed=float(columns.wind_speed[index]),
        wind_direction=float(columns.wind_direction[index]),
        fans=Switches({fan.name: float(columns.fans[row, index]) for row, fan in enumerate(dwelling.fans)}),
        doors=flags("doors", columns.doors),
        windows=flags("windows", columns.windows),
        air_handler=None if dwelling.air_handler is None else bool(columns.air_handler[index]),
        firing=flags("appliances", columns.firing),
    )
