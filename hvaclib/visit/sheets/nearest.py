"""The known name that a misspelt heading was meant to be."""

from __future__ import annotations

import difflib
from collections import Counter
from functools import cache

from hvaclib.visit.sheets.words import field_names, item_names

_LONGEST = 80
_CANDIDATES = 12


def nearest_name(text: str) -> str | None:
    """The name of an item or of a fact of the job that is nearest to a text.

    Parameters
    ----------
    text : str
        Folded.

    Returns
    -------
    str or None
        ``None`` where none is near.

    Notes
    -----
    `difflib` compares letter by letter and takes milliseconds for all names, so it is given only those that share most
    pairs of letters.

    Examples
    --------
    >>> nearest_name("temprature rise"), nearest_name("colour of the door")
    ('temperature rise', None)
    """
    text = text[:_LONGEST]
    shared: Counter[str] = Counter()
    for pair in _pairs(text):
        shared.update(_names_by_pair().get(pair, ()))
    likely = sorted(shared, key=lambda name: 2 * shared[name] / (len(name) + len(text)), reverse=True)
    return next(iter(difflib.get_close_matches(text, likely[:_CANDIDATES], 1, 0.6)), None)


@cache
def _names_by_pair() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name in dict.fromkeys((*item_names(), *field_names("job"))):
        for pair in _pairs(name):
            found.setdefault(pair, []).append(name)
    return found


def _pairs(text: str) -> set[str]:
    return {text[at : at + 2] for at in range(len(text) - 1)}
