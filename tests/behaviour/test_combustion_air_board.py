"""The combustion-air board's model and its drawing: methods, routes, louvers, blockers, links, words on the sheet."""

import tomllib

import pytest

from hvaclib.boards.combustion_air import CombustionAirBoard
from hvaclib.boards.draft import DraftBoard
from hvaclib.errors import InputError
from hvaclib.plots.letters import label_box
from hvaclib.units import parse_si
from hvaclib.units.kinds import AREA, LENGTH

FOOT, HOUR, SQUARE_INCH, CUBIC_FOOT = 0.3048, 3600.0, 0.0254**2, 0.3048**3


@pytest.fixture
def board():
    return CombustionAirBoard()


def answered(board):
    assert board.refresh(), board.blockers
    return board.page()


def said(board):
    return " ".join(answered(board).answer)


def test_a_small_room_needs_openings(board):
    # IFGC 304.5.1: 120 kBtu/h x 50 = 6000 ft³; 304.6.1: 120/4 = 30 in² free, metal louvers 75 % (304.10): 40 in²
    page = answered(board)
    assert page.verdict == "unsure"
    assert "the room has 960 ft³, 6,000 ft³ are needed" in page.answer[0]
    assert (
        "two openings of 40 sq in each (30 sq in free) to outdoors, or a fan that brings 42 cfm"
        in page.answer[1]
    )


@pytest.mark.parametrize(
    ("route", "openings", "louver", "face"),
    # IFGC 304.5.3.1, 304.6.1, 304.6.2, 304.10; 120 kBtu/h
    [("direct", "2", "none", 30), ("vertical duct", "2", "metal", 40), ("horizontal duct", "2", "wood", 240),
     ("indoor", "2", "none", 120), ("direct", "1", "none", 40), ("horizontal duct", "1", "known", 66.667)],
)  # fmt: skip
def test_every_way(board, route, openings, louver, face):
    board.route, board.openings, board.louver = route, openings, louver
    answered(board)
    assert board.outputs.opening.area / SQUARE_INCH == pytest.approx(face, rel=1e-4)


def test_the_known_infiltration_of_two_kinds_adds_up(board):
    # IFGC equations 3-1 and 3-2 at 0.5: 15/0.5 x 80 + 21/0.5 x 40 = 2400 + 1680
    board.ach = 0.5 / HOUR
    answered(board)
    assert board.outputs.known / CUBIC_FOOT == pytest.approx(4080)
    assert board.outputs.needed / CUBIC_FOOT == pytest.approx(4080)  # less than the standard method's 6000


def test_a_house_known_to_be_tight_leaves_one_method(board):
    board.length, board.depth, board.ach = 30 * FOOT, 30 * FOOT, 0.25 / HOUR
    assert "the standard method is not allowed" in said(board)
    # 15/0.25 x 80 + 21/0.25 x 40 = 8160 ft³ against 7200
    assert board.outputs.needed / CUBIC_FOOT == pytest.approx(8160)
    assert board.page().verdict == "unsure"
    board.ach = None
    assert answered(board).verdict == "pass"


def test_rooms_beyond_count_only_on_their_way(board):
    board.route = "indoor"
    assert "With the rooms beyond it has 6,960 ft³" in said(board)
    board.beyond_length = 15 * FOOT  # 15 x 25 x 8 ft: 3000 ft³
    page = answered(board)
    assert page.verdict == "fail"
    assert "the air must come from outdoors" in page.answer[1]
    board.route = "direct"
    assert board.outputs is not None
    assert answered(board).verdict == "unsure"


def test_a_sealed_appliance_takes_no_air_from_the_room(board):
    board.furnace_kind = "direct vent"
    answered(board)
    assert board.outputs.needed / CUBIC_FOOT == pytest.approx(2000)
    board.heater_kind = "none"
    page = answered(board)
    assert "no opening is needed" in page.answer[0]
    assert len(page.tables) == 1


def tried(board):
    """The last result of the slow work."""
    answered(board)
    return [part for part in board.compute_later(board.inputs(), board.outputs) if part is not None]


def test_the_opening_is_tried_in_a_dwelling(board):
    """An opening to outdoors can only ease the worst pull of the fans (mass balance: one more way in)."""
    (check,) = tried(board)
    before, after = check.before, check.after
    assert after.pressure.min() > before.pressure.min()
    assert after.spillage[after.worst] <= before.spillage[before.worst]
    board.later = check
    last = board.page().answer[-1]
    assert "without this opening" in last
    assert "with it" in last
    board.furnace_rate = 40e3 * 0.293  # a smaller opening eases it less
    (smaller,) = tried(board)
    assert before.pressure.min() < smaller.after.pressure.min() < after.pressure.min()


@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize("openings", ["2", "1"])
def test_the_link_opens_the_draft_board_with_this_opening(board, openings, system):
    """What is tried here and what the draft board then shows are one dwelling: same worst draft, same pressures."""
    board.openings, board.system = openings, system
    (check,) = tried(board)
    (onward,) = board.page().links
    place, _, query = onward.address.partition("?")
    assert place == "draft.ipynb"
    draft = DraftBoard()
    assert draft.from_link(query) == []
    assert draft.refresh(), draft.blockers
    assert (draft.house, draft.system) == (board.house, system)
    made = draft.outputs.situation.dwelling
    areas = [item.area for item in made.openings if item.name.startswith("combustion air")]
    assert areas == pytest.approx([board.outputs.opening.free_area] * int(openings), rel=1e-9)
    later = [part for part in draft.compute_later(draft.inputs(), draft.outputs) if part is not None]
    rank = later[0].rank
    assert float(rank.draft[rank.worst]) == pytest.approx(
        float(check.after.draft[check.after.worst]), abs=1e-6
    )
    assert any("which the dwelling's file does not have" in text for text in draft.page().answer)


