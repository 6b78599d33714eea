"""The base of the boards: inputs, answers, links, refusals, the page; without a browser."""

from __future__ import annotations

import asyncio
import csv
import dataclasses
import io
import json
import logging
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any
from urllib.parse import parse_qs

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hvaclib.boards.base import (
    BoardModel,
    BoardView,
    Choice,
    Inputs,
    Number,
    Page,
    PagePicture,
    PageTable,
    Switch,
    Switches,
    Upload,
)
from hvaclib.boards.base import html as pieces
from hvaclib.boards.base.controls import NumberControl
from hvaclib.boards.base.files import UploadControl
from hvaclib.boards.base.update import UpdateLoop
from hvaclib.errors import FileError, InputError, UnitError
from hvaclib.plots import dwelling_section
from hvaclib.units import kinds
from tests.behaviour.section_example import example

CFM = 0.3048**3 / 60  # m³/s, exact
FANS = {"range hood": True, "dryer, old": False, "bad & name = 50%?": False}


class Hood(BoardModel):
    title, question, name = "Hood <board>", "Does the hood move air?", "hood"
    uploads = (Upload("dwelling", "Load a dwelling", ".toml", 1000),)
    outdoor = Number(
        kinds.TEMPERATURE, "35 °F", low="-20 °F", high="110 °F", step=1, label="Outdoor temperature"
    )
    flow = Number(kinds.VOLUME_FLOW, "250 cfm", low="0 cfm", high="1200 cfm", step=10, label="Range hood")
    start = Choice({"cold": "cold vent", "warm": "warm vent"}, "cold", label="Start")
    windy = Switch(False, label="Windy")
    fans = Switches(label="Fans")

    def __init__(self) -> None:
        self.computed = 0
        super().__init__()
        self.set_members("fans", FANS)

    def find_blockers(self, inputs: Inputs) -> list[str]:
        return ["It is too windy to test."] if inputs.windy else []

    def compute(self, inputs: Inputs) -> float:
        self.computed += 1
        if inputs.flow > 1000 * CFM:
            raise InputError("too much air", where="Range hood")
        if inputs.outdoor < 260.0:
            raise ZeroDivisionError("division by zero")
        return inputs.flow / CFM

    def compute_later(self, inputs: Inputs, outputs: Any) -> Iterator[Any]:
        yield None
        yield f"all at {outputs:.0f}"

    def present(self, inputs: Inputs, outputs: Any, later: Any) -> Page:
        rows = [{"name": "<b>hood</b>", "cfm": round(outputs)}, {"name": "=1+1", "later": later or ""}]
        return Page(
            answer=[f"The hood moves {outputs:.0f} cfm & more."], verdict="pass", cautions=["<danger>"],
            pictures=[PagePicture("Now", dwelling_section(example(), inputs.width, inputs.system))],
            tables=[PageTable("Numbers", rows)], sources=["Source <1>"],
        )  # fmt: skip

    def receive(self, upload: str, filename: str, content: bytes) -> str:
        if not content.startswith(b"format"):
            raise FileError("this is not a dwelling file", where=filename)
        self.flow = 400 * CFM
        self.windy = False
        return f"{filename} loaded."


