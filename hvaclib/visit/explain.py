"""What is wrong with a visit's file, in sentences that name file, table and key."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from hvaclib.errors import FileError
from hvaclib.file_models import finding
from hvaclib.visit.model import Visit


class VisitFileError(FileError):
    """A record that cannot be read; ``str()`` is the first sentence, ``sentences`` has all of them."""


def refusal(error: ValidationError, raw: Any, source: str) -> VisitFileError:
    """All that pydantic found in a record as one error with a sentence for each fault.

    Parameters
    ----------
    error : pydantic.ValidationError
        What was found.
    raw : object
        What was validated, for the names of its parts.
    source : str
        What the sentences call the file.

    Returns
    -------
    VisitFileError
    """
    found = [finding(detail, raw, Visit) for detail in error.errors()]
    errors = [
        FileError(
            what, where=": ".join(part for part in (source, where) if part), given=given, expected=expected
        )
        for where, what, given, expected in found
    ]
    first = errors[0]
    return VisitFileError(
        first.what,
        where=first.where,
        given=first.given,
        expected=first.expected,
        others=tuple(dict.fromkeys(other.sentence for other in errors[1:])),
    )
