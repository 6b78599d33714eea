"""Cells about the job, the rating plates and the instruments."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import Any, get_args

from hvaclib.errors import InputError
from hvaclib.file_models import choice
from hvaclib.units import kinds, parse_si
from hvaclib.visit.model import Scope
from hvaclib.visit.plate import ApplianceKind, Fuel, VentNote
from hvaclib.visit.sheets.dates import DAY_ZERO, date_of
from hvaclib.visit.sheets.values import number, pair, yes_or_no
from hvaclib.visit.sheets.words import Field, choices, fold

_CHOICES: dict[str, tuple[str, ...]] = {
    "kind": get_args(ApplianceKind),
    "fuel": get_args(Fuel),
    "vent.kind": get_args(VentNote.model_fields["kind"].annotation),
    "start": ("cold", "warm"),
}


def fact(
    field: Field,
    text: str,
    unit: str,
    decimal_comma: bool,
    day_first: bool | None,
    day_zero: dt.date = DAY_ZERO,
) -> tuple[Any, str]:
    """What a cell about job, plate or instrument says.

    Parameters
    ----------
    field : Field
        What it is.
    text : str
        Content of the cell, not blank.
    unit : str
        Unit of the column.
    decimal_comma : bool
        Whether the file has decimal commas elsewhere.
    day_first : bool or None
        Order of its dates.
    day_zero : datetime.date
        The day from which its spreadsheet counts.

    Returns
    -------
    tuple
        The value as the record holds it, and words for the report where it had to be interpreted.

    Raises
    ------
    InputError, UnitError
        If it is not what the field holds.
    """
    if field.sort == "number":
        assert field.kind is not None
        taken = number(text, field.kind, unit, "", decimal_comma)
        if taken.bound:
            raise InputError(
                "a bound where the number itself is asked for", given=text, expected=field.kind.expected
            )
        return taken.value, taken.why
    if field.sort == "date":
        return date_of(text, day_first, day_zero)
    if field.sort == "yes or no":
        answer = yes_or_no(text)
        return answer.value == "yes", answer.why
    if field.sort == "pair":
        assert field.kind is not None
        return _pair(text, field.kind, unit, decimal_comma), ""
    return _words(field, text, decimal_comma)


def _words(field: Field, text: str, decimal_comma: bool) -> tuple[Any, str]:
    if field.sort == "choice":
        return _choice(field.key, text)
    if field.sort == "list":
        found = list_of(text)
        return (tuple(_scope(each) for each in found) if field.key == "scope" else found), ""
    if field.sort == "table":
        return _table(text, decimal_comma), ""
    if field.sort == "count":
        if not re.fullmatch(r"\d{1,3}(?:\.0+)?", text, re.ASCII):
            raise InputError("not a number of pieces", given=text[:40], expected="a whole number")
        return int(float(text)), ""
    return text, ""


def list_of(text: str) -> tuple[str, ...]:
    """The names in a cell, between semicolons, else commas; or a JSON list.

    Raises
    ------
    InputError
        If a name is empty or too long.

    Examples
    --------
    >>> list_of("bedroom 1; bedroom 2")
    ('bedroom 1', 'bedroom 2')
    """
    found = _json(text)
    if found is None:
        parts = re.split(r"[;\n]" if re.search(r"[;\n]", text) else ",", text)
        found = [part.strip() for part in parts if part.strip()]
    if not all(isinstance(each, str) and 0 < len(each) <= 200 for each in found):
        raise InputError(
            "not a list of names", given=text[:80], expected="names with semicolons between them"
        )
    return tuple(found)


def _scope(text: str) -> str:
    for known in get_args(Scope):
        if fold(known) == fold(text):
            return str(known)
    raise InputError("not one of the choices", given=text[:80], expected=choice(text[:80], get_args(Scope)))


def _choice(key: str, text: str) -> tuple[str, str]:
    known = _CHOICES[key]
    for each in known:
        if fold(each) == fold(text):
            return each, ""
    other = choices(key).get(fold(text))
    if other is not None:
        return other, f"another word for {other}"
    last = fold(text).rpartition(" ")[2]
    near = [each for each in known if last and each.endswith(last)]  # "furnace" is one of three, not of nine
    raise InputError(
        "not one of the choices", given=text[:80], expected=choice(text[:80].lower(), near or known)
    )


def _pair(text: str, kind: kinds.Kind, unit: str, decimal_comma: bool) -> tuple[str, str]:
    found = _json(text)
    if found is None:
        return pair(text, kind, unit, decimal_comma)
    if len(found) != 2 or not all(isinstance(each, str) for each in found):
        raise InputError("not a range", given=text[:80], expected="two numbers with 'to' between them")
    if parse_si(found[0], kind) > parse_si(found[1], kind):
        raise InputError("the range is empty", given=text[:80], expected="the smaller value first")
    return found[0], found[1]


def _table(text: str, decimal_comma: bool) -> tuple[tuple[str, str], ...]:
    found = _json(text)
    rows = (
        [re.split(r"\s*[=:]\s*", row.strip()) for row in re.split(r"[;\n]", text)] if found is None else found
    )
    rows = [row for row in rows if row != [""]]
    if not rows or len(rows) > 40 or not all(
        isinstance(row, list) and len(row) == 2 and all(isinstance(each, str) for each in row) for row in rows
    ):  # fmt: skip
        raise InputError(
            "not a blower table",
            given=text[:80],
            expected="rows such as '0.5 in. w.c. = 1200 cfm; 0.6 in. w.c. = 1150 cfm'",
        )
    if found is not None:
        return tuple((row[0], row[1]) for row in rows)
    return tuple(
        (
            number(static, kinds.GAUGE_PRESSURE, "", "", decimal_comma).value,
            number(flow, kinds.VOLUME_FLOW, "", "", decimal_comma).value,
        )
        for static, flow in rows
    )


def _json(text: str) -> list[Any] | None:
    """The list that a cell holds as JSON; ``None`` when it holds none."""
    if not text.startswith("["):
        return None
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, list) else None
