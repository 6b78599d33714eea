"""A picture: one display list with its size and its words, and the ways to show it.

For the screen the display list is written as SVG directly; for a file or for paper matplotlib paints the same list.
Measured on the section of an eight-zone dwelling (235 shapes and words, one core): display list 1.0 ms and direct
SVG 0.6 ms, against 10 ms to fill the figure and another 30 ms (matplotlib SVG) or 70 ms (PNG) to encode it. Real text
in SVG is sharp on a phone and on paper, and the element carries its own text alternative.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Literal

from hvaclib.plots.letters import BASELINES
from hvaclib.plots.marks import paint
from hvaclib.plots.style import FONTS, PAPER, PRINT_DPI, pixel_figure, type_settings

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from hvaclib.plots.marks import Label, Marks, Point
    from hvaclib.plots.style import Sheet

ANCHORS = {"left": "start", "center": "middle", "right": "end"}


@dataclass(frozen=True, slots=True)
class Picture:
    """What a drawing function gives back.

    Parameters
    ----------
    marks : Marks
        Shapes and words in CSS pixels.
    sheet : Sheet
        Size of the picture.
    words : str
        The text alternative: what a person who does not see the picture should know from it.
    """

    marks: Marks
    sheet: Sheet
    words: str

    def figure(self) -> Figure:
        """The picture as a matplotlib figure of its own, with an Agg canvas and no pyplot state."""
        figure, axes = pixel_figure(self.sheet)
        paint(axes, self.marks)
        return figure

    def svg(self) -> str:
        """One ``svg`` element for a page: fills its column up to its own width, keeps its aspect, names itself."""
        width, height = self.sheet.width, self.sheet.height
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
            f'aria-label="{escape(self.words, quote=True)}" style="display:block;width:100%;max-width:{width}px;'
            f'height:auto;aspect-ratio:{width}/{height};font-family:{_fonts()};background:{PAPER}">'
            + "".join(_shapes(self.marks, height))
            + "</svg>"
        )

    def file(self, kind: Literal["png", "svg", "pdf"]) -> bytes:
        """The picture as a file to keep, painted by matplotlib; PNG at two dots a CSS pixel."""
        from matplotlib import rc_context

        figure = self.figure()
        with rc_context(type_settings()):  # type: ignore[arg-type]  # its stubs list every key as a literal
            if kind == "svg":
                text = StringIO()
                figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None})
                return text.getvalue().encode("utf-8")
            out = BytesIO()
            figure.savefig(out, format=kind, dpi=PRINT_DPI)
        return out.getvalue()


def _fonts() -> str:
    return ",".join(f"'{name}'" if " " in name else name for name in FONTS)


def _points(points: list[Point] | tuple[Point, ...], height: float) -> str:
    return " ".join(f"{x:.1f},{height - y:.1f}" for x, y in points)


def _shapes(marks: Marks, height: float) -> list[str]:
    """All elements from the lowest layer up; words last, so that nothing covers them."""
    drawn: list[tuple[float, str]] = []
    for shape in marks.polygons:
        edge = f' stroke="{shape.edge}" stroke-width="{shape.width:g}"' if shape.width else ""
        drawn.append(
            (
                shape.layer,
                f'<polygon points="{_points(list(shape.corners), height)}" fill="{shape.face}"{edge}/>',
            )
        )
    for line in marks.strokes:
        dash = f' stroke-dasharray="{line.dash[0]:g} {line.dash[1]:g}"' if line.dash else ""
        pen = f'stroke="{line.colour}" stroke-width="{line.width:g}" stroke-linecap="round" stroke-linejoin="round"'
        drawn.append(
            (
                line.layer + 0.5,
                f'<polyline points="{_points(list(line.points), height)}" fill="none" {pen}{dash}/>',
            )
        )
    drawn.sort(key=lambda item: item[0])
    return [element for _, element in drawn] + [_text(label, height) for label in marks.labels]


def _text(label: Label, height: float) -> str:
    y = height - label.y + BASELINES[label.up] * label.size
    weight = ' font-weight="700"' if label.bold else ""
    return (
        f'<text x="{label.x:.1f}" y="{y:.1f}" font-size="{label.size:g}" fill="{label.colour}"{weight} '
        f'text-anchor="{ANCHORS[label.across]}">{escape(label.text, quote=False)}</text>'
    )
