"""Tables in workbooks: values only, nothing worked out, with a guard against archives that blow up."""

from __future__ import annotations

import datetime as dt
import io
import re
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from itertools import islice, zip_longest
from typing import TYPE_CHECKING, Any

from hvaclib.errors import FileError
from hvaclib.visit.sheets.table import MOST_COLUMNS, NO_VALUE, Row, Table

if TYPE_CHECKING:
    from openpyxl.workbook.workbook import Workbook

MOST_UNPACKED = 100_000_000
"""Largest sum of the unpacked parts, bytes: an archive of a few kilobytes can hold gigabytes."""
MOST_PARTS = 2_000
MOST_SHEETS = 50
MOST_ROWS = 100_000
"""Most rows of a sheet."""
MOST_CELLS = 20_000_000
MOST_BLANK = 1_000
"""Blank rows after which the rest of a sheet may be mere formatting, and only what stands in it counts."""
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\ufffe\uffff]")
DAMAGE = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, struct.error, OSError, EOFError, SyntaxError, ValueError,
    TypeError, LookupError, AttributeError, ArithmeticError, RuntimeError, AssertionError,
)  # fmt: skip
"""What a damaged archive or damaged XML makes the libraries raise: they check little themselves."""


def is_archive(content: bytes) -> bool:
    """Whether a file is an archive, as every workbook of today is."""
    return content.startswith(b"PK")


def tables_of(content: bytes, source: str) -> tuple[Table, ...]:
    """The tables of a workbook, one a sheet.

    Parameters
    ----------
    content : bytes
    source : str
        Name of the file.

    Returns
    -------
    tuple of Table

    Raises
    ------
    FileError
        If it is no workbook, is damaged or blows up.
    """
    formulas = _guarded(content, source)
    book = _opened(content, source, values=True)
    if len(book.worksheets) > MOST_SHEETS:
        raise FileError(
            "there are too many sheets",
            where=source,
            given=len(book.worksheets),
            expected=f"at most {MOST_SHEETS}",
        )
    names = [sheet.title for sheet in book.worksheets]
    beside = _opened(content, source, values=False) if formulas else None

    def table(number: int, name: str) -> Table:
        return Table(
            source,
            name if len(names) > 1 else "",
            lambda: _rows(book, beside, number, f'{source}, sheet "{name}"'),
            book.epoch.date(),
            book.worksheets[number].sheet_state != "visible",
        )

    return tuple(table(number, name) for number, name in enumerate(names))


def _guarded(content: bytes, source: str) -> bool:
    """Whether there are formulas, once the archive is known to be harmless."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            _bounded(archive.infolist(), source)
            texts = (
                archive.read(part).replace(b"\x00", b"")
                for part in archive.infolist()
                if part.filename.endswith((".xml", ".rels"))
            )
            found = [_formulas_in(text, source) for text in texts]
    except FileError:
        raise
    except DAMAGE as error:
        raise _damaged(source) from error
    return any(found)


def _bounded(parts: list[zipfile.ZipInfo], source: str) -> None:
    size = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or size > MOST_UNPACKED:
        raise FileError(
            "the workbook unpacks to more than it may",
            where=source,
            given=f"{size:,} bytes in {len(parts):,} parts",
            expected=f"at most {MOST_UNPACKED:,} bytes in {MOST_PARTS:,} parts",
        )
    names = {part.filename for part in parts}
    if "[Content_Types].xml" not in names or not any(name.startswith("xl/") for name in names):
        raise FileError("this archive is no workbook", where=source, expected="a file saved as .xlsx or .csv")


def _formulas_in(text: bytes, source: str) -> bool:
    if b"<!DOCTYPE" in text or b"<!ENTITY" in text:
        raise FileError(
            "the workbook declares entities, which no spreadsheet does",
            where=source,
            expected="a file that a spreadsheet saved",
        )
    return b"<f>" in text or b"<f " in text or b"<f/" in text


def _opened(content: bytes, source: str, *, values: bool) -> Workbook:
    import openpyxl

    try:
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # openpyxl warns of what it leaves out: rules, pictures, print areas
            book = openpyxl.load_workbook(
                io.BytesIO(content), read_only=True, data_only=values, keep_links=False, rich_text=False
            )
    except DAMAGE as error:
        raise _damaged(source) from error
    return book


def _rows(book: Workbook, beside: Workbook | None, number: int, where: str) -> Iterator[Row]:
    both = zip_longest(_cells(book, number), _cells(beside, number), fillvalue=())
    row = blank = cells = 0
    while chunk := _chunk(both, where):
        for found, formulas in chunk:
            row, cells = row + 1, cells + len(found)
            if row > MOST_ROWS or cells > MOST_CELLS:
                if blank > MOST_BLANK:
                    return
                raise FileError(
                    "there are too many rows or cells",
                    where=where,
                    expected=f"at most {MOST_ROWS:,} rows and {MOST_CELLS:,} cells",
                )
            while found and not found[-1]:
                found.pop()
            values = found + [""] * (len(formulas) - len(found))
            if len(values) > MOST_COLUMNS:
                raise FileError(
                    "there are too many columns", where=f"{where}, row {row}", given=len(values),
                    expected=f"at most {MOST_COLUMNS:,}",
                )  # fmt: skip
            for index, formula in enumerate(formulas):
                if formula and not values[index]:
                    values[index] = NO_VALUE
            blank = 0 if any(values) else blank + 1
            if blank <= MOST_BLANK:
                yield row, values


def _cells(book: Workbook | None, number: int) -> Iterator[tuple[Any, ...]]:
    if book is not None:
        sheet = book.worksheets[number]
        sheet.reset_dimensions()  # a sheet can lie about its size
        yield from sheet.iter_rows()


def _chunk(both: Iterator[tuple[Any, Any]], where: str) -> list[tuple[list[str], list[bool]]]:
    """Some rows of values, and of whether a formula stands there; openpyxl's warnings concern what is left out."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return [
                (
                    [_text(cell) for cell in values],
                    [str(cell.value or "").startswith("=") for cell in formulas[:MOST_COLUMNS]],
                )
                for values, formulas in islice(both, 100)
            ]
    except DAMAGE as error:
        raise _damaged(where) from error


def escaped(text: str) -> str:
    r"""Text as a workbook holds it, with the characters that XML cannot hold in the standard's own writing.

    References
    ----------
    ECMA-376 Part 1, 22.9.2.19, ST_Xstring.

    Examples
    --------
    >>> escaped("a\rb"), escaped("_x0041_")
    ('a_x000D_b', '_x005F_x0041_')
    """
    plain = _ESCAPED.sub(lambda match: f"_x005F{match[0]}", text)
    return _CONTROLS.sub(lambda match: f"_x{ord(match[0]):04X}_", plain)


def _text(cell: Any) -> str:
    """The value of a cell as a person would type it."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), value) if "_x" in value else value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dt.datetime):
        whole = value.time() == dt.time()
        return value.date().isoformat() if whole else value.isoformat(sep=" ", timespec="minutes")
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dt.time):
        return value.strftime("%H:%M")
    if isinstance(value, int | float):
        return _number_text(value, str(getattr(cell, "number_format", "") or ""))
    return str(value)


def _number_text(value: float, form: str) -> str:
    if form.rstrip("_) ").endswith("%") and isinstance(value, int | float):
        return f"{value * 100:.12g} %"
    return str(value) if isinstance(value, int) else f"{value:.15g}"


def _damaged(source: str) -> FileError:
    return FileError(
        "the workbook is damaged or protected by a password",
        where=source,
        expected="a file that a spreadsheet opens",
    )