class Tags(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.opened: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.opened.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


# -- inputs and answers -----------------------------------------------------------------------------------------------


def test_defaults_are_kept_in_si() -> None:
    model = Hood()
    assert model.outdoor == pytest.approx((35 + 459.67) / 1.8)  # definition of the Fahrenheit scale
    assert model.flow == pytest.approx(250 * CFM)
    assert list(model.declared()) == ["outdoor", "flow", "start", "windy", "fans", "system", "large_type"]


def test_answer_and_blockers() -> None:
    model = Hood()
    assert model.refresh()
    assert model.outputs == pytest.approx(250)
    model.windy = True
    assert not model.refresh()
    assert model.blockers == ["It is too windy to test."]
    assert model.outputs == pytest.approx(250)  # the picture of the last answer stays
    assert model.computed == 1
    model.windy = False
    assert model.refresh()
    assert model.blockers == []


def test_refusals_keep_their_sentence_and_defects_are_named_and_logged(
    caplog: pytest.LogCaptureFixture,
) -> None:
    model = Hood()
    model.flow = 1100 * CFM
    with caplog.at_level(logging.INFO, logger="hvaclib.boards"):
        assert not model.refresh()
        assert model.blockers == ["Range hood: too much air."]
        model.flow, model.outdoor = 100 * CFM, 250.0
        assert not model.refresh()
    sentence = (
        "Something went wrong in this calculation (ZeroDivisionError: division by zero); "
        "your inputs are kept. Reload if it stays."
    )
    assert model.blockers == [sentence]
    assert [record.levelname for record in caplog.records] == ["INFO", "ERROR"]
    assert caplog.records[1].exc_info


@pytest.mark.parametrize(
    ("change", "error", "part"),
    [
        (
            {"flow": 1300 * CFM},
            InputError,
            "Range hood: this value is outside what the board covers; found '1,300 cfm'",
        ),
        ({"flow": float("nan")}, InputError, "Range hood"),
        ({"start": "hot"}, InputError, "expected one of: cold, warm"),
        ({"fans": {"whole-house fan": True}}, InputError, "there is no such switch"),
    ],
)
def test_impossible_values_are_refused_and_leave_the_input(
    change: dict[str, Any], error: type[Exception], part: str
) -> None:
    model = Hood()
    before = dict(model.inputs())
    with pytest.raises(error, match=part):  # noqa: PT012 - one input each
        for name, value in change.items():
            setattr(model, name, value)
    assert dict(model.inputs()) == before


def test_inputs_are_read_only() -> None:
    inputs = Hood().inputs()
    assert inputs.start == inputs["start"] == "cold"
    with pytest.raises(TypeError):
        inputs["start"] = "warm"  # type: ignore[index]
    with pytest.raises(AttributeError, match="no input 'wind'"):
        _ = inputs.wind


def test_several_changes_have_one_answer() -> None:
    model, told = Hood(), []
    model.on_inputs(lambda: told.append(model.flow))
    with model.held():
        model.flow, model.windy, model.start = 300 * CFM, True, "warm"
    assert told == [pytest.approx(300 * CFM)]


# -- links and saved states -------------------------------------------------------------------------------------------


@given(
    flow=st.floats(0, 1200), outdoor=st.floats(-20, 110), start=st.sampled_from(["cold", "warm"]), windy=st.booleans(),
    fans=st.fixed_dictionaries({name: st.booleans() for name in FANS}), system=st.sampled_from(["field", "si"]),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_link_brings_every_input_back(
    flow: float, outdoor: float, start: str, windy: bool, fans: dict[str, bool], system: str
) -> None:
    one, two = Hood(), Hood()
    one.flow, one.outdoor = flow * CFM, (outdoor + 459.67) / 1.8
    one.start, one.windy, one.fans, one.system = start, windy, fans, system
    assert two.from_link("?" + one.to_link()) == []
    assert two.flow == pytest.approx(one.flow, rel=1e-9, abs=1e-12)
    assert two.outdoor == pytest.approx(one.outdoor, rel=1e-9)
    assert (two.start, two.windy, two.fans, two.system) == (start, windy, fans, system)


def test_link_names_only_what_differs() -> None:
    model = Hood()
    assert model.to_link() == ""
    model.flow = 300 * CFM
    model.large_type = True
    model.fans = {**model.fans, "range hood": False}
    assert parse_qs(model.to_link()) == {"flow": ["300 cfm"], "fans.range hood": ["off"]}


@given(st.text(max_size=80))
@settings(max_examples=150, deadline=None)
def test_no_link_can_break_a_board(text: str) -> None:
    model = Hood()
    assert all(isinstance(sentence, str) and sentence.endswith(".") for sentence in model.from_link(text))
    assert model.refresh() or model.blockers


@pytest.mark.parametrize(
    ("query", "part"),
    [
        ("wind=3", "this page has no such setting; found 'wind'"),
        ("flow=banana", "Range hood: there is no number"),
        ("flow=30 Pa", "Range hood:"),
        ("flow=5000 cfm", "expected 0 cfm to 1,200 cfm"),
        ("start=hot", "Start: there is no such choice"),
        ("windy=perhaps", 'expected "on" or "off"'),
        ("fans.attic fan=on", "Fans: there is no such switch"),
        ("fans=on", "this page has no such setting"),
        ("large_type=on", "this page has no such setting"),
        ("&".join(f"a{i}=1" for i in range(300)), "more than 200 settings"),
    ],
)
def test_what_a_link_cannot_set_is_said_and_the_rest_is_set(query: str, part: str) -> None:
    model = Hood()
    problems = model.from_link(f"outdoor=20 F&{query}&token=secret&voila-theme=light")
    assert len(problems) == 1
    assert part in problems[0]
    if "more than" not in part:
        assert model.outdoor == pytest.approx((20 + 459.67) / 1.8)


def test_bare_number_in_a_link_is_in_the_shown_unit() -> None:
    model = Hood()
    assert model.from_link("flow=300") == []
    assert model.flow == pytest.approx(300 * CFM)
    assert model.from_link("system=si&flow=100") == []
    assert model.flow == pytest.approx(0.1)  # L/s


def test_saved_state_comes_back() -> None:
    one, two = Hood(), Hood()
    one.flow, one.start = 310 * CFM, "warm"
    two.windy = True
    assert two.from_settings(one.to_settings()) == []
    assert (two.flow, two.start, two.windy) == (pytest.approx(one.flow), "warm", False)


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '{"format": "hvaclib settings 1", "board": "other"}', json.dumps({"a": 1})]
)
def test_other_files_are_no_saved_state(text: str) -> None:
    with pytest.raises(FileError, match="settings file"):
        Hood().from_settings(text)


