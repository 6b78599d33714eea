"""The section of every demo dwelling in many states: no word covers another, an arrow or a door, none leaves the sheet."""

from __future__ import annotations

import itertools
import pathlib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import read_dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.steady import steady
from hvaclib.plots import Picture, Section, dwelling_section, section_of
from hvaclib.plots.letters import BOLD, MINUS, PLAIN, Rectangle, label_box, text_width
from hvaclib.plots.style import CHART_SHEETS, SECTION_SHEETS
from tests.behaviour.section_example import example

DEMO = sorted((pathlib.Path(__file__).parents[2] / "data" / "demo").glob("*.toml"))
DISC = 14  # layer of fans and frames, which carry their own sign on their own ground
SEEN = {"doors": 10, "arrows": 12, "spillage": 18}  # layers whose shapes no word may cover


def setups(dwelling: Dwelling) -> Iterator[Setup]:
    """Fans off, on and at a third; doors, windows and air handler; calm and windy; cold and firing."""
    for fans, doors, windows, handler, wind, firing in itertools.product(
        (0.0, 0.3, 1.0), (True, False), (True, False), (True, False), (0.0, 9.0), (True, False)
    ):
        setup = dwelling.default_setup().with_fans(fans).with_wind(wind, 0.7)
        if setup.air_handler is not None:
            setup = setup.with_air_handler(on=handler)
        for door in dwelling.doors:
            setup = setup.with_door(door.name, open=doors)
        for window in dwelling.windows:
            setup = setup.with_window(window.name, open=windows)
        for appliance in dwelling.appliances:
            setup = setup.with_firing(appliance.name, on=firing)
        yield setup


@cache
def sections(file: pathlib.Path) -> tuple[Section, ...]:
    dwelling = read_dwelling(file)
    states = tuple(setups(dwelling))
    solved = steady(dwelling, states)
    return tuple(section_of(solved, i) for i in range(len(states)))


def overlap(a: Rectangle, b: Rectangle) -> bool:
    """Whether two rectangles share more than half a pixel both ways."""
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.5 and min(a[3], b[3]) - max(a[1], b[1]) > 0.5


def check(picture: Picture) -> None:
    boxes = [(label.text, label_box(label)) for label in picture.marks.labels]
    for text, box in boxes:
        assert min(box[:2]) >= 0.0, text
        assert box[2] <= picture.sheet.width, text
        assert box[3] <= picture.sheet.height, text
        assert not text.endswith("…"), text
    for (one, a), (two, b) in itertools.combinations(boxes, 2):
        assert not overlap(a, b), f"{one!r} runs into {two!r}"
    shapes = {layer: [] for layer in (DISC, *SEEN.values())}
    for polygon in picture.marks.polygons:
        if polygon.layer in shapes:
            xs, ys = zip(*polygon.corners, strict=True)
            shapes[polygon.layer].append((min(xs), min(ys), max(xs), max(ys)))
    for text, box in boxes:
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        if any(s[0] < middle[0] < s[2] and s[1] < middle[1] < s[3] for s in shapes[DISC]):
            continue  # the sign on a fan's own disc
        for name, layer in SEEN.items():
            assert not any(overlap(box, shape) for shape in shapes[layer]), f"{text!r} covers {name}"


@pytest.mark.parametrize("width", ["wide", "narrow"])
@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_no_word_covers_another_or_leaves_the_sheet(file: pathlib.Path, system: str, width: str) -> None:
    assert len(sections(file)) == 96
    for section in sections(file):
        check(dwelling_section(section, width, system))


@pytest.mark.parametrize("width", ["wide", "narrow"])
@pytest.mark.parametrize("status", ["idle", "drawing", "spilling", "reversed"])
def test_the_example_is_legible_too(status: str, width: str) -> None:
    check(dwelling_section(example(status), width))


@pytest.mark.parametrize("width", ["wide", "narrow"])
@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_every_fan_and_zone_is_named(file: pathlib.Path, width: str) -> None:
    for section in sections(file)[::7]:
        told = " ".join(label.text for label in dwelling_section(section, width).marks.labels)
        for word in {w for z in section.zones for w in z.name.split()}:
            assert word in told
        for word in {w for p in section.paths if p.kind == "fan" for w in p.name.split()}:
            assert word in told


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_the_picture_keeps_its_height_while_controls_move(file: pathlib.Path) -> None:
    for width in ("wide", "narrow"):
        assert len({dwelling_section(section, width).sheet.height for section in sections(file)}) == 1


def test_a_name_that_does_not_fit_stands_in_the_key() -> None:
    # a long name gets a letter in the drawing and its words below
    long = "sun room with the old bakery oven"
    first = sections(DEMO[0])[0]
    name = first.zones[-1].name
    zones = tuple(replace(z, name=long) if z.name == name else z for z in first.zones)
    paths = tuple(
        replace(p, start=long if p.start == name else p.start, end=long if p.end == name else p.end)
        for p in first.paths
    )
    texts = [
        label.text
        for label in dwelling_section(replace(first, zones=zones, paths=paths), "narrow").marks.labels
    ]
    assert {"A", long} <= set(texts)


def test_widths_are_those_of_the_font() -> None:
    # DejaVu Sans as shipped with matplotlib, read by FreeType: horizontal advance in thousandths of the size
    from matplotlib import font_manager
    from matplotlib.ft2font import FT2Font, LoadFlags

    for weight, table in (("normal", PLAIN), ("bold", BOLD)):
        found = font_manager.findfont(font_manager.FontProperties(family="DejaVu Sans", weight=weight))
        font = FT2Font(found)
        font.set_size(1000, 72)
        widths = [
            font.load_char(c, flags=LoadFlags.NO_HINTING).linearHoriAdvance / 65536 for c in range(32, 127)
        ]
        assert [int(w) for w in table.split()] == pytest.approx(widths, abs=0.6)
        assert font.load_char(
            ord("−"), flags=LoadFlags.NO_HINTING
        ).linearHoriAdvance / 65536 == pytest.approx(MINUS, abs=0.6)
    assert text_width("−4.5 Pa", 10.0) == pytest.approx(10 * (838 + 636 + 318 + 636 + 318 + 603 + 613) / 1000)


def test_sheets_have_room_for_words() -> None:
    # The suite's own rule: nothing below 11 px
    for sheet in (*SECTION_SHEETS.values(), *CHART_SHEETS.values()):
        assert min(sheet.small, sheet.body, sheet.large) >= 11.0


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_the_words_tell_a_person_who_does_not_see(file: pathlib.Path) -> None:
    # WAI-ARIA 1.2 and WCAG 2.2, success criterion 1.1.1: the alternative serves the same purpose as the picture
    for section in sections(file)[::5]:
        words = dwelling_section(section).words
        assert words.endswith(".")
        for zone in section.zones:
            assert f"in the {zone.name}" in words
        for appliance in section.appliances:
            assert f"The {appliance.name} is {'firing' if appliance.firing else 'not firing'}" in words
        for path in section.paths:
            if path.kind in ("fan", "door", "window"):
                assert f"the {path.name}" in words
        running = words.split("Fans running: ")[1].split(".")[0]
        assert all((p.name in running) is p.active for p in section.paths if p.kind == "fan")
