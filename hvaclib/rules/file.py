"""Read a rule set from its file or by the name of a shipped one; every refusal is one sentence."""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Mapping, Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from hvaclib.errors import FileError, HvacError
from hvaclib.readings import nearest
from hvaclib.rules import model

_LARGEST_FILE = 1_000_000
_TAGS = ("text", "line")
_MODELS: Mapping[str, type[BaseModel]] = {
    "": model.RuleSet,
    "rule": model.Rule,
    "limit": model.Limit,
    "applies": model.Applies,
    "decision": model.Decision,
    "outdoor_temperature": model.Band,
    "below": model.Line,
    "above": model.Line,
    "at_most": model.Line,
    "at_least": model.Line,
}
_WORDS = {
    "string_type": ("must be text", "text in quotes"),
    "tuple_type": ("must be a list", "a list in square brackets"),
    "bool_type": ("must be true or false", "true or false"),
    "model_type": ("must be a table", "a table with keys"),
    "model_attributes_type": ("must be a table", "a table with keys"),
    "too_short": ("has too few entries", "at least {min_length}"),
    "too_long": ("has too many entries", "at most {max_length}"),
    "string_too_short": ("is too short", "at least {min_length} characters"),
}
_PATTERNS = {
    "id": "lower-case letters, digits and single hyphens, such as draft-negative",
    "name": "lower-case letters, digits and single hyphens, such as plain",
    "version": "two or three numbers with dots, such as 1.0",
    "do": "a sentence that ends with a full stop",
    "cautions": "a sentence that ends with a full stop",
}


class RuleFileError(FileError):
    """A rule set that cannot be read; ``sentences`` holds every refusal, the first of which is the message."""

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        given: object = None,
        expected: str = "",
        others: tuple[str, ...] = (),
    ) -> None:
        super().__init__(what, where=where, given=given, expected=expected)
        self.others = others

    @property
    def sentences(self) -> tuple[str, ...]:
        """Every refusal, in the order of the file."""
        return (self.sentence, *self.others)

    def __reduce__(self) -> tuple[object, ...]:
        """Rebuild with all sentences on the way back from a worker process."""
        parts = {"where": self.where, "given": self.given, "expected": self.expected, "others": self.others}
        return (_rebuild, (self.what, parts))

    @classmethod
    def of(cls, errors: Sequence[HvacError]) -> RuleFileError:
        """One error for all refusals of a file.

        Parameters
        ----------
        errors : sequence of HvacError
            In the order of the file, not empty.

        Returns
        -------
        RuleFileError
        """
        first = errors[0]
        others = tuple(str(each) for each in errors[1:])
        return cls(first.what, where=first.where, given=first.given, expected=first.expected, others=others)


def _rebuild(what: str, parts: dict[str, Any]) -> RuleFileError:
    return RuleFileError(what, **parts)


def available() -> tuple[str, ...]:
    """Names of the rule sets that come with the suite.

    Returns
    -------
    tuple of str
        Sorted.
    """
    folder = resources.files(__package__).joinpath("sets")
    return tuple(sorted(item.name[:-5] for item in folder.iterdir() if item.name.endswith(".toml")))


def load(source: str | os.PathLike[str]) -> model.RuleSet:
    """Rule set by the name of a shipped one, or from a file.

    Parameters
    ----------
    source : str or path
        A name of `available`, or the path of a TOML file.

    Returns
    -------
    RuleSet

    Raises
    ------
    RuleFileError
        If there is no such set or file, or the file is not a rule set. The sentence names file and key,
        what is there and what is expected; ``sentences`` has one for every fault.
    """
    if isinstance(source, str) and source in available():
        text = resources.files(__package__).joinpath("sets", f"{source}.toml").read_text(encoding="utf-8")
        return from_text(text, f"{source}.toml")
    path = Path(source)
    if isinstance(source, str) and not path.exists() and path.suffix == "" and path.name == source:
        raise RuleFileError.of(
            [FileError("no such rule set", given=source, expected=nearest(source, available()))]
        )
    return from_text(_text(path), path.name)


def from_text(text: str, name: str = "rule set") -> model.RuleSet:
    """Rule set from the text of a TOML file.

    Parameters
    ----------
    text : str
        Content of the file.
    name : str, optional
        What the sentences call the file.

    Returns
    -------
    RuleSet

    Raises
    ------
    RuleFileError
        As `load`.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _refusal(f"not readable as TOML: {str(error)[0].lower()}{str(error)[1:]}", name) from None
    if not document:
        raise _refusal("the file is empty", name, expected=f'format = "{model.FORMAT}" and at least one rule')
    return from_document(document, name)


def from_document(document: Mapping[str, Any], name: str = "rule set") -> model.RuleSet:
    """Rule set from a mapping as a TOML file gives it; see `from_text`."""
    try:
        return model.RuleSet.model_validate(dict(document))
    except ValidationError as error:
        raise RuleFileError.of([_explain(row, document, name) for row in _worth_saying(error)]) from None


def schema() -> dict[str, Any]:
    """JSON Schema of a rule-set file, for editors that complete and check.

    Returns
    -------
    dict
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **model.RuleSet.model_json_schema(by_alias=True),
    }


