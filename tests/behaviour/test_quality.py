"""The source itself: style, types, layers and sizes hold, as DEVELOPERS.md promises."""

import ast
import pathlib
import shutil
import subprocess
import sys

import pytest

ROOT = pathlib.Path(__file__).parents[2]
SOURCES = sorted((ROOT / "hvaclib").rglob("*.py"))

pytestmark = pytest.mark.skipif(
    not (ROOT / "pyproject.toml").is_file(), reason="these tests read the source tree, which is not here"
)


def run(*command):
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)


@pytest.mark.parametrize("arguments", [("check", "."), ("format", "--check", ".")], ids=["lint", "format"])
def test_ruff(arguments):
    result = run(sys.executable, "-m", "ruff", *arguments)
    assert result.returncode == 0, result.stdout + result.stderr


def test_mypy():
    result = run(sys.executable, "-m", "mypy")
    assert result.returncode == 0, result.stdout + result.stderr


def test_imports_point_down():
    beside = pathlib.Path(sys.executable).parent
    command = shutil.which("lint-imports", path=str(beside)) or shutil.which("lint-imports")
    assert command, "lint-imports belongs to the test extra"
    result = run(command)
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_files_and_functions_stay_small(path):
    """One idea a module: about 300 lines; a body one can see at once: about 40 statement lines, docstring aside."""
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 330
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            if body:
                length = body[-1].end_lineno - body[0].lineno + 1
                assert length <= 45, f"{node.name} has {length} lines"


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_error_is_swallowed(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ExceptHandler):
            assert not (len(node.body) == 1 and isinstance(node.body[0], ast.Pass)), (
                f"{path.name}:{node.lineno}"
            )
