"""What each control does to a temperature rise: one arrow a control, all from the same start, on one scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.plots.letters import wrap
from hvaclib.plots.pointers import arrow
from hvaclib.plots.style import BLUE, GREY, INK, PALE, VERMILLION
from hvaclib.units import kinds, show, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.plots.marks import Marks
    from hvaclib.plots.style import Sheet, System

RISE = kinds.TEMPERATURE_DIFFERENCE
STILL = 0.05  # K: no arrow below


@dataclass(frozen=True, slots=True)
class Move:
    """One control alone: its words, the rise that it leads to (K), and whether it was moved or is only tried."""

    words: str
    end: float
    tried: bool = False


@dataclass(frozen=True, slots=True)
class Lane:
    """Where the arrows stand: left and right, px; bottom, top (px) and low, high (shown unit) of the scale; the start, K."""

    left: float
    right: float
    scale: tuple[float, float, float, float]
    start: float
    system: System

    def y(self, rise: float) -> float:
        """Pixel from the bottom of a rise, K."""
        bottom, top, low, high = self.scale
        return bottom + (float(shown(rise, RISE, self.system)) - low) / (high - low) * (top - bottom)


def move_lanes(marks: Marks, lane: Lane, moves: Sequence[Move], sheet: Sheet) -> None:
    """Draw one arrow a move, its change at the head and its words below.

    Parameters
    ----------
    marks : Marks
        Appended to.
    lane : Lane
        The place and the scale.
    moves : sequence of Move
        At least one. What is only tried has a thin grey arrow, what was moved a thick one.
    sheet : Sheet
        Size of the picture.
    """
    pitch = (lane.right - lane.left) / len(moves)
    level = lane.y(lane.start)
    marks.stroke([(lane.left, level), (lane.right, level)], colour=GREY, width=1.2, layer=4, dash=(2, 4))
    for i, move in enumerate(moves):
        x = lane.left + (i + 0.5) * pitch
        if i:
            left = lane.left + i * pitch
            marks.stroke([(left, lane.scale[0]), (left, lane.scale[1])], colour=PALE, width=1.0, layer=1)
        _move(marks, lane, move, x, level, sheet)
        size = min(sheet.small, 12.2)
        for k, text in enumerate(wrap(move.words, pitch - 3, size, lines=3)):
            y = lane.scale[0] - 8 - k * 1.15 * size
            marks.label(x, y, text, size, across="center", up="top", bold=not move.tried)


def _move(marks: Marks, lane: Lane, move: Move, x: float, level: float, sheet: Sheet) -> None:
    change = move.end - lane.start
    end = lane.y(move.end)
    colour = GREY if move.tried else (VERMILLION if change > 0 else BLUE)
    if abs(change) < STILL:
        marks.stroke([(x - 8, level), (x + 8, level)], colour=colour, width=3.0, layer=7)
    else:
        arrow(marks, (x, level), (x, end), colour, 1.8 if move.tried else 3.2, 7)
    up = change >= 0
    words = signed(change, lane.system)
    marks.label(
        x, max(end, level) + 5 if up else min(end, level) - 5, words, min(sheet.small, 12.5), across="center",
        up="bottom" if up else "top", bold=not move.tried, colour=INK,
    )  # fmt: skip


def move_rows(
    marks: Marks, box: tuple[float, float, float, float], moves: Sequence[Move], start: float,
    span: tuple[float, float], band: tuple[float, float] | None, system: System, sheet: Sheet,
) -> None:  # fmt: skip
    """The same arrows lying, one row a move: for a phone, where there is no room for words below columns.

    Parameters
    ----------
    marks : Marks
        Appended to.
    box : tuple of float
        Left, bottom, right and top of the scale, px; the words stand at its left.
    moves, start, system, sheet
        As for `move_lanes`.
    span : tuple of float
        Least and greatest of the scale, in the shown unit.
    band : tuple of float or None
        Range to shade, K.
    """
    left, bottom, right, top = box
    lane = Lane(left, right, (left, right, *span), start, system)
    if band is not None:
        low, high = (lane.y(v) for v in band)
        shade = [(low, bottom), (high, bottom), (high, top), (low, top)]
        marks.polygon(shade, face="#dff0e8", edge="#00795a", width=0.8, layer=0)
    level, pitch = lane.y(start), (top - bottom) / len(moves)
    marks.stroke([(level, bottom), (level, top)], colour=GREY, width=1.2, layer=4, dash=(2, 4))
    for i, move in enumerate(moves):
        y, end, change = top - (i + 0.5) * pitch, lane.y(move.end), move.end - start
        colour = GREY if move.tried else (VERMILLION if change > 0 else BLUE)
        if abs(change) < STILL:
            marks.stroke([(level, y - 6), (level, y + 6)], colour=colour, width=3.0, layer=7)
        else:
            arrow(marks, (level, y), (end, y), colour, 1.8 if move.tried else 3.0, 7)
        marks.label(8, y, move.words, sheet.small, up="center", bold=not move.tried)
        side = "left" if change >= 0 else "right"
        x = max(end, level) + 5 if change >= 0 else min(end, level) - 5
        words = signed(change, system)
        marks.label(x, y, words, sheet.small, across=side, up="center", bold=not move.tried)  # type: ignore[arg-type]


def signed(change: float, system: System) -> str:
    """A change of a rise with its sign and no unit, which the axis has."""
    number = show(change, RISE, system, 1).partition(" ")[0]
    bare = number.lstrip("−")
    if not float(bare.replace(",", "")):
        return "0"
    return number if number != bare else f"+{bare}"


def moves_words(moves: Sequence[Move], start: float, system: System) -> str:
    """The arrows in a sentence."""
    told = "; ".join(
        f"{m.words}{' (tried)' if m.tried else ''} {signed(m.end - start, system)}" for m in moves
    )
    return f"From {show(start, RISE, system, 1)}, each alone: {told}."