def test_no_link_where_no_opening_to_outdoors_is_needed(board):
    board.route = "indoor"
    assert answered(board).links == []
    board.route, board.length, board.depth = "direct", 30 * FOOT, 30 * FOOT
    assert answered(board).links == []


def test_nothing_is_tried_on_a_way_indoors_or_in_no_dwelling(board):
    board.route = "indoor"
    assert tried(board) == []
    board.route, board.house = "direct", ""
    assert tried(board) == []


def test_one_opening_to_other_rooms_is_blocked(board):
    answered(board)
    board.route, board.openings = "indoor", "1"
    assert not board.refresh()
    assert board.blockers == [
        "One opening to other rooms is not enough: air must come in low and go out high. Choose two openings, or a way "
        "to outdoors."
    ]


def test_a_single_opening_is_no_smaller_than_the_connectors(board):
    # NFPA 54 9.3.3.2: connectors of 10 in and 10 in, 157 in²; by input 40 in²
    board.openings, board.louver = "1", "none"
    board.furnace_connector = board.heater_connector = 10 * 0.0254
    answered(board)
    assert board.outputs.opening.area / SQUARE_INCH == pytest.approx(157.08, rel=1e-4)


def test_the_lines_for_a_dwelling_file_are_valid(board):
    page = answered(board)
    text = "\n".join(row["line"] for row in page.tables[2].rows)
    high, low = tomllib.loads(text)["opening"]
    for opening in (high, low):
        assert parse_si(opening["area"], AREA) == pytest.approx(30 * SQUARE_INCH)
        assert opening["purpose"] == "combustion air"
    # IFGC 304.6.1: one within 12 in of the ceiling, the other within 12 in of the floor, of the 8 ft basement in the note
    assert parse_si(high["height"], LENGTH) > parse_si("0 ft", LENGTH)
    assert parse_si(low["height"], LENGTH) <= parse_si("-6 ft", LENGTH)
    board.openings = "1"
    text = "\n".join(row["line"] for row in answered(board).tables[2].rows)
    assert len(tomllib.loads(text)["opening"]) == 1


def test_a_dwelling_takes_the_opening():
    """The lines' keys are those of the dwelling file: a demo dwelling with the opening added is read without a word."""
    from hvaclib.house.demo import demo_dwellings
    from hvaclib.house.file import dwelling_text, parse_dwelling, read_dwelling

    board = CombustionAirBoard()
    lines = "\n".join(row["line"] for row in answered(board).tables[2].rows)
    dwelling = read_dwelling(demo_dwellings()["passes"])
    zone = next(item.zone for item in dwelling.appliances if item.vented)
    text = dwelling_text(dwelling) + "\n" + lines.replace("basement", zone)
    again = parse_dwelling(text, "demo with an opening")
    assert len(again.openings) == len(dwelling.openings) + 2


@pytest.mark.parametrize(
    ("name", "value"),
    [("length", 0.0), ("height", 99.0), ("ach", -1.0), ("ach", float("nan")), ("furnace_rate", 1e9), ("louver", "paper"),
     ("louver_share", 0.0), ("route", "chimney"), ("openings", "3"), ("heater_kind", "magic")],
)  # fmt: skip
def test_an_input_out_of_range_is_refused(board, name, value):
    with pytest.raises(InputError):
        setattr(board, name, value)


def test_a_link_reproduces_the_view(board):
    board.route, board.louver, board.ach, board.length = "horizontal duct", "wood", 0.3 / HOUR, 6.0
    board.beyond_length, board.system = 7.5, "si"
    again = CombustionAirBoard()
    assert again.from_link(board.to_link()) == []
    assert answered(again).answer == answered(board).answer


@pytest.mark.parametrize("phone", [False, True])
@pytest.mark.parametrize("system", ["field", "si"])
@pytest.mark.parametrize(
    "values",
    [{}, {"route": "vertical duct"}, {"route": "horizontal duct", "louver": "wood"}, {"route": "indoor"},
     {"openings": "1"}, {"length": 18.0, "depth": 18.0}, {"furnace_kind": "direct vent"},
     {"furnace_kind": "none", "heater_kind": "none"}, {"length": 1.0, "height": 4.2}],
)  # fmt: skip
def test_every_drawing_says_what_it_shows_and_keeps_its_words_on_the_sheet(board, values, phone, system):
    board.large_type, board.system = phone, system
    for name, value in values.items():
        setattr(board, name, value)
    picture = answered(board).pictures[0].picture
    assert "A room in section" in picture.words
    assert ("ft³" if system == "field" else "m³") in picture.words
    for label in picture.marks.labels:
        left, bottom, right, top = label_box(label)
        assert -1 <= left < right <= picture.sheet.width + 1, label.text
        assert -1 <= bottom < top <= picture.sheet.height + 1, label.text
    for line in picture.marks.strokes:
        assert all(-20 <= x <= picture.sheet.width + 20 for x, _ in line.points)