def test_new_members_of_a_group_take_over() -> None:
    model, told = Hood(), []
    model.on_inputs(lambda: told.append(dict(model.fans)))
    model.set_members("fans", {"attic fan": True})
    assert model.fans == {"attic fan": True}
    assert told == [{"attic fan": True}]
    assert model.to_link() == ""


# -- HTML and tables --------------------------------------------------------------------------------------------------


def test_table_is_a_real_table_and_words_stay_words() -> None:
    # HTML Living Standard, 4.9: caption, th with scope for column and row headers
    tags = Tags(
        pieces.table(
            'A "title" <i>', [{"na<me": "<script>x</script>", "value": 1}, {"na<me": "b", "other": None}]
        )
    )
    names = [name for name, _ in tags.opened]
    assert "script" not in names
    assert "i" not in names
    assert [a.get("scope") for name, a in tags.opened if name == "th"] == ["col", "col", "col", "row", "row"]
    assert "caption" in names
    assert "<script>x</script>" in tags.words


def test_folds_are_details_that_name_themselves() -> None:
    # HTML Living Standard, 4.11.1: details with a summary; the open attribute shows the content
    tags = Tags(pieces.fold('The "worst" <i>', "<p>x</p>", is_open=True))
    assert [name for name, _ in tags.opened] == ["details", "summary", "p"]
    assert tags.opened[0][1] == {"class": "board-fold", "data-fold": 'The "worst" <i>', "open": None}
    assert "open" not in Tags(pieces.fold("Sources", "<p>x</p>")).opened[0][1]
    assert pieces.fold("Sources", "") == ""


def test_caution_shows_the_two_gravest_and_folds_the_others() -> None:
    tags = Tags(pieces.caution(["first <b>", "second", "third"], strong=True))
    assert [name for name, _ in tags.opened] == ["div", "h2", "p", "p", "details", "summary", "p"]
    assert tags.opened[0][1]["class"] == "board-caution board-caution-strong"
    assert "open" not in tags.opened[4][1]
    assert tags.words == ["Caution", "first <b>", "second", "More cautions", "third"]
    assert "strong" not in pieces.caution(["first"])
    assert "details" not in pieces.caution(["first", "second"])
    assert pieces.caution([]) == ""


def test_numbers_are_not_broken_and_sentences_have_room() -> None:
    tags = Tags(pieces.table("t", [{"where": "water heater", "value": "−1.11 Pa", "finding": "x " * 30}]))
    cells = [a.get("class") for name, a in tags.opened if name == "td"]
    assert cells == ["board-short", "board-long"]


def test_heading_of_a_group_is_a_button_with_its_state() -> None:
    # WAI-ARIA Authoring Practices, disclosure: a button with aria-expanded
    tags = Tags(pieces.group_heading("Fans & doors"))
    assert [name for name, _ in tags.opened] == ["h2", "button"]
    assert tags.opened[1][1]["aria-expanded"] == "true"
    assert tags.words == ["Fans & doors"]


