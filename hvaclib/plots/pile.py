"""A pile of finished sheets: a row for each contractor, a mark for each sheet, coloured and shaped by its severity."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.letters import wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.severity import severity_key, severity_mark
from hvaclib.plots.style import CHART_SHEETS, GREY, INK, PALE

if TYPE_CHECKING:
    from hvaclib.plots.style import Sheet, Width

KEY = (
    ("stop and call", "stop and call"),
    ("fail", "fail"),
    ("look again", "look again"),
    ("pass", "nothing graver than a note"),
)
WAITING = ("not reviewed", "not reviewed yet")
MOST_ROWS = 12
"""Contractors that are drawn."""
MOST_MARKS = 120
"""Sheets of one contractor that are drawn."""


@dataclass(frozen=True, slots=True)
class PileMark:
    """One sheet.

    Parameters
    ----------
    severity : str
        "stop and call", "fail", "look again", "pass" or "not reviewed".
    chosen : bool
        Whether it is among those that there is time for.
    shown : bool
        Whether the filters let it through.
    """

    severity: str
    chosen: bool = False
    shown: bool = True


@dataclass(frozen=True, slots=True)
class PileRow:
    """The sheets of one contractor.

    Parameters
    ----------
    name : str
        Contractor.
    marks : tuple of PileMark
        In the order of the pile.
    """

    name: str
    marks: tuple[PileMark, ...]


def pile_chart(rows: tuple[PileRow, ...], width: Width = "wide") -> Picture:
    """One mark a sheet, in rows by contractor.

    Parameters
    ----------
    rows : tuple of PileRow
        At least one.
    width : {"wide", "narrow"}
        Variant of the sheet.

    Returns
    -------
    Picture
        Its height depends on the numbers of sheets and contractors alone.

    Raises
    ------
    InputError
        If there is no row.
    """
    if not rows:
        raise InputError("there is no sheet to draw", where="rows", given=0, expected="one row at least")
    base, marks = CHART_SHEETS[width], Marks()
    drawn = rows[:MOST_ROWS]
    left = 14.0 if base.narrow else 250.0
    pitch = 23.0 if base.narrow else 26.0
    across = max(1, int((base.width - left - 14.0) // pitch))
    heights = [_height(row, across, pitch, base) for row in drawn]
    foot = (3 if base.narrow else 2) * 1.8 * base.small + 8.0 + 1.6 * base.small * (len(rows) > MOST_ROWS)
    sheet = replace(base, height=round(sum(heights) + foot + 16.0))
    top = sheet.height - 8.0
    for number, (row, height) in enumerate(zip(drawn, heights, strict=True)):
        if number:
            marks.stroke([(10.0, top), (sheet.width - 10.0, top)], colour=PALE, width=1.0, layer=1)
        _row(marks, sheet, row, (left, top), (across, pitch, height))
        top -= height
    y = top - 1.4 * sheet.small
    if len(rows) > MOST_ROWS:
        marks.label(
            14.0, y, f"and {len(rows) - MOST_ROWS} more contractors: see the table", sheet.small, up="center"
        )
        y -= 1.6 * sheet.small
    waits = any(mark.severity == WAITING[0] for row in rows for mark in row.marks)
    key = (*KEY, WAITING) if waits else KEY
    y = severity_key(marks, sheet, (14.0, y), key, sheet.width - 10.0) - 1.8 * sheet.small
    marks.stroke([(14.0, y), (30.0, y)], colour=INK, width=4.0, layer=6)
    marks.label(36.0, y, "there is time for it", sheet.small, up="center")
    return Picture(marks, sheet, pile_words(rows))


def _height(row: PileRow, across: int, pitch: float, sheet: Sheet) -> float:
    lines = math.ceil(min(len(row.marks), MOST_MARKS) / across)
    more = len(row.marks) > MOST_MARKS
    if sheet.narrow:
        return 2.0 * sheet.body + (pitch + 4.0) * lines + 8.0 + 1.5 * sheet.small * more
    return max((pitch + 4.0) * lines + 12.0 + 1.5 * sheet.small * more, 3.4 * sheet.body)


def _row(
    marks: Marks, sheet: Sheet, row: PileRow, at: tuple[float, float], grid: tuple[int, float, float]
) -> None:
    (left, top), (across, pitch, height) = at, grid
    room = (sheet.width - 28.0) if sheet.narrow else left - 34.0
    shown = sum(mark.shown for mark in row.marks)
    count = f"{len(row.marks)}" if shown == len(row.marks) else f"{shown} of {len(row.marks)}"
    words = f"{count} sheet{'s' * (len(row.marks) != 1)}"
    if sheet.narrow:
        name = wrap(row.name, room - 110.0, sheet.body, True, 1)[0]
        marks.label(14.0, top - 6.0, name, sheet.body, bold=True, up="top")
        marks.label(sheet.width - 14.0, top - 6.0, words, sheet.small, colour=GREY, across="right", up="top")
        first = top - 2.0 * sheet.body - 0.5 * pitch
    else:
        name = wrap(row.name, room, sheet.body, True, 1)[0]
        marks.label(14.0, top - 8.0, name, sheet.body, bold=True, up="top")
        marks.label(14.0, top - 8.0 - 1.4 * sheet.body, words, sheet.small, colour=GREY, up="top")
        first = top - 6.0 - 0.5 * pitch
    for number, mark in enumerate(row.marks[:MOST_MARKS]):
        x = left + (number % across + 0.5) * pitch
        y = first - (number // across) * (pitch + 4.0)
        severity_mark(marks, (x, y), mark.severity, 0.33 * pitch, pale=not mark.shown)
        if mark.chosen:
            low = y - 0.5 * pitch - 1.0
            marks.stroke([(x - 0.34 * pitch, low), (x + 0.34 * pitch, low)], colour=INK, width=4.0, layer=6)
    if len(row.marks) > MOST_MARKS:
        more = f"and {len(row.marks) - MOST_MARKS} more"
        marks.label(left + 4.0, top - height + 4.0, more, sheet.small, up="bottom")


def pile_words(rows: tuple[PileRow, ...]) -> str:
    """The picture in sentences, for those who do not see it.

    Parameters
    ----------
    rows : tuple of PileRow

    Returns
    -------
    str
    """
    told = []
    for row in rows[:MOST_ROWS]:
        counts = Counter(mark.severity for mark in row.marks if mark.shown)
        parts = [f"{counts[key]} {words}" for key, words in (*KEY, WAITING) if counts[key]]
        chosen = sum(mark.chosen for mark in row.marks)
        told.append(f"{row.name}: {', '.join(parts) or 'none shown'}; time for {chosen}.")
    if len(rows) > MOST_ROWS:
        told.append(f"{len(rows) - MOST_ROWS} more contractors.")
    return f"Sheets by contractor. {' '.join(told)}"
