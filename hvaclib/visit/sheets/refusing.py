"""Refusals of cells and rows, from what the border of units or pydantic found."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ValidationError

from hvaclib.errors import FileError, HvacError
from hvaclib.file_models import finding
from hvaclib.visit.sheets.draft import Spot

_SHOWN = 80


def of_cell(error: HvacError, spot: Spot, *, shown: bool = True) -> FileError:
    """The refusal of a cell.

    Parameters
    ----------
    error : HvacError
        What is wrong with it.
    spot : Spot
        The cell.
    shown : bool
        Whether its content stands in the refusal where the error names none.

    Returns
    -------
    FileError
    """
    given = error.given if error.given is not None or not shown else (spot.text[:_SHOWN] or None)
    return FileError(error.what, where=spot.place, given=given, expected=error.expected)


def of_model(error: ValidationError, data: Any, model: type[BaseModel], place: str) -> FileError:
    """The refusal of a row, from the first of pydantic's findings."""
    where, what, given, expected = finding(error.errors()[0], data, model)
    return FileError(
        what, where=", ".join(part for part in (place, where) if part), given=given, expected=expected
    )
