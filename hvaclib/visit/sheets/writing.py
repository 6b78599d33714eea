"""Writing visits as tables: whole or not at all, and reading back to the same visits."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Literal

from hvaclib.errors import FileError, InputError
from hvaclib.files import write_bytes
from hvaclib.visit.model import Visit
from hvaclib.visit.sheets.long_form import long_table
from hvaclib.visit.sheets.table import LONGEST, MOST_COLUMNS, Table
from hvaclib.visit.sheets.wide_form import wide_table

Form = Literal["long", "wide"]
Written = tuple[list[list[str]], tuple[str, ...]]


def table_written(visits: Iterable[Visit], form: Form) -> Written:
    """The rows of a table, headings first, and what the form cannot hold.

    Parameters
    ----------
    visits : iterable of Visit
    form : {"long", "wide"}

    Returns
    -------
    tuple
        Rows of text, all of one length, and a sentence for each thing that the form cannot hold.

    Raises
    ------
    InputError
        If there is no such form.
    FileError
        If a cell would be too long, or there would be too many columns.
    """
    every = tuple(visits)
    if form not in ("long", "wide"):
        raise InputError("no such form", where="form", given=form, expected="'long' or 'wide'")

    def made(comma: bool) -> Written:
        return (long_table(every, comma), ()) if form == "long" else wide_table(every, comma)

    rows, lost = made(False)
    if Table("", "", lambda: enumerate(rows, start=1)).decimal_comma():
        rows, lost = made(True)
    _held(rows)
    return rows, lost


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """Rows as the text of a CSV file (RFC 4180)."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows(rows)
    return text.getvalue()


def write_csv(visits: Iterable[Visit], path: str | Path, form: Form = "long") -> tuple[str, ...]:
    """Write visits as CSV; the file appears whole or not at all.

    Parameters
    ----------
    visits : iterable of Visit
    path : str or Path
        An existing file is replaced.
    form : {"long", "wide"}
        One entry a row, or one visit a row.

    Returns
    -------
    tuple of str
        What the form cannot hold, a sentence each. The long form holds everything; the wide form has one order of
        appliances and of entries for all visits.

    Raises
    ------
    FileError
        If it cannot be written, or a text holds characters that a text file cannot.
    """
    rows, lost = table_written(visits, form)
    text = csv_text(rows)
    try:
        content = text.encode("utf-8-sig")  # the mark tells spreadsheets that it is UTF-8
    except UnicodeEncodeError as error:
        raise _no_text(error.object[error.start], str(path)) from None
    if "\x00" in text:
        raise _no_text("\x00", str(path))
    write_bytes(Path(path), content)
    return lost


def write_xlsx(visits: Iterable[Visit], path: str | Path) -> None:
    """Write visits as a workbook with one sheet in the long form; the file appears whole or not at all.

    Parameters
    ----------
    visits : iterable of Visit
    path : str or Path
        An existing file is replaced.

    Raises
    ------
    FileError
        If it cannot be written.
    """
    import openpyxl

    from hvaclib.visit.sheets.workbook import escaped

    rows, _ = table_written(visits, "long")
    value = rows[0].index("value")
    unit = rows[0].index("unit")
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("visits")
    for row in rows:
        cells: list[Any] = [escaped(cell) or None for cell in row]
        if row[unit]:
            cells[value] = _numeric(row[value])
        sheet.append(cells)
    held = io.BytesIO()
    try:
        book.save(held)
    except UnicodeEncodeError as error:
        raise _no_text(error.object[error.start], str(path)) from None
    write_bytes(Path(path), held.getvalue())


def _numeric(text: str) -> float | int | str:
    """The number itself where a workbook gives it back letter by letter."""
    try:
        found = int(text) if text.lstrip("-").isdecimal() else float(text)
    except ValueError:
        return text
    again = str(found) if isinstance(found, int) else f"{found:.15g}"
    return found if again == text and abs(found) < 1e15 else text


def _held(rows: Sequence[Sequence[str]]) -> None:
    if len(rows[0]) > MOST_COLUMNS:
        raise FileError(
            "the visits need too many columns for this form",
            given=len(rows[0]),
            expected=f"at most {MOST_COLUMNS:,}; the long form holds them",
        )
    for row in rows:
        for cell in row:
            if len(cell) > LONGEST and len(cell.removeprefix("'")) > LONGEST:
                raise FileError(
                    "a cell would be too long",
                    given=f"{cell[:40]}…",
                    expected=f"at most {LONGEST:,} characters",
                )


def _no_text(character: str, path: str) -> FileError:
    return FileError(
        "a text holds a character that no text file can",
        where=path,
        given=f"U+{ord(character):04X}",
        expected="letters, digits and signs",
    )
