"""Static pressure along the air path of a furnace, over a drawing of the path with its test holes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks
from hvaclib.plots.duct_symbols import draw_part
from hvaclib.plots.letters import text_width, wrap
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, arrow, diamond, error_bar, key_row, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.plots.style import Sheet, System, Width

STATIC = kinds.GAUGE_PRESSURE
KEY = "before the change"


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the air path in the direction of the air: its name, and its kind, which chooses its symbol."""

    name: str
    kind: str
    out_of_line: bool = False


@dataclass(frozen=True, slots=True)
class Hole:
    """A test hole: its number, the node that it stands at, and what was measured there, Pa (None: nothing)."""

    number: int
    node: int
    measured: float | None = None


@dataclass(frozen=True, slots=True)
class AirPath:
    """What the drawing needs.

    Parameters
    ----------
    parts : sequence of Part
        M parts from the return grille to the registers.
    pressure : sequence of float
        M + 1 pressures against the room, Pa: before the first part, between the parts, after the last.
    holes : sequence of Hole
        The test holes.
    total : tuple of int
        Numbers of the two holes whose difference is the total external static pressure: return, supply.
    before : sequence of float or None
        The pressures before a change.
    limit : float or None
        Greatest total on the plate, Pa.
    """

    parts: Sequence[Part]
    pressure: Sequence[float]
    holes: Sequence[Hole]
    total: tuple[int, int]
    before: Sequence[float] | None = None
    limit: float | None = None

    def __post_init__(self) -> None:
        for key in ("pressure", "before"):
            values = getattr(self, key)
            if values is not None and finite(values, key).size != len(self.parts) + 1:
                raise InputError(
                    "the profile does not fit its parts", where=key, given=len(values),
                    expected=f"{len(self.parts) + 1} pressures",
                )  # fmt: skip

    @property
    def total_measured(self) -> bool:
        """Whether both holes of the total were measured."""
        return all(self._hole(number).measured is not None for number in self.total)

    def at(self, number: int) -> float:
        """Pressure at one of the two holes of the total, Pa: measured where both were, else computed."""
        hole = self._hole(number)
        if self.total_measured and hole.measured is not None:
            return hole.measured
        return float(self.pressure[hole.node])

    def _hole(self, number: int) -> Hole:
        return next(hole for hole in self.holes if hole.number == number)


