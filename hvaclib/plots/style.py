"""The suite's visual language: colours, type and sizes.

Colours are the Okabe–Ito set (M. Okabe, K. Ito, 'Color Universal Design', 2008), which people with the common
forms of colour blindness tell apart; no chart lets colour alone carry meaning: sign, word, shape or dash repeats it.
Sizes are CSS pixels at the shown size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

BLUE = "#0072B2"
VERMILLION = "#D55E00"
GREEN = "#009E73"
PINK = "#CC79A7"
ORANGE = "#E69F00"
SKY = "#56B4E9"
INK = "#1d2733"
GREY = "#525d69"
PALE = "#c9d1d9"
PAPER = "#ffffff"

SCREEN_DPI = 96.0
PRINT_DPI = 192.0
FONTS = ["DejaVu Sans", "Verdana", "sans-serif"]  # the second has the first's widths and is on most desktops

Width = Literal["wide", "narrow"]
System = Literal["field", "si"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Size of a picture and of its type, CSS pixels; ``foot`` is the height of the key below a drawing."""

    width: int
    height: int
    small: float
    body: float
    large: float
    margin: float
    foot: float = 0.0

    @property
    def narrow(self) -> bool:
        """Whether this is the variant for a phone."""
        return self.width < 600


SECTION_SHEETS: dict[Width, Sheet] = {
    "wide": Sheet(960, 660, 13.5, 14.5, 18.0, 138.0, 78.0),
    "narrow": Sheet(358, 560, 11.2, 11.4, 12.2, 33.0, 92.0),
}
CHART_SHEETS: dict[Width, Sheet] = {
    "wide": Sheet(960, 400, 13.5, 14.5, 17.0, 0.0),
    "narrow": Sheet(358, 340, 11.2, 11.6, 13.0, 0.0),
}


def pixels(size: float) -> float:
    """Points for a size in CSS pixels (96 to the inch; a point is 1/72 inch)."""
    return size * 72.0 / SCREEN_DPI


def pixel_figure(sheet: Sheet) -> tuple[Figure, Axes]:
    """A figure with its own Agg canvas whose one set of axes counts in CSS pixels from the lower left corner."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    size = (sheet.width / SCREEN_DPI, sheet.height / SCREEN_DPI)
    figure = Figure(figsize=size, dpi=SCREEN_DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0, sheet.width)
    axes.set_ylim(0, sheet.height)
    axes.set_autoscale_on(False)
    return figure, axes


def type_settings() -> dict[str, Any]:
    """Matplotlib settings in force while a figure is encoded: real text in SVG, no random ids, no mathtext."""
    return {
        "font.family": FONTS[0],
        "svg.fonttype": "none",
        "svg.hashsalt": "hvaclib",
        "axes.unicode_minus": True,
        "path.simplify": True,
    }
