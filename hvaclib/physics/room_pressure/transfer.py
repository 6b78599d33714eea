"""The remedy as built: a high grille, a stud cavity and a low grille one after the other; or a jump duct."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics.openings import series_area
from hvaclib.reference import figure, value
from hvaclib.units import COUNT, FloatOrArray, calculation, checks, kinds, show

__all__ = [
    "TransferPath",
    "jump_duct_diameter",
    "series_of",
    "stock_grilles",
    "stock_jump_duct",
    "transfer_path",
]

INCH = 0.0254
_FREE_AREA_RATIO = value("grilles", "free_area", "ratio")
_STUD_DEPTH = value("grilles", "stud_bay", "depth") * INCH
_CLEAR_WIDTH = value("grilles", "stud_bay", "clear_width") * INCH
MOST_BAYS = 3
"""Beyond three stud bays side by side a jump duct or a return is less work and less damage to the wall."""


@dataclass(frozen=True, slots=True)
class TransferPath:
    """A transfer path through a wall, as built from stock grilles.

    Attributes
    ----------
    effective_area : area
        Of the one opening that resists as much as the whole path: both grilles and the cavity in series.
    high_grille_area, low_grille_area : area
        Free area of the grille in each stud bay at the top and at the bottom of the wall.
    grille_face_area : area
        Face of each of them, width times height of its opening.
    cavity_area : area
        Cross-section of the stud bays together.
    needed_grille_area : area
        Free area that each bay's grilles would need to be exactly enough; zero where no grille is large enough.
    grille : str
        The stock size in each bay, at both ends.
    stud_bays : int
        Bays used.
    enough : bool
        Whether the path is as good as the opening asked for.
    bays_needed : int
        Least number of bays with which stock grilles are enough; 0 where no reasonable number is.
    next_remedy : str
        What to do where it is not enough, in words; empty where it is.
    """

    effective_area: Annotated[float, kinds.AREA]
    high_grille_area: Annotated[float, kinds.AREA]
    low_grille_area: Annotated[float, kinds.AREA]
    grille_face_area: Annotated[float, kinds.AREA]
    cavity_area: Annotated[float, kinds.AREA]
    needed_grille_area: Annotated[float, kinds.AREA]
    grille: str
    stud_bays: int
    enough: bool
    bays_needed: int
    next_remedy: str


def stock_grilles() -> tuple[tuple[float, float], ...]:
    """Width and height (m) of the openings of stock grilles that fit one stud bay, smallest first."""
    heights = figure("grilles", "stock", "heights").value
    assert isinstance(heights, tuple)  # a list in the table
    width = value("grilles", "stock", "width") * INCH
    return tuple((width, height * INCH) for height in sorted(heights))


def stock_jump_duct(diameter: float) -> float:
    """The smallest stock diameter (m) of round duct that is no smaller; 0 where none is kept."""
    sizes = figure("grilles", "jump_duct", "sizes").value
    assert isinstance(sizes, tuple)  # a list in the table
    return next((size * INCH for size in sorted(sizes) if size * INCH >= diameter - 1e-9), 0.0)


@calculation(
    required_area=kinds.AREA,
    stud_bays=COUNT,
    grille_free_area_ratio=kinds.FRACTION,
    stud_depth=kinds.SIZE,
    gives=TransferPath,
)
def transfer_path(
    *,
    required_area: float,
    stud_bays: int = 1,
    grille_free_area_ratio: float = _FREE_AREA_RATIO,
    stud_depth: float = _STUD_DEPTH,
) -> TransferPath:
    """Size a transfer path through a stud wall: high grille, cavity and low grille one after the other.

    Parameters
    ----------
    required_area : area
        Free area of the single opening that would hold the room within its limit, above zero; what the door lets
        through already is left out.
    stud_bays : int, default 1
        Stud bays side by side, each with its own pair of grilles; at least 1.
    grille_free_area_ratio : fraction, default 75 %
        Free area of a grille over its face area, by its manufacturer; 5 % to 100 %.
    stud_depth : size, default 3.5 in
        Depth of the cavity.

    Returns
    -------
    TransferPath
        Areas in sq in (m² through ``.si``).

    Raises
    ------
    InputError
        If the area is not above zero, there is no stud bay, or the ratio is out of range.

    Notes
    -----
    ``1/A² = 1/A_high² + 1/A_cavity² + 1/A_low²``: each of the three must be larger than the opening that the path
    replaces; three of just that area pass as much as 58 % of one. Each loses its velocity head like a sharp-edged
    opening; friction along 6 ft of cavity, about 0.4 velocity heads against the 2.7 that such an opening costs, is
    left out. The stock size is the smallest with which the path is enough, or the largest kept.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts (free area 75 % of the face).
    .. [2] ASHRAE Handbook - HVAC Applications, chapter on fire and smoke control, effective flow areas in series.

    Examples
    --------
    >>> path = transfer_path(required_area="30 sq in", stud_bays=1)
    >>> path.grille, round(path.effective_area.to("sq_in").magnitude, 1), path.enough
    ('14 x 6 in', 33.5, True)
    """
    checks.positive(required_area, "required_area", kinds.AREA)
    checks.within(grille_free_area_ratio, 0.05, 1.0, "grille_free_area_ratio", kinds.FRACTION)
    checks.positive(stud_depth, "stud_depth", kinds.SIZE)
    if stud_bays < 1:
        raise InputError(
            "a path through a wall needs a stud bay",
            where="stud_bays",
            given=stud_bays,
            expected="1 or more",
        )
    cavity = _CLEAR_WIDTH * stud_depth
    share = required_area / stud_bays
    face, effective = _grille(share, cavity, grille_free_area_ratio)
    width, height = face
    enough = effective >= share * (1.0 - 1e-9)
    needed = next(
        (n for n in range(1, MOST_BAYS + 1) if _is_enough(required_area / n, cavity, grille_free_area_ratio)),
        0,
    )
    free = grille_free_area_ratio * width * height
    return TransferPath(
        effective_area=stud_bays * effective,
        high_grille_area=free,
        low_grille_area=free,
        grille_face_area=width * height,
        cavity_area=stud_bays * cavity,
        needed_grille_area=_needed(share, cavity),
        grille=_name(width, height),
        stud_bays=stud_bays,
        enough=enough,
        bays_needed=needed,
        next_remedy="" if enough else _next_remedy(required_area, needed),
    )


def series_of(path: TransferPath, grille: str, required: float, ratio: float) -> TransferPath:
    """Return the same path with another stock grille at both ends of each bay.

    Parameters
    ----------
    path : TransferPath
        In SI.
    grille : str
        A stock size as `TransferPath.grille` writes it.
    required, ratio : float
        m² of the single opening, and free area over face.

    Raises
    ------
    InputError
        If this size is not kept.
    """
    sizes = {_name(*size): size for size in stock_grilles()}
    if grille not in sizes:
        raise InputError("no such stock grille", where="grille", given=grille, expected=" or ".join(sizes))
    width, height = sizes[grille]
    free = ratio * width * height
    bay = path.cavity_area / path.stud_bays
    effective = path.stud_bays * float(series_area.si(areas=np.array([free, bay, free])))
    enough = effective >= required * (1.0 - 1e-9)
    again = "" if enough else path.next_remedy or f"the next larger grille: {path.grille} is enough"
    return replace(
        path, effective_area=effective, high_grille_area=free, low_grille_area=free, grille_face_area=width * height,
        grille=grille, enough=enough, next_remedy=again,
    )  # fmt: skip


def _name(width: float, height: float) -> str:
    return f"{width / INCH:g} x {height / INCH:g} in"


def _needed(share: float, cavity: float) -> float:
    """Free area of each of two equal grilles that with the cavity make up one opening of `share`; 0 if none does."""
    left = share**-2 - cavity**-2
    return float(np.sqrt(2.0 / left)) if left > 0.0 else 0.0


def _grille(share: float, cavity: float, ratio: float) -> tuple[tuple[float, float], float]:
    """The smallest stock grille that is enough for one bay, or the largest, and the path's effective area, m²."""
    found = ((0.0, 0.0), 0.0)
    for width, height in stock_grilles():
        free = ratio * width * height
        found = ((width, height), float(series_area.si(areas=np.array([free, cavity, free]))))
        if found[1] >= share * (1.0 - 1e-9):
            break
    return found


