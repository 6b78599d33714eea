"""What every flow mark shares: colours by kind, the scale of the arrows, the figures that wait for a place."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from hvaclib.plots.section import symbols
from hvaclib.plots.section.placing import Line, Wanted
from hvaclib.plots.section.words import flow_text
from hvaclib.plots.style import BLUE, GREEN, PINK, VERMILLION

if TYPE_CHECKING:
    from hvaclib.plots.marks import Marks
    from hvaclib.plots.section.data import PathKind
    from hvaclib.plots.section.placing import Across
    from hvaclib.plots.style import Sheet, System

COLOURS: dict[PathKind, str] = {
    "leak": BLUE, "opening": GREEN, "door": GREEN, "window": GREEN, "fan": VERMILLION, "duct": PINK
}  # fmt: skip
STILL = 2.4e-4  # m³/s, half a cfm: no arrow below
LABEL_SHARES = {"wide": 0.03, "narrow": 0.08}  # of the largest flow: no figure below


@dataclass(frozen=True, slots=True)
class Brush:
    """What every flow mark needs: the sheet, units, scale of the arrows, signs of the key, and words still to place.

    The words wait until every shape is drawn; the most needed are placed first.
    """

    sheet: Sheet
    system: System
    largest: float
    signs: dict[str, str]
    first: list[Wanted] = field(default_factory=list)
    later: list[tuple[float, Wanted]] = field(default_factory=list)

    def thickness(self, flow: float) -> float:
        """Arrow thickness, px; by the square root, so that a tenth of the flow can still be seen."""
        most = 6.5 if self.sheet.narrow else 11.0
        return 2.0 + (most - 2.0) * math.sqrt(min(1.0, flow / max(self.largest, STILL)))

    def figure(self, flow: float) -> str:
        """The flow in figures, or nothing when it is too small to matter."""
        least = LABEL_SHARES["narrow" if self.sheet.narrow else "wide"] * self.largest
        return flow_text(flow, self.system) if flow >= max(STILL, least) else ""

    def tell(self, flow: float, places: tuple[tuple[float, float, Across], ...], words: str = "") -> None:
        """Ask for a place for a flow's figure; the larger the flow, the sooner it is placed."""
        figure = self.figure(flow)
        if figure:
            text = f"{words} {figure}" if words else figure
            self.later.append((flow, Wanted((Line(text, bold=True),), places)))


def flow_arrow(
    marks: Marks, ends: list[tuple[float, float]], onward: bool, thickness: float, colour: str
) -> None:
    """An arrow along two points, onward or back."""
    first, last = ends
    symbols.arrow(marks, *((first, last) if onward else (last, first)), thickness, colour)
