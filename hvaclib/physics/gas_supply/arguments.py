"""A drill, a pipe, a rate and an altitude rule as people write them, for Python and the command line alike."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from hvaclib.errors import HvacError, InputError
from hvaclib.reference import figure, load
from hvaclib.units import kinds, quantity_si

__all__ = ["DRILL", "INCH", "ORIFICE", "PIPE", "RATE", "VolumeRate", "drills", "pipes"]

INCH: Final = 0.0254
_NUMBER = re.compile(r"(?:#|no\.?|number|drill)?\s*(?:#|no\.?|number)?\s*(\d{1,2})", re.IGNORECASE)


@cache
def drills() -> dict[int, float]:
    """Diameter (m) of each number drill, largest first."""
    sizes = figure("gas_supply", "drills").value
    assert isinstance(sizes, tuple)  # a list in the table
    return {number: size * INCH for number, size in enumerate(sizes, start=1)}


@cache
def pipes() -> dict[str, float]:
    """Inside diameter (m) of Schedule 40 pipe by nominal size ("1-1/4"), smallest first."""
    sizes = figure("gas_supply", "pipes").value
    assert isinstance(sizes, tuple)  # a list in the table
    return dict(zip(load("gas_supply")["pipes"]["nominal"], (size * INCH for size in sizes), strict=True))


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill by its number."""

    def to_si(self, value: Any, where: str) -> float:
        """Take 48, "48", "#48", "No. 48" or "drill 48" to the diameter, m."""
        match = _NUMBER.fullmatch(str(value).strip()) if isinstance(value, (str, int)) else None
        number = int(match[1]) if match and not isinstance(value, bool) else 0
        if number not in drills():
            raise InputError("not a number drill", where=where, given=value, expected=self.describe())
        return drills()[number]

    def describe(self) -> str:
        """Say what is expected."""
        return "a number drill from #1 to #80"


@dataclass(frozen=True, slots=True)
class Orifice:
    """An orifice: its diameter, or the drill that made it."""

    def to_si(self, value: Any, where: str) -> Any:
        """Take a length, or what `Drill` takes."""
        drill = isinstance(value, int) or (isinstance(value, str) and _NUMBER.fullmatch(value.strip()))
        if drill:
            return Drill().to_si(value, where)
        try:
            return quantity_si(value, kinds.SIZE, where)
        except HvacError as error:
            raise type(error)(
                error.what, where=error.where, given=error.given, expected=self.describe()
            ) from None

    def describe(self) -> str:
        """Say what is expected."""
        return "a diameter such as 0.076 in, or a drill such as #48"


@dataclass(frozen=True, slots=True)
class Pipe:
    """A pipe: its nominal size, or its inside diameter."""

    def to_si(self, value: Any, where: str) -> Any:
        """Take "3/4", "3/4 in" or "1-1/4 nominal" as nominal sizes; "0.824 in" and quantities as inside diameters."""
        if isinstance(value, str):
            name = re.sub(r"(nominal|nom\.?|inches|inch|in\.?|\")", "", value.strip().lower())
            name = re.sub(r"(?<=\d)\s+(?=\d)", "-", " ".join(name.split()))
            if name in pipes():
                return pipes()[name]
        try:
            return quantity_si(value, kinds.SIZE, where)
        except HvacError as error:
            raise type(error)(
                error.what, where=error.where, given=error.given, expected=self.describe()
            ) from None

    def describe(self) -> str:
        """Say what is expected."""
        return f"a nominal size ({', '.join(pipes())}) or an inside diameter such as 0.824 in"


class VolumeRate(float):
    """A rate stated as gas volume, m³/s, where one of heat (W) would do too."""


@dataclass(frozen=True, slots=True)
class Rate:
    """A firing rate: heat or gas volume in time."""

    def to_si(self, value: Any, where: str) -> Any:
        """Heat to W; gas volume to m³/s, marked as such."""
        try:
            return quantity_si(value, kinds.POWER, where)
        except HvacError as error:
            refused = error
        try:
            return VolumeRate(quantity_si(value, kinds.GAS_FLOW, where))
        except HvacError:
            raise type(refused)(
                refused.what, where=where, given=refused.given, expected=self.describe()
            ) from None

    def describe(self) -> str:
        """Say what is expected."""
        return "a rate such as 80000 Btu/h or 80 ft³/h"


DRILL, ORIFICE, PIPE, RATE = Drill(), Orifice(), Pipe(), Rate()
