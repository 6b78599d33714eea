"""The gas meter's dial as it was clocked, beside the rates that follow: clocked, plate, altitude rules, orifices."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.axes import finite, nice_ticks, tick_text
from hvaclib.plots.letters import wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import arrow
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, SKY, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.plots.style import Sheet, System, Width

RATE = kinds.CAPACITY
BAND = "#dff0e8"
BAND_EDGE = "#00795a"


@dataclass(frozen=True, slots=True)
class RateBar:
    """One rate of the comparison.

    Parameters
    ----------
    words : str
        What it is.
    rate : float or None
        W; none where the rule has no figure.
    role : str
        "clocked", "chosen" or "other": how it is drawn.
    half : float
        Half width of the uncertainty, W.
    """

    words: str
    rate: float | None
    role: str = "other"
    half: float = 0.0


@dataclass(frozen=True, slots=True)
class ClockedRate:
    """What the picture needs, in SI.

    Parameters
    ----------
    dial : str
        Words on the dial: "1/2 ft³".
    turns : float
        Turns clocked, above zero.
    time : float
        s, above zero.
    bars : tuple of RateBar
        From the top down.
    band : tuple of float
        Least and greatest rate that counts as on rate, W.
    """

    dial: str
    turns: float
    time: float
    bars: tuple[RateBar, ...]
    band: tuple[float, float]

    def __post_init__(self) -> None:
        finite([self.turns, self.time, *self.band], "clocked rate")
        finite([bar.rate for bar in self.bars if bar.rate is not None], "bars")
        if not (self.turns > 0 and self.time > 0):
            raise InputError("turns and time must be above zero", where="clocked rate", given=self.turns)


def firing_rate_picture(clocked: ClockedRate, width: Width = "wide", system: System = "field") -> Picture:
    """The dial with its hand, and the rates as bars over one scale.

    Parameters
    ----------
    clocked : ClockedRate
        Dial, time and rates.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone, where the dial stands above the bars.
    system : {"field", "si"}
        Unit system of the scale.

    Returns
    -------
    Picture
        The green band is what counts as on rate.

    Raises
    ------
    InputError
        From `ClockedRate`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    pitch = 46.0 if base.narrow else 44.0
    bars = pitch * len(clocked.bars) + 4.2 * base.small
    sheet = replace(base, height=round(bars + 190 if base.narrow else max(bars + 20, 330)))
    if base.narrow:
        _dial(marks, sheet, (sheet.width / 2, sheet.height - 92.0), 62.0, clocked, system)
        box = (12.0, 3.4 * base.small, sheet.width - 14.0, bars - 6.0)
    else:
        _dial(marks, sheet, (160.0, sheet.height / 2 + 14.0), 110.0, clocked, system)
        box = (330.0, 3.4 * base.small, sheet.width - 24.0, sheet.height - 12.0)
    _bars(marks, sheet, box, clocked, system)
    return Picture(marks, sheet, firing_rate_words(clocked, system))


def _ring(
    at: tuple[float, float], radius: float, start: float = 0.0, end: float = 1.0
) -> list[tuple[float, float]]:
    """Points of an arc by share of a turn, clockwise from the top."""
    steps = max(int(48 * (end - start)), 2)
    angles = [2 * math.pi * (start + (end - start) * i / steps) for i in range(steps + 1)]
    return [(at[0] + radius * math.sin(a), at[1] + radius * math.cos(a)) for a in angles]


def _dial(
    marks: Marks, sheet: Sheet, at: tuple[float, float], radius: float, clocked: ClockedRate, system: System
) -> None:
    """A test dial: ten ticks, the hand where it stopped, the turns it made as an arrow inside."""
    marks.polygon(_ring(at, radius), face=PAPER, edge=INK, width=2.4, layer=1)
    for i in range(10):
        inner = _ring(at, radius * (0.84 if i else 0.78), i / 10, i / 10)[0]
        marks.stroke(
            [inner, _ring(at, radius * 0.95, i / 10, i / 10)[0]], width=2.6 if i == 0 else 1.4, layer=3
        )
    whole = abs(clocked.turns - round(clocked.turns)) < 1e-9
    share = 0.0 if whole else clocked.turns % 1.0
    sweep = _ring(at, radius * 0.68, 0.03, 0.95 if clocked.turns >= 1 else max(share - 0.02, 0.06))
    marks.stroke(sweep, colour=SKY, width=5.0, layer=2)
    arrow(marks, sweep[-2], sweep[-1], BLUE, 3.4, 4)
    tip = _ring(at, radius * 0.80, share, share)[0]
    arrow(marks, at, tip, VERMILLION, 3.6, 6)
    marks.polygon(_ring(at, radius * 0.06), face=INK, edge=INK, layer=7)
    marks.label(
        at[0], at[1] - 0.34 * radius, clocked.dial, sheet.body, bold=True, across="center", up="center"
    )
    if not sheet.narrow:
        y = at[1] - 0.34 * radius - 1.3 * sheet.small
        marks.label(at[0], y, "one turn", sheet.small, across="center", up="center")
    turns = f"{clocked.turns:g} turn{'' if clocked.turns == 1 else 's'} in {show(clocked.time, kinds.TIME, system)}"
    marks.label(
        at[0], at[1] - radius - 1.1 * sheet.body, turns, sheet.body, bold=True, across="center", up="center"
    )


