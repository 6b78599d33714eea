"""What readings leave open about a dwelling: factors on its leaks, fans, ducts and vents, with their assumed spread."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling

KEYS = ("house_leakage", "zone_leakage", "exhaust", "return_leakage", "vent")
"""Keys of the unknowns, in the order of every array."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """One factor that a fit looks for; 1 is what the starting dwelling says.

    Parameters
    ----------
    key, title, words : str
        Name in files, name for people, and what exactly it multiplies.
    spread : float
        Standard deviation of the natural logarithm of the factor before any reading.
    source : str
        Where the spread comes from.
    """

    key: str
    title: str
    words: str
    spread: float
    source: str


@cache
def table() -> dict[str, Any]:
    """The figures of ``unknowns.toml``."""
    return tomllib.loads(resources.files(__package__).joinpath("unknowns.toml").read_text(encoding="utf-8"))


def unknowns(dwelling: Dwelling, zone: str, *, wide: bool = False) -> tuple[Unknown, ...]:
    """The unknowns that a dwelling has.

    Parameters
    ----------
    dwelling : Dwelling
        Where the fit starts.
    zone : str
        The combustion appliance zone.
    wide : bool, optional
        Whether the dwelling was made from a sheet alone, so that less is known of it.

    Returns
    -------
    tuple of Unknown
        What the dwelling does not have, such as a return duct with leaks, is left out.
    """
    handler = dwelling.air_handler
    there = {
        "house_leakage": any(zone not in leak.between for leak in dwelling.leaks),
        "zone_leakage": any(zone in leak.between for leak in dwelling.leaks),
        "exhaust": bool(exhaust_rows(dwelling)),
        "return_leakage": handler is not None and bool(handler.return_leakage) and bool(handler.returns),
        "vent": any(item.vented for item in dwelling.appliances),
    }
    rows = table()
    return tuple(
        Unknown(
            key,
            rows[key]["title"],
            rows[key]["words"],
            float(rows[key]["wide_spread" if wide else "spread"]),
            rows[key]["source"],
        )
        for key in KEYS
        if there[key]
    )


def exhaust_rows(dwelling: Dwelling) -> list[int]:
    """Rows of the fans that blow a stated airflow outdoors."""
    return [
        row
        for row, fan in enumerate(dwelling.fans)
        if fan.flow is not None and fan.to == "outdoors" and fan.direction == "exhaust"
    ]


def model_uncertainty(quantity: str, value: float) -> float:
    """Standard uncertainty that the model adds to a reading.

    Parameters
    ----------
    quantity : str
        "draft", "spillage_time" or a pressure's key.
    value : float
        The reading, SI.

    Returns
    -------
    float
        SI.
    """
    name = quantity if quantity in ("draft", "spillage_time") else "pressure"
    row = table()["model"][name]
    kind = kinds.TIME if name == "spillage_time" else kinds.PRESSURE_DIFFERENCE
    return max(parse_si(row["floor"], kind), float(row["of_value"]) * abs(value))
