"""What is written into a cell, so that reading gives the same again and no spreadsheet runs it."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import Any, NamedTuple

from hvaclib.cells import harmless
from hvaclib.errors import HvacError
from hvaclib.units import kinds
from hvaclib.visit.model import Entry, Visit
from hvaclib.visit.sheets.draft import literal
from hvaclib.visit.sheets.facts import fact
from hvaclib.visit.sheets.heading import is_unit
from hvaclib.visit.sheets.values import missing, number
from hvaclib.visit.sheets.words import Field, fold, item_names, words

NOT_TAKEN = "—"
_SPLIT = re.compile(
    r"(-?(?:0|[1-9]\d*)(?:\.\d+)?) ([^\s()\[\]\"|#@:](?:[^()\[\]\"|#@:]*[^\s()\[\]\"|#@:])?)", re.ASCII
)
_PLAIN_NAME = re.compile(r"[a-z][a-z0-9]*(?: [a-z0-9]+)*", re.ASCII)


class Cell(NamedTuple):
    """Text of a cell and, where it is a bare number, its unit."""

    text: str
    unit: str = ""


def plain(text: str) -> str:
    """Words as a cell holds them: with an apostrophe before them where they would be read as something else.

    Examples
    --------
    >>> plain("as found"), plain("=1+1"), plain("n/a")
    ('as found', "'=1+1", "'n/a")
    """
    return text if not text or (_as_it_is(text) and not missing(text)) else f"'{text}"


def _as_it_is(text: str) -> bool:
    return (
        literal(text) == (text, False)
        and harmless(text) == text
        and fold(text) not in words("totals")
        and not text.startswith("[")
    )


def name(text: str, crowded: frozenset[str] = frozenset()) -> str:
    r"""A name inside a heading, in quotation marks where it could be misread.

    Parameters
    ----------
    text : str
    crowded : frozenset of str
        Folded names that several things of the table have.

    Examples
    --------
    >>> name("water heater"), name('old "Bess"')
    ('water heater', '"old \\"Bess\\""')
    """
    known = text in item_names() or text in words("stages") or text in words("missing")
    if (
        _PLAIN_NAME.fullmatch(text)
        and not known
        and text not in ("job", "visit", "house")
        and fold(text) not in crowded
    ):
        return f'"{text}"' if re.fullmatch(r"instrument \d+", text) else text
    return quoted(text)


def quoted(text: str) -> str:
    """A name in quotation marks, on one line, with every space kept."""
    made = json.dumps(text, ensure_ascii=False)
    return re.sub(r"(?<= ) |[^\S ]|[\x00-\x1f\x7f-\x9f]", lambda match: f"\\u{ord(match[0]):04x}", made)


def fact_cell(field: Field, value: Any, comma: bool) -> Cell:
    """The cell of a fact about job, plate or instrument.

    Parameters
    ----------
    field : Field
    value : object
        As the record holds it.
    comma : bool
        Whether the table has a cell that looks like a number with a decimal comma.

    Returns
    -------
    Cell
    """
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, dt.date):
        return Cell(value.isoformat())
    if isinstance(value, int):
        return Cell(str(value))
    if field.sort == "number":
        return _number(value, field.kind, "", comma)
    if isinstance(value, str):
        return Cell(plain(value) if field.sort == "text" else value)
    rows = {"pair": " to ", "list": "; "}
    text = rows[field.sort].join(value) if field.sort in rows else "; ".join(" = ".join(row) for row in value)
    try:
        same = literal(text) == (text, False) and harmless(text) == text and text != "" and not missing(text)
        same = same and all(fact(field, text, "", each, None)[0] == value for each in {comma, False})
    except HvacError:
        same = False
    return Cell(text if same else json.dumps(value, ensure_ascii=False))


def value_cell(entry: Entry, comma: bool) -> Cell:
    """The cell of an answer, without its bound.

    Parameters
    ----------
    entry : Entry
    comma : bool
        As for `fact_cell`.

    Returns
    -------
    Cell
        Blank when nothing was taken.
    """
    line = entry.line
    if not entry.value:
        return Cell("")
    if line.yes_or_no:
        return Cell(entry.value if entry.value in ("yes", "no") else f"'{entry.value}")
    thing = line.measurable
    if thing is None or thing.kind is None:
        return Cell(plain(entry.value))
    return _number(entry.value, thing.kind, thing.infinite, comma)


def _number(value: str, kind: kinds.Kind | None, infinite: str, comma: bool) -> Cell:
    assert kind is not None
    match = _SPLIT.fullmatch(value)
    try:
        if match is not None and is_unit(match[2], kind) and " ".join(match[2].split()) == match[2]:
            found = [number(match[1], kind, match[2], infinite, each) for each in {comma, False}]
            if all(each.value == value and not each.bound for each in found):
                return Cell(match[1], match[2])
        if _as_it_is(value) and not missing(value):
            found = [number(value, kind, "", infinite, each) for each in {comma, False}]
            if all(each.value == value and not each.bound for each in found):
                return Cell(value)
    except HvacError:
        return Cell(f"'{value}")
    return Cell(f"'{value}")


def bounded(cell: Cell, entry: Entry) -> Cell | None:
    """The cell with its bound before the number; ``None`` where the bound needs a cell of its own."""
    sign = {"": "", "less than": "<", "more than": ">"}[entry.bound]
    thing = entry.line.measurable
    if not sign:
        return cell
    if not cell.text or cell.text.startswith("'") or thing is None or thing.kind is None:
        return None
    if cell.text.casefold() in ("inf", "never", "did not stop", thing.infinite):
        return None
    return Cell(sign + cell.text, cell.unit) if re.match(r"[-.\d]", cell.text) else None


def where_text(entry: Entry, visit: Visit) -> tuple[str, bool]:
    """The place of an answer, and whether it is one that the visit knows."""
    known = entry.where in visit.places[entry.line.place]
    return entry.where, known


def when_known(entry: Entry) -> bool:
    """Whether the stage of an answer is read as it is written."""
    stage = entry.when
    if not stage:
        return True
    same = fold(stage) == stage if fold(stage) in words("stages") else True
    return same and stage != entry.line.stage and plain(stage) == stage
