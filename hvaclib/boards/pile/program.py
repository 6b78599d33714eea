"""The demo program: invented sheets of several crews in several forms of file, as they come back to an office."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from functools import cache
from time import sleep
from typing import TYPE_CHECKING, TypeVar

from hvaclib.boards.finished_sheets import ACCEPTED
from hvaclib.errors import FileError
from hvaclib.house.demo import demo_folder

if TYPE_CHECKING:
    from collections.abc import Callable, Generator

    from hvaclib.visit.sheets import Understood

T = TypeVar("T")

FOLDER = "program"


@cache
def program_sheets() -> tuple[Understood, ...]:
    """What was understood of each file of the demo program; files that hold no sheet are left out.

    Raises
    ------
    FileError
        If it is not installed.
    """
    from hvaclib.visit.sheets import read_sheets

    folder = demo_folder() / FOLDER
    endings = tuple(ACCEPTED.split(","))
    paths = sorted(path for path in folder.rglob("*") if path.suffix.lower() in endings)
    found = tuple(each for each in map(read_sheets, paths) if each.visits)
    if not found:
        raise FileError(
            "the sheets of the demo program are not installed",
            where=str(folder),
            expected="a whole installation",
        )
    return found


def beside(work: Callable[[], T]) -> Generator[None, None, T]:
    """Do work in a thread of its own, with pauses in which the page's controls are heard.

    Parameters
    ----------
    work : callable
        Without arguments.

    Yields
    ------
    None
        While it is at work.

    Returns
    -------
    object
        What the work gave; what it raised is raised here.
    """
    pool = ThreadPoolExecutor(1)
    try:
        asked = pool.submit(work)
    finally:
        pool.shutdown(wait=False)
    while not asked.done():
        sleep(0.01)
        yield None
    return asked.result()
