"""What a fit starts from, out of one file: a visit in any form that is read, or a dwelling with its own readings."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from hvaclib.errors import FileError

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.readings import Readings
    from hvaclib.visit import Visit

DWELLING = b"hvaclib dwelling"


@dataclass(frozen=True, slots=True)
class Source:
    """A house with its record.

    Parameters
    ----------
    name : str
        What people call it.
    dwelling : Dwelling or None
        None where only a sheet is known.
    record : Visit or Readings
        The visit, or the readings of the dwelling's file.
    invented : bool
        Whether it is made up.
    """

    name: str
    dwelling: Dwelling | None
    record: Visit | Readings
    invented: bool = False

    def with_dwelling(self, dwelling: Dwelling) -> Source:
        """The same record for a dwelling that somebody has drawn."""
        return Source(self.name, dwelling, self.record, self.invented)


def source_of(content: bytes, name: str) -> Source:
    """Read a file that a fit can start from.

    Parameters
    ----------
    content : bytes
        A visit (TOML, JSON, CSV, XLSX), or a dwelling file with readings.
    name : str
        Its name, for messages and for its form.

    Returns
    -------
    Source

    Raises
    ------
    FileError
        If it is neither, holds no visit or several, or is a dwelling without a reading.
    """
    lower = name.lower()
    if not lower.endswith((".csv", ".xlsx", ".tsv", ".txt")) and DWELLING in content[:4_000]:
        from hvaclib.house.file import parse_dwelling

        return source_of_dwelling(parse_dwelling(content, name), name)
    if lower.endswith((".toml", ".json")):
        from hvaclib.visit import from_text

        return source_of_visit(from_text(content, name))
    understood = _table_reader(name)(content, name)
    if len(understood.visits) != 1:
        refused = "; ".join(str(each) for each in understood.refusals[:1])
        raise FileError(
            "a what-if is asked of one visit", where=name, given=f"{len(understood.visits)} visits. {refused}".strip(),
            expected="a file with one visit",
        )  # fmt: skip
    return source_of_visit(understood.visits[0])


def _table_reader(name: str) -> Any:
    """What reads tables of visits: it comes with the package of sheets, which an installation may lack."""
    package = "hvaclib.visit.sheets"
    if find_spec(package) is None:
        raise FileError(
            "tables of visits cannot be read here",
            where=name,
            expected="the file of one visit as TOML or JSON",
        )
    return import_module(package).read_content


def source_of_dwelling(dwelling: Dwelling, name: str) -> Source:
    """A dwelling with the readings of its own file.

    Raises
    ------
    FileError
        If the file has none.
    """
    from hvaclib.house.dwelling.measured import measured_readings

    readings = measured_readings(dwelling)
    if not len(readings):
        raise FileError(
            "the dwelling file has no reading",
            where=name,
            expected="[[reading]] tables, or a visit beside it",
        )
    return Source(dwelling.name, dwelling, readings, dwelling.invented)


def source_of_visit(visit: Visit) -> Source:
    """A visit of a house that nobody has drawn."""
    return Source(f"job {visit.name}", None, visit, visit.job.invented)
