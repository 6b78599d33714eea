"""The cells that speak of one visit, gathered by what they speak of, before they are understood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from hvaclib.errors import FileError
from hvaclib.visit.sheets.table import LONGEST, NO_VALUE, Table
from hvaclib.visit.sheets.target import Target
from hvaclib.visit.sheets.understood import Report


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Parameters
    ----------
    table : Table
    index : int
        From zero.
    heading : str
        As it stands in the table.
    target : Target
        What its cells are.
    unit : str
        Unit of its cells.
    """

    table: Table
    index: int
    heading: str
    target: Target
    unit: str = ""

    def place(self, row: int) -> str:
        """File, row and column, as a refusal names them."""
        return self.table.place(row, self.index, self.heading)

    @property
    def name(self) -> str:
        """Letter and heading, as a note names them."""
        return self.table.place(0, self.index, self.heading).partition("column ")[2]


class Spot(NamedTuple):
    """A cell that is not blank.

    Parameters
    ----------
    text : str
        Its content.
    literal : bool
        Whether an apostrophe before it says that it is to be taken letter by letter.
    row : int
    column : Column
    unit : str
        Unit that holds for it, without one of its own.
    """

    text: str
    literal: bool
    row: int
    column: Column
    unit: str

    @property
    def place(self) -> str:
        """File, row and column, as a refusal names them."""
        return self.column.place(self.row)


class Address(NamedTuple):
    """What an answer belongs to: item, place as the table names it, stage, and which of several answers it is."""

    key: str
    where: str | None
    exact: bool
    when: str
    number: int


class Draft:
    """The cells of one visit.

    Parameters
    ----------
    table : Table
        Where it begins.
    row : int
        In which row.
    """

    __slots__ = ("answers", "instruments", "job", "plates", "row", "struck", "table", "wheres")

    def __init__(self, table: Table, row: int) -> None:
        self.table = table
        self.row = row
        self.job: dict[str, Spot] = {}
        self.plates: dict[str, dict[str, Spot]] = {}
        self.instruments: dict[str, dict[str, Spot]] = {}
        self.answers: dict[Address, dict[str, Spot]] = {}
        self.wheres: dict[Address, Spot] = {}
        self.struck: set[tuple[int, str]] = set()

    @property
    def place(self) -> str:
        """File, sheet and row, as a refusal names them."""
        return self.table.place(self.row)

    def put(self, target: Target, address: Address | None, spot: Spot, report: Report) -> None:
        """Put a cell where it belongs; of two that differ neither is taken."""
        if spot.text == NO_VALUE and not spot.literal:
            report.refuse(
                FileError(
                    "a formula whose value the workbook does not hold, and nothing is worked out here",
                    where=spot.place, expected="the value itself, or a workbook that a spreadsheet has saved",
                )
            )  # fmt: skip
            return
        if len(spot.text) > LONGEST:
            report.refuse(
                FileError(
                    "the cell is too long", where=spot.place, given=f"{len(spot.text):,} characters",
                    expected=f"at most {LONGEST:,}; a quotation mark may stand open",
                )
            )  # fmt: skip
            return
        if address is not None:
            cells, key = self.answers.setdefault(address, {}), target.part
        else:
            cells, key = self._facts(target), target.key
        self._into(cells, key, spot, report)

    def _facts(self, target: Target) -> dict[str, Spot]:
        if target.sort == "job":
            return self.job
        group = self.plates if target.sort == "appliance" else self.instruments
        return group.setdefault(target.where or "", {})

    def _into(self, cells: dict[str, Spot], key: str, spot: Spot, report: Report) -> None:
        known = cells.get(key)
        if known is None and (id(cells), key) not in self.struck:
            cells[key] = spot
        elif known is None or (known.text, known.unit, known.literal) != (spot.text, spot.unit, spot.literal):
            other = f"{known.text[:60]!r} in row {known.row}, " if known is not None else "another, "
            report.refuse(
                FileError(
                    "two cells for the same thing differ, and neither is taken",
                    where=spot.place,
                    given=spot.text[:60],
                    expected=f"the same as {other}or one of the two cells blank",
                )
            )
            self.struck.add((id(cells), key))
            cells.pop(key, None)

    def join(self, other: Draft, report: Report) -> None:
        """Add what another sheet says of the same visit."""
        for key, spot in other.job.items():
            self._into(self.job, key, spot, report)
        for mine, theirs in ((self.plates, other.plates), (self.instruments, other.instruments)):
            for name, cells in theirs.items():
                for key, spot in cells.items():
                    self._into(mine.setdefault(name, {}), key, spot, report)
        for address, cells in other.answers.items():
            for key, spot in cells.items():
                self._into(self.answers.setdefault(address, {}), key, spot, report)
        self.wheres.update(other.wheres)


def address_of(target: Target) -> Address | None:
    """Address of the answers under a heading; ``None`` for a fact of job, plate or instrument."""
    if target.sort != "item":
        return None
    return Address(target.key, target.where, target.exact, target.when, target.number)


def literal(cell: str) -> tuple[str, bool]:
    """Content of a cell without spaces around it, or letter by letter behind an apostrophe.

    Parameters
    ----------
    cell : str
        As it stands in the file.

    Returns
    -------
    tuple of str and bool

    Examples
    --------
    >>> literal(" 5 Pa "), literal("'=1+1")
    (('5 Pa', False), ('=1+1', True))
    """
    if cell.startswith("'"):
        return cell[1:], True
    return cell.strip(), False
