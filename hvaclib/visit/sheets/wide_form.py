"""The wide form: one visit a row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter
from typing import NamedTuple

from hvaclib.visit.model import Entry, Visit
from hvaclib.visit.sheets.cells_written import (
    NOT_TAKEN,
    Cell,
    bounded,
    fact_cell,
    name,
    plain,
    quoted,
    value_cell,
    when_known,
    where_text,
)
from hvaclib.visit.sheets.visit_facts import crowded, instrument_facts, job_facts, plate_facts
from hvaclib.visit.sheets.words import fields

PARTS = ("at", "instrument", "note", "photo", "found_as")


class _Key(NamedTuple):
    """A column: its group, what in the group it belongs to, and which of its parts it is."""

    group: str
    owner: str
    part: str


def wide_table(visits: tuple[Visit, ...], comma: bool) -> tuple[list[list[str]], tuple[str, ...]]:
    """The rows of the wide form, headings first, and what it cannot hold.

    Parameters
    ----------
    visits : tuple of Visit
    comma : bool
        Whether a cell of the table looks like a number with a decimal comma.

    Returns
    -------
    tuple
        Rows of one length, and a sentence where visits have their appliances or entries in orders that no single order
        of columns can keep.
    """
    several = crowded(visits)
    cells = [dict(_cells(visit, comma, several)) for visit in visits]
    units: dict[_Key, Counter[str]] = {}
    for row in cells:
        for key, cell in row.items():
            counted = units.setdefault(key, Counter())
            if cell.unit:
                counted[cell.unit] += 1
    common = {key: counted.most_common(1)[0][0] if counted else "" for key, counted in units.items()}
    columns, lost = _ordered(common, cells)
    header = [_heading(key, common[key]) for key in columns]
    rows = [[_shown(row.get(key), common[key]) for key in columns] for row in cells]
    return [header, *rows], lost


def _cells(visit: Visit, comma: bool, several: frozenset[str]) -> Iterator[tuple[_Key, Cell]]:
    for field, value in job_facts(visit):
        yield _Key("job", "", field.key), fact_cell(field, value, comma)
    for appliance in visit.appliance:
        for field, value in plate_facts(appliance):
            yield _Key("appliance", name(appliance.name, several), field.key), fact_cell(field, value, comma)
    for number, note in enumerate(visit.instrument, start=1):
        for field, value in instrument_facts(note):
            yield _Key("instrument", f"instrument {number}", field.key), fact_cell(field, value, comma)
    counts: Counter[str] = Counter()
    for entry in visit.entry:
        owner = owner_of(entry, visit, several)
        counts[owner] += 1
        if counts[owner] > 1:
            owner = f"{owner} #{counts[owner]}"
        value = value_cell(entry, comma)
        both = bounded(value, entry)
        shown = both or value
        yield _Key("item", owner, ""), shown if shown.text else Cell(NOT_TAKEN)
        if both is None:
            yield _Key("item", owner, "bound"), Cell(entry.bound)
        for part in PARTS:
            if getattr(entry, part):
                yield _Key("item", owner, part), Cell(plain(getattr(entry, part)))


def owner_of(entry: Entry, visit: Visit, several: frozenset[str]) -> str:
    """Item, place and stage of an answer, as a heading names them."""
    where, known = where_text(entry, visit)
    if entry.line.place == "house" and where == "house":
        place = ""
    elif not where:
        place = f" @ {NOT_TAKEN}"
    else:
        place = f" @ {name(where, several) if known else quoted(where)}"
    stage = f" | {name(entry.when) if when_known(entry) else quoted(entry.when)}" if entry.when else ""
    return f"{entry.item}{place}{stage}"


def _heading(key: _Key, unit: str) -> str:
    if key.group == "item":
        text = f"{key.owner}: {fields('entry')[key.part].heading}" if key.part else key.owner
    else:
        heading = fields(key.group)[key.part].heading
        text = f"{key.owner}: {heading}" if key.owner else heading
    return f"{text} ({unit})" if unit else text


def _shown(cell: Cell | None, unit: str) -> str:
    if cell is None:
        return ""
    if cell.unit == unit or not cell.unit:
        return cell.text
    text = f"{cell.text} {cell.unit}"
    return plain(text) if cell.text[0] in "<>" or not text.startswith("-") else f"'{text}"


def _ordered(keys: Iterable[_Key], cells: list[dict[_Key, Cell]]) -> tuple[list[_Key], tuple[str, ...]]:
    """The columns, so that every visit's own order of appliances and entries is kept where one order can do that."""
    found = list(keys)
    lost: list[str] = []
    ranks: dict[tuple[str, str], int] = {}
    for group, what in (("appliance", "appliances"), ("item", "entries")):
        orders = dict.fromkeys(
            tuple(dict.fromkeys(key.owner for key in row if key.group == group)) for row in cells
        )
        graph: dict[str, set[str]] = {}
        for order in orders:
            for before, after in zip(("", *order), order, strict=False):
                graph.setdefault(after, set()).update({before} - {""})
        try:
            owners = list(TopologicalSorter(graph).static_order())
        except CycleError:
            owners = list(graph)
            lost.append(f"The visits have their {what} in several orders; the wide form keeps but one.")
        ranks.update({(group, owner): rank for rank, owner in enumerate(owners)})
    groups = ("job", "appliance", "instrument", "item")
    parts = {key: rank for sort in groups[:3] for rank, key in enumerate(fields(sort))}
    parts |= {"": -1, **{key: rank for rank, key in enumerate(("bound", *PARTS))}}

    def rank(key: _Key) -> tuple[int, int, str, int]:
        number = ranks.get((key.group, key.owner), 0)
        return (
            groups.index(key.group),
            number,
            "" if key.group != "instrument" else key.owner,
            parts[key.part],
        )

    return sorted(found, key=rank), tuple(lost)
