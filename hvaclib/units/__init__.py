"""Units: the one registry, kinds of quantity, reading what people type, showing it, and the border of a calculation."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from hvaclib.units import checks, kinds
from hvaclib.units.arguments import COUNT, FLAG, TEXT, choice, either, list_of, quantity_si
from hvaclib.units.border import Argument, Calculation, Declaration, calculation
from hvaclib.units.kinds import KINDS, Kind
from hvaclib.units.parsing import parse, parse_si
from hvaclib.units.registry import Quantity, ureg
from hvaclib.units.results import Result, quantity
from hvaclib.units.showing import from_shown, label, show, shown, written

FloatOrArray: TypeAlias = float | npt.NDArray[np.float64]

__all__ = [
    "COUNT",
    "FLAG",
    "KINDS",
    "TEXT",
    "Argument",
    "Calculation",
    "Declaration",
    "FloatOrArray",
    "Kind",
    "Quantity",
    "Result",
    "calculation",
    "checks",
    "choice",
    "either",
    "from_shown",
    "kinds",
    "label",
    "list_of",
    "parse",
    "parse_si",
    "quantity",
    "quantity_si",
    "show",
    "shown",
    "ureg",
    "written",
]
