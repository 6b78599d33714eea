"""Cells of tables that people open in a spreadsheet: text that would run as a formula is made harmless."""

from __future__ import annotations

_BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text : str
        Content of a cell. A plain number keeps its sign: it is no formula.

    Returns
    -------
    str
        The same, with an apostrophe before it where a spreadsheet could run it.

    References
    ----------
    CWE-1236, improper neutralization of formula elements in a CSV file.

    Examples
    --------
    >>> harmless("=1+1"), harmless("-2.5"), harmless("water heater")
    ("'=1+1", '-2.5', 'water heater')
    """
    if text.lstrip(" ").startswith(_BEGINNINGS) and not _is_number(text):
        return f"'{text}"
    return text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return text.isascii()