def write_schema(path: str | os.PathLike[str]) -> None:
    """Write the JSON Schema to a file, whole or not at all.

    Parameters
    ----------
    path : str or path
    """
    target = Path(path)
    partial = target.with_name(target.name + ".part")
    partial.write_text(json.dumps(schema(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    partial.replace(target)


def _refusal(what: str, where: str, expected: str = "") -> RuleFileError:
    return RuleFileError.of([FileError(what, where=where, expected=expected)])


def _text(path: Path) -> str:
    if not path.exists():
        raise _refusal("there is no such file", str(path))
    if path.is_dir():
        raise _refusal("this is a folder", str(path), "a rule-set file")
    try:
        if path.stat().st_size > _LARGEST_FILE:
            raise _refusal("the file is too large for a rule set", path.name, "at most 1 MB")
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise _refusal("the file is not UTF-8 text", path.name, "a TOML file in UTF-8") from None
    except OSError as error:
        raise _refusal(f"the file cannot be read ({error.strerror})", path.name) from None


def _worth_saying(error: ValidationError) -> list[ErrorDetails]:
    """Pydantic's findings without echoes, and with a misspelt key before the one that it leaves missing.

    A list whose entry was refused is also reported as too short; that says nothing new.
    """
    rows = error.errors()
    inner = {row["loc"][:-1] for row in rows}
    kept = [row for row in rows if not (row["type"] == "too_short" and row["loc"] in inner)]
    return sorted(kept, key=lambda row: row["type"] != "extra_forbidden")


def _explain(row: ErrorDetails, document: Mapping[str, Any], name: str) -> HvacError:
    """One pydantic error as a sentence in the terms of the file."""
    parts = [part for part in row["loc"] if part not in _TAGS]
    cause = row.get("ctx", {}).get("error")
    if isinstance(cause, HvacError):
        where = _place([*parts, *([cause.where] if cause.where else [])], document, name)
        return FileError(cause.what, where=where, given=cause.given, expected=cause.expected)
    where, key = (
        _place(parts, document, name),
        next((str(p) for p in reversed(parts) if isinstance(p, str)), ""),
    )
    kind, given = row["type"], row["input"]
    shown = given if isinstance(given, (str, int, float)) else None
    if kind == "extra_forbidden":
        return FileError("unknown key", where=where, expected=nearest(key, _keys(parts[:-1])))
    if kind == "missing":
        return FileError("missing key", where=where, expected=_meaning(parts[:-1], key))
    if kind == "literal_error":
        choices = [each.strip("'") for each in row["ctx"]["expected"].replace(" or ", ", ").split(", ")]
        return FileError("no such choice", where=where, given=shown, expected=nearest(str(given), choices))
    if kind == "string_pattern_mismatch":
        return FileError(
            "is not written as it must be", where=where, given=shown, expected=_PATTERNS.get(key, "")
        )
    what, expected = _WORDS.get(kind, (row["msg"][0].lower() + row["msg"][1:], ""))
    return FileError(what, where=where, given=shown, expected=expected.format(**row.get("ctx", {})))


def _place(parts: Sequence[object], document: Mapping[str, Any], name: str) -> str:
    """Location as people name it: file, rule by its id, key."""
    rest = [str(part) if isinstance(part, str) else f"[{int(str(part)) + 1}]" for part in parts]
    places = [name]
    if len(parts) > 1 and parts[0] == "rule" and isinstance(parts[1], int):
        row = document["rule"][parts[1]]
        ident = row.get("id") if isinstance(row, dict) else None
        places.append(f'rule "{ident}"' if isinstance(ident, str) else f"rule {parts[1] + 1}")
        rest = rest[2:]
    key = ".".join(rest).replace(".[", "[")
    return ", ".join([*places, key] if key else places)


def _keys(parts: Sequence[object]) -> list[str]:
    named = [part for part in parts if isinstance(part, str)]
    fields = _MODELS[named[-1] if named else ""].model_fields
    return [field.alias or key for key, field in fields.items()]


def _meaning(parts: Sequence[object], key: str) -> str:
    named = [part for part in parts if isinstance(part, str)]
    if not named and key == "format":
        return f'format = "{model.FORMAT}"'
    return _MEANINGS.get(key, f"a value for {key}")


_MEANINGS = {
    "id": "a short name of the rule in lower case",
    "name": "a short name of the set in lower case",
    "title": "a title for people",
    "version": "a version such as 1.0",
    "quantity": "what is measured, a key of the vocabulary of readings",
    "limit": "what the reading must be",
    "severity": "stop and call, fail, look again or note",
    "source": "document and section, or 'common practice, no source', or 'program decision'",
    "decision": "a table with fails_up_to, passes_from and source",
    "fails_up_to": "a probability such as 5 %",
    "passes_from": "a probability such as 95 %",
    "rule": "at least one [[rule]]",
    "along": "outdoor_temperature",
    "points": "pairs of outdoor temperature and limit",
}
