"""Units: the one registry, kinds of quantity, reading what people type, showing it, and the border of a calculation."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from hvaclib.units import kinds
from hvaclib.units.kinds import KINDS, Kind
from hvaclib.units.parsing import parse, parse_si
from hvaclib.units.registry import Quantity, ureg
from hvaclib.units.showing import from_shown, label, show, shown

FloatOrArray: TypeAlias = float | npt.NDArray[np.float64]

__all__ = [
    "KINDS",
    "FloatOrArray",
    "Kind",
    "Quantity",
    "from_shown",
    "kinds",
    "label",
    "parse",
    "parse_si",
    "show",
    "shown",
    "ureg",
]
