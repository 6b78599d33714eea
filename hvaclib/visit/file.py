"""Read and write one visit as TOML or JSON, the suite's own format."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from hvaclib.files import write_text
from hvaclib.visit.explain import VisitFileError, refusal
from hvaclib.visit.model import FORMAT, Visit

LARGEST = 2_000_000
"""Largest file of one visit, bytes; a full one has some 15 000."""


def read_visit(path: str | Path) -> Visit:
    """Read the file of one visit.

    Parameters
    ----------
    path : str or Path
        TOML or JSON, told by its content.

    Returns
    -------
    Visit

    Raises
    ------
    VisitFileError
        If the file cannot be read as a visit: the first sentence says where and why, ``sentences`` has all.
    """
    path = Path(path)
    if path.is_dir():
        raise VisitFileError("is a folder", where=str(path), expected="the file of a visit (.toml or .json)")
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= LARGEST else b""
    except FileNotFoundError:
        raise VisitFileError("there is no such file", where=str(path)) from None
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise VisitFileError(f"the file cannot be read ({reason})", where=str(path)) from None
    if size > LARGEST:
        raise _too_large(path.name)
    return from_text(content, path.name)


def from_text(content: bytes | str, source: str = "visit") -> Visit:
    """Read a visit from the content of a file, as an upload brings it.

    Parameters
    ----------
    content : bytes or str
        TOML or JSON.
    source : str
        What messages call it.

    Returns
    -------
    Visit

    Raises
    ------
    VisitFileError
        As `read_visit`.
    """
    return from_document(document_of(content, source), source)


def document_of(content: bytes | str, source: str) -> dict[str, Any]:
    """The mapping that a TOML or JSON text holds.

    Raises
    ------
    VisitFileError
        If it is too large, no UTF-8 text, empty, or neither TOML nor JSON.
    """
    if len(content) > LARGEST:
        raise _too_large(source)
    if isinstance(content, bytes):
        try:
            content = content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = error.object[: error.start].count(b"\n") + 1
            raise VisitFileError(
                f"line {line} is not UTF-8 text", where=source, expected="a text file saved as UTF-8"
            ) from None
    text = content.strip()
    if not text:
        raise VisitFileError("the file is empty", where=source, expected=f'format = "{FORMAT}" and so on')
    try:
        document = json.loads(text) if text.startswith(("{", "[{", "[ {")) else tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        reason = str(error) if not isinstance(error, RecursionError) else "brackets are nested too deeply"
        raise VisitFileError(
            f"cannot be read ({reason[:1].lower()}{reason[1:]})", where=source, expected="TOML or JSON"
        ) from None
    if not isinstance(document, dict):
        raise VisitFileError(
            "holds no table of keys", where=source, expected=f'format = "{FORMAT}" and so on'
        )
    return document


def from_document(document: dict[str, Any], source: str = "visit") -> Visit:
    """A visit from a mapping as a TOML or JSON file gives it.

    Raises
    ------
    VisitFileError
        With a sentence for each fault.
    """
    try:
        return Visit.model_validate(document)
    except ValidationError as error:
        raise refusal(error, document, source) from None


def to_document(visit: Visit) -> dict[str, Any]:
    """A visit as a mapping that TOML and JSON can hold, without what is as usual."""
    found = visit.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    return {"format": FORMAT, **found}


def to_text(visit: Visit, form: str = "toml") -> str:
    """A visit as the text of a file.

    Parameters
    ----------
    visit : Visit
    form : {"toml", "json"}

    Returns
    -------
    str
        Reading it back gives an equal visit.
    """
    document = to_document(visit)
    if form == "json":
        return json.dumps(document, indent=1, ensure_ascii=False) + "\n"
    import tomli_w

    return tomli_w.dumps(document)


def write_visit(visit: Visit, path: str | Path) -> None:
    """Write a visit; the file appears whole or not at all.

    Parameters
    ----------
    visit : Visit
    path : str or Path
        TOML, or JSON where the name ends so; an existing file is replaced.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    path = Path(path)
    write_text(path, to_text(visit, "json" if path.suffix.lower() == ".json" else "toml"))


def schema() -> dict[str, Any]:
    """JSON Schema of a visit's file, for editors that complete and check."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Visit.model_json_schema(by_alias=True),
    }


def _too_large(source: str) -> VisitFileError:
    return VisitFileError(
        "the file is too large for one visit", where=source, expected=f"at most {LARGEST / 1e6:g} MB"
    )
