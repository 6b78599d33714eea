"""A chimney in section with its appliances and test holes, beside it how warm gas and wall are along the height."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Protocol

from hvaclib.plots.axes import finite, framed, nice_ticks
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREY, INK, PALE, PAPER, PINK, SKY, VERMILLION
from hvaclib.units import kinds, label, show, shown

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.plots.axes import Frame
    from hvaclib.plots.style import Sheet, System, Width

TEMPERATURE = kinds.TEMPERATURE
BRICK, HOT, COOL = "#e3c9b8", (0xE8, 0x7A, 0x4A), (0xF7, 0xE3, 0xC8)
LINES = {"5 min": (SKY, (3.0, 4.0)), "20 min": (BLUE, (9.0, 4.0)), "settled": (INK, None)}
MOST_FLUE = 0.30  # m, the widest flue that the section draws in its own proportion
FLUE_PIECE = 2  # pieces of a profile: connector up, connector across, then the flue


class Along(Protocol):
    """What is needed of a profile: arrays over the segments, SI."""

    @property
    def piece(self) -> npt.NDArray[Any]: ...
    @property
    def height(self) -> npt.NDArray[Any]: ...
    @property
    def gas(self) -> npt.NDArray[Any]: ...
    @property
    def wall(self) -> npt.NDArray[Any]: ...


@dataclass(frozen=True, slots=True)
class ChimneyScene:
    """What the picture needs, in SI.

    Parameters
    ----------
    profiles : mapping of str to Along
        For "5 min", "20 min" and "settled".
    dew : float
        K.
    alone : bool
        Whether the furnace has been taken off.
    kind : str
        Wall of the flue: "masonry", "lined-masonry" or "double-wall".
    flue, height : float
        m, diameter of the flue, and from the draft hood to the outlet.
    outside : bool
        Whether the flue stands on an outside wall.
    """

    profiles: Mapping[str, Along]
    dew: float
    alone: bool
    kind: str
    flue: float
    height: float
    outside: bool

    def __post_init__(self) -> None:
        finite([self.dew, self.flue, self.height], "chimney")
        for when, told in self.profiles.items():
            finite(told.wall, f"wall, {when}")


def chimney_picture(scene: ChimneyScene, width: Width = "wide", system: System = "field") -> Picture:
    """The section, and the temperatures over the height.

    Parameters
    ----------
    scene : ChimneyScene
        Temperatures and what is drawn.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone, where the chart stands below the section.
    system : {"field", "si"}
        Unit system of the words and axes.

    Returns
    -------
    Picture
        Blue on the wall is where water runs after 20 minutes.

    Raises
    ------
    InputError
        From `ChimneyScene`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    if base.narrow:
        sheet = replace(base, height=800)
        _section(marks, sheet, (8.0, 400.0, sheet.width - 8.0, 796.0), scene, system)
        _chart(marks, replace(sheet, height=390), (34.0, 0.0, 14.0), scene, system)
    else:
        sheet = replace(base, height=540)
        _section(marks, sheet, (10.0, 10.0, 470.0, 530.0), scene, system)
        _chart(marks, sheet, (540.0, 0.0, 22.0), scene, system)
    return Picture(marks, sheet, chimney_words(scene, system))


def _rectangle(left: float, low: float, right: float, high: float) -> list[tuple[float, float]]:
    return [(left, low), (right, low), (right, high), (left, high)]


def _colour(temperature: float) -> str:
    """From the palest at 300 K to the hottest at 460 K."""
    share = min(max((temperature - 300.0) / 160.0, 0.0), 1.0)
    return "#" + "".join(f"{round(c + share * (h - c)):02x}" for h, c in zip(HOT, COOL, strict=True))


def _section(
    marks: Marks, sheet: Sheet, box: tuple[float, float, float, float], scene: ChimneyScene, system: System
) -> None:
    left, low, right, high = box
    wide = right - left
    middle, half = (
        left + (0.60 if sheet.narrow else 0.56) * wide,
        0.055 * wide * max(min(scene.flue / MOST_FLUE, 1.0), 0.3),
    )
    floor, top = low + 4.0, high - 26.0
    enter, roof = floor + 0.50 * (high - low), top - 46.0
    thick = 6.0 if scene.kind == "double-wall" else 14.0 if sheet.narrow else 20.0
    told = scene.profiles["20 min"]
    _flue(marks, (middle, half, floor + 30.0, enter, top), scene, thick)
    heater = (left + 0.05 * wide, left + 0.27 * wide)
    _heater(marks, sheet, heater, floor, (enter, middle - half), scene)
    furnace = (left + 0.76 * wide, left + 0.97 * wide)
    dash = (5.0, 4.0) if scene.alone else None
    tall = floor + 0.30 * (high - low)
    corners = _rectangle(furnace[0], floor, furnace[1], tall)
    marks.stroke([*corners, corners[0]], colour=GREY if scene.alone else INK, width=1.6, layer=4, dash=dash)
    centre = sum(furnace) / 2
    marks.label(centre, (floor + tall) / 2 + 2, "furnace", sheet.small, across="center", up="bottom")
    said = "taken off" if scene.alone else "burning"
    marks.label(centre, (floor + tall) / 2 - 2, said, sheet.small, bold=True, across="center", up="top")
    if not scene.alone:
        bend = enter - 26.0
        marks.stroke([(centre, tall), (centre, bend - 8), (middle + half, bend)], colour=_colour(float(told.gas[0])),
                     width=9.0, layer=2)  # fmt: skip
    marks.stroke([(left, roof), (middle - half - thick - 6, roof)], colour=GREY, width=2.0, layer=1)
    marks.label(left + 2, roof + 4, "roof", sheet.small, colour=GREY, up="bottom")
    if not scene.outside:
        marks.stroke([(middle + half + thick + 6, roof), (right, roof)], colour=GREY, width=2.0, layer=1)
    _notes(marks, sheet, (middle + half + thick + 7, enter, top), scene, system)


