"""The way of the condensate: its trap, enlarged with the pressure that it holds, and pump and line with their heights."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.physics.air import GRAVITY
from hvaclib.plots.axes import finite, nice_ticks, tick_text
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import arrow
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, SKY, VERMILLION
from hvaclib.reference import value
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    from hvaclib.plots.letters import Rectangle
    from hvaclib.plots.style import Sheet, System, Width

LENGTH, SIZE, FLOW, PRESSURE = kinds.LENGTH, kinds.SIZE, kinds.MASS_FLOW, kinds.GAUGE_PRESSURE
WATER_WEIGHT = value("condensate", "water", "density") * GRAVITY
"""Pa for each metre of water."""
LEG = 22.0  # inside width of a leg of the trap, px
HOLDS = "#005c45"


@dataclass(frozen=True, slots=True)
class CondensatePath:
    """What the picture needs, in SI.

    Parameters
    ----------
    lift, run : float
        From the water in the tank to the highest point, and length of the line, m, zero or more.
    shutoff_head, head : float
        Greatest lift of the pump, and the head that it works against, m.
    delivered, water : float
        Flow of the pump in its line and the condensate, kg/s.
    pressure : float
        Where the trap is connected, Pa over the room.
    seal, needed_seal : float
        Water seal of the trap as built and as needed, m.
    neutralizer, freezing : bool
        Whether one is in the line; whether part of the line lies where it freezes.
    """

    lift: float
    run: float
    shutoff_head: float
    head: float
    delivered: float
    water: float
    pressure: float
    seal: float
    needed_seal: float
    neutralizer: bool
    freezing: bool

    def __post_init__(self) -> None:
        heights = [self.lift, self.run, self.shutoff_head, self.seal, self.needed_seal]
        finite([*heights, self.head, self.delivered, self.water, self.pressure], "condensate path")
        if min(heights) < 0:
            raise InputError(
                "a height is below zero", where="condensate path", given=min(heights), expected="0 or more"
            )

    @property
    def holds(self) -> bool:
        """Whether the trap is deep enough."""
        return self.seal >= self.needed_seal - 1e-9


def condensate_path_picture(path: CondensatePath, width: Width = "wide", system: System = "field") -> Picture:
    """The trap at the furnace, then tank, pump and line up to the highest point and down to the drain.

    Parameters
    ----------
    path : CondensatePath
        Heights, flows and the trap.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone, where the trap stands below the line.
    system : {"field", "si"}
        Unit system of heights and scale.

    Returns
    -------
    Picture
        The heights of the line are to scale; the trap has a scale of its own.

    Raises
    ------
    InputError
        From `CondensatePath`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    sheet = replace(base, height=600 if base.narrow else 430)
    if base.narrow:
        _trap(marks, sheet, (14.0, 10.0, 348.0, 290.0), path, system)
        _line(marks, sheet, (40.0, 306.0, 346.0, 590.0), path, system)
    else:
        _trap(marks, sheet, (20.0, 12.0, 370.0, 420.0), path, system)
        _line(marks, sheet, (440.0, 12.0, 945.0, 420.0), path, system)
    return Picture(marks, sheet, condensate_path_words(path, system))


def _rectangle(
    marks: Marks, box: Rectangle, face: str, edge: str = INK, width: float = 1.6, layer: int = 2
) -> None:
    left, bottom, right, top = box
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    marks.polygon(corners, face=face, edge=edge, width=width, layer=layer)


