"""The gases of the reference table: names as people write them, atoms, heat, deviation from the ideal gas."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.reference import figure, load

FloatArray = NDArray[np.float64]

#: kg/mol by element, ISO 6976:2016, Annex A.
ATOMIC_MASS: dict[str, float] = {
    element: 1e-3 * mass
    for element, mass in zip(
        ("C", "H", "O", "N", "He", "Ar"), np.atleast_1d(figure("fuels", "atomic_mass").value).tolist(), strict=True
    )
}  # fmt: skip
_INERT = ("He", "Ar")


@dataclass(frozen=True, slots=True)
class Gas:
    """One gas, per mole.

    Attributes
    ----------
    name, symbol : str
        As in ``reference/fuels.toml``.
    molar_mass : float
        kg/mol.
    carbon, hydrogen, oxygen, nitrogen, inert : float
        Atoms in a molecule; inert counts helium and argon.
    gross_heating_values : tuple of float
        J/mol at `combustion_temperatures`.
    summation_factors : tuple of float
        At `metering_temperatures`.
    """

    name: str
    symbol: str
    molar_mass: float
    carbon: float
    hydrogen: float
    oxygen: float
    nitrogen: float
    inert: float
    gross_heating_values: tuple[float, ...]
    summation_factors: tuple[float, ...]


def folded(name: str) -> str:
    """A name without capitals, spaces, hyphens and full stops: so people may write it as they like."""
    return "".join(letter for letter in name.lower() if letter.isalnum())


@cache
def temperatures(which: str) -> FloatArray:
    """Columns of the table, K: ``"combustion"`` or ``"metering"``."""
    return np.asarray(figure("fuels", f"{which}_temperatures").value, dtype=np.float64) + 273.15


@cache
def gases() -> dict[str, Gas]:
    """All gases by name."""
    found = {}
    for row in load("fuels")["gas"]:
        atoms = row["formula"]
        found[row["name"]] = Gas(
            name=row["name"],
            symbol=row["symbol"],
            molar_mass=sum(ATOMIC_MASS[atom] * count for atom, count in atoms.items()),
            carbon=float(atoms.get("C", 0)),
            hydrogen=float(atoms.get("H", 0)),
            oxygen=float(atoms.get("O", 0)),
            nitrogen=float(atoms.get("N", 0)),
            inert=float(sum(atoms.get(atom, 0) for atom in _INERT)),
            gross_heating_values=tuple(1e3 * heat for heat in row["gross_heating_value"]["value"]),
            summation_factors=tuple(row["summation_factor"]["value"]),
        )
    return found


@cache
def _spellings() -> dict[str, str]:
    return {
        folded(spelling): row["name"]
        for row in load("fuels")["gas"]
        for spelling in (row["name"], row["symbol"], *row["also"])
    }


def gas_named(name: str) -> Gas:
    """The gas that a name, symbol or other spelling means.

    Raises
    ------
    InputError
        If the table has no such gas.
    """
    known = _spellings().get(folded(name))
    if known is None:
        raise InputError("no such gas", where="composition", given=name, expected=", ".join(sorted(gases())))
    return gases()[known]


def is_gas(name: str) -> bool:
    """Whether the table has a gas of this name."""
    return folded(name) in _spellings()


def latent_heat(temperature: float) -> float:
    """Heat of condensation of water at a combustion temperature (K), J/mol."""
    return interpolated(gases()["water"].gross_heating_values, temperature, "combustion")


def interpolated(column: tuple[float, ...], temperature: float, which: str) -> float:
    """A figure between the temperatures of the table; the curve is straight there to 2e-5."""
    return float(np.interp(temperature, temperatures(which), column))
