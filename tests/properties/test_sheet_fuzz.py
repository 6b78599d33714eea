"""Ten thousand damaged files of visits: each is read or refused in sentences, and none is changed.

The mutants come from small files in five forms and from fixed seeds, so that a failure comes again: bytes turned over, cut out
or doubled, fields and lines swapped, separators, quotation marks, formulas and odd characters put in, other encodings. Workbooks
are damaged both as archives and inside their XML. Nothing but a report may come out; a hang ends the run with a traceback.
"""

import faulthandler
import io
import random
import zipfile

import pytest
import sheet_example as example

from hvaclib.visit import Visit
from hvaclib.visit.sheets import read_sheets, stream

INSERTED = (
    b",", b";", b"\t", b"|", b'"', b'""', b"'", b"\n", b"\r", b"\r\n", b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xfe\xff", b"=1+1", b"@", b"#",
    b"[", b"]", b"{", b"}", b"(", b")", b":", b"<", b">", b"&", b"&lt;", b"-", b"--", b"+", b"%", b"\\", b"\\ud800", b"/", b"0", b"9" * 40,
    b"1e999", b"-0", b".", b",,,,,,,,", b"NaN", b"null", b"true", b"yes", b"00/04/2026", b"31/02/2026", b"job", b"item", b"value",
    "°".encode(), "−".encode(), "½".encode(), "٣".encode(), "\u202e".encode(), "\u2028".encode(), "é".encode("cp1252"), "😀".encode(),
    "İ".encode(), "ß".encode(), b"x" * 3000, b"<!ENTITY a 'b'>", b' r="XFD9"', b"</row>", b"</c>", b"<f>1</f>", b'"a":1,', b"[[visit]]\n",
)  # fmt: skip
SEPARATORS = (b",", b"\n", b'"', b" ", b"=", b">")


def flipped(data, rng):
    at = rng.randrange(len(data))
    return data[:at] + bytes([data[at] ^ (1 << rng.randrange(8))]) + data[at + 1 :]


def stretch(data, rng):
    first = rng.randrange(len(data))
    return first, min(len(data), first + rng.choice((1, 2, 5, 20, 100)))


def cut_out(data, rng):
    first, last = stretch(data, rng)
    return data[:first] + data[last:]


def doubled(data, rng):
    first, last = stretch(data, rng)
    return data[:last] + data[first:]


def cut_short(data, rng):
    return data[: rng.randrange(1, len(data) + 1)]


def put_in(data, rng):
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.choice(INSERTED) + data[at:]


def put_over(data, rng):
    first, last = stretch(data, rng)
    return data[:first] + rng.choice(INSERTED) + data[last:]


def swapped(data, rng):
    """Two fields, lines or words change places."""
    separator = rng.choice(SEPARATORS)
    fields = data.split(separator)
    one, other = rng.randrange(len(fields)), rng.randrange(len(fields))
    fields[one], fields[other] = fields[other], fields[one]
    return separator.join(fields)


def field_replaced(data, rng):
    separator = rng.choice(SEPARATORS[:3])
    fields = data.split(separator)
    fields[rng.randrange(len(fields))] = rng.choice(INSERTED)
    return separator.join(fields)


def field_doubled(data, rng):
    separator = rng.choice(SEPARATORS)
    fields = data.split(separator)
    fields.insert(rng.randrange(len(fields)), rng.choice(fields))
    return separator.join(fields)


def encoded(data, rng):
    return data.decode("utf-8", "replace").encode(
        rng.choice(("utf-16", "utf-16-be", "utf-8-sig", "cp1252")), "replace"
    )


CHANGES = (
    flipped, flipped, cut_out, doubled, cut_short, put_in, put_in, put_over, put_over, swapped, swapped, field_doubled, field_replaced, encoded,
)  # fmt: skip


def mutant(data, rng, changes=CHANGES):
    for _ in range(rng.choice((1, 1, 2, 3, 6))):
        if data:
            data = rng.choice(changes)(data, rng)
    return data


def inside(book, rng):
    """A workbook with one of its parts damaged and the archive sound."""
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    likely = [name for name in parts if name.endswith(("sheet1.xml", "sharedStrings.xml", "workbook.xml"))]
    name = rng.choice(likely if rng.random() < 0.85 else sorted(parts))
    parts[name] = mutant(parts[name], rng)
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for each, text in parts.items():
            archive.writestr(each, text)
    return held.getvalue()


def archive_bytes(book, rng):
    return mutant(book, rng, (flipped, flipped, flipped, cut_out, doubled, cut_short, put_over))


LITTLE = {
    "without": ["altitude", "rated", "static", "technician", "heater", "heater fuel", "heater zone", "draft", "draft at"]
}  # fmt: skip
FILES = {
    "wide.csv": (LITTLE, 1_300, mutant),
    "long.csv": ({"base": "long"}, 2_300, mutant),
    "pile.json": ({"form": "json", "visits": 2}, 3_000, mutant),
    "pile.toml": ({"form": "toml", "visits": 2, "under": "visit"}, 2_600, mutant),
    "inside.xlsx": ({**LITTLE, "form": "xlsx"}, 400, inside),
    "archive.xlsx": ({"base": "long", "form": "xlsx"}, 400, archive_bytes),
}


@pytest.fixture(autouse=True)
def _no_hang():
    faulthandler.dump_traceback_later(240, exit=True)
    yield
    faulthandler.cancel_dump_traceback_later()


def test_there_are_ten_thousand():
    assert sum(count for _, count, _ in FILES.values()) == 10_000


@pytest.mark.parametrize("name", FILES)
def test_a_damaged_file_is_read_or_refused_and_kept(tmp_path, name):
    case, count, change = FILES[name]
    base = example.content(case)
    path = tmp_path / name
    whole = part = refused = 0
    for number in range(count):
        content = change(base, random.Random(f"{name} {number}"))
        path.write_bytes(content)
        try:
            found = read_sheets(path)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is the finding
            pytest.fail(f"mutant {number} of {name}: {type(error).__name__}: {error}")
        assert path.read_bytes() == content, number
        said = [sentence for refusal in found.refusals for sentence in refusal.sentences]
        assert all(isinstance(visit, Visit) for visit in found.visits)
        assert found.visits or said, f"mutant {number} of {name}: no visit and not a word"
        for sentence in (*said, *(note.sentence for note in found.notes)):
            assert sentence.startswith(name), (number, sentence)
            assert sentence.endswith("."), (number, sentence)
            assert "\n" not in sentence, (number, sentence)
            assert "Traceback" not in sentence, (number, sentence)
        whole += bool(found.visits) and not said
        part += bool(found.visits) and bool(said)
        refused += not found.visits
        if number % 25 == 0:
            again = list(stream(path))
            assert [each for each in again if isinstance(each, Visit)] == list(found.visits)
            assert [str(each) for each in again if not isinstance(each, Visit)] == [
                str(each) for each in found.refusals
            ]
    assert sorted(tmp_path.iterdir()) == [path]
    assert whole >= 3, (whole, part, refused)
    assert refused > count / 50, (whole, part, refused)
    print(f"\n{name}: {whole} read, {part} in part, {refused} refused")
