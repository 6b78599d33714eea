"""The thermostat's 24 V circuit with the turns of its wire through the clamp, over the loads of its transformer."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.plots.axes import finite
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREEN, GREY, INK, ORANGE, PAPER, PINK, SKY, VERMILLION
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.letters import Rectangle
    from hvaclib.plots.style import Sheet, System, Width

CURRENT, VA = kinds.CURRENT, kinds.APPARENT_POWER
FACES = (SKY, ORANGE, "#8fd3bd", PINK, "#e4dc7a")
DRAWN_TURNS = 10  # more could not be counted in the picture


@dataclass(frozen=True, slots=True)
class ThermostatCircuit:
    """What the picture needs.

    Parameters
    ----------
    reading, current, pointer : float
        What the clamp shows, the current of the circuit, the anticipator's setting, A.
    turns : int
        Of the wire through the clamp, 1 or more.
    voltage : float
        Of the secondary side, V.
    loads : mapping of str to float
        VA by the words of each load; zero is left out.
    rating : float
        Of the transformer, VA, above zero.
    """

    reading: float
    turns: int
    current: float
    pointer: float
    voltage: float
    loads: Mapping[str, float]
    rating: float

    def __post_init__(self) -> None:
        finite(
            [self.reading, self.current, self.pointer, self.voltage, self.rating, *self.loads.values()],
            "thermostat circuit",
        )
        if self.turns < 1 or self.rating <= 0 or min(self.loads.values(), default=0.0) < 0:
            raise InputError(
                "turns, rating or a load is too small", where="thermostat circuit", given=self.turns
            )

    @property
    def load(self) -> float:
        """All loads together, VA."""
        return sum(self.loads.values())


def thermostat_circuit_picture(
    circuit: ThermostatCircuit, width: Width = "wide", system: System = "field"
) -> Picture:
    """The loop from the transformer through thermostat, clamp and gas valve, over a bar of the loads.

    Parameters
    ----------
    circuit : ThermostatCircuit
        Currents, turns and loads.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the figures.

    Returns
    -------
    Picture
        Vermillion is line voltage.

    Raises
    ------
    InputError
        From `ThermostatCircuit`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    sheet = replace(base, height=560 if base.narrow else 450)
    if base.narrow:
        loop, bar = (44.0, 266.0, 318.0, 468.0), (14.0, 136.0, 344.0, 164.0)
    else:
        loop, bar = (190.0, 190.0, 860.0, 360.0), (30.0, 68.0, 930.0, 102.0)
    _loop(marks, sheet, loop)
    _transformer(marks, sheet, loop, circuit, system)
    _thermostat(marks, sheet, loop, circuit, system)
    _clamp(marks, sheet, loop, circuit, system)
    _valve(marks, sheet, loop, circuit, system)
    _bar(marks, sheet, bar, circuit, system)
    return Picture(marks, sheet, thermostat_circuit_words(circuit, system))


def _box(marks: Marks, box: Rectangle, face: str = PAPER, width: float = 2.0, layer: int = 5) -> None:
    left, bottom, right, top = box
    marks.polygon(
        [(left, bottom), (right, bottom), (right, top), (left, top)],
        face=face,
        edge=INK,
        width=width,
        layer=layer,
    )


def _loop(marks: Marks, sheet: Sheet, loop: Rectangle) -> None:
    left, bottom, right, top = loop
    marks.stroke(
        [(left, top), (right, top), (right, bottom), (left, bottom)], colour=BLUE, width=3.0, layer=2
    )
    marks.label(left + 8, top + 5, "R", sheet.body, bold=True, up="bottom")
    marks.label(left + 8, bottom - 5, "C", sheet.body, bold=True, up="top")


def _coil(x: float, bottom: float, top: float, bulge: float) -> list[tuple[float, float]]:
    """A winding as half circles from the top down."""
    steps, bumps = 40, 5
    return [
        (x + bulge * abs(math.sin(math.pi * bumps * i / steps)), top - (top - bottom) * i / steps)
        for i in range(steps + 1)
    ]