def air_path_chart(path: AirPath, width: Width = "wide", system: System = "field") -> Picture:
    """The pressure profile over the parts that make it; the zero line is the room.

    Parameters
    ----------
    path : AirPath
        Parts, pressures and holes, SI.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone, which has letters and a key below.
    system : {"field", "si"}
        Unit system.

    Returns
    -------
    Picture
        Numbered discs are the test holes; diamonds what was measured.

    Raises
    ------
    InputError
        From `AirPath`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    keys = _keys(path)
    # room is kept for a change or readings that may come, so that the picture keeps its height
    rows = 2 if base.narrow else 1
    lines = -(-len(path.parts) // 2)
    strip = 62.0 if base.narrow else 78.0
    foot = 1.5 * base.small * lines + 8.0 if base.narrow else 3.6 * base.small + 4.0
    sheet = replace(
        base, height=round((400 if not base.narrow else 300) + strip + foot + 1.5 * base.small * rows - 40)
    )
    values = [
        *path.pressure,
        *(path.before or ()),
        *(h.measured for h in path.holes if h.measured is not None),
    ]
    ticks = nice_ticks(*_range([float(shown(v, STATIC, system)) for v in values]), 5)
    box = (54.0 if base.narrow else 62.0, foot + strip + 6, 10.0 if base.narrow else 190.0,
           2.6 * base.body + 1.5 * base.small * rows)  # fmt: skip
    title = f"static pressure against the room, {label(STATIC, system)}"
    frame = framed(marks, sheet, box, [0.0, float(len(path.parts))], ticks, "", title)
    _bare_axis(marks, frame, len(path.parts), sheet)
    key_row(marks, sheet, (10.0, sheet.height - 2.35 * sheet.body), keys, sheet.width - 10.0)
    _parts(marks, path, frame, sheet, strip, foot)
    _profile(marks, path, frame, system)
    _holes(marks, path, frame, sheet, system, foot + strip / 2)
    if not base.narrow:
        _total(marks, path, frame, sheet, system)
    return Picture(marks, sheet, air_path_words(path, system))


def _range(values: list[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    room = 0.12 * max(high - low, 1e-9)
    return low - room, high + room


def _keys(path: AirPath) -> list[Key]:
    keys: list[Key] = [("computed", BLUE, 3.0, None)]
    if path.before is not None:
        keys.append((KEY, GREY, 2.0, (2.0, 4.0)))
    if any(hole.measured is not None for hole in path.holes):
        keys.append(("measured (diamonds)", VERMILLION, 2.4, (8.0, 5.0)))
    return keys


def _bare_axis(marks: Marks, frame: Frame, parts: int, sheet: Sheet) -> None:
    """The horizontal axis counts parts, so it has no figures; the zero line has its name."""
    del marks.labels[-4:-1]  # the two figures and the empty title of the horizontal axis
    for i in range(parts + 1):
        x = frame.x(float(i))
        marks.stroke([(x, frame.bottom), (x, frame.top)], colour=PALE, width=0.8, layer=1)
    zero = frame.y(0.0)
    marks.stroke([(frame.left, zero), (frame.right, zero)], colour=INK, width=1.6, layer=3)
    marks.label(frame.left + 5, zero + 3, "room", sheet.small, bold=True, up="bottom")


def _parts(marks: Marks, path: AirPath, frame: Frame, sheet: Sheet, strip: float, foot: float) -> None:
    """The path below the profile, each part under its own stretch; names below, or letters with a key on a phone."""
    for i, part in enumerate(path.parts):
        left, right = frame.x(float(i)), frame.x(float(i + 1))
        middle = (left + right) / 2
        colour = VERMILLION if part.out_of_line else INK
        draw_part(marks, part.kind, (left, foot + 8.0, right, foot + strip - 14.0), colour)
        if not sheet.narrow:
            size = min(sheet.small, 12.5)
            for k, text in enumerate(wrap(part.name, right - left - 4, size, part.out_of_line, 3)):
                y = foot - 2 - 1.15 * k * size
                marks.label(middle, y, text, size, across="center", up="top", bold=part.out_of_line)
            continue
        letter = chr(ord("A") + i)
        marks.label(middle, frame.top - 2, letter, sheet.small, bold=True, across="center", up="top")
        row, column = i % -(-len(path.parts) // 2), i // -(-len(path.parts) // 2)
        at = (8.0 + column * sheet.width / 2, foot - 4 - 1.5 * sheet.small * row)
        marks.label(*at, f"{letter}  {part.name}", sheet.small, up="top", bold=part.out_of_line)


def _profile(marks: Marks, path: AirPath, frame: Frame, system: System) -> None:
    rows = [(path.before, GREY, 2.0, (2.0, 4.0)), (path.pressure, BLUE, 3.0, None)]
    for values, colour, wide, dash in rows:
        if values is not None:
            points = [
                (frame.x(float(i)), frame.y(float(shown(v, STATIC, system)))) for i, v in enumerate(values)
            ]
            marks.stroke(points, colour=colour, width=wide, layer=5, dash=dash)
    found = [(frame.x(float(h.node)), frame.y(float(shown(h.measured, STATIC, system)))) for h in path.holes
             if h.measured is not None]  # fmt: skip
    if len(found) > 1:
        marks.stroke(found, colour=VERMILLION, width=2.4, layer=6, dash=(8.0, 5.0))
    for x, y in found:
        diamond(marks, (x, y), VERMILLION)


def _holes(marks: Marks, path: AirPath, frame: Frame, sheet: Sheet, system: System, duct: float) -> None:
    """Numbered discs on the duct, a line up to the profile, and the reading beside the point."""
    size = min(sheet.small, 12.5)
    for hole in path.holes:
        value = float(path.pressure[hole.node])
        x, y = frame.x(float(hole.node)), frame.y(float(shown(value, STATIC, system)))
        marks.stroke([(x, duct), (x, y)], colour=GREY, width=1.0, layer=4, dash=(3, 3))
        spot(marks, (x, duct), INK, radius=0.72 * size, layer=12)
        marks.label(x, duct, str(hole.number), size, colour=PAPER, bold=True, across="center", up="center")
        spot(marks, (x, y), BLUE, radius=5.0, layer=8)
        words = _figure(value if hole.measured is None else hole.measured, system)
        wide = text_width(words, size, bold=True)
        other = y if hole.measured is None else frame.y(float(shown(hole.measured, STATIC, system)))
        below = value < 0.0
        was = y if path.before is None else frame.y(float(shown(path.before[hole.node], STATIC, system)))
        at = min(y, other, was) if below else max(y, other, was)
        bottom = at - 10 - 1.1 * size if below else at + 10
        left = min(max(x - wide / 2, frame.left + 2), sheet.width - wide - 4)
        corners = [(left - 2, bottom), (left + wide + 2, bottom), (left + wide + 2, bottom + 1.15 * size), (left - 2, bottom + 1.15 * size)]  # fmt: skip
        marks.polygon(corners, face=PAPER, edge=PAPER, width=0.0, layer=7)
        marks.label(left, bottom, words, size, bold=True, up="bottom")


def _figure(value: float, system: System) -> str:
    number = show(value, STATIC, system, 2 if system == "field" else 0).partition(" ")[0]
    return number if value < 0 else f"+{number}"


def _total(marks: Marks, path: AirPath, frame: Frame, sheet: Sheet, system: System) -> None:
    """The total external static pressure as a dimension between the two holes that give it."""
    low, high = (frame.y(float(shown(path.at(n), STATIC, system))) for n in path.total)
    x = frame.right + 16.0
    for number, y in zip(path.total, (low, high), strict=True):
        node = next(hole.node for hole in path.holes if hole.number == number)
        marks.stroke(
            [(frame.x(float(node)) + 8, y), (x + 6, y)], colour=GREY, width=1.0, layer=3, dash=(3, 3)
        )
    error_bar(marks, x, low, high, INK)
    arrow(marks, (x, low), (x, high), INK, 2.0, 8)
    total = path.at(path.total[1]) - path.at(path.total[0])
    digits = 2 if system == "field" else 0
    lines = [
        "total, measured" if path.total_measured else "total, computed",
        f"hole {path.total[1]} less hole {path.total[0]}",
        show(total, STATIC, system, digits),
    ]
    if path.limit is not None:
        lines.append(f"plate {show(path.limit, STATIC, system, digits)}")
    top = (low + high) / 2 + 0.65 * len(lines) * sheet.body
    for k, text in enumerate(lines):
        marks.label(x + 14, top - 1.3 * k * sheet.body, text, sheet.small, bold=k == 2, up="top")


def air_path_words(path: AirPath, system: System = "field") -> str:
    """The drawing in sentences, for those who do not see it."""
    digits = 2 if system == "field" else 0
    told = "; ".join(
        f"hole {h.number} {show(float(path.pressure[h.node]), STATIC, system, digits)}"
        + ("" if h.measured is None else f" (measured {show(h.measured, STATIC, system, digits)})")
        for h in path.holes
    )
    total = show(path.at(path.total[1]) - path.at(path.total[0]), STATIC, system, digits)
    odd = [part.name for part in path.parts if part.out_of_line]
    tail = f" Out of line: {', '.join(odd)}." if odd else ""
    names = ", ".join(part.name for part in path.parts)
    told = f"Static pressure against the room along {names}: {told}. Total external static {total}.{tail}"
    return told.replace("..", ".")  # the unit "in. w.c." brings its own full stop
