"""A display list: plain shapes in CSS pixels, painted on a figure in a few batches.

Matplotlib spends its time per artist. A drawing of two hundred shapes as single patches takes longer than a
screen may; the same shapes in one collection a layer do not. The pixel grid has its origin at the lower left.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from hvaclib.plots.style import INK, pixels

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed shape; ``face`` or ``edge`` may be ``"none"``."""

    corners: Sequence[Point]
    face: str = "none"
    edge: str = INK
    width: float = 1.0
    layer: int = 0


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open line; ``dash`` is the pattern (on, off) in pixels or nothing for a solid line."""

    points: Sequence[Point]
    colour: str = INK
    width: float = 1.0
    layer: int = 1
    dash: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text; ``size`` in CSS pixels at the shown size."""

    x: float
    y: float
    text: str
    size: float
    colour: str = INK
    bold: bool = False
    across: Literal["left", "center", "right"] = "left"
    up: Literal["top", "center", "bottom", "baseline"] = "baseline"


@dataclass(slots=True)
class Marks:
    """The display list itself; drawing functions append to it."""

    polygons: list[Polygon] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def polygon(
        self,
        corners: Sequence[Point],
        face: str = "none",
        edge: str = INK,
        width: float = 1.0,
        layer: int = 0,
    ) -> None:
        """Append a closed shape."""
        self.polygons.append(Polygon(corners, face, edge, width, layer))

    def stroke(
        self,
        points: Sequence[Point],
        colour: str = INK,
        width: float = 1.0,
        layer: int = 1,
        dash: tuple[float, float] | None = None,
    ) -> None:
        """Append an open line."""
        self.strokes.append(Stroke(points, colour, width, layer, dash))

    def label(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        colour: str = INK,
        bold: bool = False,
        across: Literal["left", "center", "right"] = "left",
        up: Literal["top", "center", "bottom", "baseline"] = "baseline",
    ) -> None:
        """Append a line of text."""
        self.labels.append(Label(x, y, text, size, colour, bold, across, up))


def paint(axes: Axes, marks: Marks) -> None:
    """Put the marks on the axes, one collection for each layer.

    Parameters
    ----------
    axes : matplotlib Axes
        Axes in pixel coordinates, see `hvaclib.plots.style.pixel_figure`.
    marks : Marks
        What to draw.
    """
    from matplotlib.collections import LineCollection, PolyCollection

    layers: dict[int, list[Polygon]] = defaultdict(list)
    for polygon in marks.polygons:
        layers[polygon.layer].append(polygon)
    for layer, shapes in layers.items():
        axes.add_collection(
            PolyCollection(
                [list(s.corners) for s in shapes],
                facecolors=[s.face for s in shapes],
                edgecolors=[s.edge for s in shapes],
                linewidths=[pixels(s.width) for s in shapes],
                zorder=layer,
            ),
            autolim=False,
        )
    strokes: dict[int, list[Stroke]] = defaultdict(list)
    for stroke in marks.strokes:
        strokes[stroke.layer].append(stroke)
    for layer, lines in strokes.items():
        axes.add_collection(
            LineCollection(
                [list(s.points) for s in lines],
                colors=[s.colour for s in lines],
                linewidths=[pixels(s.width) for s in lines],
                linestyles=["-" if s.dash is None else (0, s.dash) for s in lines],
                zorder=layer + 0.5,
                capstyle="round",
                joinstyle="round",
            ),
            autolim=False,
        )
    for text in marks.labels:
        axes.text(
            text.x,
            text.y,
            text.text,
            fontsize=pixels(text.size),
            color=text.colour,
            fontweight="bold" if text.bold else "normal",
            ha=text.across,
            va=text.up,
            zorder=30,
            parse_math=False,  # a name from a file may hold a dollar sign
        )
