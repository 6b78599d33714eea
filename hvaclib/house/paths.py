"""From the parts of a dwelling to rows of the network: how many, at which heights, with which coefficients."""

from __future__ import annotations

import math

from hvaclib.house.dwelling import OUTDOORS, WALLS, Door, Dwelling, Leak, Opening, Window
from hvaclib.house.rows import RowTable
from hvaclib.physics.air import STANDARD_DENSITY
from hvaclib.physics.openings import power_law_coefficient
from hvaclib.reference import value

LEAK_SLICES = 2
"""Rows of a tall leak on each face. Two midpoints miss the exchange about a neutral level in its middle by 5 % at
n = 0.65 and are better than 1 % where the flow keeps one direction."""
DOOR_SLICES = 6
"""Rows of an open doorway between zones of different temperature; the two-way flow comes out 1.4 % high."""
WINDOW_SLICES = 4
"""Rows of an open window; the two-way flow comes out 2.5 % high."""


def house_rows(dwelling: Dwelling) -> RowTable:
    """Rows of every leak, opening, door and window; the vents append theirs.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.

    Returns
    -------
    RowTable
        Not frozen yet. Positions are numbered 0 (fixed), then the doors, then the windows.
    """
    table = RowTable(list(dwelling.zone_names))
    for leak in dwelling.leaks:
        _leak(table, leak)
    for opening in dwelling.openings:
        _opening(table, opening)
    for number, door in enumerate(dwelling.doors, start=1):
        _door(table, dwelling, door, number)
    for number, window in enumerate(dwelling.windows, start=1 + len(dwelling.doors)):
        _window(table, dwelling, window, number)
    return table


def orifice_coefficient(area: float, coefficient: float | None = None) -> float:
    """Mass-flow coefficient of an opening in standard air, kg/s/Pa**0.5; sharp-edged unless told otherwise."""
    discharge = value("openings", "discharge", "sharp-edged") if coefficient is None else coefficient
    return discharge * area * math.sqrt(2.0 * STANDARD_DENSITY)


def slice_heights(bottom: float, height: float, slices: int) -> list[float]:
    """Middles of equal slices of a tall opening, m."""
    return [bottom + height * (number + 0.5) / slices for number in range(slices)]


def _leak(table: RowTable, leak: Leak) -> None:
    table.add_path(leak.name, "leak", *leak.between)
    heights = (
        [leak.height] if leak.top is None else slice_heights(leak.height, leak.top - leak.height, LEAK_SLICES)
    )
    faces = WALLS if leak.faces == "walls" else (leak.faces,)
    whole = float(power_law_coefficient.si(flow_at_50=leak.flow_at_50, exponent=leak.exponent))
    share = whole / (len(heights) * len(faces))
    for face in faces:
        for height in heights:
            table.add_row(exponent=leak.exponent, height=height, closed=share, face=face)


def _opening(table: RowTable, opening: Opening) -> None:
    table.add_path(opening.name, "opening", *opening.between)
    faces = WALLS if opening.faces == "walls" else (opening.faces,)
    share = orifice_coefficient(opening.area, opening.coefficient) / len(faces)
    for face in faces:
        table.add_row(exponent=0.5, height=opening.height, closed=share, face=face)


def _door(table: RowTable, dwelling: Dwelling, door: Door, control: int) -> None:
    table.add_path(door.name, "door", *door.between)
    bottom = max(dwelling.zone(name).floor for name in door.between if name != OUTDOORS) + door.sill
    opened = orifice_coefficient(door.width * door.height, value("openings", "discharge", "window-or-door"))
    crack = orifice_coefficient(door.crack_area)
    undercut = orifice_coefficient(door.undercut * door.width)
    face = "none" if door.faces == "walls" else door.faces
    if _always_alike(dwelling, door.between):
        # equal columns: the height drops out, and orifices side by side add up
        table.add_row(
            exponent=0.5, height=bottom, closed=crack + undercut, opened=opened, control=control, face=face
        )
        return
    for height in slice_heights(bottom, door.height, DOOR_SLICES):
        table.add_row(
            exponent=0.5,
            height=height,
            closed=crack / DOOR_SLICES,
            opened=opened / DOOR_SLICES,
            control=control,
            face=face,
        )
    table.add_row(exponent=0.5, height=bottom, closed=undercut, opened=0.0, control=control, face=face)


def _always_alike(dwelling: Dwelling, between: tuple[str, str]) -> bool:
    """Whether two zones have the same temperature in every setup."""
    if OUTDOORS in between:
        return False
    one, other = (dwelling.zone(name) for name in between)
    return one.unheated == other.unheated and one.temperature == other.temperature


def _window(table: RowTable, dwelling: Dwelling, window: Window, control: int) -> None:
    table.add_path(window.name, "window", window.zone, OUTDOORS)
    opened = (
        orifice_coefficient(window.area, value("openings", "discharge", "window-or-door")) / WINDOW_SLICES
    )
    bottom = dwelling.zone(window.zone).floor + window.sill
    face = "none" if window.face == "walls" else window.face
    for height in slice_heights(bottom, window.height, WINDOW_SLICES):
        table.add_row(exponent=0.5, height=height, closed=0.0, opened=opened, control=control, face=face)