def _transformer(
    marks: Marks, sheet: Sheet, loop: Rectangle, circuit: ThermostatCircuit, system: System
) -> None:
    left, bottom, _, top = loop
    marks.stroke(_coil(left, bottom, top, 10.0), colour=BLUE, width=2.6, layer=6)
    for x in (left - 6, left - 10):
        marks.stroke([(x, bottom), (x, top)], width=2.0, layer=6)
    primary = left - 16
    marks.stroke(_coil(primary, bottom, top, -10.0), colour=VERMILLION, width=2.6, layer=6)
    out = 0.0 if sheet.narrow else primary - 90
    for y in (bottom, top):
        marks.stroke([(primary, y), (out + 4, y)], colour=VERMILLION, width=3.4, layer=4)
    middle, rating = (bottom + top) / 2, show(circuit.rating, VA, system)
    marks.label(
        left + 18,
        middle + 0.8 * sheet.body,
        f"{circuit.voltage:g} V, {rating}",
        sheet.body,
        bold=True,
        up="center",
    )
    marks.label(left + 18, middle - 0.8 * sheet.body, "transformer", sheet.small, up="center")
    words = ("line voltage:", "off and locked first")
    x, y = (6.0, bottom - 24.0) if sheet.narrow else (out - 90, top + 42.0)
    if sheet.narrow:
        marks.label(x, y, " ".join(words), sheet.small, bold=True, colour="#9c4300", up="top")
        return
    for i, line in enumerate(words):
        marks.label(10, y - 1.3 * i * sheet.small, line, sheet.small, bold=True, colour="#9c4300", up="top")


def _thermostat(
    marks: Marks, sheet: Sheet, loop: Rectangle, circuit: ThermostatCircuit, system: System
) -> None:
    """Switch and anticipator in one box: a closed contact and a resistor, with the setting above."""
    left, _, right, top = loop
    middle = left + (0.30 if sheet.narrow else 0.25) * (right - left)
    half = 46.0 if sheet.narrow else 84.0
    _box(marks, (middle - half, top - 24, middle + half, top + 24))
    start, end = middle - half, middle + half
    marks.label(end + 6, top + 5, "W", sheet.body, bold=True, up="bottom")
    contact = start + 0.45 * half
    marks.stroke([(start, top), (contact, top)], colour=BLUE, width=3.0, layer=7)
    marks.stroke([(contact, top), (contact + 0.45 * half, top + 3)], width=3.0, layer=7)
    for x in (contact, contact + 0.45 * half):
        spot(marks, (x, top), INK, radius=4.0)
    zig = contact + 0.6 * half
    step = (end - 0.15 * half - zig) / 6
    points = [(zig + i * step, top + (8 if i % 2 else -8) * (0 < i < 6)) for i in range(7)]
    marks.stroke([(contact + 0.45 * half, top), *points, (end, top)], colour=BLUE, width=2.4, layer=7)
    stands = f"stands at {show(circuit.pointer, CURRENT, system, 2)}"
    rows = ["thermostat,", "anticipator", stands] if sheet.narrow else ["thermostat, anticipator", stands]
    for i, words in enumerate(reversed(rows)):
        y = top + 30 + 1.3 * sheet.small * i
        marks.label(middle, y, words, sheet.small, bold=i == 0, across="center", up="bottom")


def _clamp(marks: Marks, sheet: Sheet, loop: Rectangle, circuit: ThermostatCircuit, system: System) -> None:
    """The jaw as a ring, the turns of the wire as loops around its lower side."""
    left, _, right, top = loop
    x = left + (0.72 if sheet.narrow else 0.62) * (right - left)
    size = 24.0 if sheet.narrow else 34.0
    ring = [
        (x + size * math.cos(0.1 * math.pi * i), top + 1.15 * size * math.sin(0.1 * math.pi * i))
        for i in range(21)
    ]
    marks.stroke(ring, colour=INK, width=6.0, layer=4)
    drawn = min(circuit.turns, DRAWN_TURNS)
    if drawn > 1:
        span = 1.3 * size
        points = []
        steps = 16 * drawn
        for i in range(steps + 1):
            turn = 2 * math.pi * drawn * i / steps
            points.append(
                (
                    x - span / 2 + span * i / steps - 4 * math.sin(turn),
                    top - 0.7 * size * (1 - math.cos(turn)),
                )
            )
        marks.stroke(points, colour=BLUE, width=1.8, layer=6)
    turns = f"{circuit.turns} turn{'' if circuit.turns == 1 else 's'}"
    rows = [f"clamp, {turns}", f"reads {show(circuit.reading, CURRENT, system, 2)}"]
    for i, words in enumerate(reversed(rows)):
        marks.label(
            x,
            top + 1.15 * size + 8 + 1.3 * sheet.small * i,
            words,
            sheet.small,
            bold=i == 0,
            across="center",
            up="bottom",
        )
    flows = f"÷ {circuit.turns} = {show(circuit.current, CURRENT, system, 3)}"
    low = top - (1.5 * size if drawn > 1 else 1.15 * size) - 10
    marks.label(x, low, flows, sheet.body, bold=True, across="center", up="top")


