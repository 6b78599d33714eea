"""Visits in TOML and JSON: one, or a list of them."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from typing import Any

from hvaclib.errors import FileError
from hvaclib.visit.explain import VisitFileError
from hvaclib.visit.file import from_document
from hvaclib.visit.model import Visit
from hvaclib.visit.sheets.understood import Report

DEEPEST_KEY = 200
"""Most parts of a dotted key of TOML."""
MOST_FAULTS = 100
"""Most faults of one visit that are listed."""
EXPECTED = "a visit, or a list of visits: [[visit]] in TOML, [...] in JSON"


def parsed(text: str, source: str) -> tuple[Any, str]:
    """The content of a text and its form, "TOML" or "JSON".

    Raises
    ------
    FileError
        If it is neither.
    """
    plain = text.strip()
    likely_json = source.lower().endswith(".json") or plain.startswith(("{", "[{", "[ {", "[\n", "[]"))
    reason = ""
    try:
        return (_json(plain), "JSON") if likely_json else (_toml(text), "TOML")
    except RecursionError:
        reason = "brackets are nested too deeply"
    except ValueError as error:
        reason = str(error).partition("; use sys.")[0][:200]
    form = "JSON" if likely_json else "TOML"
    raise FileError(
        f"cannot be read as {form} ({reason[:1].lower()}{reason[1:]})", where=source, expected=EXPECTED
    )


def _toml(text: str) -> Any:
    """TOML whose keys have a depth that a record can have: the parser takes their square in time."""
    for number, line in enumerate(text.split("\n"), start=1):
        if line.partition("=")[0].count(".") > DEEPEST_KEY:
            raise ValueError(f"a key of more than {DEEPEST_KEY} parts (at line {number})")
    return tomllib.loads(text)


def _json(text: str) -> Any:
    """JSON without what Python adds to it, and without a key that stands twice, of which one would be lost."""
    found = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    if "\\u" in text:
        try:
            json.dumps(found, ensure_ascii=False).encode()
        except UnicodeEncodeError as error:
            raise ValueError(f"half a character, U+{ord(error.object[error.start]):04X}") from None
    return found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"the key '{twice[:80]}' stands twice in one table")
    return found


def _no_number(name: str) -> None:
    raise ValueError(f"'{name}' is no number")


def records_in(content: Any) -> list[dict[str, Any]] | None:
    """The rows of a document that is a table: a list of flat records, each with headings for keys.

    Parameters
    ----------
    content : object
        As `parsed` gives it.

    Returns
    -------
    list of dict or None
        ``None`` where it is a list of visits, or neither.
    """
    flat = (
        isinstance(content, list)
        and bool(content)
        and all(isinstance(each, dict) and isinstance(each.get("job"), str | int) for each in content)
    )
    return content if flat else None


def rows_of(records: list[dict[str, Any]]) -> list[list[str]]:
    """The rows of text of a table of records, headings first."""
    header = list(dict.fromkeys(key for each in records for key in each))
    return [header, *([_cell(each.get(key)) for key in header] for each in records)]


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.15g}"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, list | dict) else str(value)


def visits_of(content: Any, source: str, report: Report) -> Iterator[Visit]:
    """The visits of a document, those that cannot be read refused one by one.

    Parameters
    ----------
    content : object
        As `parsed` gives it.
    source : str
        Name of the file.
    report : Report

    Yields
    ------
    Visit

    Raises
    ------
    FileError
        If it holds no visit.
    """
    name = next((name for name in ("visit", "visits") if _is_list(content, name)), "")
    if name:
        others = [key for key in content if key not in (name, "format")]
        for key in others:
            report.refuse(
                FileError(
                    "unknown key beside the list of visits", where=source, given=str(key)[:80],
                    expected=f"'{name}' and nothing else",
                )
            )  # fmt: skip
        content = content[name]
    if isinstance(content, dict):
        yield from _one(content, source, report)
        return
    if not isinstance(content, list) or not content:
        raise FileError("holds no visit", where=source, expected=EXPECTED)
    for number, each in enumerate(content, start=1):
        where = f"{source}, visit {number}"
        if isinstance(each, dict):
            yield from _one(each, where, report)
        else:
            report.refuse(
                FileError("this is no visit", where=where, given=str(each)[:80], expected="a table of keys")
            )


def _is_list(content: Any, name: str) -> bool:
    return isinstance(content, dict) and isinstance(content.get(name), list)


def _one(document: dict[str, Any], where: str, report: Report) -> Iterator[Visit]:
    try:
        yield from_document(document, where)
    except VisitFileError as error:
        more = len(error.others) - MOST_FAULTS
        if more > 0:
            others = (*error.others[:MOST_FAULTS], f"{where}: {more:,} more faults are not listed.")
            error = VisitFileError(
                error.what, where=error.where, given=error.given, expected=error.expected, others=others
            )
        report.refuse(error)
