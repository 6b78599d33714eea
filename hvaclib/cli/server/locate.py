"""Where the notebooks and the page template are, in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

from hvaclib.errors import FileError

PACKAGE = Path(__file__).resolve().parents[2]
START = "start.ipynb"


def notebook_folder() -> Path:
    """Return the folder of the suite's notebooks.

    Returns
    -------
    pathlib.Path
        ``notebooks/`` beside the package in a checkout, ``hvaclib/_notebooks`` in an installed package.

    Raises
    ------
    FileError
        If neither exists.
    """
    return _first(PACKAGE.parent / "notebooks", PACKAGE / "_notebooks", what="the notebooks of the suite")


def template_folder() -> Path:
    """Return the folder that holds the page template in the layout that Voila searches."""
    return Path(__file__).resolve().parent / "share"


def find_notebook(name: str, folder: Path) -> tuple[Path, str]:
    """Find a notebook by its path inside a folder, or anywhere on the machine.

    Parameters
    ----------
    name : str
        Path relative to `folder`, with or without ``.ipynb``; or a path to a notebook file or to a folder
        that holds a ``start.ipynb``.
    folder : pathlib.Path
        The folder that is served.

    Returns
    -------
    tuple of (pathlib.Path, str)
        The folder to serve and the notebook's path in it, with forward slashes. A notebook outside `folder`
        moves the served folder to the notebook's own.

    Raises
    ------
    FileError
        If there is no such notebook.
    """
    for candidate in (folder / name, folder / f"{name}.ipynb", Path(name), Path(f"{name}.ipynb")):
        target = candidate / START if candidate.is_dir() else candidate
        if target.is_file() and target.suffix == ".ipynb":
            target = target.resolve()
            root = folder.resolve() if target.is_relative_to(folder.resolve()) else target.parent
            return root, target.relative_to(root).as_posix()
    raise FileError(
        "there is no such notebook", where=name, expected=f"the path of an .ipynb file, as in {known(folder)}"
    )


def known(folder: Path, most: int = 4) -> str:
    """Name a few notebooks of a folder, for a message."""
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.ipynb"))
    names = [name for name in names if ".ipynb_checkpoints" not in name]
    return ", ".join(names[:most]) or START


def _first(*candidates: Path, what: str) -> Path:
    for candidate in candidates:
        if candidate.is_dir():
            return candidate
    raise FileError(f"{what} are missing from this installation", where=str(candidates[-1]))
