"""Where everything stands: storeys from floors and heights, zones side by side so that neighbours touch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, permutations
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.plots.letters import text_width
from hvaclib.plots.section.data import OUTDOORS, Section

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.plots.style import Sheet

STOREY_STEP = 0.9  # m: floors closer than this share a storey (a step down to a den is not a storey)
DRAWN_HEIGHTS = (1.7, 3.0)  # m: a crawl space is drawn high enough to write in, a hall not higher than a room
SLAB = 7.0  # px
MOST_PERMUTED = 6  # zones in one storey; beyond it the file's order stays


@dataclass(frozen=True, slots=True)
class Box:
    """The rectangle of one zone, CSS pixels from the lower left."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width, px."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height, px."""
        return self.top - self.bottom

    @property
    def middle(self) -> float:
        """Middle from left to right, px."""
        return (self.left + self.right) / 2


@dataclass(frozen=True, slots=True)
class Layout:
    """Boxes by zone name, the storeys from the lowest up, and the height map."""

    boxes: dict[str, Box]
    storeys: tuple[tuple[str, ...], ...]
    house: Box
    grade: float
    roof: float
    heights: tuple[tuple[float, ...], tuple[float, ...]]

    def y(self, height: float) -> float:
        """Pixel height of a height in m above grade."""
        return float(np.interp(height, *self.heights))

    def storey_of(self, zone: str) -> int:
        """Index of the storey, lowest first."""
        return next(i for i, storey in enumerate(self.storeys) if zone in storey)

    def edge(self, zone: str) -> tuple[bool, bool]:
        """Whether the zone has an outside wall on the left and on the right of the drawing."""
        storey = self.storeys[self.storey_of(zone)]
        return zone == storey[0], zone == storey[-1]


def lay_out(section: Section, sheet: Sheet) -> Layout:
    """Place the zones of a section; the same dwelling always gets the same places (and only once worked out)."""
    zones = tuple((z.name, z.floor, z.height, z.floor_area, z.attic) for z in section.zones)
    links = tuple(
        sorted({(min(p.start, p.end), max(p.start, p.end), p.kind in ("door", "fan")) for p in section.paths})
    )
    tallest = max((v.top for v in section.vents), default=-np.inf)
    return _place(zones, links, tallest, sheet)


ZoneKey = tuple[str, float, float, float, bool]
LinkKey = tuple[str, str, bool]


@lru_cache(maxsize=32)
def _place(zones: tuple[ZoneKey, ...], links: tuple[LinkKey, ...], tallest: float, sheet: Sheet) -> Layout:
    storeys = _storeys(zones)
    attic_on_top = all(z[4] for z in storeys[-1])
    house = Box(
        sheet.margin,
        sheet.foot,
        sheet.width - sheet.margin,
        sheet.height - _sky(sheet, attic_on_top),
    )
    order = _order(storeys, links)
    drawn = [float(np.clip(max(z[2] for z in s), *DRAWN_HEIGHTS)) for s in storeys]
    if attic_on_top:
        drawn[-1] *= 0.85
    scale = (house.height - SLAB * (len(storeys) - 1)) / sum(drawn)
    boxes: dict[str, Box] = {}
    metres: list[float] = []
    pixels: list[float] = []
    bottom = house.bottom
    for storey, height in zip(order, drawn, strict=True):
        top = bottom + height * scale
        low = min(z[1] for z in storey)
        high = max(z[1] + z[2] for z in storey)
        metres += [max(low, metres[-1] + 1e-6) if metres else low, max(high, low + 1e-3)]
        pixels += [bottom, top]
        boxes |= _row(storey, house, (bottom, top), sheet, bool(np.isfinite(tallest)))
        bottom = top + SLAB
    roof = house.top + (0.0 if attic_on_top else 0.09 * sheet.height)
    metres, pixels = _beyond(metres, pixels, scale, tallest, sheet.height - 54.0)
    grade = float(np.clip(np.interp(0.0, metres, pixels), house.bottom, house.top))
    names = tuple(tuple(z[0] for z in storey) for storey in order)
    return Layout(boxes, names, house, grade, roof, (tuple(metres), tuple(pixels)))


def _sky(sheet: Sheet, attic_on_top: bool) -> float:
    """Space above the top ceiling: the roof, the vent's end and its words."""
    return (0.16 if attic_on_top else 0.235) * sheet.height