def _flue(
    marks: Marks, at: tuple[float, float, float, float, float], scene: ChimneyScene, thick: float
) -> None:
    """The walls, the gas from the entry up, and blue where the wall is wet after 20 minutes."""
    middle, half, base, enter, top = at
    told = scene.profiles["20 min"]
    bottom = enter - 14.0 if scene.kind == "double-wall" else base
    for sign in (-1, 1):
        inner = middle + sign * half
        corners = _rectangle(inner, bottom, inner + sign * thick, top)
        marks.polygon(corners, face=PAPER if thick < 10 else BRICK, edge=GREY, width=1.0, layer=1)
    if scene.kind != "double-wall":
        marks.polygon(_rectangle(middle - half, bottom, middle + half, enter), face=PALE, edge=GREY, layer=1)
    segments = [i for i, piece in enumerate(told.piece) if piece >= FLUE_PIECE]
    first = float(told.height[segments[0]])
    span = max(float(told.height[segments[-1]]) - first, 1e-9)
    edges = [enter - 14.0]
    for here, there in pairwise(segments):
        mean = (float(told.height[here]) + float(told.height[there])) / 2
        edges.append(enter + (mean - first) / span * (top - enter))
    edges.append(top)
    for i, low, high in zip(segments, edges[:-1], edges[1:], strict=True):
        colour = _colour(float(told.gas[i]))
        marks.polygon(_rectangle(middle - half, low, middle + half, high), face=colour, edge=colour, layer=2)
        if told.wall[i] < scene.dew:
            for sign in (-1, 1):
                x = middle + sign * (half - 1.0)
                marks.stroke([(x, low), (x, high)], colour=BLUE, width=5.0, layer=5)


def _heater(
    marks: Marks,
    sheet: Sheet,
    span: tuple[float, float],
    floor: float,
    end: tuple[float, float],
    scene: ChimneyScene,
) -> None:
    """The tank, its outlet with the hole for the flue gas, the hood, the connector with the hole for the draft."""
    left, right = span
    middle, (enter, wall) = (left + right) / 2, end
    tank = floor + 0.28 * (enter - floor)
    hood = tank + 44.0
    hot = _colour(float(scene.profiles["20 min"].gas[0]))
    marks.polygon(_rectangle(left, floor, right, tank), face=PAPER, edge=INK, width=1.6, layer=4)
    marks.label(middle, (floor + tank) / 2, "water", sheet.small, across="center", up="bottom")
    marks.label(middle, (floor + tank) / 2, "heater", sheet.small, across="center", up="top")
    marks.polygon(_rectangle(middle - 7, tank, middle + 7, hood - 4), face=hot, edge=INK, layer=4)
    corners = [(middle - 22, hood), (middle + 22, hood), (middle + 7, hood + 16), (middle - 7, hood + 16)]
    marks.polygon(corners, face=PAPER, edge=INK, width=1.6, layer=4)
    turn = enter - 24.0
    marks.stroke([(middle, hood + 18), (middle, turn), (wall, enter - 6)], colour=GREY, width=13.0, layer=2)
    marks.stroke([(middle, hood + 18), (middle, turn), (wall, enter - 6)], colour=hot, width=10.0, layer=3)
    sample, draft = (middle, tank + 20), (middle, (hood + 16 + turn) / 2)
    for at in (sample, draft):
        spot(marks, at, VERMILLION, radius=5.0)
    x = middle + 26
    marks.label(x, draft[1] + 1, "draft: 1–2 ft", sheet.small, bold=True, up="bottom")
    marks.label(x, draft[1] - 1, "past the hood", sheet.small, up="top")
    marks.label(x, sample[1] + 1, "flue gas:", sheet.small, bold=True, up="bottom")
    marks.label(x, sample[1] - 1, "before the hood", sheet.small, up="top")


