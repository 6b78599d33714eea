"""Readings of the air side that a person took: from the dwelling's file, or typed on one line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hvaclib.errors import HvacError, InputError
from hvaclib.house.dwelling import Dwelling
from hvaclib.readings import TEST_HOLES, VOCABULARY, Reading, Readings, nearest
from hvaclib.units import parse_si

AIR_QUANTITIES = frozenset(
    {
        "supply_temperature",
        "return_temperature",
        "temperature_rise",
        "static_pressure",
        "external_static",
        "airflow",
    }
)
"""Vocabulary keys of the air side."""
_TYPED: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(TEST_HOLES, "static_pressure"),
        "supply": "supply_temperature",
        "return": "return_temperature",
        "rise": "temperature_rise",
        "static": "external_static",
        "airflow": "airflow",
    }
)
_BETWEEN = re.compile(r"\s*[,;]\s*(?=[^,;=]*=)")


@dataclass(frozen=True, slots=True)
class AirStep:
    """One step of a test of the air side.

    Attributes
    ----------
    title, finding : str
        What is done, and what it showed.
    """

    title: str
    finding: str


def filed(dwelling: Dwelling, furnace: str) -> Readings:
    """Readings of the air side in a dwelling's file.

    Parameters
    ----------
    dwelling : Dwelling
    furnace : str
        Name of the furnace; rows about another appliance are left out.

    Returns
    -------
    Readings
    """
    rows = [item for item in dwelling.readings if item.quantity in AIR_QUANTITIES]
    return Readings(
        Reading.from_record(
            {
                "quantity": item.quantity,
                "value": item.value,
                "where": item.where,
                "instrument": item.instrument,
            }
        )
        for item in rows
        if item.where == furnace or item.where in TEST_HOLES
    )


def typed(text: str, furnace: str) -> Readings:
    """Readings typed on one line, such as ``hole 1 = -0.12 in. w.c., hole 2 = -0.30 in. w.c., supply = 128 °F``.

    Parameters
    ----------
    text : str
        Pairs of name and value with its unit, with commas between. Names: hole 1 to hole 4, supply, return, rise,
        static, airflow.
    furnace : str
        Name of the furnace.

    Returns
    -------
    Readings

    Raises
    ------
    InputError
        If a name is unknown or given twice, or a value is not what its quantity needs.
    """
    found: dict[str, Reading] = {}
    for pair in _BETWEEN.split(text.strip().rstrip(",;")):
        name, equals, value = (part.strip() for part in pair.partition("="))
        key = re.sub(r"\s+", " ", name.lower())
        if not equals:
            raise InputError(
                "this is no reading", where="measured", given=pair, expected="such as hole 1 = -0.12 in. w.c."
            )
        if key not in _TYPED:
            raise InputError(
                "nothing to read here has this name",
                where="measured",
                given=name,
                expected=nearest(key, _TYPED),
            )
        if key in found:
            raise InputError("this reading is given twice", where="measured", given=name)
        found[key] = _reading(_TYPED[key], value, key, furnace)
    return Readings(found.values())


def _reading(quantity: str, value: str, name: str, furnace: str) -> Reading:
    kind = VOCABULARY[quantity].kind
    assert kind is not None  # every quantity of the air side is a number
    try:
        si = parse_si(value, kind)
        return Reading(quantity, si, name if name in TEST_HOLES else furnace)
    except HvacError as error:
        raise InputError(
            error.what, where=f"measured, {name}", given=value, expected=error.expected
        ) from error


def take(readings: Readings, quantity: str, where: str) -> Reading | None:
    """The last reading of a quantity at a place: typed readings follow those of the file."""
    found = readings.of(quantity, where)
    return found[len(found) - 1] if len(found) else None
