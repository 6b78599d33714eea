"""The draft board's model: stories of the demo dwellings, blockers, files, links and slow work, without a browser."""

import pathlib
from dataclasses import replace
from urllib.parse import parse_qsl, urlsplit

import pytest

from hvaclib.boards.draft import DraftBoard
from hvaclib.boards.draft.situation import baseline, largest_exhaust, situation
from hvaclib.boards.draft.words import verdict
from hvaclib.boards.start import READERS, door_html
from hvaclib.errors import FileError
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import dwelling_text, read_dwelling

ROOT = pathlib.Path(__file__).parents[2]


@pytest.fixture
def board():
    return DraftBoard()


def answered(board):
    assert board.refresh(), board.blockers
    return board.page()


def finished(board):
    """The page with all slow work done, and how many pauses the work made."""
    answered(board)
    pauses = 0
    for part in board.compute_later(board.inputs(), board.outputs):
        if part is None:
            pauses += 1
        else:
            board.later = part
    return board.page(), pauses


def titles(page):
    return [table.title for table in page.tables]


def test_only_the_shut_door_with_the_air_handler_turns_the_vent_around(board):
    board.house = "closed_door_fails"
    assert answered(board).verdict == "pass"
    board.fans = {"air handler": True}
    assert answered(board).verdict == "pass"
    board.doors = {"basement door shut": True}
    page = answered(board)
    assert page.verdict == "fail"
    assert page.answer[0].startswith("No: the vent of the water heater runs backwards")
    assert "shut the appliance down, call" in page.cautions[0]  # the rest may be folded
    assert page.cautions[1].startswith("A vent that does not draw")
    board.fans = {"air handler": False}
    assert answered(board).verdict == "pass"
    board.fans = {"air handler": True}
    board.start = "warm"
    page = answered(board)
    assert page.answer[0].startswith("Yes: the water heater draws"), (
        "a vent that has just run holds its draft"
    )
    assert page.verdict == "unsure", "but the zone lies too low: look again"


def test_a_blocked_vent_fails_with_every_fan_off_and_no_remedy_helps(board):
    board.house = "blocked_vent"
    page = answered(board)
    assert page.verdict == "fail"
    assert "spills" in page.answer[0]
    board.size_remedies = True
    page, _ = finished(board)
    rows = next(table.rows for table in page.tables if table.title.startswith("What would bring"))
    assert "look into the vent itself" in rows[-1]["remedy"]
    board.blocked = 0.0
    assert answered(board).verdict == "pass", "with the nest taken out it draws"


def test_every_combination_of_the_sound_house_draws_and_the_ranking_says_so(board):
    board.house = "passes"
    page, pauses = finished(board)
    caption = next(shown.caption for shown in page.pictures if "combinations" in shown.title)
    assert "1,024" in caption or "1024" in caption
    assert "0 of" in caption or "none" in caption.lower()
    assert pauses >= 8, "the slow work must let controls be heard"
    assert "The worst-case test, step by step, in this weather" in titles(page)


def test_what_if_a_bigger_hood(board):
    board.house = "passes"
    board.fans = {"range hood": True}
    drafts = []
    for flow in (0.05, 0.2, 0.5):
        board.exhaust = flow
        answered(board)
        drafts.append(next(r.value for r in board.outputs.readings if r.quantity == "draft"))
    assert drafts[0] < drafts[1] < drafts[2], "more exhaust, weaker draft"


def test_no_burner_says_so_and_keeps_the_pressures(board):
    board.burners = dict.fromkeys(board.burners, False)
    page = answered(board)
    assert page.answer[0].startswith("Nothing burns")
    assert page.verdict == ""
    assert len(page.pictures) == 1


def test_solid_fuel_is_refused_with_the_reason(board):
    text = demo_dwellings()["passes"].read_text(encoding="utf-8") + (
        '\n[[appliance]]\nname = "wood stove"\nkind = "solid-fuel stove"\nzone = "first floor"\n'
        'fuel = "wood"\ninput = "30 kBtu/h"\n'
    )
    assert "Loaded" in board.receive("dwelling", "stove.toml", text.encode())
    assert answered(board).verdict == "pass"
    board.burners = {**board.burners, "wood stove": True}
    assert not board.refresh()
    assert board.blockers[0].startswith("No worst-case test while the wood stove burns solid fuel")


def test_a_house_without_a_vent_has_no_draft_to_judge(board):
    dwelling = read_dwelling(demo_dwellings()["passes"])
    bare = dwelling.changed(
        vents=(), appliances=tuple(item for item in dwelling.appliances if item.sealed), readings=()
    )
    board.receive("dwelling", "bare.toml", dwelling_text(bare).encode())
    assert not board.refresh()
    assert "no draft-hood or fan-assisted appliance" in board.blockers[0]


def test_the_loaded_file_is_asked_for_before_it_is_there(board):
    board.house = "loaded"
    assert not board.refresh()
    assert board.blockers == ["No dwelling file is loaded yet: load one, or choose a demo dwelling."]


@pytest.mark.parametrize(
    ("content", "part"),
    [
        (b"", "empty"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"format = ", "line 1"),
        (b'format = "hvaclib dwelling 1"\nname = "x"\n', "weather"),
    ],
)
def test_a_wrong_file_gets_a_sentence_and_the_dwelling_stays(board, content, part):
    before = board.dwelling
    with pytest.raises(FileError) as refused:
        board.receive("dwelling", "wrong.toml", content)
    assert part in str(refused.value)
    assert "wrong.toml" in str(refused.value)
    assert board.dwelling is before