def _notes(
    marks: Marks, sheet: Sheet, at: tuple[float, float, float], scene: ChimneyScene, system: System
) -> None:
    """Gas and wall at the top and where the flue begins, after 20 minutes; the height."""
    x, enter, top = at
    told = scene.profiles["20 min"]
    first = next(i for i, piece in enumerate(told.piece) if piece >= FLUE_PIECE)
    for i, y in ((len(told.gas) - 1, top - 6), (first, enter + 3.4 * sheet.small)):
        gas, face = (show(float(v[i]), TEMPERATURE, system, 0) for v in (told.gas, told.wall))
        marks.label(x, y, f"gas {gas}", sheet.small, up="top")
        wet = told.wall[i] < scene.dew
        marks.label(x, y - 1.35 * sheet.small, f"wall {face}{', wet' if wet else ''}", sheet.small,
                    bold=wet, colour=BLUE if wet else INK, up="top")  # fmt: skip
    marks.label(x, enter + 3.4 * sheet.small + 4, "after 20 min:", sheet.small, up="bottom")
    words = f"{show(scene.height, kinds.LENGTH, system, 1)} from hood to outlet"
    marks.label(8 if sheet.narrow else 12, top + 4, words, sheet.small, bold=True, up="bottom")


def _chart(
    marks: Marks, sheet: Sheet, sides: tuple[float, float, float], scene: ChimneyScene, system: System
) -> None:
    """Temperatures across, height up, of the flue; the dew point as a line."""
    left, _, right = sides
    keys: list[Key] = [("gas, 20 min", VERMILLION, 2.6, None)]
    keys += [(f"wall, {when}", colour, 2.6, dash) for when, (colour, dash) in LINES.items()]
    keys += [("dew point", PINK, 3.0, (2.0, 5.0))]
    room = sheet.width - left - right
    rows = key_rows(sheet, keys, room)
    values = [
        float(v)
        for told in scene.profiles.values()
        for v in (*told.gas[told.piece >= FLUE_PIECE], *told.wall[told.piece >= FLUE_PIECE])
    ]
    ends = [float(shown(v, TEMPERATURE, system)) for v in (min(*values, scene.dew), max(*values, scene.dew))]
    x_ticks = nice_ticks(ends[0], ends[1], 5)
    y_ticks = nice_ticks(0.0, float(shown(scene.height, kinds.LENGTH, system)), 6)
    bottom = 3.4 * sheet.small + (1.5 * rows + 0.6) * sheet.small
    place = Marks()
    frame = framed(place, sheet, (left, bottom, right, 2.3 * sheet.body), x_ticks, y_ticks,
                   f"temperature, {label(TEMPERATURE, system)}", "")  # fmt: skip
    marks.polygons += place.polygons
    marks.strokes += place.strokes
    marks.labels += [item for item in place.labels if item.text]
    marks.label(
        left - 26,
        sheet.height - 6,
        f"height above the hood, {label(kinds.LENGTH, system)}",
        sheet.body,
        bold=True,
        up="top",
    )
    _lines(marks, frame, scene, system)
    key_row(marks, sheet, (left, (1.5 * rows - 0.6) * sheet.small), keys, sheet.width - right)


def _lines(marks: Marks, frame: Frame, scene: ChimneyScene, system: System) -> None:
    def line(told: Along, values: npt.NDArray[Any]) -> list[tuple[float, float]]:
        inside = told.piece >= FLUE_PIECE
        return [
            (
                frame.x(float(shown(float(v), TEMPERATURE, system))),
                frame.y(float(shown(float(h), kinds.LENGTH, system))),
            )
            for v, h in zip(values[inside], told.height[inside], strict=True)
        ]

    warm = scene.profiles["20 min"]
    marks.stroke(line(warm, warm.gas), colour=VERMILLION, width=2.6, layer=5)
    for when, (colour, dash) in LINES.items():
        told = scene.profiles[when]
        marks.stroke(line(told, told.wall), colour=colour, width=2.6, layer=6, dash=dash)
    x = frame.x(float(shown(scene.dew, TEMPERATURE, system)))
    marks.stroke([(x, frame.bottom), (x, frame.top)], colour=PINK, width=3.0, layer=4, dash=(2.0, 5.0))


def chimney_words(scene: ChimneyScene, system: System = "field") -> str:
    """The picture in sentences, for those who do not see it."""
    told = [
        f"A {scene.kind.replace('-', ' ')} flue in section, {show(scene.height, kinds.LENGTH, system, 1)} from the draft hood to the "
        f"outlet, furnace {'taken off' if scene.alone else 'burning'}. Test holes: draft 1 to 2 ft past the hood, flue gas before "
        f"it. Dew point {show(scene.dew, TEMPERATURE, system, 0)}."
    ]
    for when, found in scene.profiles.items():
        gas, face = (show(float(v[-1]), TEMPERATURE, system, 0) for v in (found.gas, found.wall))
        lead = "Settled" if when == "settled" else f"After {when}"
        told.append(f"{lead}: gas {gas} and wall {face} at the top.")
    return " ".join(told)
