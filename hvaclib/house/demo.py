"""The invented dwellings that come with the suite."""

from __future__ import annotations

from pathlib import Path

from hvaclib.errors import FileError

_PACKAGE = Path(__file__).resolve().parents[1]


def demo_folder() -> Path:
    """Return the folder of the demo dwellings: ``data/demo`` in a checkout, inside the package when installed.

    Raises
    ------
    FileError
        If neither exists.
    """
    for folder in (_PACKAGE.parent / "data" / "demo", _PACKAGE / "_demo"):
        if folder.is_dir():
            return folder
    raise FileError(
        "the demo dwellings are not installed", where=str(_PACKAGE), expected="a whole installation"
    )


def demo_dwellings() -> dict[str, Path]:
    """Return the demo dwellings' files by name, such as ``"passes"``, in the order of the alphabet."""
    return {path.stem: path for path in sorted(demo_folder().glob("*.toml"))}
