"""Dwelling files: what is read, what is refused and in which words, what is written back."""

from __future__ import annotations

import json
import pickle
import re
import tomllib
from pathlib import Path

import jsonschema
import pytest

from hvaclib.errors import FileError, HvacError
from hvaclib.house.dwelling import Dwelling, DwellingFileError, dwelling_schema, vent_notes
from hvaclib.house.dwelling.measured import measured_readings
from hvaclib.house.file import dwelling_text, parse_dwelling, read_dwelling, write_dwelling

HERE = Path(__file__).parent
DEMOS = sorted((HERE.parents[1] / "data" / "demo").glob("*.toml"))
GOOD = (HERE / "good_dwelling.toml").read_text(encoding="utf-8")
BROKEN = tomllib.loads((HERE / "broken_dwellings.toml").read_text(encoding="utf-8"))["broken"]
# exact by definition: the international foot and inch, degrees Fahrenheit (NIST SP 811, appendix B)
FOOT, INCH = 0.3048, 0.0254


@pytest.fixture
def good() -> Dwelling:
    return parse_dwelling(GOOD, "good.toml")


def test_table_of_broken_files_is_long_enough():
    assert len(BROKEN) >= 40
    assert len({row["name"] for row in BROKEN}) == len(BROKEN)


@pytest.mark.parametrize("row", BROKEN, ids=lambda row: row["name"])
def test_broken_file_gets_its_sentence(row, tmp_path):
    assert GOOD.count(row["find"]) >= 1
    path = tmp_path / "house.toml"
    path.write_text(GOOD.replace(row["find"], row["put"], 1), encoding="utf-8")
    with pytest.raises(FileError) as caught:
        read_dwelling(path)
    assert str(caught.value) == row["sentence"]
    assert "\n" not in row["sentence"]
    assert "pydantic" not in row["sentence"]


def test_values_arrive_in_si(good):
    basement = good.zone("basement")
    assert basement.floor == pytest.approx(-7 * FOOT, rel=1e-14)
    assert basement.floor_area == pytest.approx(900 * FOOT**2, rel=1e-14)
    assert basement.temperature == pytest.approx((63 + 459.67) * 5 / 9, rel=1e-14)
    assert good.part("fans", "range hood").flow == pytest.approx(200 * FOOT**3 / 60, rel=1e-14)
    assert good.part("doors", "hall door").crack_area == pytest.approx(10 * INCH**2, rel=1e-14)
    # 40 000 Btu(IT)/h = 11 722.84 W (NIST SP 811)
    assert good.part("appliances", "water heater").input == pytest.approx(11722.84, abs=0.01)
    assert good.weather.wind_speed == pytest.approx(5 * 5280 * FOOT / 3600, rel=1e-14)


def test_all_problems_of_a_file_are_told():
    text = (
        GOOD.replace('"200 cfm"', '"200 Pa"')
        .replace("undercut", "undercutt")
        .replace('vent = "chimney"', 'vent = "c"')
    )
    with pytest.raises(DwellingFileError) as caught:
        parse_dwelling(text, "house.toml")
    told = caught.value.sentences
    assert told[0] == str(caught.value)
    assert any('door "hall door": unknown key' in sentence for sentence in told)
    assert any('fan "range hood": flow: Pa is not a unit' in sentence for sentence in told)
    assert any('"water heater": vent: no vent has this name' in sentence for sentence in told)
    assert pickle.loads(pickle.dumps(caught.value)).sentences == told


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "house.toml: the file is empty; expected format = \"hvaclib dwelling 1\" and so on."),
        (b"  \n\n", "house.toml: the file is empty; expected format = \"hvaclib dwelling 1\" and so on."),
        ("name = \"Überhaus\"".encode("latin-1"), "house.toml: line 1 is not UTF-8 text; expected a text file saved as UTF-8."),
        ("a = 1\nb = 2\nname = \"ü\"".encode("utf-16"), "house.toml: line 1 is not UTF-8 text; expected a text file saved as UTF-8."),
        (b"#" * 1_200_000, "house.toml: the file is too large for a dwelling; found 1.2 MB; expected at most 1 MB."),
    ],
    ids=["empty", "blank", "latin-1", "utf-16", "too large"],
)  # fmt: skip
def test_what_is_no_dwelling_text(content, sentence, tmp_path):
    path = tmp_path / "house.toml"
    path.write_bytes(content)
    with pytest.raises(FileError) as caught:
        read_dwelling(path)
    assert str(caught.value) == sentence
    with pytest.raises(FileError) as caught:
        parse_dwelling(content, "house.toml")
    assert str(caught.value) == sentence


def test_folder_and_missing_file(tmp_path):
    with pytest.raises(FileError, match=r"is a folder; expected a dwelling file"):
        read_dwelling(tmp_path)
    with pytest.raises(FileError, match=r"nowhere\.toml: there is no such file; expected a dwelling file"):
        read_dwelling(tmp_path / "nowhere.toml")


