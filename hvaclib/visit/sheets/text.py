"""Tables in text files: encoding, delimiter, quotes and line ends as they come."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterator

from hvaclib.errors import FileError
from hvaclib.visit.sheets.heading import recognised
from hvaclib.visit.sheets.table import MOST_COLUMNS, MOST_ROWS, Row, Table, head_of

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_BINARY = ((b"%PDF", "a PDF"), (b"\xd0\xcf\x11\xe0", "a workbook of the old sort or one with a password"), (b"\x89PNG", "a picture"), (b"\xff\xd8\xff", "a picture"), (b"\x1f\x8b", "a compressed file"))  # fmt: skip


def decoded(content: bytes, source: str) -> tuple[str, str]:
    """The text of a file and its encoding.

    Parameters
    ----------
    content : bytes
    source : str
        Name of the file, for the refusal.

    Returns
    -------
    tuple of str
        Text without byte-order mark, and the name of the encoding.

    Raises
    ------
    FileError
        If it is no text.
    """
    for beginning, what in _BINARY:
        if content.startswith(beginning):
            raise FileError(
                f"this is {what}, no table",
                where=source,
                expected="a file saved as .csv, .xlsx, .json or .toml",
            )
    encoding, name = _encoding(content)
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise FileError(
            f"line {line} is not text in any usual encoding", where=source, expected="a table saved as UTF-8"
        ) from None
    text = text.removeprefix("\ufeff")
    if "\x00" in text:
        raise FileError(
            "this is no text file", where=source, expected="a table saved as .csv, .xlsx, .json or .toml"
        )
    return text, name


def _encoding(content: bytes) -> tuple[str, str]:
    if content.startswith(codecs.BOM_UTF8):
        return "utf-8-sig", "UTF-8 with byte-order mark"
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16", "UTF-16"
    head = content[:4_000]
    if head and head[1::2].count(0) > 0.8 * len(head) / 2:
        return "utf-16-le", "UTF-16"
    if head and head[0::2].count(0) > 0.8 * len(head) / 2:
        return "utf-16-be", "UTF-16"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252", "Windows-1252"
    return "utf-8", "UTF-8"


def table_of(text: str, source: str) -> tuple[Table, str]:
    """The table in a text and the name of its delimiter.

    Parameters
    ----------
    text : str
    source : str

    Returns
    -------
    tuple
        The delimiter is the one that makes most headings known.
    """
    delimiter = max(DELIMITERS, key=lambda each: _known(text, each))
    return Table(source, "", lambda: _rows(text, delimiter, source)), DELIMITERS[delimiter]


def _known(text: str, delimiter: str) -> tuple[int, int]:
    """How many headings of the first rows are known, and how many cells there are, with a delimiter."""
    known = cells = 0
    try:
        for _, row in head_of(_rows(text, delimiter, "")):
            filled = [cell for cell in row[:MOST_COLUMNS] if cell.strip()]
            known = max(known, sum(recognised(cell) is not None for cell in filled))
            cells = max(cells, len(filled))
    except FileError:
        return known, 0
    return known, cells


class _Lines:
    """The lines of a text, and whether its end has been met."""

    def __init__(self, text: str) -> None:
        self._lines = io.StringIO(text, newline="")
        self.ended = False

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = self._lines.readline()
        if not line:
            self.ended = True
            raise StopIteration
        return line


def _rows(text: str, delimiter: str, source: str) -> Iterator[Row]:
    lines = _Lines(text)
    reader = csv.reader(lines, delimiter=delimiter)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise FileError(
                f"the row cannot be taken apart ({error})",
                where=f"{source}, row {number}",
                expected="every quotation mark closed again",
            ) from None
        if lines.ended:  # the reader has looked for more of this row, and there is none
            raise FileError(
                "a quotation mark is opened and never closed, and the rest of the file is left out",
                where=f"{source}, row {number}", given="".join(cells)[:60], expected="every quotation mark closed again",
            )  # fmt: skip
        if number > MOST_ROWS:
            raise FileError("there are too many rows", where=source, expected=f"at most {MOST_ROWS:,}")
        if len(cells) > MOST_COLUMNS:
            raise FileError(
                "there are too many columns", where=f"{source}, row {number}", given=len(cells),
                expected=f"at most {MOST_COLUMNS:,}",
            )  # fmt: skip
        yield number, cells
