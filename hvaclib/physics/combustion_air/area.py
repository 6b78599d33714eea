"""Openings for combustion air: free area by route, and the face that a louver needs to have it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from hvaclib.errors import InputError
from hvaclib.physics.combustion_air.volume import CAUTION, KBTUH
from hvaclib.reference import value
from hvaclib.units import COUNT, calculation, checks, choice, either, kinds

__all__ = ["INDOOR", "ROUTES", "OpeningArea", "louver_share", "opening_area"]

INCH = 0.0254
INDOOR = "indoor"
ROUTES = ("direct", "vertical duct", "horizontal duct", INDOOR)
LOUVERS = ("none", "metal", "wood")


@dataclass(frozen=True, slots=True)
class OpeningArea:
    """An opening for combustion air; every figure is for each opening.

    Attributes
    ----------
    area : area
        Face to cut: the free area, or more where a louver covers part of it.
    free_area : area
        Free area that the code asks for.
    openings : int
        How many of them.
    round_duct : size
        Smallest whole-inch round duct with the free area, at least the least dimension.
    least_dimension : size
        No side of the opening may be shorter.
    """

    area: Annotated[float, kinds.AREA]
    free_area: Annotated[float, kinds.AREA]
    openings: int
    round_duct: Annotated[float, kinds.SIZE]
    least_dimension: Annotated[float, kinds.SIZE]


@calculation(
    input_rate=kinds.POWER,
    route=choice(*ROUTES),
    openings=COUNT,
    louver=either(kinds.FRACTION, choice(*LOUVERS)),
    connector_area=kinds.AREA,
    gives=OpeningArea,
    notes=(CAUTION,),
)
def opening_area(
    *,
    input_rate: float,
    route: str,
    openings: int = 2,
    louver: float | str = "none",
    connector_area: float = 0.0,
) -> OpeningArea:
    """Size of each opening that brings combustion air into a room.

    Parameters
    ----------
    input_rate : heat or power
        Input of all appliances in the room, above zero.
    route : {"direct", "vertical duct", "horizontal duct", "indoor"}
        Through the outside wall (or to a ventilated attic or crawl space), by a duct, or to other rooms of the storey.
    openings : int, default 2
        2, or 1 to outdoors (begins within 12 in of the ceiling).
    louver : fraction or {"none", "metal", "wood"}, default none
        Free area over face area as its manufacturer gives it, or the material where that is not known.
    connector_area : area, default 0 sq in
        Cross-sections of all vent connectors in the room together; a single opening may not be smaller.

    Returns
    -------
    OpeningArea
        Areas in sq in (m² through ``.si``), for each opening; the main result is the face with its louver.

    Raises
    ------
    InputError
        If the input is not above zero, there are not one or two openings, one opening is to lead indoors, or a louver's
        free area is out of range.

    Notes
    -----
    Free area each, of two: 1 in² for each 4000 Btu/h directly or by vertical ducts, for each 2000 by horizontal
    ducts, for each 1000 and at least 100 in² to rooms of the same storey. A single one to outdoors by any route: 1 in²
    for each 3000. Louvers of unknown make: metal 75 %, wood 25 % free. Screens no finer than 1/4 in mesh.

    References
    ----------
    .. [1] IFGC (2018) 304.5.3, 304.6, 304.10; NFPA 54 9.3.2.3, 9.3.3, 9.3.7.1.

    Examples
    --------
    >>> round(opening_area(input_rate="100 kBtu/h", route="direct").area, 6)
    <Quantity(25.0, 'inch ** 2')>
    >>> round(opening_area(input_rate="100 kBtu/h", route="horizontal duct", louver="metal").area, 1)
    <Quantity(66.7, 'inch ** 2')>
    """
    checks.positive(input_rate, "input_rate", kinds.POWER)
    checks.not_negative(connector_area, "connector_area", kinds.AREA)
    if openings not in {1, 2}:
        raise InputError(
            "the code knows one opening or two", where="openings", given=openings, expected="1 or 2"
        )
    if openings == 1 and route == INDOOR:
        raise InputError(
            "one opening to other rooms is not enough: air must come in and go out", where="openings",
            given=openings, expected="2, one near the ceiling and one near the floor",
        )  # fmt: skip
    row = "single" if openings == 1 else route.replace(" ", "_")
    square_inch = INCH**2
    free = input_rate / (value("combustion_air", "opening", row) * 1e-3 * KBTUH) * square_inch
    if route == INDOOR:
        free = max(free, value("combustion_air", "opening", "indoor_least") * square_inch)
    if openings == 1:
        free = max(free, connector_area)
    least = value("combustion_air", "opening", "least_dimension") * INCH
    duct = max(math.ceil(2.0 * math.sqrt(free / math.pi) / INCH - 1e-9) * INCH, least)
    return OpeningArea(free / louver_share(louver), free, openings, duct, least)


def louver_share(louver: float | str) -> float:
    """Free area over face area of a louver: as given, or the code's for its material."""
    if louver == "none":
        return 1.0
    if isinstance(louver, str):
        return value("combustion_air", "louver", louver)
    checks.within(louver, 0.05, 1.0, "louver", kinds.FRACTION)
    return float(louver)