def test_csv_reads_back() -> None:
    # RFC 4180: quotes doubled, fields with comma or line break quoted
    rows = [{"a": 'x, "y"', "b": -1.5}, {"a": "two\nlines", "c": "=cmd()"}, {"a": "-3", "b": "−2 Pa"}]
    read = list(csv.DictReader(io.StringIO(pieces.csv_text(rows), newline="")))
    assert read[0] == {"a": 'x, "y"', "b": "-1.5", "c": ""}
    assert read[1] == {"a": "two\nlines", "b": "", "c": "'=cmd()"}  # kept as text in a spreadsheet
    assert read[2]["a"] == "-3"
    frame = pd.DataFrame({"a": [1, 2], "b": ["x", "y"]})
    assert pd.read_csv(io.StringIO(pieces.csv_text(frame))).equals(frame)


def test_board_exports_its_first_table() -> None:
    model = Hood()
    model.refresh()
    assert model.export_table().splitlines()[:2] == ["name,cfm,later", "<b>hood</b>,250,"]


# -- view -------------------------------------------------------------------------------------------------------------


def test_page_shows_answer_caution_picture_numbers_and_sources() -> None:
    view = BoardView(Hood())
    assert view.answer.value == "<p>The hood moves 250 cfm &amp; more.</p>"
    assert {"suite-live", "suite-pass"} <= set(view.answer._dom_classes)
    assert view.cautions.value == pieces.caution(["<danger>"])
    svg = next(attributes for tag, attributes in Tags(view.places[0].value).opened if tag == "svg")
    assert svg["role"] == "img"
    assert "−6.2 Pa in the basement" in (svg["aria-label"] or "")
    assert "&lt;b&gt;hood&lt;/b&gt;" in view.numbers.value
    assert "Source &lt;1&gt;" in view.numbers.value
    folds = [a for name, a in Tags(view.numbers.value).opened if name == "details"]
    assert [fold["data-fold"] for fold in folds][-1] == "Sources"
    assert ["open" in fold for fold in folds] == [True, *[False] * (len(folds) - 1)]
    assert "all at 250" in view.numbers.value  # the slow work, done at once where there is no event loop


def test_every_control_has_a_name() -> None:
    view = BoardView(Hood())
    number, choice, windy, fans = (view.controls[key] for key in ("flow", "start", "windy", "fans"))
    assert number.text.description == "Range hood"
    assert "Range hood" in number.slider.tooltip
    assert choice.list.description == "Start"
    assert windy.tick.description == "Windy"
    assert [tick.description for tick in fans.ticks.values()] == list(FANS)
    assert "Load a dwelling" in view.uploads[0].button.description


@pytest.mark.parametrize(
    ("typed", "cubic_metres"),
    [
        ("300 cfm", 300 * CFM),
        ("12", 12 * CFM),
        ("0.3 m3/s", 0.3),
        ("1,000", 1000 * CFM),
        ("100 L/s", 0.1),
        (" 5 1/2 ", 5.5 * CFM),
    ],
)
def test_typed_units_are_understood(typed: str, cubic_metres: float) -> None:
    view = BoardView(Hood())
    view.controls["flow"].text.value = typed
    assert view.model.flow == pytest.approx(cubic_metres)
    assert view.controls["flow"].message.value == ""


@pytest.mark.parametrize("typed", ["banana", "", "30 Pa", "9999 cfm", "-5 cfm", "<img src=x>"])
def test_impossible_text_leaves_the_value_and_says_why_beside_the_control(typed: str) -> None:
    view = BoardView(Hood())
    control = view.controls["flow"]
    control.text.value = typed
    assert view.model.flow == pytest.approx(250 * CFM)
    tags = Tags(control.message.value)
    assert [name for name, _ in tags.opened] == ["p"]
    assert "".join(tags.words).startswith("Range hood: ")
    control.text.value = "260 cfm"
    assert control.message.value == ""
    assert view.answer.value.startswith("<p>The hood moves 260")


