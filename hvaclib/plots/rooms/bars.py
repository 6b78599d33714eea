"""Every room as a bar with the band it should stay in: now, and after one room has been relieved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from hvaclib.errors import InputError
from hvaclib.plots.axes import finite, nice_ticks, tick_text
from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.section.words import pressure_text
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, VERMILLION, Sheet
from hvaclib.units import kinds, label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.plots.style import System, Width

BAND = "#dff1ea"
BAND_EDGE = "#00795a"


@dataclass(frozen=True, slots=True)
class RoomBar:
    """One room.

    Parameters
    ----------
    name : str
        Room.
    now, after : float
        Pa against the other side of its door, as found and with the remedy in the chosen room.
    chosen : bool
        Whether this is the room that is relieved.
    note : str
        What else belongs beside the name, such as the appliance that stands there.
    """

    name: str
    now: float
    after: float
    chosen: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Scale:
    """From Pa to pixels."""

    zero: float
    unit: float

    def x(self, pressure: float) -> float:
        return self.zero + self.unit * pressure


def room_bars(
    bars: Sequence[RoomBar],
    band: tuple[float, float],
    *,
    width: Width = "wide",
    system: System = "field",
) -> Picture:
    """Draw the rooms one under the other.

    Parameters
    ----------
    bars : sequence of RoomBar
        Rooms in the order shown.
    band : tuple of float
        Least and largest pressure that the rule allows, Pa.
    width, system : str
        Variant of the sheet and unit system.

    Returns
    -------
    Picture

    Raises
    ------
    InputError
        If there is no room, or a pressure is not finite.
    """
    values = finite([[bar.now, bar.after] for bar in bars], "rooms", 2)
    if not band[0] < band[1]:
        raise InputError("the band is empty", where="band", given=band, expected="its lower end first")
    base, marks = CHART_SHEETS[width], Marks()
    pitch = 4.0 * base.small
    head, foot = 3.0 * base.body, 5.2 * base.small
    sheet = replace(base, height=round(pitch * len(bars) + head + foot))
    named = 122.0 if sheet.narrow else 236.0
    room = 5.2 * sheet.small
    low, high = min(float(values.min()), band[0]), max(float(values.max()), band[1])
    unit = (sheet.width - named - 2 * room) / (high - low)
    scale = _Scale(named + room - unit * low, unit)
    top = sheet.height - head
    _band(marks, scale, band, (foot, top), sheet)
    _axis(marks, scale, (low, high), foot, sheet)
    for row, bar in enumerate(bars):
        _room(marks, scale, bar, band, top - pitch * (row + 0.5), named, sheet, system)
    marks.stroke([(scale.x(0.0), foot), (scale.x(0.0), top)], colour=INK, width=1.4, layer=6)
    title = f"Room against the other side of its door, {label(kinds.PRESSURE_DIFFERENCE, system)}"
    marks.label(8, sheet.height - 6, title, sheet.body, bold=True, up="top")
    return Picture(marks, sheet, _words(bars, band, system))


def _band(
    marks: Marks, scale: _Scale, band: tuple[float, float], span: tuple[float, float], sheet: Sheet
) -> None:
    foot, top = span
    left, right = (scale.x(end) for end in band)
    marks.polygon(
        [(left, foot), (right, foot), (right, top), (left, top)], face=BAND, edge="none", width=0, layer=0
    )
    for x in (left, right):
        marks.stroke([(x, foot), (x, top)], colour=BAND_EDGE, width=1.6, layer=5, dash=(9, 5))
    marks.label(
        (left + right) / 2,
        top + 3,
        "allowed",
        sheet.small,
        colour=BAND_EDGE,
        bold=True,
        across="center",
        up="bottom",
    )


def _axis(marks: Marks, scale: _Scale, span: tuple[float, float], foot: float, sheet: Sheet) -> None:
    """Ticks below the bars, and the key of the two bars."""
    ticks = [t for t in nice_ticks(span[0], span[1], 5) if span[0] - 1e-9 <= t <= span[1] + 1e-9]
    step = ticks[1] - ticks[0] if len(ticks) > 1 else 1.0
    marks.stroke([(scale.x(span[0]), foot), (scale.x(span[1]), foot)], colour=GREY, width=1.2, layer=2)
    for tick in ticks:
        x = scale.x(tick)
        marks.stroke([(x, foot), (x, foot - 5)], colour=GREY, width=1.0, layer=2)
        marks.label(x, foot - 8, tick_text(tick, step), sheet.small, across="center", up="top")
    y, x = 1.1 * sheet.small, 8.0
    for filled, text in ((True, "now"), (False, "with the remedy")):
        _bar(marks, (x, x + 26.0), y, 11.0 if filled else 8.0, GREY, filled=filled)
        marks.label(x + 32, y, text, sheet.small, up="center")
        x += 52 + text_width(text, sheet.small)


def _bar(
    marks: Marks, ends: tuple[float, float], y: float, thick: float, colour: str, *, filled: bool
) -> None:
    corners = [
        (ends[0], y - thick / 2),
        (ends[1], y - thick / 2),
        (ends[1], y + thick / 2),
        (ends[0], y + thick / 2),
    ]
    marks.polygon(corners, face=colour if filled else PAPER, edge=colour, width=1.6, layer=3)


def _room(
    marks: Marks, scale: _Scale, bar: RoomBar, band: tuple[float, float], y: float, named: float, sheet: Sheet,
    system: System,
) -> None:  # fmt: skip
    """Name, the two bars and their figures; a bar out of the band also says so."""
    if bar.chosen:
        marks.polygon(
            [(2, y - 1.9 * sheet.small), (sheet.width - 2, y - 1.9 * sheet.small), (sheet.width - 2, y + 1.9 * sheet.small), (2, y + 1.9 * sheet.small)],
            face="none", edge=PALE, width=1.6, layer=1,
        )  # fmt: skip
    lines = wrap(bar.name, named - 12, sheet.small, bold=bar.chosen)
    if bar.note:
        lines.append(wrap(bar.note, named - 12, sheet.small, lines=1)[0])
    for k, text in enumerate(lines):
        down = ((len(lines) - 1) / 2 - k) * 1.15 * sheet.small
        grey = bar.note and k == len(lines) - 1
        marks.label(
            8,
            y + down,
            text,
            sheet.small,
            colour=GREY if grey else INK,
            bold=bar.chosen and not grey,
            up="center",
        )
    for value, place, thick, filled in ((bar.now, 0.75, 15.0, True), (bar.after, -0.85, 11.0, False)):
        at = y + place * sheet.small
        out = not band[0] <= value <= band[1]
        colour = VERMILLION if out else BLUE
        _bar(marks, (scale.zero, scale.x(value)), at, thick, colour, filled=filled)
        figure = ("! " if out else "") + pressure_text(value, system).removesuffix(" Pa")
        end = _beside(scale, value, text_width(figure, sheet.small, bold=True), band)
        side: Literal["left", "right"] = "left" if value >= 0 else "right"
        marks.label(end, at, figure, sheet.small, bold=True, across=side, up="center")


def _beside(scale: _Scale, value: float, wide: float, band: tuple[float, float]) -> float:
    """Where the figure of a bar begins: behind its end, and clear of the edges of the band and of zero."""
    way = 1.0 if value >= 0 else -1.0
    end = scale.x(value) + way * 5.0
    for edge in sorted((scale.x(x) for x in (*band, 0.0)), key=lambda x: way * x):
        if -4.0 < way * (edge - end) < wide + 4.0:
            end = edge + way * 5.0
    return end


def _words(bars: Sequence[RoomBar], band: tuple[float, float], system: System) -> str:
    ends = " to ".join(pressure_text(end, system) for end in band)
    told = "; ".join(
        f"{bar.name} {pressure_text(bar.now, system)}{'' if band[0] <= bar.now <= band[1] else ' (out of the band)'}, "
        f"with the remedy {pressure_text(bar.after, system)}"
        for bar in bars
    )
    return f"Pressure of each room against the other side of its shut door; allowed {ends}. {told}."
