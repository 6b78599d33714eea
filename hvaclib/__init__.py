"""Teach, judge and ask what-if of heating commissioning readings in lived-in homes.

Subpackages load when first used, so that ``import hvaclib`` costs little.
"""

from __future__ import annotations

import importlib
from types import ModuleType

__version__ = "0.1.0"

_SUBPACKAGES = (
    "boards",
    "errors",
    "house",
    "physics",
    "plots",
    "procedures",
    "readings",
    "reference",
    "rules",
    "units",
)

__all__ = ["__version__"]


def __getattr__(name: str) -> ModuleType:
    if name in _SUBPACKAGES:
        return importlib.import_module(f"{__name__}.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_SUBPACKAGES])
