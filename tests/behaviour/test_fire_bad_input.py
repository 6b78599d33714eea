"""What cannot be, from the meter to the flue: one mistake a case, and the sentence that a person reads at each door.

The tables hold the sentences word for word: a sentence is what the suite gives to somebody who has mistyped a reading.
"""

import importlib
import json
import pathlib
import tomllib
from urllib.parse import quote, urlencode

import pytest

from hvaclib.cli import main
from hvaclib.errors import HvacError

TABLES = sorted(pathlib.Path(__file__).parent.glob("fire_bad_input_*.toml"))
CASES = [case for path in TABLES for case in tomllib.loads(path.read_text(encoding="utf-8"))["case"]]
DOORS = ("python", "command", "board")
ROWS = [(case["name"], door, case[door]) for case in CASES for door in DOORS if door in case]


def test_the_tables_are_long_enough():
    assert len({case["name"] for case in CASES}) == len(CASES)
    assert len(CASES) >= 40 * (len(TABLES) > 1) + 25 * (len(TABLES) == 1)
    assert {door for _, door, _ in ROWS} == set(DOORS)
    assert all(set(case) - {"name"} and set(case) <= {"name", *DOORS} for case in CASES)


@pytest.mark.parametrize(("name", "door", "row"), ROWS, ids=[f"{name} ({door})" for name, door, _ in ROWS])
def test_what_cannot_be_gets_its_sentence(name, door, row, capsys):
    sentence = {"python": in_python, "command": at_the_command, "board": on_the_board}[door](row, capsys)
    assert sentence == row["says"], name
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert not any(word in sentence for word in ("Error", "Traceback", "None", "nan", "pydantic", "0x"))


def in_python(row, capsys):
    """A calculation with its arguments: ``call`` below hvaclib.physics, ``with`` as a script would write them."""
    module, _, name = row["call"].rpartition(".")
    calculate = getattr(importlib.import_module(f"hvaclib.physics.{module}"), name)
    with pytest.raises(HvacError) as caught:
        calculate(**row["with"])
    return str(caught.value)


def at_the_command(row, capsys):
    """Arguments of ``python -m hvaclib``: refused with status 2, one line on standard error and nothing else.

    With a ``verdict`` the command does answer (status 1), and the sentence stands in its answer.
    """
    if "verdict" in row:
        assert main([*row["argv"], "--json"]) == 1
        found = json.loads(capsys.readouterr().out)
        assert found["verdict"] == row["verdict"]
        return sentence_in(found["answer"], row["says"])
    assert main(row["argv"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return told.err.removesuffix("\n")


def on_the_board(row, capsys):
    """Inputs of a board by a link: refused as they are set, or blocked, or answered with a verdict that is no pass."""
    module, _, name = row["of"].rpartition(".")
    model = getattr(importlib.import_module(f"hvaclib.boards.{module}"), name)()
    refused = model.from_link(urlencode(row["set"], quote_via=quote))
    if refused:
        return refused[0]
    if not model.refresh():
        return model.blockers[0]
    page = model.page()
    assert row["verdict"] == page.verdict
    assert page.verdict != "pass"
    return sentence_in(page.answer, row["says"])


def sentence_in(answer, sentence):
    """The sentence if it stands in an answer; else all that was said, for the message of the failed test."""
    return sentence if sentence in answer else " | ".join(answer)
