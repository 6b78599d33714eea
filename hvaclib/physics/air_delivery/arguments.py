"""A fan and a list of losses as people write them, for Python and the command line alike."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from hvaclib.errors import HvacError, InputError
from hvaclib.physics.air_delivery.fan import ConstantAirflow, Fan, FanTable
from hvaclib.physics.air_delivery.system import Component
from hvaclib.reference import value
from hvaclib.units import Quantity, kinds, quantity_si

__all__ = ["FAN", "SYSTEM", "FanArgument", "SystemArgument", "usual_exponent"]

_ROWS = re.compile(r"[;,](?=[^;,:]*:)")  # a comma that groups thousands has no colon before the next one
_CONSTANT = re.compile(r"\s*constant\s+(?P<flow>.+?)\s+(?:up\s+)?to\s+(?P<limit>.+?)\s*", re.IGNORECASE)
_ITEMS = re.compile(r"[;]|,(?!(?<=\d,)\d{3}(?!\d))")
_ITEM = re.compile(
    r"\s*(?P<name>(?:.*[\s:=])?)(?P<loss>[-+−]?(?:\d|\.\d)\S*\s*[^@]*?)\s*(?:\bat\b|@)\s*(?P<at>.+?)"
    r"(?:\s+exponent\s*[:=]?\s*(?P<exponent>\S+))?\s*",
    re.IGNORECASE,
)
# The first word that a component's name holds tells its usual exponent.
_USUAL: Final = {
    "filter": "filter", "coil": "coil", "duct": "duct", "trunk": "duct", "plenum": "fitting", "drop": "fitting",
    "register": "fitting", "grille": "fitting", "damper": "fitting", "elbow": "fitting",
}  # fmt: skip
_RETURN: Final = ("filter", "return")


def usual_exponent(name: str) -> float:
    """Power of the flow that a component of this name usually follows; 2 where the name tells nothing."""
    folded = name.lower()
    for word, key in _USUAL.items():
        if word in folded:
            return value("air_delivery", "exponent", key)
    return value("air_delivery", "exponent", "fitting")


@dataclass(frozen=True, slots=True)
class FanArgument:
    """A fan: rows of static pressure and airflow, or a constant airflow up to a limit."""

    def to_si(self, value: Any, where: str) -> Fan:
        """Take a fan, the text of one, pairs of static pressure and airflow, or two arrays of them."""
        if isinstance(value, (FanTable, ConstantAirflow)):
            return value
        constant = _CONSTANT.fullmatch(value) if isinstance(value, str) else None
        try:
            if constant is not None:
                return ConstantAirflow(
                    quantity_si(constant["flow"], kinds.VOLUME_FLOW),
                    quantity_si(constant["limit"], kinds.GAUGE_PRESSURE),
                )
            static, flow = self._columns(value)
            return FanTable(static, flow, name="fan")
        except HvacError as error:
            place = where if error.where in {"", "fan"} else f"{where}, {error.where}"
            expected = error.expected or self.describe()
            raise type(error)(error.what, where=place, given=error.given, expected=expected) from None

    def _columns(self, value: Any) -> tuple[np.ndarray, np.ndarray]:
        """Static pressures and airflows, in SI."""
        if isinstance(value, str):
            pairs: list[Any] = [row.rpartition(":")[::2] for row in _ROWS.split(value) if row.strip()]
            if not pairs or not all(static.strip() and flow.strip() for static, flow in pairs):
                raise InputError("not a fan table", given=value, expected=self.describe())
        elif isinstance(value, Mapping):
            pairs = list(value.items())
        elif isinstance(value, Sequence) and len(value) == 2 and all(_is_array(item) for item in value):
            pairs = list(zip(value[0], value[1], strict=False))
        elif isinstance(value, (Sequence, np.ndarray)):
            pairs = list(value)
        else:
            raise InputError("not a fan table", given=str(value), expected=self.describe())
        if not all(isinstance(pair, (Sequence, np.ndarray)) and len(pair) == 2 for pair in pairs):
            raise InputError("a row is not a pair", expected=self.describe())
        static = np.array([quantity_si(pair[0], kinds.GAUGE_PRESSURE) for pair in pairs])
        return static, np.array([quantity_si(pair[1], kinds.VOLUME_FLOW) for pair in pairs])

    def describe(self) -> str:
        """Show how a fan is written."""
        return (
            'a fan table such as "0.1 in. w.c.: 1250 cfm, 0.5 in. w.c.: 1000 cfm", '
            'or "constant 1200 cfm to 0.8 in. w.c."'
        )


@dataclass(frozen=True, slots=True)
class SystemArgument:
    """The losses of a duct system, one after the other."""

    def to_si(self, value: Any, where: str) -> tuple[Component, ...]:
        """Take components, a text of them, or a list of texts, mappings or tuples."""
        if isinstance(value, (str, Component, Mapping)):
            value = _ITEMS.split(value) if isinstance(value, str) else [value]
        if not isinstance(value, Sequence) or len(value) == 0:
            raise InputError("not a list of losses", where=where, given=str(value), expected=self.describe())
        found = []
        for number, item in enumerate(value, 1):
            try:
                found.append(self._component(item, number))
            except HvacError as error:
                place = f"{where}, loss {number}" + (f", {error.where}" if error.where else "")
                expected = error.expected or self.describe()
                raise type(error)(error.what, where=place, given=error.given, expected=expected) from None
        return tuple(found)

    def _component(self, item: Any, number: int) -> Component:
        if isinstance(item, Component):
            return item
        if isinstance(item, str):
            match = _ITEM.fullmatch(item)
            if match is None:
                raise InputError("not a loss at a flow", given=item.strip(), expected=self.describe())
            parts = match.groupdict()
        elif isinstance(item, Mapping):
            parts = {str(key): part for key, part in item.items()}
            missing = [key for key in ("loss", "at") if parts.get(key) is None]
            if missing:
                raise InputError(
                    f"the key {missing[0]!r} is missing", expected="loss, at, and perhaps exponent"
                )
        elif isinstance(item, Sequence) and 2 <= len(item) <= 4:
            named = isinstance(item[0], str) and len(item) > 2 and not any(c.isdigit() for c in item[0])
            keys = ("name", "loss", "at", "exponent") if named else ("loss", "at", "exponent", "name")
            parts = dict(zip(keys, item, strict=False))
        else:
            raise InputError("not a loss at a flow", given=str(item), expected=self.describe())
        name = str(parts.get("name") or "").strip(" :=") or f"loss {number}"
        exponent = parts.get("exponent")
        return Component(
            name,
            "return" if any(word in name.lower() for word in _RETURN) else "supply",
            quantity_si(parts["loss"], kinds.GAUGE_PRESSURE, "loss"),
            quantity_si(parts["at"], kinds.VOLUME_FLOW, "flow"),
            usual_exponent(name)
            if exponent is None
            else quantity_si(exponent, kinds.DIMENSIONLESS, "exponent"),
        )

    def describe(self) -> str:
        """Show how losses are written."""
        return (
            'losses such as "filter 0.12 in. w.c. at 1000 cfm exponent 1.4, ducts 0.3 in. w.c. at 1000 cfm"'
        )


def _is_array(item: Any) -> bool:
    """Whether something is a column of a table: an array of quantities, not one quantity or a text."""
    if isinstance(item, Quantity):
        return bool(np.ndim(item.magnitude))
    return isinstance(item, (list, tuple)) and len(item) != 2


FAN = FanArgument()
SYSTEM = SystemArgument()
