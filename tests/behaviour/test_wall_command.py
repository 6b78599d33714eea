"""``wall``: files and settings, pairs too close, the share allowed, the nearest place; refusals of file and call."""

import json

import pytest

from hvaclib.cli import main
from hvaclib.errors import FileError
from hvaclib.house import wall_file

FOOT, INCH = 0.3048, 0.0254
WALL = """\
format = "hvaclib wall 1"
name = "north wall of an invented house"
width = "30 ft"
height = "9.5 ft"

[[item]]
name = "window"
kind = "window"
left = "5.5 ft"
bottom = "3 ft"
width = "3 ft"
height = "4 ft"

[[item]]
name = "dryer"
kind = "dryer terminal"
left = "2 ft"
bottom = "1.5 ft"
width = "6 in"
height = "6 in"

[new]
kind = "mechanical draft"
size = "4 in"
input = "80 kBtu/h"
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(WALL, encoding="utf-8")
    return str(path)


def asked(capsys, *arguments):
    """Exit status and the JSON object."""
    status = main(["wall", *arguments, "--json"])
    captured = capsys.readouterr()
    assert captured.err == ""
    return status, json.loads(captured.out)


def test_a_terminal_too_close_and_the_nearest_place(capsys, file):
    # IFGC 503.8 item 2: 4 ft beside an opening. The terminal's right edge ends 4 in from the window's right edge at 8.5 ft
    status, found = asked(capsys, file, "--at", "9 ft, 3.5 ft")
    (lack,) = found["numbers"]["too_close"]
    assert (status, found["verdict"]) == (1, "fail")
    assert (lack["terminal"], lack["neighbour"], lack["direction"]) == ("new terminal", "window", "beside")
    assert lack["needed_m"] == pytest.approx(48 * INCH)
    assert lack["present_m"] == pytest.approx(4 * INCH)
    assert "IFGC (2018) 503.8, item 2" in found["tables"]["Clearances that are broken"][0]["source"]
    # nearest by hand: straight to the side, 8.5 ft + 48 in + half of 4 in; the map has a place every 4 cm
    along, up = found["numbers"]["nearest_allowed_m"]
    assert 0.0 <= along - (8.5 * FOOT + 50 * INCH) < 0.04
    assert up == pytest.approx(3.5 * FOOT, abs=0.02)
    status, there = asked(capsys, file, "--at", f"{along} m, {up} m")
    assert (status, there["verdict"], there["numbers"]["too_close"]) == (0, "pass", [])
    assert there["numbers"]["allowed_here"] is True
    assert there["numbers"]["nearest_allowed_m"] == there["numbers"]["at_m"]


def test_the_share_allowed_of_a_bare_wall_by_hand(capsys, tmp_path):
    # IFGC 503.8 item 3 in the US column: 12 in above grade; a terminal of 4 in lies in a wall of 10 ft × 8 ft with its
    # centre 2 in within the sides and the top, and at least 14 in above grade: (116 × 80) / (120 × 96) of it
    path = tmp_path / "bare.toml"
    head = 'format = "hvaclib wall 1"\nwidth = "10 ft"\nheight = "8 ft"\n'
    path.write_text(
        head + '[new]\nkind = "mechanical draft"\nsize = "4 in"\ninput = "80 kBtu/h"\n', encoding="utf-8"
    )
    status, found = asked(capsys, str(path))
    assert status == 0
    assert found["numbers"]["share_allowed"] == pytest.approx(
        116 * 80 / (120 * 96), abs=0.012
    )  # half a step of the map at each of the four edges


def test_other_settings_beside_a_file(capsys, file):
    broken = asked(capsys, file, "--at", "10 ft, 3.5 ft")
    assert broken[0] == 1
    # a direct vent above 50 kBtu/h keeps 12 in from an opening (IFGC 503.8 item 4): 16 in are there
    assert asked(capsys, file, "--at", "10 ft, 3.5 ft", "kind=direct vent")[0] == 0
    # CSA B149.1: 12 in from an opening up to 100 kBtu/h, 36 in above that
    assert asked(capsys, file, "column=Canada", "--at", "10 ft, 3.5 ft")[0] == 0
    larger = asked(capsys, file, "column=Canada", "--at", "10 ft, 3.5 ft", "input_rate=120 kBtu/h")[1]
    (lack,) = larger["numbers"]["too_close"]
    assert (lack["column"], lack["needed_m"]) == ("Canada", pytest.approx(36 * INCH))


def test_a_terminal_over_a_window_that_does_not_open_covers_it(capsys, tmp_path):
    path = tmp_path / "fixed.toml"
    path.write_text(WALL.replace('kind = "window"', 'kind = "fixed window"'), encoding="utf-8")
    status, found = asked(capsys, str(path), "--at", "7 ft, 4 ft")
    assert (status, found["numbers"]["too_close"]) == (1, [])
    assert found["answer"][0] == "No: here the new terminal covers the window."
    assert found["numbers"]["allowed_here"] is False
    assert found["numbers"]["covers"] == ["window"]


def test_things_in_the_wall_too_close_to_each_other(capsys, tmp_path):
    # IRC M1502.3: a dryer's terminal 3 ft from openings; 12 in are left
    path = tmp_path / "close.toml"
    text = WALL.partition("[new]")[0].replace(
        'left = "2 ft"\nbottom = "1.5 ft"', 'left = "9.5 ft"\nbottom = "4 ft"'
    )
    path.write_text(text, encoding="utf-8")
    status, found = asked(capsys, str(path))
    (lack,) = found["numbers"]["too_close"]
    assert status == 1
    assert (lack["needed_m"], lack["present_m"]) == (pytest.approx(36 * INCH), pytest.approx(12 * INCH))
    assert found["numbers"]["share_allowed"] is None


def test_the_boards_wall_with_settings(capsys):
    status, found = asked(capsys)
    assert status == 1
    assert [item["neighbour"] for item in found["numbers"]["too_close"]] == ["window"]
    assert found["taken_as_on_the_board"]["things"] == "window, forced inlet, dryer, gas meter"
    assert asked(capsys, "--at", "13 ft, 3.5 ft")[0] == 0
    assert asked(capsys, "things.window=off")[0] == 0
    assert main(["wall", "--si"]) == 1
    # the terminal's left edge is 2 in before 11.5 ft, the window's right edge at 8.5 ft: 34 in, 864 mm; 48 in are 1219 mm
    assert "864 mm beside the window, 1,219 mm needed" in capsys.readouterr().out


def test_tables_and_files(capsys, file, tmp_path):
    path = tmp_path / "answer.txt"
    assert main(["wall", file, "--at", "9 ft, 3.5 ft", "--out", str(path)]) == 1
    assert capsys.readouterr().out == ""
    text = path.read_text(encoding="utf-8")
    assert (
        "Nearest place allowed: about 3.71 ft to the right, its centre 12.71 ft along the wall and 3.51 ft above grade."
        in text
    )
    assert "Caution: A terminal too close to an opening" in text


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("hvaclib wall 1", "hvaclib wall 7", "wall.toml, format: this is not a wall file; found 'hvaclib wall 7'"),
        ('width = "30 ft"', "width = 30", "wall.toml, width: this is not text; found 30; expected text in quotes."),
        ('width = "30 ft"', 'width = "-3 ft"', "wall.toml, width: this size cannot be; found '-3 ft'"),
        ('width = "30 ft"\n', "", "wall.toml: the key 'width' is missing"),
        ('height = "9.5 ft"', 'heigth = "9 ft"', "there is no such key; found 'heigth'; expected 'height'."),
        ('kind = "window"', 'kind = "windw"', "item \"window\", kind: there is no such choice; found 'windw'; expected 'window'."),
        ('left = "5.5 ft"', 'left = "5.5 psi"', 'item "window", left: '),
        ('left = "5.5 ft"', 'left = "29 ft"', "wall.toml, window: this does not lie in the wall"),
        ('left = "2 ft"\nbottom = "1.5 ft"', 'left = "6 ft"\nbottom = "4 ft"', "item \"dryer\": it covers 'window'"),
        ('name = "dryer"', 'name = "window"', "two things have one name; found 'window'."),
        ('name = "dryer"', 'name = "new terminal"', "this name is kept for the terminal in [new]"),
        ('input = "80 kBtu/h"', "", "[new]: the key 'input' is missing"),
        ('input = "80 kBtu/h"', 'input = "0 kBtu/h"', "[new], input: an input is above zero"),
        ('[new]\nkind = "mech', '[new]\nkind = "tech', "[new], kind: there is no such choice"),
        ("[new]", 'walkway = 3\n[new]', 'item "dryer": there is no such key; found \'walkway\''),
        ("[[item]]", 'walkway = ["9 ft", "2 ft"]\n[[item]]', "walkway: the walkway does not lie along the wall"),
        ("[[item]]", 'column = "Peru"\n[[item]]', "column: there is no such choice; found 'Peru'"),
        ("[new]", "[new", "wall.toml: this cannot be read: "),
        ("[[item]]", 'walkway = ["9 ft", "9 ft"]\n[[item]]', "walkway: the walkway does not lie along the wall"),
        ("[[item]]", 'walkway = ["9 ft", "31 ft"]\n[[item]]', "walkway: the walkway does not lie along the wall"),
        ("[[item]]", 'walkway = ["-1 ft", "9 ft"]\n[[item]]', "walkway: the walkway does not lie along the wall"),
        ('height = "9.5 ft"', 'height = "0 ft"', "wall.toml, height: this size cannot be; found '0 ft'"),
        ('width = "30 ft"', 'width = "121 ft"', "width: this size cannot be; found '121 ft'; expected more than 0 and at most 120 ft."),
        ('height = "9.5 ft"', 'height = "41 ft"', "height: this size cannot be; found '41 ft'; expected more than 0 and at most 40 ft."),
        ('size = "4 in"', 'size = "37 in"', "[new], size: this size cannot be; found '37 in'"),
        ('kind = "dryer terminal"', 'kind = "direct vent"', "item \"dryer\": the key 'input' is missing"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_one_sentence(old, new, said):
    assert old in WALL
    with pytest.raises(FileError) as refused:
        wall_file.parse_wall(WALL.replace(old, new, 1), "wall.toml")
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("value", ["3", "true", "[1]", "{a = 1}", '""', '"x"', "[]", "2020-01-01", "nan"])
@pytest.mark.parametrize("key", ["format", "name", "width", "item", "new", "walkway", "column"])
def test_a_value_of_a_wrong_type_is_refused(key, value):
    if (key, value) in {("name", '"x"'), ("item", "[]")}:
        pytest.skip("this one is right")
    data = {"format": '"hvaclib wall 1"', "name": '"a"', "width": '"30 ft"', "height": '"9 ft"', key: value}
    with pytest.raises(FileError) as refused:
        wall_file.parse_wall("\n".join(f"{name} = {text}" for name, text in data.items()))
    assert str(refused.value).endswith(".")
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["nowhere.toml"], "nowhere.toml: the file cannot be read (no such file); expected a wall file (.toml)."),
        (["a.toml", "b.toml"], "wall: one wall at a time; found 'a.toml, b.toml'; expected one file."),
        (["FILE", "--at", "9 ft"], "--at: a place has two lengths; found '9 ft'; expected such as '11.5 ft, 3.5 ft'."),
        (["FILE", "--at", "9 ft, 3"], "--at: a number without its unit; found '9 ft, 3'"),
        (["FILE", "--at", "40 ft, 3 ft"], "new terminal: this does not lie in the wall"),
        (["FILE", "sill=3 ft"], "wall: there is no such setting; found 'sill'; expected one of: column, kind, size"),
        (["FILE", "column=Peru"], "column: there is no such choice; found 'Peru'; expected one of: US, Canada."),
        (["FILE", "size=9 ft"], "[new], size: this size cannot be; found '9 ft'"),
        (["up=3 ft", "--at", "9 ft, 3 ft"], "wall: --at and up are both given; expected one or the other."),
        (["--at", "90 ft, 3 ft"], "wall: New terminal, along the wall: this value is outside what the board covers"),
        (["things.window=maybe"], "things.window: a switch is on or off; found 'maybe'"),
        (["things.chimney=on"], "there is no such switch; found 'chimney'"),
        (["things=on"], "found 'things'"),
        (["scene=moon"], "Wall: there is no such choice; found 'moon'"),
        (["forced_along=7 ft"], "wall: The forced inlet covers the window: move one of them."),
    ],
)  # fmt: skip
def test_a_wrong_call_is_one_sentence(capsys, file, arguments, said):
    assert main(["wall", *(file if item == "FILE" else item for item in arguments)]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert captured.err.count("\n") == 1


def test_the_ends_of_what_a_file_may_hold(tmp_path):
    head = 'format = "hvaclib wall 1"\nname = "a"\nwidth = "120 ft"\nheight = "40 ft"\n'
    item = '[[item]]\nname = "{0}"\nkind = "fixed window"\nleft = "{0} ft"\nbottom = "1 ft"\nwidth = "6 in"\nheight = "1 ft"\n'
    rows = [item.format(number) for number in range(101)]
    plan = wall_file.parse_wall(head + 'walkway = ["0 ft", "120 ft"]\n' + "".join(rows[:100]))
    assert len(plan.wall.items) == 100
    assert plan.wall.walkway == (0.0, pytest.approx(120 * FOOT))
    with pytest.raises(FileError, match="at most 100"):
        wall_file.parse_wall(head + "".join(rows))
    path = tmp_path / "marked.toml"
    path.write_bytes(b"\xef\xbb\xbf" + WALL.encode("utf-8"))  # as some editors save UTF-8
    assert wall_file.read_wall(path).name == "north wall of an invented house"
    path.write_bytes(WALL.encode("utf-8") + b"#" * (200_001 - len(WALL)))
    with pytest.raises(FileError, match="too large for a wall"):
        wall_file.read_wall(path)
    path.write_bytes(WALL.encode("utf-16"))
    with pytest.raises(FileError, match="not UTF-8 text"):
        wall_file.read_wall(path)


def test_a_file_without_a_new_terminal_has_none_to_place(capsys, tmp_path):
    path = tmp_path / "wall.toml"
    path.write_text(WALL.partition("[new]")[0], encoding="utf-8")
    assert main(["wall", str(path), "--at", "9 ft, 3 ft"]) == 2
    assert "--at: the file has no new terminal to place" in capsys.readouterr().err
    assert main(["wall", str(tmp_path)]) == 2
    assert "the file cannot be read" in capsys.readouterr().err
