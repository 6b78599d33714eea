"""The long form: one entry a row."""

from __future__ import annotations

from collections.abc import Iterator

from hvaclib.visit.model import Entry, Visit
from hvaclib.visit.sheets.cells_written import (
    NOT_TAKEN,
    Cell,
    fact_cell,
    name,
    plain,
    value_cell,
    when_known,
    where_text,
)
from hvaclib.visit.sheets.visit_facts import crowded, instrument_facts, job_facts, plate_facts

COLUMNS = (
    "job", "item", "where", "when", "value", "unit", "bound", "at", "instrument", "note", "photo", "found as",
)  # fmt: skip


def long_table(visits: tuple[Visit, ...], comma: bool) -> list[list[str]]:
    """The rows of the long form, headings first.

    Parameters
    ----------
    visits : tuple of Visit
    comma : bool
        Whether a cell of the table looks like a number with a decimal comma.

    Returns
    -------
    list of list of str
        With a first column that counts the visits where two have the same job.
    """
    jobs = [visit.job.id for visit in visits]
    counted = len(set(jobs)) < len(jobs)
    several = crowded(visits)
    rows = [["visit", *COLUMNS] if counted else [*COLUMNS]]
    for number, visit in enumerate(visits, start=1):
        first = [str(number), plain(visit.job.id)] if counted else [plain(visit.job.id)]
        rows += [[*first, *row] for row in _rows(visit, comma, several)]
    return rows


def _rows(visit: Visit, comma: bool, several: frozenset[str]) -> Iterator[list[str]]:
    for field, value in job_facts(visit):
        if field.key != "id":
            yield _fact(field.heading, fact_cell(field, value, comma))
    for appliance in visit.appliance:
        for field, value in plate_facts(appliance):
            yield _fact(f"{name(appliance.name, several)}: {field.heading}", fact_cell(field, value, comma))
    for number, note in enumerate(visit.instrument, start=1):
        for field, value in instrument_facts(note):
            yield _fact(f"instrument {number}: {field.heading}", fact_cell(field, value, comma))
    for entry in visit.entry:
        yield _entry(entry, visit, comma)


def _fact(heading: str, cell: Cell) -> list[str]:
    return [heading, "", "", cell.text, cell.unit, "", "", "", "", "", ""]


def _entry(entry: Entry, visit: Visit, comma: bool) -> list[str]:
    where, known = where_text(entry, visit)
    place = NOT_TAKEN if not where else plain(where) if known else f"'{where}"
    when = entry.when if when_known(entry) else f"'{entry.when}"
    value = value_cell(entry, comma)
    return [
        entry.item, place, when, value.text, value.unit, entry.bound, plain(entry.at), plain(entry.instrument),
        plain(entry.note), plain(entry.photo), plain(entry.found_as),
    ]  # fmt: skip
