"""Visits as frames of pandas and back."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from hvaclib.visit.model import Visit
from hvaclib.visit.sheets.read import read_rows
from hvaclib.visit.sheets.understood import Understood
from hvaclib.visit.sheets.writing import Form, table_written

if TYPE_CHECKING:
    import pandas as pd


def to_frame(visits: Iterable[Visit], form: Form = "long") -> pd.DataFrame:
    """Visits as a frame of text, with the columns that a CSV file has.

    Parameters
    ----------
    visits : iterable of Visit
    form : {"long", "wide"}
        One entry a row, or one visit a row.

    Returns
    -------
    pandas.DataFrame
        ``pandas.to_numeric(frame["value"], errors="coerce")`` gives the numbers in the unit beside them.
    """
    import pandas as pd

    rows, _ = table_written(visits, form)
    return pd.DataFrame(rows[1:], columns=rows[0], dtype=object)


def from_frame(frame: pd.DataFrame, *, day_first: bool | None = None) -> Understood:
    """Read the visits of a frame, as `read_content` reads a table.

    Parameters
    ----------
    frame : pandas.DataFrame
        Long or wide, its columns the headings; numbers, dates and missing values as pandas has them.
    day_first : bool, optional
        As for `read_content`.

    Returns
    -------
    Understood
    """
    header = [str(each) for each in frame.columns]
    rows = [header, *([_text(value) for value in row] for row in frame.itertuples(index=False, name=None))]
    return read_rows(rows, "frame", day_first=day_first)


def _text(value: object) -> str:
    import pandas as pd

    if isinstance(value, str):
        return value
    if value is None or value is pd.NaT or value is pd.NA or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, pd.Timestamp):
        return value.date().isoformat()
    if isinstance(value, float):
        return f"{value:.15g}"
    if type(value).__name__ in ("bool", "bool_"):
        return "yes" if value else "no"
    return str(value)
