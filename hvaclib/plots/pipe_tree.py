"""A tree of gas pipes drawn piece by piece: size and flow on each piece, the pressure at each appliance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.physics.gas_supply import pipes
from hvaclib.plots.manifold import DIGITS
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PAPER, VERMILLION
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.physics.gas_supply import PipeState
    from hvaclib.plots.style import Sheet, System, Width

FLOW, PRESSURE = kinds.GAS_FLOW, kinds.GAUGE_PRESSURE


@dataclass(frozen=True, slots=True)
class PipePressures:
    """What the drawing needs, in SI.

    Parameters
    ----------
    states : mapping of str to PipeState
        As `hvaclib.physics.gas_supply.PipeTree.solve` gives them.
    supply : float
        Pa after the meter.
    least : float
        Pa that an appliance needs at its inlet.
    """

    states: Mapping[str, PipeState]
    supply: float
    least: float

    def ends(self) -> list[str]:
        """Names of the pieces at whose far end an appliance stands, in the order of the tree."""
        order: list[str] = []

        def visit(name: str) -> None:
            if name in self.states and self.states[name].pipe.load:
                order.append(name)
            for child, state in self.states.items():
                if state.pipe.after == name:
                    visit(child)

        visit("meter")
        return order


def pipe_tree_picture(tree: PipePressures, width: Width = "wide", system: System = "field") -> Picture:
    """The pipes from the meter at the left to the appliances at the right.

    Parameters
    ----------
    tree : PipePressures
        Solved pipes.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the figures.

    Returns
    -------
    Picture
        A red, broken piece is too small by the longest-length method; a red end has too little pressure.
    """
    base, marks = CHART_SHEETS[width], Marks()
    ends = tree.ends()
    pitch = 108.0 if base.narrow else 96.0
    sheet = replace(base, height=round(pitch * len(ends) + 4.5 * base.small))
    rows = {name: sheet.height - pitch * (i + 0.62) for i, name in enumerate(ends)}
    heights = {name: _height(tree, name, rows) for name in tree.states}
    depths = {name: _depth(tree, name) for name in tree.states}
    left, right = (26.0, sheet.width - 40.0) if base.narrow else (60.0, sheet.width - 200.0)

    def x(depth: int) -> float:
        return left + depth / max(depths.values()) * (right - left)

    first = next(heights[name] for name, state in tree.states.items() if state.pipe.after == "meter")
    for name, state in tree.states.items():
        after = state.pipe.after
        start = (x(depths[after]), heights[after]) if after in tree.states else (x(0), first)
        _piece(marks, sheet, start, (x(depths[name]), heights[name]), state, system)
    _meter(marks, sheet, (x(0), first), tree, system)
    for name in ends:
        _end(marks, sheet, (x(depths[name]), heights[name]), tree, name, system)
    note = "red, broken: too small by the longest-length method"
    marks.label(8, 8, note, sheet.small, colour=GREY, up="bottom")
    return Picture(marks, sheet, pipe_tree_words(tree, system))


def _depth(tree: PipePressures, name: str) -> int:
    """Pieces between the meter and the far end of this one."""
    after = tree.states[name].pipe.after
    return 1 + (_depth(tree, after) if after in tree.states else 0)


def _height(tree: PipePressures, name: str, rows: Mapping[str, float]) -> float:
    """An appliance keeps its row; a tee stands at the row of the first appliance beyond it."""
    if name in rows:
        return rows[name]
    beyond = [child for child, state in tree.states.items() if state.pipe.after == name]
    return max(_height(tree, child, rows) for child in beyond)


def _size(state: PipeState) -> str:
    for name, diameter in pipes().items():
        if abs(diameter - state.pipe.diameter) < 1e-6:
            return f"{name} in"
    return show(state.pipe.diameter, kinds.SIZE)


def _piece(
    marks: Marks, sheet: Sheet, start: tuple[float, float], end: tuple[float, float], state: PipeState, system: System
) -> None:  # fmt: skip
    """Down from the tee, then along; as wide as the pipe."""
    colour = INK if state.enough else VERMILLION
    points = [start, (start[0], end[1]), end] if start[1] != end[1] else [start, end]
    wide = 2.5 + 120.0 * state.pipe.diameter
    marks.stroke(points, colour=colour, width=wide, layer=3, dash=None if state.enough else (11.0, 9.0))
    middle = (start[0] + end[0]) / 2 + 8
    flow = (
        "nothing flows" if state.flow == 0 else show(state.flow, FLOW, system, 0 if system == "field" else 2)
    )
    words = f"{_size(state)}, {show(state.pipe.length, kinds.LENGTH, system, 0)}"
    if sheet.narrow:
        x = start[0] + (18.0 if state.pipe.after == "meter" else 7.0)
        marks.label(x, end[1] + wide / 2 + 3, words, sheet.small, colour=colour, bold=True, up="bottom")
        marks.label(x, end[1] - wide / 2 - 3, flow, sheet.small, up="top")
        return
    marks.label(
        middle,
        end[1] + wide / 2 + 4,
        words,
        sheet.small,
        colour=colour,
        bold=True,
        across="center",
        up="bottom",
    )
    loss = f"{flow}, −{show(state.drop, PRESSURE, system, 2 if system == 'field' else 0)}"
    marks.label(
        middle,
        end[1] - wide / 2 - 4,
        flow if state.flow == 0 else loss,
        sheet.small,
        across="center",
        up="top",
    )


def _meter(marks: Marks, sheet: Sheet, at: tuple[float, float], tree: PipePressures, system: System) -> None:
    half = 14.0 if sheet.narrow else 20.0
    corners = [(at[0] - half, at[1] - half), (at[0] + half, at[1] - half), (at[0] + half, at[1] + half),
               (at[0] - half, at[1] + half)]  # fmt: skip
    marks.polygon(corners, face=PAPER, edge=INK, width=2.0, layer=6)
    marks.label(*at, "M", sheet.body, bold=True, across="center", up="center")
    words = show(tree.supply, PRESSURE, system, DIGITS[system])
    marks.label(at[0] - half, at[1] + half + 6 + (1.5 * sheet.small if sheet.narrow else 0), f"meter: {words}",
                sheet.small, bold=True, up="bottom")  # fmt: skip


def _end(
    marks: Marks, sheet: Sheet, at: tuple[float, float], tree: PipePressures, name: str, system: System
) -> None:
    state = tree.states[name]
    low = state.pressure < tree.least
    colour = VERMILLION if low else BLUE
    spot(marks, at, colour, radius=9.0)
    pressure = show(state.pressure, PRESSURE, system, DIGITS[system])
    tail = " too low" if low else ""
    if sheet.narrow:
        y, ink = at[1] + 2.2 * sheet.small, colour if low else INK
        right = sheet.width - 6.0
        marks.label(
            right, y, pressure + tail, sheet.small, bold=True, colour=ink, across="right", up="bottom"
        )
        marks.label(right, y + 1.25 * sheet.small, name, sheet.small, bold=True, across="right", up="bottom")
        return
    marks.label(at[0] + 18, at[1] + 3, name, sheet.body, bold=True, up="bottom")
    marks.label(
        at[0] + 18, at[1] - 3, pressure + tail, sheet.body, colour=colour if low else INK, bold=low, up="top"
    )


def pipe_tree_words(tree: PipePressures, system: System = "field") -> str:
    """The drawing in sentences, for those who do not see it."""
    told = [f"Gas pipes from the meter, {show(tree.supply, PRESSURE, system, DIGITS[system])}."]
    for name, state in tree.states.items():
        small = "" if state.enough else ", too small by the longest-length method"
        told.append(
            f"{name}: {_size(state)}, {show(state.pipe.length, kinds.LENGTH, system, 0)}, "
            f"{show(state.flow, FLOW, system)}{small}; "
            f"{show(state.pressure, PRESSURE, system, DIGITS[system])} at its end"
            f"{', too low' if state.pipe.load and state.pressure < tree.least else ''}."
        )
    return " ".join(told)
