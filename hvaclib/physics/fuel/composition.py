"""What a person writes for a fuel: a name, or a composition in mole percent."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pint

from hvaclib.errors import InputError
from hvaclib.physics.fuel.burning import Fuel, blend, fuel, fuel_names
from hvaclib.physics.fuel.gases import gas_named, is_gas
from hvaclib.units import kinds, quantity_si

__all__ = ["COMPOSITION", "FUEL", "Composition", "FuelNamed"]

_ITEM = re.compile(
    r"^(?P<name>\S.*?)\s*[\s:=]\s*(?P<number>[-+]?[\d.]+(?:[eE][-+]?\d+)?)\s*(?:mol\w*\s*)?%?$"
)
_SLACK = 0.005
"""A printed analysis adds up to 100 % within its rounding."""


@dataclass(frozen=True, slots=True)
class Composition:
    """Gases with their shares in mole percent; mole fractions that add up to one are understood too."""

    def to_si(self, value: Any, where: str) -> dict[str, float]:
        """Take a mapping or a text such as ``"CH4 93.3, N2 6.7"``; give mole fractions that add up to one.

        Raises
        ------
        InputError
            If a gas is unknown or named twice, a share is no number or negative, or the sum is not 100 %.
        """
        items = _split(value, where, self.describe()) if isinstance(value, str) else value
        if not isinstance(items, Mapping) or not items:
            raise InputError("not a composition", where=where, given=value, expected=self.describe())
        shares: dict[str, float] = {}
        for name, raw in items.items():
            try:
                gas = gas_named(str(name)).name
            except InputError as error:
                raise InputError(
                    error.what, where=where, given=error.given, expected=error.expected
                ) from None
            if gas in shares:
                raise InputError("a gas is named twice", where=where, given=gas, expected="each gas once")
            shares[gas] = _share(raw, gas, where)
        return _normal(shares, where)

    def describe(self) -> str:
        """Say what a composition is."""
        return 'gases with their mole percent, such as "CH4 93.3, C2H6 2.6, N2 4.1"'


@dataclass(frozen=True, slots=True)
class FuelNamed:
    """A fuel by its name or by its composition."""

    def to_si(self, value: Any, where: str) -> Fuel:
        """Take a fuel, its name, the name of one gas, or a composition.

        Raises
        ------
        InputError
            If it is none of these.
        """
        if isinstance(value, Fuel):
            return value
        if isinstance(value, Mapping):
            return _mixed(value, where)
        if isinstance(value, str) and value.strip():
            return _of_text(value.strip(), where)
        raise InputError("not a fuel", where=where, given=value, expected=self.describe())

    def describe(self) -> str:
        """Name the fuels."""
        return ", ".join(f'"{name}"' for name in fuel_names()) + ", one gas, or a composition in mole percent"


COMPOSITION = Composition()
FUEL = FuelNamed()


def _of_text(text: str, where: str) -> Fuel:
    if is_gas(text) and text not in fuel_names():
        gas = gas_named(text).name
        try:
            return blend(gas, {gas: 1.0})
        except InputError:
            raise InputError(
                "this gas does not burn", where=where, given=text, expected=FUEL.describe()
            ) from None
    try:
        return fuel(text)
    except InputError:
        if "," in text or _ITEM.match(text):
            return _mixed(text, where)
        raise InputError("no such fuel", where=where, given=text, expected=FUEL.describe()) from None


def _mixed(value: Any, where: str) -> Fuel:
    composition = COMPOSITION.to_si(value, where)
    try:
        return blend("this gas", composition)
    except InputError as error:
        raise InputError(error.what, where=where, given=value, expected="a gas that burns") from None


def _split(text: str, where: str, expected: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for item in (part.strip() for part in text.split(",")):
        match = _ITEM.match(item)
        if match is None:
            raise InputError(
                "a part of the composition has no gas and number", where=where, given=item, expected=expected
            )
        name = match["name"].rstrip(" :=")
        if name in found:
            raise InputError("a gas is named twice", where=where, given=name, expected="each gas once")
        found[name] = match["number"]
    return found


def _share(raw: Any, gas: str, where: str) -> float:
    """A share in percent."""
    try:
        if isinstance(raw, pint.Quantity):
            number = 100.0 * float(quantity_si(raw, kinds.FRACTION, where))
        else:
            number = float(raw.rstrip(" %") if isinstance(raw, str) else raw)
    except (TypeError, ValueError):
        raise InputError(
            f"the share of {gas} is not a number", where=where, given=raw, expected="a mole percent"
        ) from None
    if not (math.isfinite(number) and number >= 0.0):
        raise InputError(f"the share of {gas} is out of range", where=where, given=raw, expected="0 to 100 %")
    return number


def _normal(shares: dict[str, float], where: str) -> dict[str, float]:
    total = sum(shares.values())
    whole = 1.0 if abs(total - 1.0) <= _SLACK else 100.0
    if abs(total / whole - 1.0) > _SLACK:
        raise InputError(
            "the shares do not add up", where=where, given=f"{total:g} %", expected="100 % within 0.5 %"
        )
    return {gas: share / total for gas, share in shares.items()}