def _is_enough(share: float, cavity: float, ratio: float) -> bool:
    return _grille(share, cavity, ratio)[1] >= share * (1.0 - 1e-9)


def _next_remedy(required: float, bays: int) -> str:
    if bays:
        return f"{bays} stud bays side by side, each with its own pair of grilles"
    duct = stock_jump_duct(float(jump_duct_diameter.si(required_area=required)))
    size = f"a jump duct of {show(duct, kinds.SIZE, digits=0)}" if duct else "two jump ducts or more"
    return f"{size} over the ceiling, or an added return in the room; a larger undercut for part of it"


@calculation(required_area=kinds.AREA, gives=kinds.SIZE)
def jump_duct_diameter(*, required_area: FloatOrArray) -> FloatOrArray:
    """Diameter of a round jump duct whose cross-section is a required free area.

    Parameters
    ----------
    required_area : area
        Free area of the single opening, above zero; what the door lets through already is left out.

    Returns
    -------
    size
        In inches (m through ``.si``), broadcast shape.

    Raises
    ------
    InputError
        If the area is not above zero.

    Notes
    -----
    ``√(4 A/π)``, as the published chart has it: the duct counts as one opening. Its two grilles should have more
    free area each than the duct has; round up to a stock size.

    References
    ----------
    .. [1] Building Science Corporation, RR-0005, Transfer Grille Sizing Charts.

    Examples
    --------
    >>> round(jump_duct_diameter(required_area="38 sq in"), 2)
    <Quantity(6.96, 'inch')>
    """
    checks.positive(required_area, "required_area", kinds.AREA)
    return np.sqrt(4.0 * np.asarray(required_area) / np.pi)
