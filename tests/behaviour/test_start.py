"""The door: every question leads to a notebook, and its link is understood by the board that the notebook opens."""

import ast
import importlib
import json
import pathlib
from urllib.parse import unquote, urlsplit

import pytest

from hvaclib.boards.start import READERS, door_html

NOTEBOOKS = pathlib.Path(__file__).parents[2] / "notebooks"
QUESTIONS = [question for reader in READERS for question in reader.questions]


def board_of(path):
    """The model that a notebook opens with ``open_board``; None where it opens none."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = ast.parse("\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"))
    modules = {
        name.name: node.module
        for node in ast.walk(code)
        if isinstance(node, ast.ImportFrom)
        for name in node.names
    }
    for node in ast.walk(code):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "open_board":
            name = node.args[0].func.id
            return getattr(importlib.import_module(modules[name]), name)()
    return None


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.words)
def test_every_question_leads_to_an_answer(question):
    link = urlsplit(question.link)
    path = NOTEBOOKS / unquote(link.path)
    assert path.is_file()
    board = board_of(path)
    if board is None:
        assert not link.query
        return
    assert board.from_link(link.query) == []
    assert board.refresh(), board.blockers
    assert board.page().answer


def test_every_board_stands_behind_a_question():
    asked = {unquote(urlsplit(question.link).path) for question in QUESTIONS}
    there = {path.relative_to(NOTEBOOKS).as_posix() for path in NOTEBOOKS.rglob("*.ipynb")} - {"start.ipynb"}
    assert {name for name in there if ".ipynb_checkpoints" not in name} == asked


def test_the_door_shows_every_question_and_the_caution():
    shown = door_html()
    assert all(question.link.split("?")[0] in shown for question in QUESTIONS)
    assert "carbon monoxide" in shown
