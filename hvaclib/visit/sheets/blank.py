"""Blank sheets to be filled in: the headings that a job of given appliances needs, with their units."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Literal, get_args

from pydantic import ValidationError

from hvaclib.errors import FileError, InputError
from hvaclib.file_models import choice, finding
from hvaclib.files import write_bytes
from hvaclib.units import kinds
from hvaclib.visit.checklist import item
from hvaclib.visit.demands import demands, tags
from hvaclib.visit.model import Entry, Job, Visit
from hvaclib.visit.plate import Appliance, ApplianceKind
from hvaclib.visit.sheets.cells_written import name, plain
from hvaclib.visit.sheets.heading import recognised
from hvaclib.visit.sheets.long_form import COLUMNS
from hvaclib.visit.sheets.target import Target
from hvaclib.visit.sheets.visit_facts import crowded
from hvaclib.visit.sheets.wide_form import owner_of
from hvaclib.visit.sheets.words import Field, fields
from hvaclib.visit.sheets.writing import Form, csv_text

System = Literal["field", "si"]
USUAL = ("fan-assisted furnace", "draft-hood water heater")
"""The appliances of a sheet for which none are named."""
_JOB = ("id", "contractor", "technician", "client", "address", "date", "altitude", "scope", "rooms")
_ALL = ("kind", "fuel", "zone", "new", "condensing", "input", "efficiency")
_FURNACE = ("rise", "maximum_static")
_GAS = ("manifold_pressure", "gas_supply")
_VENTED = (
    "vent.kind", "vent.diameter", "vent.height", "vent.lateral", "vent.elbows", "vent_shared_with", "vent_damper", "start",
)  # fmt: skip
_INSTRUMENTS = 3
_NOT_NAMED = "to be named"


def blank_sheet(
    path: str | Path,
    *,
    form: Form = "wide",
    appliances: Sequence[Appliance | str] = USUAL,
    system: System = "field",
    rooms: Sequence[str] = (),
    scope: Sequence[str] = (),
) -> None:
    """Write an empty sheet for a job, as CSV or, where the name ends so, as a workbook (.xlsx).

    Parameters
    ----------
    path : str or Path
        A file that is there already is never replaced: it could be one that is filled in.
    form : {"wide", "long"}
        One visit a row, for many jobs of the same appliances; or one entry a row, for one job: what is known already
        stands in it, and its job is filled in on the first row.
    appliances : sequence of Appliance or str
        The appliances of the job, or their kinds ("draft-hood water heater"), which then burn natural gas in the
        basement.
    system : {"field", "si"}
        Units of the headings; a cell may name another unit.
    rooms : sequence of str
        Rooms whose pressure is to be read behind closed doors.
    scope : sequence of str
        What belonged to the job: "cooling coil", "liner" and so on.

    Raises
    ------
    InputError
        If there is no such form, system, kind of appliance or scope.
    FileError
        If the file is there already, has a name of another sort, or cannot be written.
    """
    path = Path(path)
    if path.suffix.lower() not in (".csv", ".xlsx"):
        raise FileError(
            "a sheet of another sort", where=str(path), expected="a name that ends in .csv or .xlsx"
        )
    if path.exists():
        raise FileError("there is a file of that name already", where=str(path), expected="another name")
    rows = blank_rows(form=form, appliances=appliances, system=system, rooms=rooms, scope=scope)
    write_bytes(
        path, _workbook(rows) if path.suffix.lower() == ".xlsx" else csv_text(rows).encode("utf-8-sig")
    )


def blank_rows(
    *,
    form: Form = "wide",
    appliances: Sequence[Appliance | str] = USUAL,
    system: System = "field",
    rooms: Sequence[str] = (),
    scope: Sequence[str] = (),
) -> list[list[str]]:
    """The rows of a blank sheet, headings first; see `blank_sheet`.

    Parameters
    ----------
    form, appliances, system, rooms, scope
        As for `blank_sheet`.

    Returns
    -------
    list of list of str

    Raises
    ------
    InputError
        As `blank_sheet`.
    """
    for given, choices, where in ((form, get_args(Form), "form"), (system, get_args(System), "system")):
        if given not in choices:
            raise InputError(f"no such {where}", where=where, given=given, expected=choice(given, choices))
    visit = _visit(appliances, rooms, scope)
    facts, entries = list(_facts(visit, system)), list(_entries(visit, system))
    if form == "wide":
        headings = [f"{text} ({unit})" if unit else text for text, unit, _ in facts]
        return [[*headings, *(f"{text} ({unit})" if unit else text for text, unit, _ in entries)]]
    found = [list(COLUMNS)]
    for text, unit, known in facts:
        if text != fields("job")["id"].heading:
            found.append(_row({"item": text, "value": known, "unit": unit}))
    for _, unit, each in entries:
        where = "" if each.line.place == "house" else plain(each.where)
        found.append(_row({"item": _title(each), "where": where, "unit": unit}))
    return found


def _title(entry: Entry) -> str:
    """Words for people where they are read as the same item, else its id."""
    found = recognised(entry.line.title)
    same = found is not None and found == Target("item", entry.item)
    return entry.line.title if same else entry.item


def _row(cells: dict[str, str]) -> list[str]:
    return [cells.get(column, "") for column in COLUMNS]


def _visit(appliances: Sequence[Appliance | str], rooms: Sequence[str], scope: Sequence[str]) -> Visit:
    named: list[Appliance] = []
    for each in appliances:
        named.append(each if isinstance(each, Appliance) else _of_kind(each, [one.name for one in named]))
    try:
        job = Job.model_validate(
            {
                "id": _NOT_NAMED, "contractor": _NOT_NAMED, "date": dt.date(2000, 1, 1),
                "rooms": tuple(rooms), "scope": tuple(scope),
            }
        )  # fmt: skip
        return Visit(job=job, appliance=tuple(named))
    except ValidationError as error:
        where, what, given, expected = finding(error.errors()[0], {}, Visit)
        raise InputError(what, where=where or "blank sheet", given=given, expected=expected) from None


def _of_kind(kind: str, taken: list[str]) -> Appliance:
    known = get_args(ApplianceKind)
    if kind not in known:
        raise InputError(
            "no such kind of appliance", where="appliances", given=kind, expected=choice(kind, known)
        )
    sort = kind.removeprefix("two-pipe sealed ").removeprefix("draft-hood ").removeprefix("fan-assisted ")
    count = 1 + sum(each == sort or each.startswith(f"{sort} ") for each in taken)
    return Appliance.model_validate(
        {
            "name": sort if count == 1 else f"{sort} {count}", "kind": kind, "fuel": "natural gas", "zone": "basement",
        }
    )  # fmt: skip


def _facts(visit: Visit, system: System) -> Iterator[tuple[str, str, str]]:
    """Heading, unit and what is known already, of the facts of job, plates and instruments."""
    for key in _JOB:
        yield _told(
            fields("job")[key],
            "",
            system,
            "; ".join(getattr(visit.job, key, "")) if key in ("scope", "rooms") else "",
        )
    several = crowded((visit,))
    for each in visit.appliance:
        owner = f"{name(each.name, several)}: "
        known = {
            "kind": each.kind,
            "fuel": each.fuel,
            "zone": plain(each.zone),
            "new": "yes" if each.is_new else "no",
        }
        for key in _plate_keys(each):
            yield _told(fields("appliance")[key], owner, system, known.get(key, ""))
    for number in range(1, _INSTRUMENTS + 1):
        for key in ("name", "measures", "checked"):
            yield _told(fields("instrument")[key], f"instrument {number}: ", system, "")


def _plate_keys(appliance: Appliance) -> tuple[str, ...]:
    known = tags(appliance)
    return (
        *_ALL,
        *(_FURNACE if "furnace" in known else ()),
        *(_GAS if "gas" in known else ()),
        *(_VENTED if "sealed" not in known else ()),
    )


def _told(field: Field, owner: str, system: System, known: str) -> tuple[str, str, str]:
    unit = "yyyy-mm-dd" if field.sort == "date" else _unit(field.kind, system)
    return f"{owner}{field.heading}", unit, known


def _entries(visit: Visit, system: System) -> Iterator[tuple[str, str, Entry]]:
    several = crowded((visit,))
    asked = [(each.item, each.where) for each in demands(visit)]
    for line, where in (*asked, (item("remarks"), "house")):
        thing = line.measurable
        entry = Entry(item=line.key, where=where)
        yield owner_of(entry, visit, several), _unit(thing.kind if thing is not None else None, system), entry


def _unit(kind: kinds.Kind | None, system: System) -> str:
    return "" if kind is None else kind.label(system)


def _workbook(rows: Sequence[Sequence[str]]) -> bytes:
    import openpyxl
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("visits")
    sheet.freeze_panes = "B2"
    for number, heading in enumerate(rows[0], start=1):
        longest = max(len(row[number - 1]) for row in rows) if len(rows) > 1 else len(heading)
        sheet.column_dimensions[get_column_letter(number)].width = min(44, max(11, longest + 2))
    for row in rows:
        cells: list[Any] = [cell or None for cell in row]
        sheet.append(cells)
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()
