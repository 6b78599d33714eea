"""Read and write dwelling files (TOML, the suite's own format)."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from hvaclib.files import write_text
from hvaclib.house.dwelling.model import Dwelling
from hvaclib.house.dwelling.sentences import DwellingFileError, Words, file_error

MAXIMUM_SIZE = 1_000_000
"""Largest dwelling file that is read, bytes; the demo files have about 8 000."""

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_TOML_MEANING = {
    "Illegal character '\\n'": "a quote is not closed",
    "Unterminated string": "a quote is not closed",
    "Cannot overwrite a value": "this key is there already",
    "Expected newline or end of document after a statement": "something stands after the value",
    "Invalid value": "the value is neither a number, true or false, nor text in straight quotes",
    "Expected '=' after a key in a key/value pair": "there is no equals sign after the key",
}
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f"}


def read_dwelling(path: str | Path) -> Dwelling:
    """Read a dwelling file.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Dwelling

    Raises
    ------
    DwellingFileError
        If the file cannot be read as a dwelling: the first sentence says where and why, ``sentences`` has all.
    """
    path = Path(path)
    return parse_dwelling(_content(path), path.name)


def parse_dwelling(content: bytes | str, source: str = "dwelling") -> Dwelling:
    """Read a dwelling from the content of a file, as an upload brings it.

    Parameters
    ----------
    content : bytes or str
        The file's content.
    source : str
        What messages call it.

    Returns
    -------
    Dwelling

    Raises
    ------
    DwellingFileError
        As ``read_dwelling``.
    """
    raw = _toml(content, source)
    try:
        return Dwelling.model_validate(raw)
    except ValidationError as error:
        raise file_error(error, raw, source, Dwelling) from error


def write_dwelling(dwelling: Dwelling, path: str | Path) -> None:
    """Write a dwelling so that reading it back gives an equal one; the file appears whole or not at all.

    Parameters
    ----------
    dwelling : Dwelling
        What to write.
    path : str or Path
        Where; an existing file is replaced.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    write_text(Path(path), dwelling_text(dwelling))


def dwelling_text(dwelling: Dwelling) -> str:
    """The dwelling as the text of a file."""
    data = dwelling.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    data = {"format": dwelling.format, **data}
    return "\n".join(_table(data, ())).lstrip("\n") + "\n"


def _content(path: Path) -> bytes:
    if path.is_dir():
        raise DwellingFileError("is a folder", where=str(path), expected="a dwelling file (.toml)")
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= MAXIMUM_SIZE else b""
    except FileNotFoundError as error:
        raise DwellingFileError(
            "there is no such file", where=str(path), expected="a dwelling file (.toml)"
        ) from error
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise DwellingFileError(f"the file cannot be read ({reason})", where=str(path)) from error
    if size > MAXIMUM_SIZE:
        raise _too_large(path.name, size)
    return content


def _too_large(source: str, size: int) -> DwellingFileError:
    return DwellingFileError(
        "the file is too large for a dwelling",
        where=source,
        given=Words(f"{size / 1e6:.1f} MB"),
        expected=f"at most {MAXIMUM_SIZE / 1e6:g} MB",
    )


def _toml(content: bytes | str, source: str) -> dict[str, Any]:
    if len(content) > MAXIMUM_SIZE:
        raise _too_large(source, len(content))
    if isinstance(content, bytes):
        try:
            content = content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = error.object[: error.start].count(b"\n") + 1
            raise DwellingFileError(
                f"line {line} is not UTF-8 text", where=source, expected="a text file saved as UTF-8"
            ) from error
    if not content.strip():
        raise DwellingFileError(
            "the file is empty", where=source, expected='format = "hvaclib dwelling 1" and so on'
        )
    try:
        return tomllib.loads(content)
    except tomllib.TOMLDecodeError as error:
        raise _unreadable(error, content, source) from error


def _unreadable(error: tomllib.TOMLDecodeError, content: str, source: str) -> DwellingFileError:
    message, _, position = str(error).partition(" (at ")
    line = re.search(r"line (\d+)", position)
    number = int(line[1]) if line else content.rstrip("\n").count("\n") + 1
    meaning = _TOML_MEANING.get(message.rstrip("."), f"{message[0].lower()}{message[1:].rstrip('.')}")
    return DwellingFileError(
        f"line {number} cannot be read: {meaning}",
        where=source,
        given=content.splitlines()[number - 1].strip()[:60] if number <= len(content.splitlines()) else None,
        expected='key = "value" or [[table]]',
    )


def _table(data: dict[str, Any], path: tuple[str, ...]) -> list[str]:
    """Lines of one table: plain keys first, then its sub-tables and lists of tables."""
    lines = [f"{_key(key)} = {_value(value)}" for key, value in data.items() if not _is_table(value, path)]
    for key, value in data.items():
        if not _is_table(value, path):
            continue
        name = ".".join(_key(step) for step in (*path, key))
        for item in value if isinstance(value, list) else [value]:
            header = f"[[{name}]]" if isinstance(value, list) else f"[{name}]"
            lines += ["", header, *_table(item, (*path, key))]
    return lines


def _is_table(value: Any, path: tuple[str, ...]) -> bool:
    # a list of small tables below another table reads better inline: supply = [{zone = …, share = …}]
    records = isinstance(value, list) and bool(value) and isinstance(value[0], dict)
    return not path and (records or isinstance(value, dict))


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(key)} = {_value(item)}" for key, item in value.items()) + "}"
    items = [_value(item) for item in value]
    if len(items) > 2 and any(isinstance(item, dict) for item in value):
        return "[\n" + "".join(f"  {item},\n" for item in items) + "]"
    return "[" + ", ".join(items) + "]"


def _text(value: str) -> str:
    return (
        '"'
        + "".join(_ESCAPES.get(c, c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}") for c in value)
        + '"'
    )


def _key(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else _text(key)
