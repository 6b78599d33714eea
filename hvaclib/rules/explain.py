"""What is wrong with a rule-set file, in sentences that name file, rule and key."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from hvaclib.errors import FileError, HvacError
from hvaclib.readings import nearest
from hvaclib.rules import limits, model

_TAGS = ("text", "line", "plate")
_MODELS: Mapping[str, type[BaseModel]] = {
    "": model.RuleSet,
    "rule": model.Rule,
    "limit": limits.Limit,
    "applies": model.Applies,
    "decision": model.Decision,
    "outdoor_temperature": model.Band,
    "below": limits.Line,
    "above": limits.Line,
    "at_most": limits.Line,
    "at_least": limits.Line,
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
    "fact": "the name of a number on the rating plate, such as input",
    "points": "pairs of outdoor temperature and limit",
}


class RuleFileError(FileError):
    """A rule set that cannot be read; ``sentences`` holds every refusal, the first of which is the message."""

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


def refusal(error: ValidationError, document: Mapping[str, Any], name: str) -> RuleFileError:
    """All that pydantic found in a rule set as one error with a sentence for each fault.

    Parameters
    ----------
    error : pydantic.ValidationError
    document : mapping
        What was validated, for the ids of the rules.
    name : str
        What the sentences call the file.

    Returns
    -------
    RuleFileError
    """
    return RuleFileError.of([_explain(row, document, name) for row in _worth_saying(error)])


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
    known = [field.alias or key for key, field in fields.items()]
    return [*known, *limits.PlateLimit.model_fields] if named and named[-1] in limits.SIDES else known


def _meaning(parts: Sequence[object], key: str) -> str:
    named = [part for part in parts if isinstance(part, str)]
    if not named and key == "format":
        return f'format = "{model.FORMAT}"'
    return _MEANINGS.get(key, f"a value for {key}")
