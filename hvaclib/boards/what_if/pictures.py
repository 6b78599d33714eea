"""Pictures of the what-if board: a band along a control with the rule's limit and the recorded point; the fit."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.plots import Picture
from hvaclib.plots.axes import Frame, framed, nice_ticks
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.pointers import Key, diamond, error_bar, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PINK, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.boards.what_if.lines import Lines, ReadRow, Series
    from hvaclib.plots.style import Sheet, System, Width

PRESSURE = kinds.PRESSURE_DIFFERENCE
PENS: tuple[tuple[str, str, tuple[float, float] | None], ...] = (
    (BLUE, "#cfe3f1", None),
    (PINK, "#f3dfea", (9.0, 5.0)),
    (VERMILLION, "#f6ddcc", (2.0, 4.0)),
)
"""Colour of the line, of its band, and dash of each appliance."""


def _p(value: float, system: System) -> float:
    return float(shown(value, PRESSURE, system))


def band_chart(lines: Lines, width: Width, system: System) -> Picture:
    """Pressures along a control: median, the middle 90 % as a band, limit, present point, recorded reading.

    Parameters
    ----------
    lines : Lines
    width : {"wide", "narrow"}
    system : {"field", "si"}

    Returns
    -------
    Picture
        Of the same height whatever is known already.
    """
    base, marks = CHART_SHEETS[width], Marks()
    keys = _keys(lines)
    rows = key_rows(base, _keys(replace(lines, limit=0.0)), base.width - 20.0)
    sheet = replace(base, height=round((300 if base.narrow else 330) + 1.6 * base.small * rows))
    head = 2.6 * sheet.body + 1.6 * sheet.small * rows
    box = (46.0 if base.narrow else 58.0, 3.2 * sheet.small + 12, 18.0, head)
    frame = framed(marks, sheet, box, _x_ticks(lines, system, base.narrow), _y_ticks(lines, system),
                   lines.control_title, f"{lines.title}, {label(PRESSURE, system)}")  # fmt: skip
    key_row(marks, sheet, (10.0, sheet.height - 2.5 * sheet.body), keys, sheet.width - 10.0)
    x = [frame.x(float(shown(value, lines.control, system))) for value in lines.values]
    for number, series in enumerate(lines.series):
        _band(marks, frame, x, series, PENS[number % len(PENS)], system)
    if lines.limit is not None:
        _limit(marks, frame, lines, sheet, system)
    _here(marks, frame, lines, sheet, system)
    if not lines.values.size:
        marks.label(
            frame.left + 6, frame.top - 4, "the rest is being worked out", sheet.body, colour=GREY, up="top"
        )
    return Picture(marks, sheet, _words(lines, system))


def _keys(lines: Lines) -> list[Key]:
    keys: list[Key] = [
        (item.words, PENS[row % len(PENS)][0], 3.0, PENS[row % len(PENS)][2])
        for row, item in enumerate(lines.series)
    ]
    return keys if lines.limit is None else [*keys, ("limit of the rule", INK, 1.6, (10.0, 4.0))]


def _x_ticks(lines: Lines, system: System, narrow: bool) -> list[float]:
    values = [float(shown(value, lines.control, system)) for value in lines.span]
    return nice_ticks(min(values), max(values), 4 if narrow else 8)


def _y_ticks(lines: Lines, system: System) -> list[float]:
    found = [0.0] if lines.limit is None else [0.0, lines.limit]
    for item in lines.series:
        found += [*item.low, *item.high]
        if item.here is not None:
            found += [item.here.low, item.here.high]
        if item.read is not None:
            found += [item.read[1] - item.read[2], item.read[1] + item.read[2]]
    values = [_p(value, system) for value in found]
    return nice_ticks(min(values) - 0.2, max(values) + 0.2, 6)


def _band(
    marks: Marks, frame: Frame, x: list[float], series: Series,
    pen: tuple[str, str, tuple[float, float] | None], system: System,
) -> None:  # fmt: skip
    if not x:
        return
    low, middle, high = (
        [frame.y(_p(float(value), system)) for value in row]
        for row in (series.low, series.middle, series.high)
    )
    edge = [*zip(x, low, strict=True), *reversed(list(zip(x, high, strict=True)))]
    marks.polygon(edge, face=pen[1], edge=pen[1], width=0.0, layer=0)
    for row in (low, high):
        marks.stroke(list(zip(x, row, strict=True)), colour=pen[0], width=0.9, layer=3)
    marks.stroke(list(zip(x, middle, strict=True)), colour=pen[0], width=2.8, layer=4, dash=pen[2])


def _limit(marks: Marks, frame: Frame, lines: Lines, sheet: Sheet, system: System) -> None:
    assert lines.limit is not None  # told by the caller
    y = frame.y(_p(lines.limit, system))
    marks.stroke([(frame.left, y), (frame.right, y)], colour=INK, width=1.6, layer=5, dash=(10, 4))
    words = f"limit {show(lines.limit, PRESSURE, system, 1)}"
    away = frame.x(float(shown(lines.here, lines.control, system))) > 0.5 * (frame.left + frame.right)
    x = frame.left + 4 if away else frame.right - 4  # at the end where the present value does not stand
    marks.label(x, y + 4, words, sheet.small, bold=True, across="left" if away else "right", up="bottom")


def _here(marks: Marks, frame: Frame, lines: Lines, sheet: Sheet, system: System) -> None:
    x = frame.x(float(shown(lines.here, lines.control, system)))
    marks.stroke([(x, frame.bottom), (x, frame.top)], colour=PALE, width=1.4, layer=2)
    for number, item in enumerate(lines.series):
        colour = PENS[number % len(PENS)][0]
        if item.read is not None:
            at = frame.x(float(shown(item.read[0], lines.control, system)))
            value, half = item.read[1:]
            error_bar(
                marks, at, frame.y(_p(value - half, system)), frame.y(_p(value + half, system)), GREY, layer=6
            )
            diamond(marks, (at, frame.y(_p(value, system))), colour)
        if item.here is not None:
            y = frame.y(_p(item.here.median, system))
            error_bar(
                marks, x, frame.y(_p(item.here.low, system)), frame.y(_p(item.here.high, system)), colour, 8
            )
            spot(marks, (x, y), colour, layer=10)
            _value(marks, frame, (x, y), show(item.here.median, PRESSURE, system, 1), sheet)


def _value(marks: Marks, frame: Frame, at: tuple[float, float], words: str, sheet: Sheet) -> None:
    """The present median beside its point, on the side with room."""
    wide = text_width(words, sheet.body, True)
    left = at[0] + 14 + wide > frame.right
    y = min(max(at[1] + 12, frame.bottom + 4), frame.top - sheet.body)
    marks.label(at[0] - 14 if left else at[0] + 14, y, words, sheet.body, bold=True,
                across="right" if left else "left", up="bottom")  # fmt: skip


def _words(lines: Lines, system: System) -> str:
    told = [f"{lines.title} against {lines.control_title}."]
    for item in lines.series:
        if item.here is not None:
            middle, low, high = (
                show(value, PRESSURE, system, 1)
                for value in (item.here.median, item.here.low, item.here.high)
            )
            told.append(f"{item.words}: {middle} here, 90 % between {low} and {high}.")
        if item.middle.size:
            first, last = (
                show(float(value), PRESSURE, system, 1) for value in (item.middle[0], item.middle[-1])
            )
            told.append(f"Along the control the median goes from {first} to {last}.")
        if item.read is not None:
            told.append(f"Read: {show(item.read[1], PRESSURE, system, 1)}.")
    if lines.limit is not None:
        told.append(f"Limit of the rule: {show(lines.limit, PRESSURE, system, 1)}.")
    return " ".join(told)


@lru_cache(maxsize=8)
def read_chart(rows: tuple[ReadRow, ...], width: Width, system: System) -> Picture:
    """Readings and the fitted house as two bars a row, on one scale of pressure.

    Parameters
    ----------
    rows : tuple of ReadRow
    width : {"wide", "narrow"}
    system : {"field", "si"}

    Returns
    -------
    Picture
    """
    base, marks = CHART_SHEETS[width], Marks()
    pitch, words_left = (58.0, 10.0) if base.narrow else (34.0, 10.0)
    sheet = replace(base, height=round(max(len(rows), 1) * pitch + 3.2 * base.small + 12 + 3.6 * base.body))
    ends = [0.0]
    for row in rows:
        ends += [row.read - row.read_half, row.read + row.read_half]
        ends += [row.fitted - row.fitted_half, row.fitted + row.fitted_half]
    ticks = nice_ticks(_p(min(ends), system), _p(max(ends), system), 4 if base.narrow else 8)
    left = 14.0 if base.narrow else 330.0
    box = (left, 3.2 * sheet.small + 12, 22.0, 3.2 * sheet.body)
    frame = framed(marks, sheet, box, ticks, [0.0, 1.0], f"pressure, {label(PRESSURE, system)}", "")
    del marks.labels[:2]  # the rows have words, not numbers
    key_row(marks, sheet, (10.0, sheet.height - 0.9 * sheet.body), [
        ("hollow diamond: read", GREY, 3.0, None), ("filled spot: fitted house", BLUE, 3.0, None),
    ], sheet.width - 10.0)  # fmt: skip
    for number, row in enumerate(rows):
        y = frame.top - (number + (0.7 if base.narrow else 0.5)) * (frame.top - frame.bottom) / len(rows)
        note = f"{row.words}{' (not explained)' if row.off else ''}"
        marks.label(words_left, y + (24 if base.narrow else 0), note, sheet.small, up="center", bold=row.off)
        _bar(marks, frame, y + 5, row.read, row.read_half, GREY, system)
        _bar(marks, frame, y - 5, row.fitted, row.fitted_half, BLUE, system)
        diamond(marks, (frame.x(_p(row.read, system)), y + 5), VERMILLION if row.off else INK)
        spot(marks, (frame.x(_p(row.fitted, system)), y - 5), BLUE, radius=5.0, layer=10)
    told = "; ".join(
        f"{row.words}: read {show(row.read, PRESSURE, system, 1)}, fitted house {show(row.fitted, PRESSURE, system, 1)}"
        for row in rows
    )
    return Picture(marks, sheet, f"Readings beside the fitted house. {told}.")


def _bar(
    marks: Marks, frame: Frame, y: float, value: float, half: float, colour: str, system: System
) -> None:
    low, high = (frame.x(_p(end, system)) for end in (value - half, value + half))
    marks.stroke([(low, y), (high, y)], colour=colour, width=3.0, layer=6)
    for x in (low, high):
        marks.stroke([(x, y - 4), (x, y + 4)], colour=colour, width=1.4, layer=6)