def test_byte_order_mark_and_windows_line_ends_are_read(good):
    assert parse_dwelling(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode()) == good


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_demo_reads_back_equal(path, tmp_path):
    dwelling = read_dwelling(path)
    assert dwelling.invented
    assert "invented" in dwelling.description
    copy = tmp_path / "copy.toml"
    write_dwelling(dwelling, copy)
    assert read_dwelling(copy) == dwelling
    assert hash(read_dwelling(copy)) == hash(dwelling)
    assert [file.name for file in tmp_path.iterdir()] == ["copy.toml"]


def test_there_are_four_demos():
    assert len(DEMOS) == 4


def test_odd_values_read_back_equal(good):
    changed = good.with_fan_flow("range hood", 1 / 17).with_blockage("chimney", 1 / 3)
    changed = changed.changed(name='A "quoted" name \\ with\ttab', description="two\nlines ü")
    assert parse_dwelling(dwelling_text(changed)) == changed


def test_a_write_that_fails_leaves_the_old_file(good, tmp_path, monkeypatch):
    path = tmp_path / "house.toml"
    path.write_text("old", encoding="utf-8")

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(FileError, match=r"cannot be written.*No space left on device"):
        write_dwelling(good, path)
    assert path.read_text(encoding="utf-8") == "old"
    assert [file.name for file in tmp_path.iterdir()] == ["house.toml"]


def test_shipped_schema_is_current_and_accepts_the_demos():
    import hvaclib.house

    shipped = json.loads(
        Path(hvaclib.house.__file__).with_name("dwelling.schema.json").read_text(encoding="utf-8")
    )
    assert shipped == dwelling_schema()
    jsonschema.Draft202012Validator.check_schema(shipped)
    validator = jsonschema.Draft202012Validator(shipped)
    for path in DEMOS:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
        assert list(validator.iter_errors(raw)) == []
        pointer = re.match(r"#:schema (\S+)", path.read_text(encoding="utf-8"))
        assert pointer is not None
        assert (path.parent / pointer[1]).resolve().is_file()
    raw["door"][0]["undercutt"] = "1 in"
    assert [error.validator for error in validator.iter_errors(raw)] == ["additionalProperties"]


def test_a_dwelling_cannot_be_altered(good):
    with pytest.raises(ValueError, match="frozen"):
        good.name = "other"
    with pytest.raises(ValueError, match="frozen"):
        good.doors[0].undercut = 0.1


def test_changes_are_pure_and_checked_like_a_file(good):
    before = dwelling_text(good)
    wider = good.with_door_undercut("hall door", 0.02).with_door_relief("hall door", 0.05)
    assert wider.doors[0].undercut == 0.02
    assert wider.doors[0].crack_area == pytest.approx(10 * INCH**2 + 0.05)
    opened = good.with_opening("combustion air", ("basement", "outdoors"), 0.03, 0.2)
    assert opened.part("openings", "combustion air").area == 0.03
    assert opened.with_opening("combustion air", ("basement", "outdoors"), 0.0, 0.2) == good
    assert good.with_leakage(0.8).leaks[0].flow_at_50 / good.leaks[0].flow_at_50 == pytest.approx(
        0.8 / (1300 * FOOT**3 / 60)
    )
    assert len(good.without("fans", "bath fan").fans) == 1
    assert dwelling_text(good) == before
    with pytest.raises(HvacError, match=r"blockage: out of range; found 1\.5"):
        good.with_blockage("chimney", 1.5)
    with pytest.raises(HvacError, match=r"no door has this name; found 'hal door'; expected 'hall door'"):
        good.with_door_undercut("hal door", 0.01)
    with pytest.raises(HvacError, match="no air can get in or out"):
        good.without("openings", "soffit vents").without("leaks", "ceiling")


def test_fan_curve_follows_the_fan_laws(good):
    # affinity laws of fans: flow as the speed, pressure as its square (standard relation)
    half = good.with_fan_flow("bath fan", 30 * FOOT**3 / 60).part("fans", "bath fan")
    assert half.curve[1][0] == pytest.approx(12.5)
    assert half.curve[1][1] == pytest.approx(20 * FOOT**3 / 60)


def test_notes_tell_what_is_odd_but_allowed(good):
    assert list(vent_notes(good)) == []
    wide = good.with_part("vents", "chimney", diameter=2 * INCH, blockage=0.5)
    notes = list(vent_notes(wide))
    assert len(notes) == 2
    assert "wider than the vent" in notes[0]
    assert notes[1].startswith("50 % of the area")


def test_readings_of_the_file_arrive_as_readings(good):
    reading = measured_readings(good).get("caz_pressure", "basement")
    assert reading is not None
    assert reading.value == -3.1
    assert reading.when == "worst case"
