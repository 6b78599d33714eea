"""A table as any file gives it: numbered rows of text, read as often as needed and never all at once."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from hvaclib.errors import FileError
from hvaclib.visit.sheets.dates import DAY_ZERO, order_in

LARGEST = 20_000_000
"""Largest file, bytes; a pile of ten thousand visits in the wide form has some 5 000 000."""
MOST_ROWS = 500_000
"""Most rows of a table."""
MOST_COLUMNS = 2_000
"""Most columns of a table; a blank sheet has some 150."""
LONGEST = 2_000
"""Longest content of a cell, characters, as the record holds it."""

DEEPEST = 40
"""Rows in which headings are looked for."""
MOST_CONSIDERED = 20_000
"""Cells in which headings are looked for: a bound on work, ten rows of the widest table."""
NO_VALUE = "=?"
"""Stands for a formula whose value a workbook does not hold."""

Row = tuple[int, list[str]]
_DECIMAL_COMMA = re.compile(r"[-−+<>]?\s*\d+,\d{1,2}(?:\s*[^\d,]*)?")
_DATE_LIKE = re.compile(r"\d{1,2}\s*[-/.]\s*\d{1,2}\s*[-/.]\s*\d{2,4}\b.*")


@dataclass(frozen=True)
class Table:
    """One table of a file.

    Parameters
    ----------
    source : str
        Name of the file.
    sheet : str
        Name of the sheet; empty where the file has but one table.
    rows : callable
        Gives the rows from the first one on: their number, from one, and the text of their cells.
    day_zero : datetime.date
        The day from which its spreadsheet counts.
    hidden : bool
        Whether the spreadsheet shows it to nobody.
    """

    source: str
    sheet: str
    rows: Callable[[], Iterable[Row]]
    day_zero: dt.date = DAY_ZERO
    hidden: bool = False

    @property
    def where(self) -> str:
        """File and sheet, as a refusal names them."""
        return f'{self.source}, sheet "{self.sheet}"' if self.sheet else self.source

    def place(self, row: int, column: int | None = None, heading: str = "") -> str:
        """File, sheet, row and column, as a refusal names them."""
        text = f"{self.where}, row {row}"
        if column is not None:
            text += f", column {letter(column)}"
            text += f' "{heading[:60]}"' if heading else ""
        return text

    def sound(self) -> Iterator[Row]:
        """The rows before one that cannot be taken apart; reading `rows` refuses that one."""
        try:
            yield from self.rows()
        except FileError:
            return

    def day_first(self) -> bool | None:
        """Order of day and month that its own dates settle."""
        return order_in(
            cell.strip() for _, cells in self.sound() for cell in cells if _DATE_LIKE.match(cell.strip())
        )

    def decimal_comma(self) -> bool:
        """Whether a cell has a comma that can only stand before decimals."""
        return any(
            "," in cell and _DECIMAL_COMMA.fullmatch(cell.strip()[:60])
            for _, cells in self.sound()
            for cell in cells
        )


def head_of(rows: Iterable[Row]) -> Iterator[Row]:
    """The rows in which headings are looked for."""
    considered = 0
    for number, cells in islice(rows, DEEPEST):
        yield number, cells
        considered += len(cells)
        if considered > MOST_CONSIDERED:
            return


def letter(column: int) -> str:
    """Name of a column as spreadsheets have it.

    Examples
    --------
    >>> letter(0), letter(26)
    ('A', 'AA')
    """
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name
