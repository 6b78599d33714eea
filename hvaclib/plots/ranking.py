"""All combinations of fans, doors and air handler from the worst to the best, and what each control moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import finite, framed, nice_ticks
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, SKY, VERMILLION, Sheet, letter_width, wrap
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from hvaclib.plots.style import System, Width

MOST_BARS = 240  # a bar narrower than three pixels cannot be told from its neighbour


def ranking_chart(
    values: npt.ArrayLike, present: int, *, title: str, worst: str = "highest", limit: float | None = None,
    width: Width = "wide", system: System = "field",
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
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture
        With the place of the present combination in its words.

    Raises
    ------
    InputError
        Values that are not finite, or a present combination that is not there.
    """
    array = finite(values, "values")
    if not 0 <= present < array.size:
        raise InputError(
            "there is no such combination", where="present", given=present, expected=f"0 to {array.size - 1}"
        )
    sheet, marks = CHART_SHEETS[width], Marks()
    order = np.argsort(-array if worst == "highest" else array, kind="stable")
    place = int(np.flatnonzero(order == present)[0])
    kind = kinds.PRESSURE_DIFFERENCE
    ranked = np.asarray(shown(array[order], kind, system), dtype=float)
    line = None if limit is None else float(shown(limit, kind, system))
    ends = [*ranked[[0, -1]].tolist(), 0.0, *([] if line is None else [line])]
    ticks = nice_ticks(min(ends), max(ends), 5)
    counts = [0.0, float(array.size)]
    box = (46.0 if sheet.narrow else 58.0, 3.0 * sheet.small + 8, 22.0, 4.2 * sheet.body)
    frame = framed(
        marks,
        sheet,
        box,
        counts,
        ticks,
        f"{array.size} combinations, worst at the left",
        f"{title}, {label(kind, system)}",
    )
    edges = np.linspace(0, array.size, min(MOST_BARS, array.size) + 1).astype(int)
    for a, b in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        top = frame.y(float(ranked[a]))
        x0, x1 = frame.x(a), frame.x(b)
        marks.polygon(
            [(x0, frame.y(0.0)), (x1, frame.y(0.0)), (x1, top), (x0, top)],
            face=SKY,
            edge=SKY,
            width=0.4,
            layer=3,
        )
    if line is not None:
        marks.stroke(
            [(frame.left, frame.y(line)), (frame.right, frame.y(line))],
            colour=INK,
            width=2.0,
            layer=5,
            dash=(14, 5),
        )
        marks.label(
            frame.right - 2, frame.y(line) + 3, "limit", sheet.small, bold=True, across="right", up="bottom"
        )
    x = frame.x(place + 0.5)
    marks.stroke([(x, frame.bottom), (x, frame.top + 4)], colour=VERMILLION, width=2.0, layer=6)
    marks.polygon(
        [(x - 6, frame.top + 12), (x + 6, frame.top + 12), (x, frame.top + 3)],
        face=VERMILLION,
        edge=VERMILLION,
        layer=6,
    )
    words = f"now: {show(float(array[present]), kind, system, 1)}, place {place + 1} of {array.size}"
    left = x + 12 + letter_width(sheet.small, bold=True) * len(words) < sheet.width
    marks.label(
        x + 10 if left else x - 10,
        frame.top + 4,
        words,
        sheet.small,
        bold=True,
        across="left" if left else "right",
    )
    worst_text, best_text = (show(float(array[i]), kind, system, 1) for i in (order[0], order[-1]))
    return Picture(
        marks,
        sheet,
        f"{title}, all {array.size} combinations: worst {worst_text}, best {best_text}; {words}.",
    )


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
        What is moved.
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
    pitch = 2.1 * base.small
    sheet = Sheet(
        base.width,
        round(pitch * len(names) + 3.2 * base.body),
        base.small,
        base.body,
        base.large,
        base.margin,
    )
    order = np.argsort(-np.abs(array), kind="stable")
    named = 0.36 * sheet.width if sheet.narrow else 250.0
    room = 4.6 * sheet.body
    largest = max(float(np.abs(array).max()), 1e-9)
    zero = named + room + (sheet.width - named - 2 * room) / 2
    scale = (sheet.width - named - 2 * room) / 2 / largest
    kind = kinds.PRESSURE_DIFFERENCE
    marks.label(
        8, sheet.height - 6, f"{title}: mean change, {label(kind, system)}", sheet.body, bold=True, up="top"
    )
    words = []
    for row, i in enumerate(order.tolist()):
        y = sheet.height - 2.6 * sheet.body - pitch * (row + 0.5)
        value = float(array[i])
        end = zero + scale * value
        colour = VERMILLION if value < 0 else BLUE
        marks.polygon(
            [(zero, y - 7), (end, y - 7), (end, y + 7), (zero, y + 7)],
            face=colour,
            edge=colour,
            width=0.5,
            layer=3,
        )
        lines = wrap(names[i], named - 12, sheet.small)
        for k, text in enumerate(lines):
            marks.label(8, y + ((len(lines) - 1) / 2 - k) * sheet.small, text, sheet.small, up="center")
        figure = show(value, kind, system, 1)
        figure = f"+{figure}" if value > 0 and not figure.startswith("0.0") else figure
        marks.label(
            end - 6 if value < 0 else end + 6,
            y,
            figure,
            sheet.small,
            bold=True,
            across="right" if value < 0 else "left",
            up="center",
        )
        words.append(f"{names[i]} {figure}")
    marks.stroke([(zero, 10), (zero, sheet.height - 2.5 * sheet.body)], colour=GREY, width=1.2, layer=4)
    return Picture(marks, sheet, f"{title}, mean change by control, largest first: " + "; ".join(words) + ".")
