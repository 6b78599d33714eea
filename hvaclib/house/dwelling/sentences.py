"""A dwelling file that cannot be: from pydantic's findings to sentences."""

from __future__ import annotations

from pydantic import BaseModel
from pydantic_core import ValidationError

from hvaclib.errors import FileError
from hvaclib.file_models import Words, choice, finding, place

__all__ = ["DwellingFileError", "Words", "choice", "file_error", "place"]


class DwellingFileError(FileError):
    """A dwelling that cannot be; ``str()`` is the first sentence, ``sentences`` has all of them."""


def file_error(error: ValidationError, raw: object, source: str, model: type[BaseModel]) -> DwellingFileError:
    """All of pydantic's findings as one error of ours.

    Parameters
    ----------
    error : pydantic.ValidationError
        What pydantic found.
    raw : object
        The data as read, for the names of parts.
    source : str
        File name, or what the dwelling is called.
    model : type
        The model that was read, for its keys.
    """
    from hvaclib.house.dwelling.names import name_problems

    found: list[tuple[str, str, object, str]] = []
    whole = False
    for detail in error.errors():
        context = detail.get("ctx", {})
        if detail["type"] == "problems":
            whole = True
            found += [(place(p.location, raw), p.what, p.given, p.expected) for p in context["problems"]]
        else:
            found.append(finding(detail, raw, model))
    if not whole and isinstance(raw, dict):
        found += [(place(p.location, raw), p.what, p.given, p.expected) for p in name_problems(raw)]
    errors = [
        FileError(what, where=": ".join(filter(None, (source, where))), given=given, expected=expected)
        for where, what, given, expected in found
    ]
    first = errors[0]
    return DwellingFileError(
        first.what,
        where=first.where,
        given=first.given,
        expected=first.expected,
        others=tuple(dict.fromkeys(other.sentence for other in errors[1:])),
    )