def _trap(marks: Marks, sheet: Sheet, box: Rectangle, path: CondensatePath, system: System) -> None:
    """Furnace above, the U below it: water at the weir on the drain's side, moved by the pressure on the other."""
    left, bottom, _, top = box
    pressed = path.pressure / WATER_WEIGHT
    largest = max(path.seal + max(-pressed, 0.0), path.needed_seal, 0.0254)
    furnace = top - (62.0 if sheet.narrow else 92.0)
    dip = bottom + 2.6 * sheet.small + LEG
    scale = (furnace - dip - 24.0) / largest
    weir = dip + scale * path.seal
    inlet = left + 40.0
    outlet = inlet + LEG + 16.0
    level = min(max(weir - scale * pressed, dip - LEG), furnace - 4)
    _rectangle(marks, (left, furnace, outlet + LEG + 60.0, top), "#eef1f4")
    at = f"{show(path.pressure, PRESSURE, system, 2 if system == 'field' else 0)}"
    marks.label(left + 10, top - 8, "furnace, at the trap", sheet.small, up="top")
    marks.label(left + 10, top - 8 - 1.4 * sheet.small, at, sheet.body, bold=True, up="top")
    water = [(inlet, level), (inlet, dip - LEG), (outlet + LEG, dip - LEG), (outlet + LEG, weir), (outlet, weir), (outlet, dip),
             (inlet + LEG, dip), (inlet + LEG, level)]  # fmt: skip
    if level <= dip:
        water = [(inlet, level), (inlet, dip - LEG), (outlet + LEG, dip - LEG), (outlet + LEG, level)]
    marks.polygon(water, face="#bfe0f5", edge="none", width=0, layer=3)
    end = outlet + LEG + 46.0
    for wall in (
        [
            (inlet, furnace),
            (inlet, dip - LEG),
            (outlet + LEG, dip - LEG),
            (outlet + LEG, weir),
            (end, weir - 6),
        ],
        [
            (inlet + LEG, furnace),
            (inlet + LEG, dip),
            (outlet, dip),
            (outlet, weir + LEG),
            (end, weir + LEG - 6),
        ],
    ):
        marks.stroke(wall, width=2.4, layer=5)
    inside, outside = (end - 26, weir + 5), (end + 14, weir + 1)
    sucked = not path.holds and path.pressure < 0  # air is drawn in
    start, tip = (outside, inside) if sucked else (inside, outside)
    arrow(marks, start, tip, BLUE if path.holds else VERMILLION, 2.6, 6)
    _trap_words(marks, sheet, (end + 22, dip, weir), path, system)
    marks.label(left, bottom, "trap, enlarged: filled with water before the start", sheet.small, up="bottom")


def _trap_words(
    marks: Marks, sheet: Sheet, place: tuple[float, float, float], path: CondensatePath, system: System
) -> None:
    """The seal as a dimension beside the trap, with what it needs."""
    x, dip, weir = place
    digits = 2 if system == "field" else 0
    has, needs = (show(v, SIZE, system, digits) for v in (path.seal, path.needed_seal))
    for y in (dip, weir):
        marks.stroke([(x - 58, y), (x + 8, y)], colour=GREY, width=1.0, layer=4, dash=(3, 4))
    if weir - dip > 26:
        middle = (dip + weir) / 2
        arrow(marks, (x, middle), (x, weir), INK, 1.6, 6)
        arrow(marks, (x, middle), (x, dip), INK, 1.6, 6)
    colour = HOLDS if path.holds else VERMILLION
    y = (dip + weir) / 2
    lines = (f"seal {has}", f"needs {needs}", "holds" if path.holds else "TOO SHALLOW")
    for i, words in enumerate(lines):
        marks.label(
            x + 14, y + (1 - i) * 1.35 * sheet.body, words, sheet.body, bold=i != 1, up="center",
            colour=colour if i == 2 else INK,
        )  # fmt: skip


def _line(marks: Marks, sheet: Sheet, box: Rectangle, path: CondensatePath, system: System) -> None:
    left, bottom, right, top = box
    low = bottom + 3.1 * sheet.small + 26.0  # level of the water in the tank
    tallest = float(shown(max(path.lift, path.shutoff_head), LENGTH, system))
    ticks = nice_ticks(0.0, tallest, 4)
    scale = (top - 3.0 * sheet.small - low) / ticks[-1]

    def y(height: float) -> float:
        return low + scale * float(shown(height, LENGTH, system))

    for tick in ticks:
        marks.stroke([(left, low + scale * tick), (right, low + scale * tick)], colour=PALE, layer=0)
        marks.label(
            left - 6,
            low + scale * tick,
            tick_text(tick, ticks[1]),
            sheet.small,
            across="right",
            up="center",
        )
    title = f"above the water in the tank, {label(LENGTH, system)}"
    marks.label(left - 30, top + 4, title, sheet.small, bold=True, up="top")
    _tank_and_drain(marks, sheet, (left, bottom, right, low), path)
    _tube(marks, (left, right, low), y(path.lift), path)
    _heights(
        marks, sheet, (left, right), (y(path.lift), y(path.shutoff_head), y(path.head), low), path, system
    )
    flow = "delivers nothing" if path.delivered <= 0 else f"delivers {show(path.delivered, FLOW, system, 0)}"
    words = f"pump {flow}; condensate {show(path.water, FLOW, system, 1)}"
    marks.label(left - 30, bottom, words, sheet.small, bold=True, up="bottom")


