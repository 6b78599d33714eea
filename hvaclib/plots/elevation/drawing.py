"""The whole elevation: wall, allowed places, things with their names, distances that lack, key, words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.plots.elevation import dimensions, hatch, shell, things
from hvaclib.plots.elevation.frame import Frame, frame_of
from hvaclib.plots.letters import label_box, text_width
from hvaclib.plots.marks import Label, Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.style import INK, System, Width
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.physics.terminations import Item, Region, TooClose, Wall
    from hvaclib.plots.letters import Rectangle

NEW = "new terminal"
SHORT = {"any direction": "from", "beside": "beside", "above": "above", "below": "below",
         "beside its centre line": "beside the line above"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Elevation:
    """What the drawing shows.

    Attributes
    ----------
    wall : Wall
        With the new terminal among its items, named `NEW`.
    region : Region
        Places allowed for the new terminal's centre.
    lacks : tuple of TooClose
        Pairs that are too close, the gravest first.
    """

    wall: Wall
    region: Region
    lacks: tuple[TooClose, ...]


def wall_elevation(data: Elevation, width: Width = "wide", system: System = "field") -> Picture:
    """Draw a wall in elevation, to scale.

    Parameters
    ----------
    data : Elevation
        Wall, places allowed, distances that lack.
    width : {"wide", "narrow"}
        Variant for a desk or a phone.
    system : {"field", "si"}
        Units.

    Returns
    -------
    Picture
    """
    wall = data.wall
    frame, marks = frame_of(wall.width, wall.height, width), Marks()
    shell.shell(marks, frame)
    shell.ground(marks, frame, wall.walkway, system)
    hatch.allowed_places(marks, data.region, frame)
    for item in wall.items:
        things.thing(marks, frame, item)
        if item.name == NEW:
            x, y = frame.at(*item.centre)
            things.breath(marks, x, y, max(things.LEAST, frame.scale * item.width / 2))
    for lack in data.lacks:
        dimensions.reach(marks, frame, lack)
    taken = [_pixels(frame, item) for item in wall.items]
    for number, lack in enumerate(data.lacks, 1):
        taken.append(dimensions.dimension(marks, frame, lack, number, system, taken))
    _names(marks, frame, data, taken)
    _key(marks, frame, data, system)
    return Picture(marks, frame.sheet, _words(data, system))


def lack_words(lack: TooClose, system: System, *, short: bool = False) -> str:
    """One distance that lacks, in words."""
    one, other = lack.terminal.name, lack.neighbour.name
    present, needed = (show(abs(value), kinds.SIZE, system, 0) for value in (lack.present, lack.needed))
    place = f"{SHORT[lack.direction]} the {other}"
    if lack.present < 0.0:
        edge = {
            "above": "below the top of",
            "below": "above the bottom of",
            "beside its centre line": "over the centre line of",
        }.get(lack.direction, "within")
        place = f"{edge} the {other}"
        needed += f" {lack.direction}" if lack.direction in ("above", "below") else ""
    return (
        f"{one}: {present} {place}, {needed} needed"
        if short
        else f"the {one} is {present} {place}, {needed} needed"
    )


def _key(marks: Marks, frame: Frame, data: Elevation, system: System) -> None:
    narrow = frame.sheet.narrow
    sentences = []
    for lack in data.lacks:
        words = lack_words(lack, system, short=True)
        sentences.append(words if narrow else f"{words} ({lack.rule.title.lower()}, {lack.rule.column})")
    dimensions.key(marks, frame, sentences)


def _names(marks: Marks, frame: Frame, data: Elevation, taken: list[Rectangle]) -> None:
    """Each thing's name above, below or beside it, clear of the others."""
    size = frame.sheet.small
    for item in sorted(data.wall.items, key=lambda thing: thing.name != NEW):
        best = min(
            _places(frame, item, size), key=lambda label: dimensions.cover(label_box(label), taken, frame)
        )
        box = label_box(best)
        dimensions.plate(marks, box[0] - 2, (box[1] + box[3]) / 2, box[2] - box[0] + 4, 0.75 * size)
        bold = item.name == NEW
        marks.label(best.x, best.y, best.text, size, colour=INK, bold=bold, across=best.across, up=best.up)
        taken.append(box)


def _pixels(frame: Frame, item: Item) -> Rectangle:
    """What a thing covers with its casing, px."""
    left, bottom, right, top = (float(edge) for edge in item.span)
    casing = max(4.0, 0.1 * frame.scale * item.width) if item.width > 0.4 else 4.0
    return frame.x(left) - casing, frame.y(bottom) - casing, frame.x(right) + casing, frame.y(top) + casing


def _places(frame: Frame, item: Item, size: float) -> list[Label]:
    """Places for a name in order of liking."""
    left, bottom, right, top = _pixels(frame, item)
    middle = (left + right) / 2
    half = text_width(item.name, size, item.name == NEW) / 2
    middle = min(max(middle, half + 4), frame.sheet.width - half - 4)
    wisps = 18.0 if item.name == NEW else 4.0
    return [
        Label(middle, top + wisps, item.name, size, across="center", up="bottom"),
        Label(middle, bottom - 4, item.name, size, across="center", up="top"),
        Label(right + 6, (bottom + top) / 2, item.name, size, across="left", up="center"),
        Label(left - 6, (bottom + top) / 2, item.name, size, across="right", up="center"),
        Label(middle, top + wisps + 1.5 * size, item.name, size, across="center", up="bottom"),
        Label(middle, bottom - 4 - 1.5 * size, item.name, size, across="center", up="top"),
        Label(right + 6, top + 6, item.name, size, across="left", up="bottom"),
        Label(left - 6, top + 6, item.name, size, across="right", up="bottom"),
        Label(right + 6, bottom - 6, item.name, size, across="left", up="top"),
        Label(left - 6, bottom - 6, item.name, size, across="right", up="top"),
    ]


def _words(data: Elevation, system: System) -> str:
    inside = ", ".join(item.name for item in data.wall.items)
    size = f"{show(data.wall.width, kinds.LENGTH, system)} long and {show(data.wall.height, kinds.LENGTH, system)} high"
    lacks = "; ".join(lack_words(lack, system) for lack in data.lacks) or "no pair is too close"
    return f"Elevation of an outside wall, {size}, with {inside}. {lacks}. {allowed_words(data.region)}"


def allowed_words(region: Region) -> str:
    """How much of the wall is allowed for the new terminal."""
    if not region.allowed.any():
        return "Nowhere in this wall may the new terminal stand."
    return f"The new terminal may stand on {max(1, round(100 * region.share))} % of this wall."
