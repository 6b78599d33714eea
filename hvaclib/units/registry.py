"""The one unit registry: small, of our own, built in a few milliseconds.

pint's complete definition file takes about as long to load as pint itself, knows none of the trade's units (``psig``,
``MBH``, ``fpm``), reads ``cfm`` as centi-femtometres and ``mil`` as an angle. The suite therefore loads its own
``definitions.txt``, which keeps pint's spellings wherever pint has one, and leaves pint's application registry alone.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pint

__all__ = ["Quantity", "ureg"]

ureg: pint.UnitRegistry[Any] = pint.UnitRegistry(None, on_redefinition="raise")
ureg.load_definitions(Path(__file__).with_name("definitions.txt").read_text(encoding="utf-8").splitlines())

if TYPE_CHECKING:

    class Quantity(pint.Quantity[Any]):
        """A quantity of the suite's registry."""

else:
    Quantity = ureg.Quantity


def _quantity(magnitude: Any, unit: str) -> Any:
    return ureg.Quantity(magnitude, unit)


def _unit(unit: str) -> Any:
    return ureg.Unit(unit)


# A pickled pint object comes back in the application registry of the process that reads it, where it does not add
# to its twin and where trade units are unknown. Ours comes back in this registry.
type.__setattr__(ureg.Quantity, "__reduce__", lambda self: (_quantity, (self.magnitude, str(self.units))))
type.__setattr__(ureg.Unit, "__reduce__", lambda self: (_unit, (str(self),)))
