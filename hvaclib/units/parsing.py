"""Quantities as people type them: number and unit told apart by our own code, never by pint's expression parser."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Final

from hvaclib.errors import UnitError
from hvaclib.units.kinds import Kind
from hvaclib.units.registry import Quantity
from hvaclib.units.spelling import affine, unit_named

__all__ = ["parse", "parse_si"]

_DECIMAL: Final = r"(?:\d{1,3}(?:,\d{3})+(?![\d,])(?:\.\d*)?|\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_FRACTION: Final = r"\d+\s*/\s*\d+(?![\d.])"
# '5 1/2', '5-1/2', '3/4', '1,200', '-3.5e-2'
_NUMBER: Final = re.compile(
    rf"\s*(?P<sign>[-+]?)\s*(?:(?P<whole>\d+)(?:\s+|-)(?P<part>{_FRACTION})|(?P<fraction>{_FRACTION})|(?P<decimal>{_DECIMAL}))"
)
_VULGAR: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
# Units that are written one after the other: feet and inches; hours, minutes and seconds; pounds and ounces.
_CHAINS: Final = (("foot", "inch"), ("hour", "minute", "second"), ("pound", "ounce"))


def parse(text: str, kind: Kind) -> Quantity:
    """Read a quantity as a person types it.

    Parameters
    ----------
    text : str
        Number and unit: ``"1,200 cfm"``, ``"5 1/2 in"``, ``"6 ft 8 in"``, ``"−3 Pa"``, ``"70 °F"``, ``"12%"``.
    kind : Kind
        Kind of quantity that is asked for.

    Returns
    -------
    pint.Quantity
        In the unit that was typed (the first, where several are chained).

    Raises
    ------
    UnitError
        If the text has no number, no unit where one is needed, an unknown unit or one of another kind.

    Examples
    --------
    >>> from hvaclib.units import kinds, parse
    >>> parse("1,200 cfm", kinds.VOLUME_FLOW).to("ft^3/min")
    <Quantity(1200.0, 'foot ** 3 / minute')>
    """
    pairs = _split(text, kind)
    unit = unit_named(pairs[0][1], kind)
    if len(pairs) == 1:
        affine(unit, kind)
        return Quantity(pairs[0][0], unit)
    scale, _ = affine(unit, kind)
    return Quantity(parse_si(text, kind) / scale, unit)


@lru_cache(maxsize=4096)
def parse_si(text: str, kind: Kind) -> float:
    """Read a quantity as a person types it, to a float in the kind's SI unit.

    Parameters
    ----------
    text : str
        As for `parse`.
    kind : Kind
        Kind of quantity that is asked for.

    Returns
    -------
    float
        Value in ``kind.si``.

    Raises
    ------
    UnitError
        As for `parse`.

    Examples
    --------
    >>> from hvaclib.units import kinds, parse_si
    >>> round(parse_si("6 ft 8 in", kinds.LENGTH), 5)
    2.03200
    >>> parse_si("12%", kinds.FRACTION)
    0.12
    """
    try:
        return _total(_split(text, kind), kind)
    except UnitError as error:
        if error.given is not None:
            raise
        raise UnitError(error.what, where=error.where, given=text, expected=error.expected) from error


def _total(pairs: list[tuple[float, str]], kind: Kind) -> float:
    if len(pairs) == 1:
        number, unit = pairs[0]
        scale, offset = affine(unit_named(unit, kind), kind)
        return number * scale + offset
    names = [str(unit_named(unit, kind)) for _, unit in pairs]
    chained = any(
        all(name in chain for name in names)
        and [chain.index(name) for name in names] == sorted({chain.index(name) for name in names})
        for chain in _CHAINS
        if all(name in chain for name in names)
    )
    if not chained or any(number < 0 for number, _ in pairs[1:]):
        raise UnitError("more than one number with its unit", expected=kind.expected)
    size = sum(abs(number) * affine(unit_named(unit, kind), kind)[0] for number, unit in pairs)
    return math.copysign(size, pairs[0][0])


def _split(text: str, kind: Kind) -> list[tuple[float, str]]:
    """Split into numbers and unit texts, and refuse what is neither."""
    expected = kind.expected
    plain = (
        re.sub(r"^(\s*)[–—]|−", r"\1-", text).replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ")
    )
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    pairs: list[tuple[float, str]] = []
    rest = plain
    while rest.strip(" ,-") or not pairs:
        match = _NUMBER.match(rest)
        if match is None:
            what = "there is no number in front" if text.strip() else "nothing is entered"
            raise UnitError(what, given=text, expected=expected)
        number = _number(match, text, expected)
        rest = rest[match.end() :]
        if re.match(r"(?!\s+1\s*/\s*[A-Za-z])\s*[,\d]|\s*/\s*\d|\.", rest):
            raise UnitError(
                "the number cannot be read (a decimal point is '.', a comma only groups thousands)",
                given=text,
                expected=expected,
            )
        # a new number begins after a space, or after the marks of feet and inches
        following = re.search(
            r"(?<=[A-Za-z.'\"′″’”])\s*(?:\s|-|(?<=['′’]))(?=\d|\.\d)(?!1\s*/\s*[A-Za-z])", rest
        )
        unit, rest = (rest[: following.start()], rest[following.end() :]) if following else (rest, "")
        if not unit.strip() and not kind.bare:
            raise UnitError("a number without its unit", given=text, expected=expected)
        pairs.append((number, unit.strip()))
    return pairs


def _number(match: re.Match[str], text: str, expected: str) -> float:
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["decimal"] is not None:
        value = float(match["decimal"].replace(",", ""))
    else:
        top, bottom = (match["part"] or match["fraction"]).split("/")
        if int(bottom) == 0:
            raise UnitError("a fraction over zero", given=text, expected=expected)
        value = float(match["whole"] or 0) + int(top) / int(bottom)
    if not math.isfinite(value):
        raise UnitError("the number is too large", given=text, expected=expected)
    return sign * value
