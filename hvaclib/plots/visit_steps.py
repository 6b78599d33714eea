"""A visit as a ladder of its steps in the order of the work, and the label for the return drop as it is to be written."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.severity import severity_key, severity_mark
from hvaclib.plots.style import CHART_SHEETS, GREY, INK, PALE

if TYPE_CHECKING:
    from hvaclib.plots.style import Sheet, Width

KEY = (
    ("stop and call", "stop and call"),
    ("fail", "wrong"),
    ("missing", "missing"),
    ("out of order", "out of order"),
    ("look again", "look again"),
    ("pass", "done"),
    ("not needed", "not needed"),
)
WORDS = dict(KEY)
CHOSEN = "#e3eef6"
PITCH = 30.0
"""Height of one step, px."""


@dataclass(frozen=True, slots=True)
class StepMark:
    """One step of the work.

    Parameters
    ----------
    number : int
        Place in the order of the work, from one.
    title : str
        What it is.
    state : str
        Key of `KEY`: the gravest that is known of it.
    """

    number: int
    title: str
    state: str


def step_ladder(steps: tuple[StepMark, ...], chosen: int, width: Width = "wide") -> Picture:
    """Steps from the top down, in two columns where there is room.

    Parameters
    ----------
    steps : tuple of StepMark
        In the order of the work.
    chosen : int
        Number of the step that is read now.
    width : {"wide", "narrow"}
        Variant of the sheet.

    Returns
    -------
    Picture
        Of the same height whatever the states.

    Raises
    ------
    InputError
        If there is no step of that number.
    """
    if chosen not in [step.number for step in steps]:
        raise InputError("there is no such step", where="chosen", given=chosen, expected=f"1 to {len(steps)}")
    base, marks = CHART_SHEETS[width], Marks()
    columns = 1 if base.narrow else 2
    lines = math.ceil(len(steps) / columns)
    key = (3 if base.narrow else 1) * 1.8 * base.small + 8.0
    sheet = replace(base, height=round(lines * PITCH + key + 12.0))
    wide = sheet.width / columns
    for number, step in enumerate(steps):
        column, line = divmod(number, lines)
        left, y = column * wide + 8.0, sheet.height - 8.0 - (line + 0.5) * PITCH
        last = line == lines - 1 or number == len(steps) - 1
        _step(marks, sheet, step, (left, y, wide - 16.0), chosen=step.number == chosen, last=last)
    severity_key(marks, sheet, (14.0, key - 1.3 * sheet.small), KEY, sheet.width - 8.0)
    return Picture(marks, sheet, ladder_words(steps, chosen))


def _step(
    marks: Marks, sheet: Sheet, step: StepMark, at: tuple[float, float, float], *, chosen: bool, last: bool
) -> None:
    left, y, wide = at
    if chosen:
        half = 0.5 * PITCH - 1.0
        corners = [(left, y - half), (left + wide, y - half), (left + wide, y + half), (left, y + half)]
        marks.polygon(corners, face=CHOSEN, edge=INK, width=2.0, layer=1)
    if not last:
        marks.stroke(
            [(left + 46.0, y - 10.0), (left + 46.0, y - PITCH + 10.0)], colour=PALE, width=2.0, layer=3
        )
    marks.label(
        left + 30.0, y, str(step.number), sheet.small, colour=GREY, bold=chosen, across="right", up="center"
    )
    severity_mark(marks, (left + 46.0, y), step.state, 8.0)
    told = "" if step.state in ("pass", "not needed") else WORDS[step.state]
    room = wide - 62.0 - 10.0 - (text_width(told, sheet.small, True) + 14.0 if told else 0.0)
    colour = GREY if step.state == "not needed" else INK
    title = wrap(step.title, room, sheet.body, chosen, 1)[0]
    marks.label(left + 62.0, y, title, sheet.body, colour=colour, bold=chosen, up="center")
    if told:  # beside the title: across an empty line nobody reads from one to the other
        start = left + 62.0 + text_width(title, sheet.body, chosen) + 12.0
        marks.label(start, y, told, sheet.small, bold=True, up="center")


def ladder_words(steps: tuple[StepMark, ...], chosen: int) -> str:
    """The ladder in sentences, for those who do not see it.

    Parameters
    ----------
    steps : tuple of StepMark
    chosen : int
        Number of the step that is read now.

    Returns
    -------
    str
    """
    told = []
    for key, words in KEY:
        names = [f"{step.number} {step.title}" for step in steps if step.state == key]
        if names:
            told.append(f"{words[:1].upper()}{words[1:]}: {', '.join(names)}.")
    here = next(step for step in steps if step.number == chosen)
    return (
        f"{len(steps)} steps in the order of the work. {' '.join(told)} Now read: {here.number} {here.title}."
    )


def label_picture(lines: tuple[str, ...], width: Width = "wide") -> Picture:
    """The label for the return drop, large enough to be copied by marker from a phone held beside it.

    Parameters
    ----------
    lines : tuple of str
        As `hvaclib.paper.label_lines` gives them.
    width : {"wide", "narrow"}
        Variant of the sheet.

    Returns
    -------
    Picture

    Raises
    ------
    InputError
        If there is no line.
    """
    if not lines:
        raise InputError("the label has no line", where="lines", given=0, expected="one line at least")
    base, marks = CHART_SHEETS[width], Marks()
    size = 15.0 if base.narrow else 20.0
    sheet = replace(base, height=round(1.55 * size * len(lines) + 40.0))
    right = min(sheet.width - 6.0, max(text_width(line.rstrip(), size, True) for line in lines) + 44.0)
    corners = [(6.0, 6.0), (right, 6.0), (right, sheet.height - 6.0), (6.0, sheet.height - 6.0)]
    marks.polygon(corners, edge=INK, width=2.4, layer=1)
    for number, line in enumerate(lines):
        indent = 22.0 + 0.6 * size * (len(line) - len(line.lstrip()))
        y = sheet.height - 20.0 - (number + 0.5) * 1.55 * size
        marks.label(indent, y, line.strip(), size, bold=True, up="center")
    return Picture(marks, sheet, "Label for the return drop: " + "; ".join(line.strip() for line in lines))