def test_typed_value_between_two_steps_is_not_overwritten_by_the_slider() -> None:
    control = BoardView(Hood()).controls["flow"]
    assert isinstance(control, NumberControl)
    control.text.value = "253 cfm"
    assert control.slider.value == pytest.approx(250)
    control.slider.value = 250.0000001  # what the page sends back
    assert control.model.flow == pytest.approx(253 * CFM)
    control.slider.value = 260.0
    assert control.model.flow == pytest.approx(260 * CFM)
    assert control.text.value == "260 cfm"


def test_a_slider_is_not_pulled_back_by_what_it_has_told(monkeypatch) -> None:
    """The page adds up steps: 260.00000000000006 is where its hand is, and is neither repeated nor put right."""
    view = BoardView(Hood())
    control = view.controls["flow"]
    sent: list[dict[str, Any]] = []
    monkeypatch.setattr(type(control.slider), "_send", lambda _, message, buffers=None: sent.append(message))
    control.slider.set_state({"value": 260.00000000000006})
    assert view.model.flow / CFM == pytest.approx(260)
    assert control.slider.value == 260.00000000000006
    assert not [each for each in sent if "value" in each.get("state", {})]
    control.slider.set_state({"value": 264.0})  # no whole step of the page's: that is told
    assert view.model.flow / CFM == pytest.approx(260)


def test_the_page_hears_the_limits_of_a_slider_before_its_value() -> None:
    """A value that came before its limits would be pushed to the old limit, and sent back as a move."""
    control = BoardView(Hood()).controls["flow"]
    assert isinstance(control, NumberControl)
    for keys in (["value", "max", "min", "step"], {"value", "min", "max"}, None):
        told = list(control.slider.get_state(key=keys))
        assert told[-1] == "value"
        assert {"min", "max"} < set(told)


def test_unit_system_changes_every_label() -> None:
    view = BoardView(Hood())
    view.controls["system"].list.value = "si"
    assert view.controls["flow"].text.value == "118 L/s"  # 250 cfm is 117.99 L/s
    assert view.controls["outdoor"].text.value == "1.7 °C"  # 35 °F is 1.67 °C
    assert view.controls["flow"].slider.max == pytest.approx(565)  # 1200 cfm is 566.3 L/s, whole steps of 5
    assert view.controls["flow"].slider.step == pytest.approx(5)
    assert "L/s" in view.places[0].value
    assert "cfm" not in view.places[0].value


def test_blocker_and_defect_are_shown_and_the_picture_stays() -> None:
    view = BoardView(Hood())
    picture = view.places[0].value
    view.controls["windy"].tick.value = True
    assert view.answer.value == "<p>It is too windy to test.</p>"
    assert "suite-pass" not in view.answer._dom_classes
    assert view.places[0].value == picture
    view.controls["windy"].tick.value = False
    view.controls["outdoor"].text.value = "-10 °F"
    assert "ZeroDivisionError: division by zero" in view.answer.value
    assert view.places[0].value == picture
    view.controls["outdoor"].text.value = "40 °F"
    assert "The hood moves" in view.answer.value


def test_defect_while_drawing_is_shown() -> None:
    class Broken(Hood):
        def present(self, inputs: Inputs, outputs: Any, later: Any) -> Page:
            if inputs.start == "warm":
                raise KeyError("no <such> key")
            return super().present(inputs, outputs, later)

    view = BoardView(Broken())
    view.controls["start"].list.value = "warm"
    assert (
        "Something went wrong in this calculation (KeyError: &#x27;no &lt;such&gt; key&#x27;)"
        in view.answer.value
    )


def test_same_place_for_the_same_picture() -> None:
    view = BoardView(Hood())
    places = list(view.places)
    view.controls["flow"].text.value = "500 cfm"
    assert view.places == places
    assert "<svg" in places[0].value
    assert places[1].value == places[-1].value == ""


