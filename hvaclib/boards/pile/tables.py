"""The pile board's tables: sheets in order, what to look at again across visits, and what was understood of the files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import PageTable

if TYPE_CHECKING:
    from hvaclib.boards.pile.rows import Pile, Row
    from hvaclib.errors import FileError
    from hvaclib.review import Remark

SHOWN = 300
"""Rows of a table; a longer one says how many it leaves out."""


def tables_of(pile: Pile) -> list[PageTable]:
    """The tables: sheets, the visits side by side, then what was refused and understood, and the files."""
    refusals = [error for each in pile.files for error in each.refusals]
    notes = [note for each in pile.files for note in each.notes]
    rows = sheet_rows(pile.shown[:SHOWN])
    found = [
        PageTable("Sheets that there is time for", rows[: pile.time_for]),
        PageTable("Sheets after these, in the same order", _rest(rows[pile.time_for :], len(pile.shown))),
        PageTable("Look again: visits side by side", [_across(remark) for remark in pile.across or ()]),
        PageTable(
            _title("Refused: left out of the sheets", len(refusals)), _refused(refusals[:SHOWN]), is_open=True
        ),
        PageTable(
            _title("Taken as: what a cell was understood to mean", len(notes)),
            [
                {
                    "where": note.where, "row": note.row or "", "column": note.column, "found": note.found,
                    "taken as": note.taken, "why": note.why, "times": note.times,
                }
                for note in notes[:SHOWN]
            ],
        ),
        PageTable(
            _title("Files that were read", len(pile.files)),
            [
                {
                    "file": each.source, "form": each.form, "sheets": len(each.visits),
                    "interpretations": len(each.notes) + each.more_notes,
                    "refusals": len(each.refusals) + each.more_refusals,
                }
                for each in pile.files[:SHOWN]
            ],
        ),
    ]  # fmt: skip
    return [table for table in found if table.rows]


def _title(words: str, number: int) -> str:
    return words if number <= SHOWN else f"{words} (first {SHOWN} of {number:,})"


def _rest(rows: list[Mapping[str, Any]], number: int) -> list[Mapping[str, Any]]:
    left = {"sheet": f"and {number - SHOWN:,} more: in the file of every sheet"}
    return [*rows, left] if number > SHOWN else rows


def sheet_rows(rows: Sequence[Row]) -> list[Mapping[str, Any]]:
    """A mapping for each sheet, in the order given.

    Parameters
    ----------
    rows : sequence of Row

    Returns
    -------
    list of mapping
    """
    return [_sheet(number, row) for number, row in enumerate(rows, 1)]


def _sheet(number: int, row: Row) -> Mapping[str, Any]:
    first = row.first
    counts = zip(row.counts, ("stop", "fail", "look", "note"), strict=True)
    return {
        "place": number,
        "sheet": row.sheet,
        "worst": row.severity if row.severity != "pass" else "pass or note",
        "first remark": first.sentence if first is not None else "none",
        "who acts": first.acts if first is not None and first.severity != "note" else "nobody",
        "remarks": ", ".join(f"{count} {key}" for count, key in counts if count) or "none",
        "contractor": row.contractor,
        "date": row.date.isoformat(),
    }


def _refused(refusals: list[FileError]) -> list[Mapping[str, Any]]:
    rows: list[Mapping[str, Any]] = []
    for error in refusals:
        given = "" if error.given is None else str(error.given)
        rows.append({"where": error.where, "what": error.what, "found": given, "expected": error.expected})
        rows += [{"where": "", "what": sentence, "found": "", "expected": ""} for sentence in error.others]
    return rows


def _across(remark: Remark) -> Mapping[str, Any]:
    rate = remark.false_alarm
    return {
        "contractor": remark.where,
        "what": remark.sentence,
        "false alarms": "" if rate is None else f"at most 1 program in {round(1.0 / rate):,}",
        "what to do": " ".join(remark.do),
        "who": remark.acts,
        "kind": remark.title,
    }
