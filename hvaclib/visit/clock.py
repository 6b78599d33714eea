"""The hour that a sheet says."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=4096)
def clock(text: str) -> int | None:
    """Minutes since midnight of a time such as '14:05' or '2:05 pm'; ``None`` when it is none.

    Examples
    --------
    >>> clock("2:05 pm")
    845
    """
    words = text.strip().lower().replace(".", "").split()
    hours, _, minutes = words[0].partition(":") if words else ("", "", "")
    half = words[1] if len(words) == 2 else ""
    if len(words) > 2 or not (hours.isdecimal() and minutes.isdecimal() and len(minutes) == 2):
        return None
    number = int(hours)
    if half:
        if half not in ("am", "pm") or not 1 <= number <= 12:
            return None
        number = number % 12 + (12 if half == "pm" else 0)
    return number * 60 + int(minutes) if number < 24 and int(minutes) < 60 else None