def _tank_and_drain(marks: Marks, sheet: Sheet, box: Rectangle, path: CondensatePath) -> None:
    left, bottom, right, low = box
    floor = bottom + 1.7 * sheet.small
    marks.stroke([(left, floor), (right, floor)], width=2.0, layer=2)
    _rectangle(marks, (left + 6, floor, left + 96, low + 10), PAPER)
    _rectangle(marks, (left + 7, floor + 1, left + 95, low), "#bfe0f5", "none", 0, 3)
    marks.label(left + 11, (floor + low) / 2, "tank, pump", sheet.small, up="center")
    _rectangle(marks, (right - 42, floor - 2, right - 10, floor + 8), GREY)
    marks.label(right - 48, floor + 6, "drain", sheet.small, across="right", up="bottom")
    if path.neutralizer:
        _rectangle(marks, (right - 38, floor + 14, right - 14, floor + 42), "#f3e3c2", layer=6)
        marks.label(right - 44, floor + 30, "neutralizer", sheet.small, across="right", up="center")


def _tube(marks: Marks, place: tuple[float, float, float], high: float, path: CondensatePath) -> None:
    """The tube from the tank up, across and down; the part in the cold is crossed."""
    left, right, low = place
    riser, fall = left + 84.0, right - 26.0
    colour = BLUE if path.delivered > 0 else GREY
    dash = None if path.delivered > 0 else (6.0, 6.0)
    marks.stroke(
        [(riser, low - 8), (riser, high), (fall, high - 2)], colour=colour, width=4.0, layer=5, dash=dash
    )
    marks.stroke(
        [(fall, high - 2), (fall, low - 16)],
        colour=SKY if dash is None else GREY,
        width=4.0,
        layer=5,
        dash=dash,
    )
    if path.freezing:
        middle = (riser + fall) / 2
        for i in range(-3, 4):
            x = middle + 16 * i
            marks.stroke([(x - 5, high - 7), (x + 5, high + 5)], colour=VERMILLION, width=2.4, layer=7)
            marks.stroke([(x - 5, high + 5), (x + 5, high - 7)], colour=VERMILLION, width=2.4, layer=7)


def _heights(
    marks: Marks, sheet: Sheet, ends: tuple[float, float], places: tuple[float, float, float, float],
    path: CondensatePath, system: System,
) -> None:  # fmt: skip
    """Highest point, greatest lift of the pump, and the head in use as a mark on the riser."""
    left, right = ends
    lift, most, head, low = places
    marks.stroke([(left, most), (right, most)], colour=VERMILLION, width=1.8, layer=4, dash=(8, 5))
    above = path.lift > path.shutoff_head or lift - low < 3.6 * sheet.small
    cold = " (freezes)" if path.freezing else ""
    words = f"lift {show(path.lift, LENGTH, system, 1)}, line {show(path.run, LENGTH, system, 1)}{cold}"
    marks.label(
        left + 102,
        lift + (9 if above else -9),
        words,
        sheet.small,
        bold=True,
        up="bottom" if above else "top",
    )
    limit = f"pump's greatest lift {show(path.shutoff_head, LENGTH, system, 1)}"
    below = path.lift > path.shutoff_head
    marks.label(
        left + 102,
        most + (-5 if below else 5),
        limit,
        sheet.small,
        colour="#9c4300",
        up="top" if below else "bottom",
    )
    if path.delivered > 0 and head > lift + 3:
        marks.stroke([(left + 72, head), (left + 96, head)], colour=BLUE, width=2.6, layer=6)
        if min(head - lift, most - head) > 1.2 * sheet.small and not above:
            told = f"with friction {show(path.head, LENGTH, system, 1)}"
            marks.label(left + 102, head, told, sheet.small, up="center")


def condensate_path_words(path: CondensatePath, system: System = "field") -> str:
    """The picture in sentences, for those who do not see it."""
    digits = 2 if system == "field" else 0
    seal, needed = (show(v, SIZE, system, digits) for v in (path.seal, path.needed_seal))
    told = [
        f"Trap at the furnace, {show(path.pressure, PRESSURE, system, digits)}: seal {seal}, {needed} needed, "
        f"{'it holds' if path.holds else 'too shallow'}.",
        f"Line from the pump: lift {show(path.lift, LENGTH, system, 1)}, length {show(path.run, LENGTH, system, 1)}; the pump's "
        f"greatest lift is {show(path.shutoff_head, LENGTH, system, 1)}.",
        f"The pump delivers {show(path.delivered, FLOW, system, 0)}; condensate {show(path.water, FLOW, system, 1)}.",
    ]
    if path.freezing:
        told.append("Part of the line lies where it freezes.")
    told.append("A neutralizer is in the line." if path.neutralizer else "No neutralizer is in the line.")
    return " ".join(told)
