"""Where the headings of a table are, and what each of its columns is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, zip_longest

from hvaclib.errors import FileError
from hvaclib.units import kinds
from hvaclib.visit.sheets.draft import Column
from hvaclib.visit.sheets.heading import appliance_of, heading, is_unit, recognised
from hvaclib.visit.sheets.table import Row, Table, head_of, letter
from hvaclib.visit.sheets.target import Target
from hvaclib.visit.sheets.understood import Heading, Report
from hvaclib.visit.sheets.words import field_names, fold

MOST_APPLIANCES = 60
"""Most names of appliances by which headings are told apart; a bound on work."""
MOST_SUGGESTIONS = 40
_LONG = frozenset({"item", "value"})


@dataclass(frozen=True, slots=True)
class Layout:
    """How a table is laid out.

    Parameters
    ----------
    table : Table
    form : str
        "wide", "long", or "form" (headings down the first column of a single visit).
    first : int
        Row in which the data begin.
    columns : tuple of Column
        Those that are understood.
    header : tuple of str
        The headings, to know them again when they are repeated.
    width : int
        Number of columns that have a heading, understood or not.
    """

    table: Table
    form: str
    first: int
    columns: tuple[Column, ...]
    header: tuple[str, ...]
    width: int

    def rows(self) -> Iterator[Row]:
        """The rows of data."""
        return (row for row in self.table.rows() if row[0] >= self.first)


@dataclass(frozen=True, slots=True)
class _Guess:
    form: str
    index: int
    depth: int
    texts: tuple[str, ...]
    known: int


def layout_of(table: Table, report: Report) -> Layout:
    """Find the headings of a table.

    Parameters
    ----------
    table : Table
    report : Report
        Takes what each heading was taken for, and refuses those that are not known.

    Returns
    -------
    Layout

    Raises
    ------
    FileError
        If none of its first rows has headings.
    """
    head = [(number, [cell.removeprefix("'") for cell in cells]) for number, cells in head_of(table.sound())]
    if not any(cell.strip() for _, cells in head for cell in cells):
        if not head:
            head = list(islice(table.rows(), 1))  # says what is wrong with the first row
        raise FileError(
            "there is nothing in the table", where=table.where, expected="a row of headings, then data"
        )
    guess = max(_guesses(head), key=lambda each: (each.known, -each.index, -each.depth), default=None)
    if guess is None or guess.known < 2:
        return _form(table, head, report)
    number = head[guess.index][0]
    _leave_above(table, head[: guess.index], report)
    columns = _columns(table, guess, number, report)
    first = number + guess.depth
    if guess.form == "wide":
        below = next((cells for row, cells in head if row == first), [])
        units = _units(columns, below)
        if units:
            report.note(
                table.place(first),
                first,
                "",
                " ".join(units.values()),
                "units",
                "a row of units below the headings",
            )
            columns = tuple(
                Column(table, each.index, each.heading, each.target, each.unit or units.get(each.index, ""))
                for each in columns
            )
            first += 1
    for each in columns:
        _told(each, report)
    return Layout(table, guess.form, first, columns, guess.texts, len(guess.texts))


def _guesses(head: Sequence[Row]) -> Iterator[_Guess]:
    """Every row, and every two rows, that could be headings, with how many of them are known."""
    for index, (_, cells) in enumerate(head):
        if not any(cell.strip() for cell in cells):
            continue
        names = {field.key for cell in cells if (field := field_names("entry").get(fold(cell))) is not None}
        form = "long" if names >= _LONG else "wide"
        one = _Guess(form, index, 1, tuple(cells), _known(cells, form))
        yield one
        if form == "wide" and index + 1 < len(head):
            both = _joined(cells, head[index + 1][1])
            known = _known(both, "wide")
            if known > max(one.known, _known(head[index + 1][1], "wide")):
                yield _Guess("wide", index, 2, both, known)


def _known(cells: Sequence[str], form: str) -> int:
    if form == "long":
        return len({each for cell in cells if (each := _long_target(cell)) is not None})
    appliances = _appliances(cells)
    return len(
        {each for cell in cells if cell.strip() and (each := recognised(cell, appliances)) is not None}
    )


def _joined(top: Sequence[str], below: Sequence[str]) -> tuple[str, ...]:
    """Two rows of headings as one; a merged cell above holds for the columns to its right."""
    found, group = [], ""
    pairs = zip_longest((cell.strip() for cell in top), (cell.strip() for cell in below), fillvalue="")
    for upper, lower in pairs:
        if upper:
            group = upper if lower else ""
        if not lower:
            found.append(upper)
            group = group if upper else ""
        else:
            found.append(f"{group}: {lower}" if group else lower)
    return tuple(found)


def _appliances(cells: Sequence[str]) -> tuple[str, ...]:
    names = dict.fromkeys(name for cell in cells if cell.strip() and (name := appliance_of(cell)) is not None)
    return tuple(islice(names, MOST_APPLIANCES))


def _columns(table: Table, guess: _Guess, row: int, report: Report) -> tuple[Column, ...]:
    appliances = _appliances(guess.texts)
    found: list[Column] = []
    for index, text in enumerate(guess.texts):
        if not text.strip():
            continue
        try:
            target = _column_target(guess, text, appliances, len(report.refusals) < MOST_SUGGESTIONS)
        except FileError as error:
            where = table.place(row + guess.depth - 1, index)
            what = f"{error.what}, and the column is left out"
            report.refuse(FileError(what, where=where, given=error.given, expected=error.expected))
            continue
        found.append(Column(table, index, " ".join(text.split()), target, target.unit))
    return tuple(found)


def _column_target(guess: _Guess, text: str, appliances: tuple[str, ...], suggest: bool) -> Target:
    if guess.form == "long":
        target = _long_target(text)
        if target is None:
            raise FileError(
                "the heading is not known",
                given=text[:80],
                expected="a column of the long form or a fact of the job",
            )
        return target
    if guess.depth == 2 and ": " in text and recognised(text, appliances) is None:
        below = text.partition(": ")[2]
        if recognised(below, appliances) is not None:
            return heading(below, appliances)
    target = heading(text, appliances, suggest)
    if target.sort == "entry":
        raise FileError(
            "the heading belongs to a table with one entry a row", given=text[:80],
            expected="the item before it, such as 'draft-worst-case @ furnace: note'",
        )  # fmt: skip
    return target


def _long_target(text: str) -> Target | None:
    """A column of the long form, or a fact of the job that stands in every row."""
    column = field_names("entry").get(fold(text))
    if column is not None:
        return Target("entry", column.key)
    found = recognised(text) if text.strip() else None
    return found if found is not None and found.sort == "job" else None


def _units(columns: Sequence[Column], below: Sequence[str]) -> dict[int, str]:
    """Units in the row below the headings; empty when that row holds anything else."""
    by_index = {each.index: each for each in columns}
    units = {}
    for index, cell in enumerate(below):
        text = re.sub(r"^[(\[]\s*(.*?)\s*[)\]]$", r"\1", cell.strip())
        if not text or text in ("-", "–", "—"):
            continue
        column = by_index.get(index)
        kind = column.target.kind if column is not None else None
        if column is None or not (
            is_unit(text, kind) if kind is not None else _is_date_form(text, column.target)
        ):
            return {}
        units[index] = text
    return units


def _is_date_form(text: str, target: Target) -> bool:
    return target.key == "date" and re.fullmatch(r"[dmy][-dmy/. ]+", text.lower()) is not None


def _told(column: Column, report: Report) -> None:
    key = (column.table.sheet, letter(column.index), column.heading)
    target = column.target
    unit = column.unit if isinstance(target.kind, kinds.Kind) or target.key == "date" else ""
    report.headings[key] = Heading(*key, target.words, unit)


def _form(table: Table, head: Sequence[Row], report: Report) -> Layout:
    """A form that is filled in: headings down one column, what they say beside them."""
    names: dict[int, int] = {}
    for _, cells in head:
        index = next((index for index, cell in enumerate(cells) if cell.strip()), None)
        if index is not None and recognised(cells[index]) is not None:
            names[index] = names.get(index, 0) + 1
    index = max(names, key=lambda each: names[each], default=0)
    if names.get(index, 0) < 3:
        cells = next(cells for _, cells in head if any(cell.strip() for cell in cells))
        shown = ", ".join(cell.strip() for cell in cells if cell.strip())[:80]
        raise FileError(
            "no row of headings is found", where=table.where, given=shown,
            expected="headings such as 'job', 'contractor', 'date', 'furnace: kind' and 'draft-worst-case @ furnace (Pa)', "
            "or 'job', 'item' and 'value'",
        )  # fmt: skip
    columns = tuple(
        Column(table, index + offset, name, Target("entry", name))
        for offset, name in enumerate(("item", "value"))
    )
    report.note(table.where, 0, "", "", "one visit", "a form with headings down its first column")
    begins = next(
        at
        for at, (_, cells) in enumerate(head)
        if len(cells) > index and recognised(cells[index]) is not None
    )
    _leave_above(table, head[:begins], report)
    return Layout(table, "form", head[begins][0], columns, (), index + 2)


def _leave_above(table: Table, rows: Sequence[Row], report: Report) -> None:
    for row, cells in rows:
        text = " ".join(cell.strip() for cell in cells if cell.strip())
        if text:
            report.note(table.place(row), row, "", text, "", "a row above the headings is left out")