def test_slow_pictures_stay_dimmed_until_they_are_done_for_the_new_inputs(monkeypatch) -> None:
    monkeypatch.setattr("hvaclib.boards.base.update.ARRIVAL", 0.25)

    class Slow(Hood):
        def present(self, inputs: Inputs, outputs: Any, later: Any) -> Page:
            page = super().present(inputs, outputs, later)
            extra = [PagePicture(f"{later}", page.pictures[0].picture)] if later else []
            return dataclasses.replace(page, pictures=[*page.pictures, *extra])

    async def play() -> None:
        view = BoardView(Slow())
        await asyncio.sleep(0.4)
        assert "all at 250" in view.places[1].value
        view.controls["flow"].text.value = "500 cfm"
        await asyncio.sleep(0.08)
        assert "moves 500" in view.answer.value
        assert "all at 250" in view.places[1].value
        assert "board-stale" in view.places[1]._dom_classes
        await asyncio.sleep(0.5)
        assert "all at 500" in view.places[1].value
        assert "board-stale" not in view.places[1]._dom_classes

    asyncio.run(play())


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"format = 1", "house.toml loaded."),
        (b"\xff\x00", "house.toml: this is not a dwelling file."),
        (b"x" * 1001, "house.toml: the file is too large; found '1 kB'; expected at most 1 kB."),
    ],
)
def test_upload(content: bytes, sentence: str) -> None:
    model = Hood()
    assert UploadControl(model, model.uploads[0]).take("house.toml", content) == sentence


def test_files_of_the_view_are_links_that_hold_them() -> None:
    # RFC 2397: data URIs
    view = BoardView(Hood())
    view.export.make()
    links = [a for tag, a in Tags(view.export.files.value).opened if tag == "a"]
    assert [link["download"] for link in links] == [
        "hood-1.png",
        "hood-1.svg",
        "hood-table-1.csv",
        "hood-settings.json",
    ]
    assert all((link["href"] or "").startswith("data:") for link in links)
    view.controls["flow"].text.value = "500 cfm"
    assert view.export.files.value == ""  # they were of an earlier view
    assert "flow=500%20cfm" in view.export.link.value


# -- update loop ------------------------------------------------------------------------------------------------------


def test_moves_that_queue_up_are_one_and_slow_work_gives_way() -> None:
    seen: list[str] = []

    def slow() -> Iterator[str | None]:
        for _ in range(50):
            yield None
        yield "done"

    async def play() -> None:
        loop = UpdateLoop(
            lambda: seen.append("quick") or True, slow, seen.append, lambda e: seen.append(repr(e))
        )
        for _ in range(5):
            loop.request()
        await asyncio.sleep(0.29)  # the slow work has begun
        loop.request()
        await asyncio.sleep(1.2)

    asyncio.run(play())
    assert seen == ["quick", "quick", "done"]


def test_slow_work_that_fails_is_reported() -> None:
    seen: list[Exception] = []

    def slow() -> Iterator[None]:
        yield None
        raise UnitError("no unit")

    loop = UpdateLoop(lambda: True, slow, lambda _: None, seen.append)
    loop.request()
    assert [str(error) for error in seen] == ["no unit."]
    seen.clear()

    async def play() -> None:
        loop.request()
        await asyncio.sleep(0.4)

    asyncio.run(play())
    assert [str(error) for error in seen] == ["no unit."]


def test_a_table_of_sentences_carries_its_columns_words_for_a_phone_and_stays_a_table():
    row = {
        "sheet": "J-1",
        "what": "a sentence of more than forty-five letters, as a remark is",
        "who": "",
        "day": 3,
    }
    text = pieces.table("Remarks", [row])
    assert "board-cards" in text
    for column in row:
        assert f'data-column="{column}"' in text
    assert text.count('role="cell"') == 3
    assert text.count('role="columnheader"') == 4
    assert "board-cards" not in pieces.table("Numbers", [{"a": 1, "b": 2, "c": 3, "d": 4}])


def test_one_group_of_controls_may_stay_open_on_a_phone():
    assert 'data-kept="yes"' in pieces.group_heading("Sheet", kept=True)
    assert "data-kept" not in pieces.group_heading("View")


def test_a_slider_that_adds_steps_up_stands_on_a_whole_step():
    trait = Number(kinds.DIMENSIONLESS, "1", low="1", high="24", step=1, label="Step")
    assert trait.from_slider(7.999999999999999, "field") == 8.0
    flow = Number(kinds.VOLUME_FLOW, "100 cfm", low="20 cfm", high="1200 cfm", step=10, label="Fan")
    assert flow.from_slider(110.00000000000001, "field") == flow.read("110 cfm", "field")
