"""The connector between an appliance's draft hood and its vent or chimney: least climb, longest run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hvaclib.reference import value
from hvaclib.units import calculation, checks, choice, kinds

__all__ = ["FLUES", "WALLS", "ConnectorLimits", "connector_limits"]

INCH, FOOT = 0.0254, 0.3048
WALLS = ("single-wall", "double-wall")
FLUES = ("alone", "common")
_CAUTION = (
    "A connector that sags, leaks or runs too long spills flue gas and its carbon monoxide. It is fastened at each joint and "
    "kept from what burns. The adopted code, the vent's listing and the appliance's instructions decide, and are often "
    "stricter."
)


@dataclass(frozen=True, slots=True)
class ConnectorLimits:
    """What the rules allow a connector.

    Attributes
    ----------
    longest_run : length
        Horizontally, without a reduction of the vent's capacity.
    least_climb : size
        Of this connector over its run, towards the vent or chimney.
    run_allowed : bool
        Whether its run is no longer than that.
    """

    longest_run: Annotated[float, kinds.LENGTH]
    least_climb: Annotated[float, kinds.SIZE]
    run_allowed: bool


@calculation(
    lateral=kinds.LENGTH,
    height=kinds.LENGTH,
    connector_diameter=kinds.SIZE,
    wall=choice(*WALLS),
    flue=choice(*FLUES),
    gives=ConnectorLimits,
    notes=(_CAUTION,),
)
def connector_limits(
    *,
    lateral: float,
    height: float,
    connector_diameter: float,
    wall: str = "double-wall",
    flue: str = "alone",
) -> ConnectorLimits:
    """Least climb and longest run of a vent connector.

    Parameters
    ----------
    lateral : length
        Its horizontal run, zero or more.
    height : length
        Of the vent or chimney above the draft hood, above zero.
    connector_diameter : size
        Above zero.
    wall : {"single-wall", "double-wall"}, default "double-wall"
        Of the connector.
    flue : {"alone", "common"}, default "alone"
        Whether the appliance has the flue to itself or shares it.

    Returns
    -------
    ConnectorLimits
        In ft and in (m through ``.si``); the main result is the longest run.

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    Alone on its flue a connector goes by the flue's height, whatever its diameter; on a common vent by its diameter,
    whatever the height.

    References
    ----------
    .. [1] IFGC (2018) 503.10.8 and 503.10.9 (from memory); 504.3.2.

    Examples
    --------
    >>> found = connector_limits(lateral="8 ft", height="20 ft", connector_diameter="4 in", flue="common")
    >>> round(found.least_climb, 6), round(found.longest_run, 6), found.run_allowed
    (<Quantity(2.0, 'inch')>, <Quantity(6.0, 'foot')>, False)
    """
    checks.not_negative(lateral, "lateral", kinds.LENGTH)
    checks.positive(height, "height", kinds.LENGTH)
    checks.positive(connector_diameter, "connector_diameter", kinds.SIZE)
    if flue == "common":
        longest = value("connectors", "per_inch") * FOOT * connector_diameter / INCH
    else:
        longest = value("connectors", "share", wall) * height
    climb = value("connectors", "slope") * INCH / FOOT * lateral
    return ConnectorLimits(longest, climb, lateral <= longest * (1.0 + 1e-9))