def _bars(
    marks: Marks, sheet: Sheet, box: tuple[float, float, float, float], clocked: ClockedRate, system: System
) -> None:
    left, bottom, right, top = box
    most = max([clocked.band[1], *((bar.rate or 0.0) + bar.half for bar in clocked.bars)])
    ticks = nice_ticks(0.0, 1.12 * float(shown(most, RATE, system)), 4 if sheet.narrow else 6)

    def x(rate: float) -> float:
        return left + float(shown(rate, RATE, system)) / ticks[-1] * (right - left)

    low, high = x(clocked.band[0]), x(clocked.band[1])
    corners = [(low, bottom), (high, bottom), (high, top), (low, top)]
    marks.polygon(corners, face=BAND, edge=BAND_EDGE, width=1.0, layer=0)
    for value in ticks:
        place = left + value / ticks[-1] * (right - left)
        marks.stroke([(place, bottom), (place, bottom - 5)], colour=GREY, layer=2)
        marks.label(place, bottom - 8, tick_text(value, ticks[1]), sheet.small, across="center", up="top")
    marks.stroke([(left, bottom), (right, bottom)], colour=GREY, width=1.2, layer=2)
    title = f"input rate, {label(RATE, system)}; green: on rate"
    marks.label(
        (left + right) / 2, bottom - 10 - 1.2 * sheet.small, title, sheet.small, across="center", up="top"
    )
    pitch = (top - bottom) / len(clocked.bars)
    for i, bar in enumerate(clocked.bars):
        _bar(marks, sheet, (left, right, top - (i + 1) * pitch, pitch), bar, x, system)


def _bar(
    marks: Marks,
    sheet: Sheet,
    row: tuple[float, float, float, float],
    bar: RateBar,
    at: Callable[[float], float],
    system: System,
) -> None:
    """Words over their bar, the figure at its end."""
    left, right, floor, pitch = row
    bold = bar.role != "other"
    colour = {"clocked": VERMILLION, "chosen": BLUE}.get(bar.role, PALE)
    figure = "no figure at this altitude" if bar.rate is None else show(bar.rate, RATE, system, 1)
    words = wrap(f"{bar.words}: {figure}", right - left, sheet.small, bold, 1)[0]
    marks.label(left + 2, floor + 0.44 * pitch + 4, words, sheet.small, bold=bold, up="bottom")
    if bar.rate is None:
        return
    end, low, high = at(bar.rate), floor + 0.08 * pitch, floor + 0.40 * pitch
    marks.polygon(
        [(left, low), (end, low), (end, high), (left, high)], face=colour, edge=GREY, width=0.8, layer=4
    )
    if bar.half:
        middle = (low + high) / 2
        ends = (at(bar.rate - bar.half), at(bar.rate + bar.half))
        marks.stroke([(ends[0], middle), (ends[1], middle)], width=1.8, layer=6)
        for place in ends:
            marks.stroke([(place, middle - 5), (place, middle + 5)], width=1.8, layer=6)


def firing_rate_words(clocked: ClockedRate, system: System = "field") -> str:
    """The picture in sentences, for those who do not see it."""
    told = [
        f"Test dial of {clocked.dial}: {clocked.turns:g} turn{'' if clocked.turns == 1 else 's'} in "
        f"{show(clocked.time, kinds.TIME, system)}."
    ]
    for bar in clocked.bars:
        told.append(f"{bar.words}: {'no figure' if bar.rate is None else show(bar.rate, RATE, system, 1)}.")
    low, high = (show(v, RATE, system, 1) for v in clocked.band)
    return " ".join([*told, f"On rate from {low} to {high}."])
