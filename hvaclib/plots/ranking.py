"""All combinations of fans, doors and air handler from the worst to the best, and what each control moves."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, ORANGE, SKY, VERMILLION, Sheet
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import numpy.typing as npt

    from hvaclib.plots.style import System, Width


def ranking_chart(
    values: npt.ArrayLike, present: int, *, title: str, worst: str = "highest", limit: float | None = None,
    spilling: npt.ArrayLike | None = None, width: Width = "wide", system: System = "field",
) -> Picture:  # fmt: skip
    """Every combination as a strip sorted from the worst, with the present one marked.

    Parameters
    ----------
    values : array_like
        One pressure a combination, Pa, shape (S,).
    present : int
        Index of the combination on the screen now.
    title : str
        What is ranked, for example "draft of the water heater".
    worst : {"highest", "lowest"}
        Whether the worst combination has the highest value (draft) or the lowest (zone pressure).
    limit : float, optional
        Limit of the rule, Pa.
    spilling : array_like of bool, optional
        Which combinations spill, shape (S,): hatched, and counted.
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture
        With the place of the present combination in its words.

    Raises
    ------
    InputError
        Values that are not finite, a present combination that is not there, or `spilling` of another length.
    """
    array = finite(values, "values")
    if not 0 <= present < array.size:
        raise InputError(
            "there is no such combination", where="present", given=present, expected=f"0 to {array.size - 1}"
        )
    spills = np.zeros(array.size, dtype=bool) if spilling is None else np.asarray(spilling, dtype=bool)
    if spills.shape != array.shape:
        raise InputError(
            "values and spilling differ in number",
            where="spilling",
            given=spills.size,
            expected=str(array.size),
        )
    sheet, marks = CHART_SHEETS[width], Marks()
    order = np.argsort(-array if worst == "highest" else array, kind="stable")
    place = int(np.flatnonzero(order == present)[0])
    kind = kinds.PRESSURE_DIFFERENCE
    ranked = np.asarray(shown(array[order], kind, system), dtype=float)
    line = None if limit is None else float(shown(limit, kind, system))
    ends = [*ranked[[0, -1]].tolist(), 0.0, *([] if line is None else [line])]
    ticks = nice_ticks(min(ends), max(ends), 5)
    box = (46.0 if sheet.narrow else 58.0, 3.0 * sheet.small + 10, 22.0, 4.2 * sheet.body)
    across = f"{array.size} combinations, worst at the left"
    y_title = f"{title}, {label(kind, system)}"
    frame = framed(marks, sheet, box, [0.0, float(array.size)], ticks, across, y_title)
    _areas(marks, frame, ranked, spills[order])
    if line is not None:
        _limit_line(marks, frame, line, sheet)
    _spill_words(marks, frame, spills[order], sheet)
    words = f"now: {show(float(array[present]), kind, system, 1)}, place {place + 1} of {array.size}"
    _present(marks, frame, frame.x(place + 0.5), words, sheet)
    worst_text, best_text = (show(float(array[i]), kind, system, 1) for i in (order[0], order[-1]))
    told = "" if spilling is None else f" {int(spills.sum())} of them spill flue gas into the room."
    return Picture(
        marks,
        sheet,
        f"{title}, all {array.size} combinations from the worst to the best: worst {worst_text}, best {best_text}; "
        f"{words}.{told}",
    )


def _areas(
    marks: Marks, frame: Frame, ranked: npt.NDArray[np.float64], spills: npt.NDArray[np.bool_]
) -> None:
    """One stepped shape for each run of combinations that spill or do not: no seams between the bars to shimmer.

    Spilling ones are vermillion with slanted strokes, the others plain blue.
    """
    edges = np.concatenate([[0], np.flatnonzero(np.diff(spills)) + 1, [spills.size]]).tolist()
    zero = frame.y(0.0)
    for a, b in pairwise(edges):
        corners = [(frame.x(a), zero)]
        for start, end in _level(a, b, (frame.right - frame.left) / ranked.size):
            y = frame.y(float(ranked[start]))
            corners += [(frame.x(start), y), (frame.x(end), y)]
        corners.append((frame.x(b), zero))
        colour = ORANGE if spills[a] else SKY
        marks.polygon(corners, face=colour, edge=colour, width=0.4, layer=3)
        if spills[a]:
            _hatched(marks, corners)


def _level(a: int, b: int, pitch: float) -> Iterator[tuple[int, int]]:
    """Steps of the stair from a to b: one a combination where that can be seen, else one every pixel."""
    step = max(1, math.ceil(1.0 / pitch))
    for start in range(a, b, step):
        yield start, min(start + step, b)


def _hatched(marks: Marks, corners: list[tuple[float, float]]) -> None:
    """Slanted strokes over a stepped shape, each from the axis to the edge above or below it."""
    xs = [x for x, _ in corners]
    zero = corners[0][1]
    x = min(xs) + 3.0
    while x < max(xs):
        y = next(y for (x0, y), (x1, _) in pairwise(corners) if x0 <= x <= x1 and x1 > x0)
        lean = min(5.0, max(xs) - x)
        marks.stroke([(x, zero), (x + lean, y)], colour="#7a4f00", width=0.9, layer=4)
        x += 8.0


def _limit_line(marks: Marks, frame: Frame, line: float, sheet: Sheet) -> None:
    y = frame.y(line)
    marks.stroke([(frame.left, y), (frame.right, y)], colour=INK, width=2.0, layer=5, dash=(14, 5))
    marks.label(frame.right - 2, y + 3, "limit", sheet.small, bold=True, across="right", up="bottom")


def _spill_words(marks: Marks, frame: Frame, spills: npt.NDArray[np.bool_], sheet: Sheet) -> None:
    """How many combinations spill, below the axis; with a bar where they are the worst ones in one run."""
    count = int(spills.sum())
    if not count:
        return
    in_a_run = bool(spills[:count].all())
    if in_a_run:
        ends = [(frame.x(0.0) + 2, frame.bottom - 4), (frame.x(float(count)) - 2, frame.bottom - 4)]
        marks.stroke(ends, colour="#7a4f00", width=4.0, layer=7)
    words = f"{count} spill" if in_a_run else f"{count} spill (hatched)"
    marks.label(frame.left + 16, frame.bottom - 9, words, sheet.small, bold=True, up="top")


def _present(marks: Marks, frame: Frame, x: float, words: str, sheet: Sheet) -> None:
    """The combination on the screen: a line with a head, and its words above the frame."""
    marks.stroke([(x, frame.bottom), (x, frame.top + 4)], colour=VERMILLION, width=2.0, layer=6)
    head = [(x - 6, frame.top + 12), (x + 6, frame.top + 12), (x, frame.top + 3)]
    marks.polygon(head, face=VERMILLION, edge=VERMILLION, layer=6)
    half = text_width(words, sheet.small, bold=True) / 2
    middle = min(max(x, half + 4), sheet.width - half - 4)
    marks.label(middle, frame.top + 17, words, sheet.small, bold=True, across="center")


def effects_chart(
    names: Sequence[str],
    effects: npt.ArrayLike,
    *,
    title: str,
    width: Width = "wide",
    system: System = "field",
) -> Picture:
    """What each control moves on average over all other settings, the largest first.

    Parameters
    ----------
    names : sequence of str
        Controls, with what counts as on: "range hood on", "hall door shut".
    effects : array_like
        Mean change of the pressure when the control goes on, Pa, shape (controls,).
    title : str
        What is moved, and that it is the mean change: "pressure of the basement, mean change".
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture
        Bars to the left lower the value, bars to the right raise it; each has its figure with sign.

    Raises
    ------
    InputError
        Effects that are not finite or do not fit the names.
    """
    array = finite(effects, "effects")
    if array.size != len(names):
        raise InputError(
            "names and effects differ in number", where="effects", given=array.size, expected=str(len(names))
        )
    base, marks = CHART_SHEETS[width], Marks()
    pitch = (2.1 if not base.narrow else 2.6) * base.small
    sheet = replace(base, height=round(pitch * len(names) + 3.2 * base.body))
    order = np.argsort(-np.abs(array), kind="stable").tolist()
    kind = kinds.PRESSURE_DIFFERENCE
    figures = [_signed(show(float(v), kind, system, 1)) for v in array]
    named = 0.36 * sheet.width if sheet.narrow else 250.0
    room = max(text_width(text, sheet.small, bold=True) for text in figures) + 12.0
    # the whole width goes to the side on which the bars stand; zero moves with them
    below, above = max(0.0, -float(array.min())), max(0.0, float(array.max()))
    scale = (sheet.width - named - 2 * room) / max(below + above, 1e-9)
    zero = named + room + scale * below
    marks.label(8, sheet.height - 6, f"{title}, {label(kind, system)}", sheet.body, bold=True, up="top")
    for row, i in enumerate(order):
        y = sheet.height - 2.6 * sheet.body - pitch * (row + 0.5)
        _effect(marks, (zero, zero + scale * float(array[i]), y), figures[i], sheet)
        lines = wrap(names[i], named - 12, sheet.small)
        for k, text in enumerate(lines):
            marks.label(8, y + ((len(lines) - 1) / 2 - k) * 1.1 * sheet.small, text, sheet.small, up="center")
    marks.stroke([(zero, 10), (zero, sheet.height - 2.5 * sheet.body)], colour=GREY, width=1.2, layer=4)
    told = "; ".join(f"{names[i]} {figures[i]}" for i in order)
    return Picture(marks, sheet, f"{title}, by control, largest first: {told}.")


def _signed(figure: str) -> str:
    """A change with its sign; what shows as zero has none."""
    if figure.lstrip("-−").startswith("0.0 "):
        return figure.lstrip("-−")
    return figure if figure[0] in "-−" else f"+{figure}"


def _effect(marks: Marks, at: tuple[float, float, float], figure: str, sheet: Sheet) -> None:
    zero, end, y = at
    lower = end < zero
    colour = VERMILLION if lower else BLUE
    bar = [(zero, y - 7), (end, y - 7), (end, y + 7), (zero, y + 7)]
    marks.polygon(bar, face=colour, edge=colour, width=0.5, layer=3)
    across: Literal["left", "right"] = "right" if lower else "left"
    marks.label(end - 6 if lower else end + 6, y, figure, sheet.small, bold=True, across=across, up="center")