def _storeys(zones: tuple[ZoneKey, ...]) -> list[list[ZoneKey]]:
    storeys: list[list[ZoneKey]] = []
    for zone in sorted(zones, key=lambda z: z[1]):
        if storeys and zone[1] - storeys[-1][0][1] < STOREY_STEP and zone[4] == storeys[-1][0][4]:
            storeys[-1].append(zone)
        else:
            storeys.append([zone])
    position = {zone[0]: i for i, zone in enumerate(zones)}
    return [sorted(storey, key=lambda z: position[z[0]]) for storey in storeys]


def _order(storeys: list[list[ZoneKey]], links: tuple[LinkKey, ...]) -> list[list[ZoneKey]]:
    """Order each storey so that zones joined by doors are neighbours and zones with fans stand at a wall."""
    joined = {(a, b): 3.0 if strong else 1.0 for a, b, strong in links}

    largest = max(max(z[3] for z in storey) for storey in storeys)

    def cost(tried: Iterable[ZoneKey]) -> float:
        order, total = tuple(tried), 0.0
        for i, one in enumerate(order):
            for j in range(i + 1, len(order)):
                key = (min(one[0], order[j][0]), max(one[0], order[j][0]))
                total += joined.get(key, 0.0) * (j - i - 1)
            outside = (min(one[0], OUTDOORS), max(one[0], OUTDOORS))
            total += 0.4 * joined.get(outside, 0.0) * (0 < i < len(order) - 1)
        # vents stand at the right: a wide zone there leaves room for its words
        return total + 0.25 * math.sqrt(largest / max(order[-1][3], 1e-6))

    # the sort is stable and permutations come in the file's order, so a tie keeps what the file says
    return [
        storey if len(storey) > MOST_PERMUTED else list(min(permutations(storey), key=cost))
        for storey in storeys
    ]


def _row(
    storey: list[ZoneKey], house: Box, level: tuple[float, float], sheet: Sheet, vents: bool
) -> dict[str, Box]:
    """Boxes side by side; width by the square root of the floor area, and room for the longest word of the name."""
    bottom, top = level
    shares = np.sqrt([max(z[3], 1e-6) for z in storey])
    shares = np.maximum(shares / shares.sum(), (0.86 if sheet.narrow else 0.78) / len(storey))
    widths = house.width * shares / shares.sum()
    needed = np.array([_name_width(zone[0], sheet) for zone in storey])
    needed[-1] += (24.0 if sheet.narrow else 44.0) if vents else 0.0  # vents pass at the right
    if needed.sum() < house.width:
        spare = np.maximum(widths - needed, 0.0)
        short = np.maximum(needed - widths, 0.0)
        widths = widths + short - spare * (short.sum() / max(spare.sum(), 1e-9))
    edges = house.left + np.concatenate([[0.0], np.cumsum(widths)])
    return {
        zone[0]: Box(float(left), bottom, float(right), top)
        for zone, (left, right) in zip(storey, pairwise(edges), strict=True)
    }


def _name_width(name: str, sheet: Sheet) -> float:
    """Width of the longest word of a name with the air round it, px."""
    words = name.split() or [""]
    longest = max(text_width(word, sheet.body, not sheet.narrow) for word in words)
    return longest + (15.0 if sheet.narrow else 34.0)


def _beyond(
    metres: list[float], pixels: list[float], scale: float, tallest: float, highest: float
) -> tuple[list[float], list[float]]:
    """Carry the height map on above the top ceiling (up to the tallest vent) and below the lowest floor."""
    above = max(tallest - metres[-1], 0.5)
    room = max(highest - pixels[-1], 1.0)
    step = min(scale, room / above)
    metres = [metres[0] - 1.0, *metres, metres[-1] + above]
    pixels = [pixels[0] - scale, *pixels, pixels[-1] + above * step]
    return metres, pixels
