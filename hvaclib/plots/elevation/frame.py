"""From metres on the wall to pixels of the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.plots.style import Sheet, Width

if TYPE_CHECKING:
    from hvaclib.plots.marks import Point

KEY_ROWS: dict[Width, int] = {"wide": 4, "narrow": 7}  # on a phone a sentence takes two


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the wall stands on its sheet.

    Attributes
    ----------
    sheet : Sheet
        Size of the picture and its type.
    left, grade : float
        px of the wall's left end and of the ground.
    scale : float
        px a metre.
    width, height : float
        m, of the wall.
    """

    sheet: Sheet
    left: float
    grade: float
    scale: float
    width: float
    height: float

    def x(self, along: float) -> float:
        """Pixel of a place along the wall, m."""
        return self.left + self.scale * along

    def y(self, up: float) -> float:
        """Pixel of a height above grade, m."""
        return self.grade + self.scale * up

    def at(self, along: float, up: float) -> Point:
        """Both."""
        return self.x(along), self.y(up)

    def box(self, left: float, bottom: float, right: float, top: float) -> list[Point]:
        """Corners of a rectangle given in m."""
        x0, y0, x1, y1 = self.x(left), self.y(bottom), self.x(right), self.y(top)
        return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def frame_of(width: float, height: float, size: Width) -> Frame:
    """Fit a wall (m) to the width of the sheet; the sheet is as high as the wall, eaves, ground and key need."""
    narrow = size == "narrow"
    across, margin, small = (358, 10.0, 11.2) if narrow else (960, 34.0, 13.5)
    scale = (across - 2 * margin) / width
    eaves, ground = (26.0, 40.0) if narrow else (46.0, 62.0)
    key = KEY_ROWS[size] * 1.55 * small + 8.0
    tall = round(key + ground + scale * height + eaves)
    sheet = Sheet(across, tall, small, small + 0.8, 1.2 * small, margin, key)
    return Frame(sheet, margin, key + ground, scale, width, height)
