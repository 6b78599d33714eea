"""From the rows of a wide table to the cells of each visit, row by row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from hvaclib.errors import FileError
from hvaclib.visit.sheets.draft import Address, Column, Draft, Spot, address_of, literal
from hvaclib.visit.sheets.layout import Layout
from hvaclib.visit.sheets.table import LONGEST, NO_VALUE
from hvaclib.visit.sheets.understood import Report
from hvaclib.visit.sheets.words import fold, words


def wide_drafts(layout: Layout, report: Report) -> Iterator[Draft]:
    """The cells of each visit of a wide table.

    Parameters
    ----------
    layout : Layout
    report : Report
        Takes the rows and cells that are left out.

    Yields
    ------
    Draft
        No more than one row is held.
    """
    table = layout.table
    ready = _ready(layout)
    named = next(
        (each.index for each in layout.columns if each.target.sort == "job" and each.target.key == "id"), None
    )
    headings = {each.index for each in layout.columns} | {
        index for index, text in enumerate(layout.header) if text.strip()
    }
    beside: dict[int, list[int]] = {}
    bare: set[int] = set()
    jobs: dict[str, int] = {}
    for number, cells in layout.rows():
        why = left_out(layout, cells, named)
        if why is None:
            continue
        if why:
            leave(table.place(number), number, cells, why, report)
            continue
        draft = _draft_of_row(Draft(table, number), cells, ready, report)
        width = len(cells)
        if width not in beside:
            beside[width] = [index for index in range(width) if index not in headings]
        for index in beside[width]:
            if index not in bare and cells[index].strip():
                bare.add(index)
                report.refuse(
                    FileError(
                        "a cell under no heading, and its column is left out", where=table.place(number, index),
                        given=cells[index].strip()[:80], expected="a heading above it",
                    )
                )  # fmt: skip
        _told_again(draft, jobs, report)
        yield draft


class _Ready(NamedTuple):
    """A column, with what does not change from row to row."""

    column: Column
    place: int
    unit: str
    part: str
    address: Address | None
    alone: bool
    """Whether no other column has the same part of the same answer."""


def _ready(layout: Layout) -> list[_Ready]:
    addresses = [(address_of(each.target), each.target.part) for each in layout.columns]
    times = Counter(addresses)
    return [
        _Ready(each, each.index, each.unit, each.target.part, key[0], key[0] is not None and times[key] == 1)
        for each, key in zip(layout.columns, addresses, strict=True)
    ]


def _draft_of_row(draft: Draft, cells: Sequence[str], ready: Sequence[_Ready], report: Report) -> Draft:
    width, number, answers = len(cells), draft.row, draft.answers
    for column, index, unit, part, address, alone in ready:
        if index >= width or not (cell := cells[index]):
            continue
        text, exact = literal(cell) if cell[0] == "'" else (cell.strip(), False)
        if not text and not exact:
            continue
        spot = Spot(text, exact, number, column, unit)
        if not alone or address is None or len(text) > LONGEST or text == NO_VALUE:
            draft.put(column.target, address, spot, report)
        elif address in answers:
            answers[address][part] = spot
        else:
            answers[address] = {part: spot}
    return draft


def _told_again(draft: Draft, jobs: dict[str, int], report: Report) -> None:
    """Note a second row of the same job: both are read, and a person may have pasted it twice."""
    spot = draft.job.get("id")
    if spot is None:
        return
    before = jobs.setdefault(spot.text, draft.row)
    if before != draft.row:
        report.interpret(spot, "", f"the job stands in row {before} as well, and both rows are read")


def left_out(layout: Layout, cells: Sequence[str], named: int | None) -> str | None:
    """Why a row is no visit: headings again, sums, a remark below the table.

    ``None`` for a blank row, empty for one that is a visit.
    """
    begins = (cell for cell in cells if cell and not cell.isspace())
    first, second = next(begins, ""), next(begins, "")
    if not first:
        return None
    if fold(first) in words("totals"):
        return "a row of sums is left out"
    if second and first.strip() in layout.header and _repeated(layout, cells):
        return "the headings are repeated"
    blank = named is None or named >= len(cells) or not cells[named].strip()
    if not second and (blank or len(layout.columns) > 2):
        return "a row with a single cell is left out"
    return ""


def _repeated(layout: Layout, cells: Sequence[str]) -> bool:
    filled = [cell.strip() for cell in cells if cell.strip()]
    return filled == [text.strip() for text in layout.header if text.strip()]


def leave(where: str, number: int, cells: Sequence[str], why: str, report: Report) -> None:
    text = " ".join(cell.strip() for cell in cells if cell.strip())
    if "\n" in text and any(mark in text for mark in ",;\t|"):
        report.refuse(
            FileError(
                "a cell holds several rows, and is left out", where=where, given=text[:80],
                expected="every quotation mark closed again",
            )
        )  # fmt: skip
        return
    report.note(where, number, "", text, "", why)
