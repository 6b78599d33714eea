"""The wall in section: high grille, stud cavity and low grille one after the other, and what is left of their areas."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.plots.letters import wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.section import symbols
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREEN, GREY, INK, PALE, SKY, VERMILLION, Sheet
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.style import System, Width

BOARD = "#e3e7eb"
WOOD = "#c9a679"


@dataclass(frozen=True, slots=True)
class WallPath:
    """A transfer path as built, SI.

    Parameters
    ----------
    room, hall : str
        Names of the two sides.
    high, cavity, low : float
        m² of free area: all high grilles, all bays, all low grilles.
    effective, required : float
        m²: the path as one opening, and the single opening that it replaces.
    grille : str
        Size of each grille as it is sold.
    bays : int
        Stud bays.
    inward : bool
        Whether the air goes into the room (a room that is drawn down).
    """

    room: str
    hall: str
    high: float
    cavity: float
    low: float
    effective: float
    required: float
    grille: str
    bays: int
    inward: bool = False


def wall_picture(path: WallPath, *, width: Width = "wide", system: System = "field") -> Picture:
    """Draw the wall at the left and the areas as bars at the right (below on a phone).

    Parameters
    ----------
    path : WallPath
        What is built.
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture
    """
    base, marks = CHART_SHEETS[width], Marks()
    sheet = replace(base, height=430 if not base.narrow else 600)
    drawn = 330.0 if not sheet.narrow else 290.0
    floor = sheet.height - drawn - 46.0
    _wall(marks, path, (0.5 * (sheet.width if sheet.narrow else 400), floor, drawn), sheet)
    box = (
        (12.0, floor - 44.0, sheet.width - 24.0)
        if sheet.narrow
        else (430.0, floor + drawn - 12.0, sheet.width - 24.0)
    )
    _areas(marks, path, box, sheet, system)
    marks.label(8, sheet.height - 6, "Three restrictions in series", sheet.body, bold=True, up="top")
    enough = "enough" if path.effective >= path.required * (1 - 1e-9) else "not enough"
    return Picture(
        marks,
        sheet,
        f"Section of the wall between the {path.room} and the {path.hall}: a high grille in the room, the stud cavity "
        f"and a low grille on the other side, {path.bays} stud bay{'s' if path.bays > 1 else ''}, grilles of "
        f"{path.grille}. Free areas: high {show(path.high, kinds.AREA, system)}, cavity "
        f"{show(path.cavity, kinds.AREA, system)}, low {show(path.low, kinds.AREA, system)}; together as one opening of "
        f"{show(path.effective, kinds.AREA, system)}, against {show(path.required, kinds.AREA, system)} needed: {enough}. "
        f"The air goes {'into' if path.inward else 'out of'} the {path.room}.",
    )


def _wall(marks: Marks, path: WallPath, at: tuple[float, float, float], sheet: Sheet) -> None:
    """Two faces of board with plates at top and bottom, an opening high at the left and low at the right."""
    middle, floor, tall = at
    top, half, board = floor + tall, 26.0, 8.0
    left, right = middle - half, middle + half
    high = (top - 92.0, top - 36.0)
    low = (floor + 34.0, floor + 90.0)
    wide = 0.5 * (sheet.width if sheet.narrow else 400) - 14
    for y in (floor, top):
        marks.stroke([(middle - wide, y), (middle + wide, y)], colour=INK, width=2.0)
    marks.polygon(
        [(left, floor), (right, floor), (right, top), (left, top)], face="#f4f8fb", edge="none", width=0
    )
    for y in (floor, top - 12):
        marks.polygon([(left, y), (right, y), (right, y + 12), (left, y + 12)], face=WOOD, edge=INK, layer=1)
    for x, hole in ((left - board, high), (right, low)):
        for span in ((floor, hole[0]), (hole[1], top)):
            marks.polygon([(x, span[0]), (x + board, span[0]), (x + board, span[1]), (x, span[1])], face=BOARD, edge=INK, layer=1)  # fmt: skip
        for k in range(5):
            y = hole[0] + 6 + k * 11
            marks.stroke([(x - 2, y), (x + board + 2, y + 5)], colour=INK, width=2.2, layer=3)
    up, down = sum(high) / 2, sum(low) / 2
    legs = [[(left - 74, up), (left - 12, up)], [(middle, up - 8), (middle, down + 14)], [(right + 12, down), (right + 74, down)]]  # fmt: skip
    for start, end in ((b, a) if path.inward else (a, b) for a, b in legs):
        symbols.arrow(marks, start, end, 7.0, BLUE)
    for number, x, y in (
        (1, left - 30, up + 24),
        (2, middle + 14, (up + down) / 2),
        (3, right + 30, down + 24),
    ):
        marks.label(x, y, str(number), sheet.body, bold=True, across="center", up="center")
    for name, x in ((path.room, middle - half - 70), (path.hall, middle + half + 72)):
        for k, line in enumerate(wrap(name, 92 if sheet.narrow else 118, sheet.small, bold=True, lines=2)):
            marks.label(
                x, (floor + top) / 2 - 1.2 * k * sheet.small, line, sheet.small, bold=True, across="center"
            )
    marks.label(middle, floor - 7, f"{path.bays} stud bay{'s' if path.bays > 1 else ''}", sheet.small, across="center", up="top")  # fmt: skip


def _areas(
    marks: Marks, path: WallPath, box: tuple[float, float, float], sheet: Sheet, system: System
) -> None:
    left, y, right = box
    enough = path.effective >= path.required * (1 - 1e-9)
    each = f"{path.bays} × " if path.bays > 1 else ""
    rows = [
        (f"1  high grille, {each}{path.grille}", path.high, SKY),
        ("2  stud cavity", path.cavity, SKY),
        (f"3  low grille, {each}{path.grille}", path.low, SKY),
        ("all three as one opening", path.effective, GREEN if enough else VERMILLION),
        ("needed as one opening", path.required, PALE),
    ]
    figure = 6.4 * sheet.small
    most = max(area for _, area, _ in rows)
    unit = (right - left - figure) / most
    step = 4.2 * sheet.small if not sheet.narrow else 3.5 * sheet.small
    need = left + unit * path.required
    for number, (name, area, colour) in enumerate(rows):
        at = y - step * number
        marks.label(left, at, name, sheet.small, bold=number > 2, up="center")
        bar = at - 1.45 * sheet.small
        end = left + max(unit * area, 2.0)
        marks.polygon([(left, bar - 7), (end, bar - 7), (end, bar + 7), (left, bar + 7)], face=colour, edge=GREY, layer=2)  # fmt: skip
        marks.stroke([(need, bar - 11), (need, bar + 11)], colour=INK, width=1.8, layer=4)
        words = show(area, kinds.AREA, system)
        if number == 3:
            words += " ✓" if enough else " !"
        marks.label(end + 6, bar, words, sheet.small, bold=number > 2, up="center")
