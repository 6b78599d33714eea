"""What the boards about finished job sheets share: the demo sheets, a file that is uploaded, cautions, severities."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING

from hvaclib.errors import FileError
from hvaclib.house.demo import demo_folder
from hvaclib.rules import RuleSet, load

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.review import Review
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Understood

ACCEPTED = ".csv,.xlsx,.toml,.json"
LARGEST = 5_000_000
"""Largest file that a board takes, bytes; a sheet has some 10 000."""
FOLDERS = ("visits",)
"""Where demo sheets lie, the first that has any."""
WORDS = {
    "stop and call": "stop and call",
    "fail": "fail",
    "look again": "look again",
    "pass": "nothing graver than a note",
}
"""The severities of a review, gravest first, with their words."""
CAUTIONS = (
    "This reads what stands on paper. A sheet without a remark does not prove that an appliance is safe: the readings in "
    "the house decide, with the adopted code and the manufacturer's instructions.",
    "A gas smell, a leak, or carbon monoxide in a room: nobody waits for a review. Everybody out of the house; from "
    "outside, call the gas supplier or the emergency number.",
    "Gas, wiring, chimney and ladder work is for those who are licensed and equipped for it.",
)
DEMO = "Demo: invented sheets of invented crews, with planted mistakes, until you load your own."


@cache
def demo_sheets() -> tuple[Understood, ...]:
    """The demo sheets, one report a file; files of the folder that hold no sheet are left out.

    Raises
    ------
    FileError
        If none is installed.
    """
    from hvaclib.visit.sheets import read_sheets

    endings = tuple(ACCEPTED.split(","))
    for name in FOLDERS:
        folder = demo_folder() / name
        paths = sorted(path for path in folder.rglob("*") if path.suffix.lower() in endings)
        found = tuple(each for each in map(read_sheets, paths) if each.visits)
        if found:
            return found
    raise FileError(
        "the demo sheets are not installed", where=str(demo_folder()), expected="a whole installation"
    )


def sheets_in(content: bytes, filename: str) -> Understood:
    """What was understood of an uploaded file.

    Raises
    ------
    FileError
        If no sheet at all could be read from it: the first thing that was refused.
    """
    from hvaclib.visit.sheets import read_content

    found = read_content(content, filename)
    if not found.visits:
        raise (
            found.refusals[0]
            if found.refusals
            else FileError("holds no visit", where=filename, expected="at least one finished job sheet")
        )
    return found


def loaded_words(found: Understood) -> str:
    """One sentence about a file that was read."""
    refused, sheets = len(found.refusals) + found.more_refusals, len(found.visits)
    return (
        f"Loaded {found.source}: {counted(sheets, 'sheet')}, "
        f"{counted(len(found.notes) + found.more_notes, 'interpretation')}, {counted(refused, 'refusal')}."
    )


def counted(number: int, noun: str) -> str:
    """A number and its noun.

    Examples
    --------
    >>> counted(1, "sheet"), counted(2, "sheet")
    ('1 sheet', '2 sheets')
    """
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


@lru_cache(maxsize=8)
def rules_named(name: str) -> RuleSet:
    """A shipped rule set, read once."""
    return load(name)


def cautions_of(reviews: Iterable[Review]) -> list[str]:
    """Cautions of what stops the work or fails, then those that always stand."""
    grave = [
        text
        for review in reviews
        for remark in review.remarks
        if remark.severity in ("stop and call", "fail")
        for text in remark.cautions
    ]
    return list(dict.fromkeys([*grave, *CAUTIONS]))


def visits_text(visits: Iterable[Visit]) -> str:
    """Visits as the text of one JSON document that `sheets_in` reads."""
    import json

    from hvaclib.visit.file import to_document

    return json.dumps({"visit": [to_document(each) for each in visits]}, ensure_ascii=False)