def test_settings_bring_a_loaded_dwelling_back():
    first = DraftBoard()
    first.receive("dwelling", "mine.toml", demo_dwellings()["blocked_vent"].read_bytes())
    first.fans = {"dryer": True}
    first.outdoor = 290.0
    second = DraftBoard()
    assert second.from_settings(first.to_settings()) == []
    assert second.dwelling == first.dwelling
    assert second.fans == first.fans
    assert second.outdoor == pytest.approx(290.0)


def test_a_link_reproduces_the_view():
    first = DraftBoard()
    first.house = "passes"
    first.fans = {"range hood": True, "air handler": True}
    first.doors = {"side bedroom door shut": True, "kitchen window open": True}
    first.burners = {"furnace": True}
    first.exhaust, first.wind, first.start, first.system = 0.2, 3.0, "warm", "si"
    second = DraftBoard()
    assert second.from_link(first.to_link()) == []
    assert second.inputs() == first.inputs()
    assert answered(second).answer == answered(first).answer


def test_the_dwelling_of_the_server_is_opened(monkeypatch):
    monkeypatch.setenv("HVACLIB_DWELLING", str(demo_dwellings()["blocked_vent"]))
    assert DraftBoard().dwelling.name == read_dwelling(demo_dwellings()["blocked_vent"]).name


def test_si_changes_what_is_shown_and_nothing_else(board):
    field = answered(board)
    board.system = "si"
    metric = answered(board)
    shown = {row["reading"]: row["value"] for row in metric.tables[0].rows}
    assert shown["Outdoor temperature"].endswith("°C")
    before = {row["reading"]: row["value"] for row in field.tables[0].rows}
    assert before["Outdoor temperature"].endswith("°F")
    assert field.verdict == metric.verdict


def test_controls_mean_what_they_say(board):
    board.house = "closed_door_fails"
    board.doors = {"basement door shut": True, "basement window open": True}
    here = situation(board.dwelling, board.inputs())
    assert here.setup.doors["basement door"] is False
    assert here.setup.windows["basement window"] is True
    still = baseline(here)
    assert still.doors["basement door"] is True
    assert still.windows["basement window"] is False
    assert not any(still.firing.values())
    assert largest_exhaust(board.dwelling)[0] == "range hood"


def two_vents(kind="draft-hood furnace"):
    """The door demo with its furnace moved to a sound vent of its own, upstairs; the water heater's is half blocked."""
    dwelling = read_dwelling(demo_dwellings()["closed_door_fails"])
    common = dwelling.vents[0]
    own = common.model_copy(update={"name": "furnace vent", "blockage": 0.0})
    moved = [
        item.model_copy(update={"vent": own.name, "zone": "living area", "kind": kind})
        if item.name == "furnace"
        else item
        for item in dwelling.appliances
    ]
    return dwelling.changed(vents=(common.model_copy(update={"blockage": 0.5}), own), appliances=tuple(moved))


def test_a_vent_keeps_what_its_file_says_until_the_control_moves(board):
    assert board.receive("dwelling", "two.toml", dwelling_text(two_vents()).encode()).startswith("Loaded")
    assert board.blocked == pytest.approx(0.5)
    here = situation(board.dwelling, board.inputs())
    assert [vent.blockage for vent in here.dwelling.vents] == pytest.approx([0.5, 0.0])
    board.blocked = 0.25
    here = situation(board.dwelling, board.inputs())
    assert [vent.blockage for vent in here.dwelling.vents] == pytest.approx([0.25, 0.25])


def test_flue_gas_is_said_to_enter_the_zone_of_its_own_appliance(board):
    board.receive("dwelling", "two.toml", dwelling_text(two_vents()).encode())
    board.burners = {"water heater": True, "furnace": True}
    board.blocked = 0.98
    said = answered(board).answer
    assert any("the water heater spills" in text and "into the basement" in text for text in said)
    assert any("the furnace spills" in text and "into the living area" in text for text in said)


def test_a_fan_that_must_push_is_not_said_to_draw(board):
    board.receive("dwelling", "two.toml", dwelling_text(two_vents("fan-assisted furnace")).encode())
    board.burners = {"water heater": False, "furnace": True}
    board.blocked = 0.9
    page = answered(board)
    assert page.verdict == "fail"
    assert page.answer[0].startswith("No: the fan of the furnace has to push")
    board.blocked = 0.0
    assert answered(board).answer[0].startswith("Yes: the furnace draws")


@pytest.mark.parametrize(
    "question", [q for reader in READERS for q in reader.questions], ids=lambda q: q.words
)
def test_every_question_at_the_door_leads_somewhere(question):
    link = urlsplit(question.link)
    assert (ROOT / "notebooks" / link.path).is_file()
    assert question.link.split("?")[0] in door_html()
    if link.path == "classroom/draft.ipynb":
        board = DraftBoard()
        assert board.from_link(link.query) == []
        assert len(parse_qsl(link.query)) >= 1
        answered(board)


def test_the_stage_follows_fans_and_air_handler(board):
    board.house = "passes"
    for fans, stage in (
        ({}, "natural"),
        ({"bath fan": True}, "worst case"),
        ({"air handler": True}, "worst case"),
    ):
        board.fans = fans
        rows = answered(board).tables[0].rows
        assert next(row["when"] for row in rows if row["reading"] == "Draft at the test hole") == stage


def test_flue_gas_at_an_idle_hood_is_a_failure_whatever_the_readings_say(board):
    board.house = "passes"
    assert answered(board).verdict == "pass"
    assert verdict(replace(board.outputs, idle_hoods=("boiler",))) == "fail"
