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
        return (json.loads(plain), "JSON") if likely_json else (tomllib.loads(text), "TOML")
    except RecursionError:
        reason = "brackets are nested too deeply"
    except ValueError as error:
        reason = str(error)[:200]
    form = "JSON" if likely_json else "TOML"
    raise FileError(
        f"cannot be read as {form} ({reason[:1].lower()}{reason[1:]})", where=source, expected=EXPECTED
    )


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
    if isinstance(content, dict) and isinstance(content.get("visit"), list):
        others = [key for key in content if key not in ("visit", "format")]
        for key in others:
            report.refuse(
                FileError("unknown key beside the list of visits", where=source, given=str(key)[:80])
            )
        content = content["visit"]
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


def _one(document: dict[str, Any], where: str, report: Report) -> Iterator[Visit]:
    try:
        yield from_document(document, where)
    except VisitFileError as error:
        report.refuse(error)