def _valve(marks: Marks, sheet: Sheet, loop: Rectangle, circuit: ThermostatCircuit, system: System) -> None:
    _, bottom, right, top = loop
    middle = bottom + 0.36 * (top - bottom)
    _box(marks, (right - 26, middle - 28, right + 26, middle + 28), "#eef1f4")
    for side in (-1, 1):
        wing = [(right, middle), (right + side * 18, middle + 13), (right + side * 18, middle - 13)]
        marks.polygon(wing, face=GREY, edge=INK, width=1.0, layer=7)
    load = next(iter(circuit.loads.values()), 0.0)
    for i, words in enumerate(("gas valve", show(load, VA, system))):
        y = middle + (0.7 - 1.4 * i) * sheet.small
        marks.label(right - 34, y, words, sheet.small, bold=i == 0, across="right", up="center")


def _bar(marks: Marks, sheet: Sheet, bar: Rectangle, circuit: ThermostatCircuit, system: System) -> None:
    """Loads end to end, numbered, against the rating; the numbers in words below."""
    left, bottom, right, top = bar
    scale = (right - left) / (1.12 * max(circuit.load, circuit.rating))
    x, rows = left, [(words, load) for words, load in circuit.loads.items() if load > 0]
    place = left
    limit = left + scale * circuit.rating
    for i, (words, load) in enumerate(rows):
        end = x + scale * load
        _box(marks, (x, bottom, end, top), FACES[i % len(FACES)], 1.2, 3)
        middle = (x + end) / 2
        if abs(middle - limit) < 12:  # the line of the rating would cross the number
            middle = x + 10
        if end - x > 12:
            marks.label(
                middle, (bottom + top) / 2, f"{i + 1}", sheet.small, bold=True, across="center", up="center"
            )
        x = end
        told = f"{i + 1} {words}, {show(load, VA, system)}"
        row = i if sheet.narrow else 0
        marks.label(place, bottom - 32 - 1.5 * sheet.small * row, told, sheet.small, up="top")
        place += 0.0 if sheet.narrow else text_width(told, sheet.small) + 26.0
    over = circuit.load > circuit.rating * (1 + 1e-12)
    marks.stroke(
        [(limit, bottom - 8), (limit, top + 8)], colour=VERMILLION if over else GREEN, width=3.4, layer=8
    )
    rating = f"rating {show(circuit.rating, VA, system)}"
    wide = text_width(rating, sheet.small, bold=True)
    marks.label(
        min(max(limit - wide / 2, left), right - wide), bottom - 10, rating, sheet.small, bold=True, up="top"
    )
    state = "OVERLOADED" if over else "enough"
    head = f"loads together {show(circuit.load, VA, system)}: {state}"
    marks.label(left, top + 10, head, sheet.body, bold=True, up="bottom", colour="#9c4300" if over else INK)


def thermostat_circuit_words(circuit: ThermostatCircuit, system: System = "field") -> str:
    """The picture in sentences, for those who do not see it."""
    reading, pointer = (show(v, CURRENT, system, 2) for v in (circuit.reading, circuit.pointer))
    current = show(circuit.current, CURRENT, system, 3)
    parts = "; ".join(
        f"{words} {show(load, VA, system)}" for words, load in circuit.loads.items() if load > 0
    )
    return (
        f"Circuit of {circuit.voltage:g} V from the transformer through thermostat, clamp and gas valve. The clamp reads {reading} over "
        f"{circuit.turns} turn{'' if circuit.turns == 1 else 's'}: {current}. The anticipator stands at {pointer}. Loads: {parts or 'none'}; together "
        f"{show(circuit.load, VA, system)} of {show(circuit.rating, VA, system)}. The transformer's other side is line voltage."
    )
