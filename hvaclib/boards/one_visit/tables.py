"""Tables of one visit: what stops the work, the step's entries with their verdicts, its remarks, and all others."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import PageTable
from hvaclib.boards.one_visit.reading import lines_of, step_of
from hvaclib.rules.wording import percent

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.boards.one_visit.reading import Line, Sheet
    from hvaclib.review import Remark
    from hvaclib.visit import Entry
    from hvaclib.visit.sheets import Understood

SHOWN = 200
"""Rows of notes and refusals."""


def tables_of(
    sheet: Sheet, number: int, system: str, label: tuple[str, ...], loaded: Understood | None
) -> list[PageTable]:
    """The tables; what stops the work first, where there is any."""
    del system  # what is written stays as it was written; margins stand in both unit systems
    found = [
        PageTable("Stop and call", [_remark(each, "step") for each in sheet.review.stops]),
        PageTable(
            "As written in this step", [_written(each) for each in lines_of(sheet, number)], is_open=True
        ),
        PageTable(
            "Remarks of this step", [_remark(each, "severity") for each in sheet.of(number)], is_open=True
        ),
        PageTable(
            "All remarks of the sheet, gravest first",
            [_remark(each, "severity", "step") for each in sheet.review.remarks],
        ),
        PageTable("Label for the return drop, line by line", [{"line": line.strip()} for line in label]),
        PageTable("What was understood of the file, before anything was judged", _understood(loaded)),
    ]
    return [table for table in found if table.rows]


def _written(line: Line) -> Mapping[str, Any]:
    entry = line.entry
    rules = [each for each in line.findings if each.verdict != "noted"]
    return {
        "item": line.title,
        "where": ", ".join(part for part in (line.where, line.when) if part),
        "as written": _as_written(line),
        "verdict": "; ".join(dict.fromkeys(each.verdict for each in rules)) or _answer(line),
        "margin": "; ".join(each.margin_shown for each in rules if each.margin_shown),
        "conforms with probability": "; ".join(
            percent(each.probability) for each in rules if each.probability is not None
        ),
        "rule": "; ".join(each.rule.title for each in rules),
        **_besides(entry),
    }


def _besides(entry: Entry | None) -> Mapping[str, Any]:
    """What else stands beside an entry; a column that no entry fills is not shown."""
    if entry is None:
        return {}
    told = {"at": entry.at, "found as": entry.found_as, "note": entry.note, "instrument": entry.instrument}
    return {key: text for key, text in told.items() if text}


def _as_written(line: Line) -> str:
    if line.entry is not None:
        return as_written(line.entry)
    return f"computed: {line.computed}" if line.computed else "not on the sheet"


def _answer(line: Line) -> str:
    """The verdict on an answer that no rule judges."""
    from hvaclib.errors import InputError
    from hvaclib.visit.answers import yes_of

    if line.entry is None or not line.entry.taken:
        return "missing"
    if not line.must_be:
        return "no rule"
    try:
        right = yes_of(line.entry.value) == (line.must_be == "yes")
    except InputError:
        return "cannot be read"
    return "as it must be" if right else f"must be {line.must_be}"


def as_written(entry: Entry) -> str:
    """What stands on the sheet, with the bound that it names and the photo.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    str
    """
    value = f"{entry.bound} {entry.value}".strip()
    photo = f"photo {entry.photo}" if entry.photo else ""
    return ", ".join(part for part in (value, photo) if part) or "not taken"


def _remark(remark: Remark, *first: str) -> Mapping[str, Any]:
    """A row, with the columns named at its beginning."""
    row = {"severity": remark.severity, "step": step_of(remark) or "whole sheet"}
    return {
        **{key: row[key] for key in first},
        "what": remark.sentence,
        "what to do": " ".join(remark.do),
        "who acts": remark.acts,
        "cautions": " ".join(dict.fromkeys(remark.cautions)),
    }


def _understood(loaded: Understood | None) -> list[Mapping[str, Any]]:
    if loaded is None:
        return []
    rows: list[Mapping[str, Any]] = [
        {"what": "refused", "where": error.where, "found": "" if error.given is None else str(error.given),
         "taken as": "left out", "why": error.what, "expected": error.expected}
        for error in loaded.refusals[:SHOWN]
    ]  # fmt: skip
    rows += [
        {"what": "taken as", "where": note.where, "found": note.found, "taken as": note.taken, "why": note.why,
         "expected": ""}
        for note in loaded.notes[:SHOWN]
    ]  # fmt: skip
    left = len(loaded.refusals) + len(loaded.notes) - len(rows) + loaded.more_notes + loaded.more_refusals
    return [*rows, {"what": f"and {left:,} more"}] if left else rows
