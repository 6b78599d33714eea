"""From pydantic's findings about a file to sentences: place in people's terms, what is wrong, what is expected."""

from __future__ import annotations

import difflib
import typing
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from hvaclib.errors import HvacError

_WANTED = {
    "string_type": "text in quotes",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
    "tuple_type": "a list in square brackets",
    "model_type": "a table of keys",
    "model_attributes_type": "a table of keys",
    "dict_type": "a table of keys",
    "date_type": "a date as 2026-03-14",
    "date_parsing": "a date as 2026-03-14",
    "date_from_datetime_parsing": "a date as 2026-03-14",
    "date_from_datetime_inexact": "a date as 2026-03-14",
}


class Words(str):
    """Text of ours in a sentence, shown without the quotes that mark what a person wrote."""

    __slots__ = ()

    def __repr__(self) -> str:
        """Show the bare text."""
        return str(self)


def choice(name: object, known: Iterable[str]) -> str:
    """The nearest known name, or all of them when none is near."""
    names = list(dict.fromkeys(known))
    nearest = difflib.get_close_matches(str(name), names, 1, 0.6)
    if nearest:
        return f"'{nearest[0]}' or another that exists" if len(names) > 1 else f"'{nearest[0]}'"
    return (
        "one of " + ", ".join(f"'{name}'" for name in names) if names else "a name that exists; there is none"
    )


def place(location: tuple[str | int, ...], raw: object) -> str:
    """A location in the file's keys as people say it: ``door "hall door": between[1]``."""
    parts: list[str] = []
    rest = list(location)
    if len(rest) >= 2 and isinstance(rest[1], int) and isinstance(rest[0], str):
        table, index = rest[0], rest[1]
        parts.append(f"{table} {_title(raw, table, index)}")
        rest = rest[2:]
    path = ""
    for step in rest:
        path += f"[{step}]" if isinstance(step, int) else (f".{step}" if path else str(step))
    if path:
        parts.append(path)
    return ": ".join(parts)


def _title(raw: object, table: str, index: int) -> str:
    records = raw.get(table) if isinstance(raw, Mapping) else None
    record = records[index] if isinstance(records, list | tuple) and index < len(records) else None
    name = record.get("name", record.get("item")) if isinstance(record, Mapping) else None
    return f'"{name}"' if isinstance(name, str) and name.strip() else f"number {index + 1}"


def finding(detail: ErrorDetails, raw: object, model: type[BaseModel]) -> tuple[str, str, object, str]:
    """One finding of pydantic as the four parts of a refusal: where, what, given, expected.

    Parameters
    ----------
    detail : pydantic_core.ErrorDetails
        What pydantic found.
    raw : object
        The data as read, for the names of parts.
    model : type
        The model that was read, for its keys.

    Returns
    -------
    tuple
    """
    location, kind, context = detail["loc"], detail["type"], detail.get("ctx", {})
    where = place(location, raw)
    given: object = detail["input"] if isinstance(detail["input"], str | int | float) else None
    if isinstance(given, bool):
        given = Words(str(given).lower())
    given = f"{given[:80]}…" if isinstance(given, str) and len(given) > 300 else given
    cause = context.get("error")
    if isinstance(cause, HvacError):
        return (
            ", ".join(part for part in (where, cause.where) if part),
            cause.what,
            cause.given,
            cause.expected,
        )
    if kind == "refusal":
        given = context["given"]
        shown = Words(str(given).lower()) if isinstance(given, bool) else given
        return where, context["what"], shown, context["expected"]
    if kind == "extra_forbidden":
        return (
            place(location[:-1], raw),
            "unknown key",
            str(location[-1]),
            choice(location[-1], _keys(model, location)),
        )
    if kind == "missing":
        return _missing(location, raw, model)
    if kind == "literal_error":
        return where, "not one of the choices", given, choice(given, _choices(model, location))
    if kind == "too_long" and location[-1] == "between":
        return (
            where,
            "joins too many zones",
            len(detail["input"]),
            'two names, such as ["kitchen", "outdoors"]',
        )
    if kind in {"string_too_short", "too_short"}:
        return where, "empty", given, "a name" if kind == "string_too_short" else "one table or more"
    if kind in {"greater_than_equal", "less_than_equal"}:
        limit = f"{context['ge']} or more" if "ge" in context else f"at most {context['le']}"
        return where, "out of range", given, f"a whole number, {limit}"
    wanted = _WANTED.get(kind)
    if wanted is None:
        wanted = str(detail["msg"])
    return where, "not the right sort of value", given, wanted


def _missing(
    location: tuple[str | int, ...], raw: object, model: type[BaseModel]
) -> tuple[str, str, object, str]:
    *parents, last = location
    if isinstance(last, int):
        return place(tuple(parents), raw), "too short", None, "two entries in square brackets"
    description = ""
    owner = _model_at(model, location)
    for name, field in owner.model_fields.items() if owner else ():
        if (field.alias or name) == last:
            description = (field.description or "").rstrip(".").split(";")[0]
    meaning = f" ({description[0].lower()}{description[1:]})" if description else ""
    return place(tuple(parents), raw), f"the key {last} is missing{meaning}", None, ""


def _model_at(model: type[BaseModel], location: tuple[str | int, ...]) -> type[BaseModel] | None:
    """The model whose key the last step of a location is."""
    here: Any = model
    for step in location[:-1]:
        if isinstance(step, int):
            continue
        here = _inner(_annotation(here, step))
        if here is None:
            return None
    return here if isinstance(here, type) and issubclass(here, BaseModel) else None


def _annotation(model: Any, key: str) -> Any:
    if not (isinstance(model, type) and issubclass(model, BaseModel)):
        return None
    for name, field in model.model_fields.items():
        if (field.alias or name) == key:
            return field.annotation
    return None


def _inner(annotation: Any) -> Any:
    """The model inside ``tuple[Model, ...]`` or ``Model | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for argument in typing.get_args(annotation):
        found = _inner(argument)
        if found is not None:
            return found
    return None


def _keys(model: type[BaseModel], location: tuple[str | int, ...]) -> list[str]:
    owner = _model_at(model, location)
    return [field.alias or name for name, field in owner.model_fields.items()] if owner else []


def _choices(model: type[BaseModel], location: tuple[str | int, ...]) -> list[str]:
    owner = _model_at(model, location)
    return _literals(_annotation(owner, str(location[-1])))


def _literals(annotation: Any) -> list[str]:
    if typing.get_origin(annotation) is Literal:
        return [str(value) for value in typing.get_args(annotation)]
    return [value for argument in typing.get_args(annotation) for value in _literals(argument)]
