"""What a cell says: numbers as the field writes them, yes and no, what was not taken."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from hvaclib.errors import InputError, UnitError
from hvaclib.units import kinds, parse_si
from hvaclib.units.spelling import affine, unit_named
from hvaclib.visit.answers import NO, YES
from hvaclib.visit.sheets.words import words

_PLAIN = re.compile(r"[-+]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d{1,2})?", re.ASCII)
_SPLIT = re.compile(r"([-+−–]?)\s*([\d.,'’ \u00a0\u2009\u202f]*\d[.,]?)\s*(\D.*)?", re.ASCII | re.DOTALL)
_BOUND = re.compile(
    r"(" + "|".join(sorted(map(re.escape, words("less_than") | words("more_than")), key=len, reverse=True)) + r")\s*(?=[-−+.,\d])",
    re.IGNORECASE,
)  # fmt: skip
_OPEN_END = re.compile(r"([\d.,]*\d)\s*\+", re.ASCII)
_FRACTION = re.compile(r"(\d+)\s*[/⁄]\s*(\d+)", re.ASCII)
_RANGE = re.compile(r"\d\s*(?:[-–—]|to|\.\.)\s*\d+(?![\d\s]*[/⁄])", re.ASCII)
_CUT = frozenset({2, 3, 4, 8, 16, 32, 64})
_WITH_FRACTIONS = (kinds.LENGTH, kinds.SIZE, kinds.GAUGE_PRESSURE, kinds.PRESSURE_DIFFERENCE)
_SPREADSHEET_ERRORS = ("#div/0!", "#ref!", "#value!", "#name?", "#num!", "#null!", "#error!", "#spill!")
_TICKS = frozenset({"☑", "✅", "🗹"})
_CLEAR_YES, _CLEAR_NO = frozenset({"yes", "y", "true"}), frozenset({"no", "n", "false"})


class Taken(NamedTuple):
    """What a cell was taken for.

    Parameters
    ----------
    value : str
        As an entry holds it; empty when it says 'not taken'.
    bound : str
        "", "less than" or "more than".
    why : str
        Words for the report, where the cell had to be interpreted.
    """

    value: str
    bound: str = ""
    why: str = ""


def missing(text: str) -> bool:
    """Whether a cell says that nothing was taken."""
    return not text or text.casefold() in words("missing")


@lru_cache(maxsize=65_536)
def number(
    text: str, kind: kinds.Kind, unit: str = "", infinite: str = "", decimal_comma: bool = False
) -> Taken:
    """A number with its unit, as `hvaclib.units.parse_si` reads it.

    Parameters
    ----------
    text : str
        Content of the cell, without spaces around it.
    kind : Kind
        Kind of quantity.
    unit : str
        Unit of the column, for a cell without one.
    infinite : str
        Words for a value without end, where one can occur.
    decimal_comma : bool
        Whether other cells of the file have a comma before their decimals, which makes '1,200' say two things.

    Returns
    -------
    Taken

    Raises
    ------
    InputError, UnitError
        If it is no number, could be two, or has no unit or a wrong one.

    Examples
    --------
    >>> number("<1", kinds.CONCENTRATION, "ppm")
    Taken(value='1 ppm', bound='less than', why='only a bound is known')
    >>> number("1 200", kinds.POWER, "Btu/h").value, number("−2,5 Pa", kinds.PRESSURE_DIFFERENCE).value
    ('1200 Btu/h', '-2.5 Pa')
    """
    if _PLAIN.fullmatch(text) and unit and not (decimal_comma and re.fullmatch(r"[-+]?\d{1,3}\.\d{3}", text)):
        affine(unit_named(unit, kind), kind)
        return Taken(f"{text} {unit}")
    lower = text.casefold()
    if infinite and lower in ("inf", "never", "did not stop", infinite):
        return Taken(text)
    _refuse_what_is_no_number(text, lower, kind)
    match = _BOUND.match(text)
    if match is not None:
        bound = "less than" if match[1].casefold() in words("less_than") else "more than"
        return _bounded(_quantity(text[match.end() :], kind, unit, decimal_comma), bound)
    beyond = _OPEN_END.fullmatch(text) if unit else None
    if beyond is not None:
        return _bounded(_quantity(beyond[1], kind, unit, decimal_comma), "more than")
    return _quantity(text, kind, unit, decimal_comma)


def _bounded(found: Taken, bound: str) -> Taken:
    why = "only a bound is known"
    return Taken(found.value, bound, f"{why}; {found.why}" if found.why else why)


def _refuse_what_is_no_number(text: str, lower: str, kind: kinds.Kind) -> None:
    if text.startswith("="):
        raise InputError("a formula, which is never worked out here", given=text, expected="its value")
    if lower in _SPREADSHEET_ERRORS:
        raise InputError("the spreadsheet shows an error here", given=text, expected=kind.expected)
    if len(text) > 100:
        raise InputError("too long for a number", given=f"{text[:40]}…", expected=kind.expected)


def _quantity(text: str, kind: kinds.Kind, unit: str, decimal_comma: bool) -> Taken:
    match = _SPLIT.fullmatch(text)
    if match is None or "/" in (match[3] or "")[:1] or re.search(r"\d\s+\d+\s*/", text):
        return _as_typed(text, kind, unit)
    sign, digits, tail = match[1].replace("−", "-").replace("–", "-"), match[2], (match[3] or "").strip()
    if tail in ("°", "º", "deg", "degrees") and unit.startswith("°"):
        plain = sign + plain_number(digits, decimal_comma, text)
        return Taken(f"{plain} {unit}", why=f"the degrees are those of the heading, {unit}")
    if not tail and not unit:
        raise UnitError("a number without its unit", given=text, expected=kind.expected)
    if _RANGE.search(text):
        raise _two_numbers(text, kind)
    if any(character.isdigit() for character in tail):
        return _as_typed(text, kind, unit)
    plain = sign + plain_number(digits, decimal_comma, text)
    why = "" if digits.strip() == plain.lstrip("-+") else f"the number is {plain}"
    if not tail:
        parse_si(f"{plain} {unit}", kind)
        return Taken(f"{plain} {unit}", why=why)
    value = f"{plain} {tail}" if why or match[1] in ("−", "–") else text
    parse_si(value, kind)
    if unit and unit_named(tail, kind) != unit_named(unit, kind):
        why = f"the unit in the cell goes before {unit} in the heading" + (f"; {why}" if why else "")
    return Taken(value, why=why)


def _as_typed(text: str, kind: kinds.Kind, unit: str) -> Taken:
    """Fractions, feet and inches: what the units' own reading understands, with its unit or with the column's."""
    fraction = _FRACTION.search(text)
    why = "a fraction" if fraction is not None else ""
    if fraction is not None:
        _refuse_two_numbers(fraction, text, kind)
    bare = kind.bare and _is_bare(text)
    if bare and not unit:
        raise UnitError("a number without its unit", given=text, expected=kind.expected)
    try:
        parse_si(f"{text} {unit}" if bare else text, kind)
    except UnitError as error:
        if not unit or re.search(r"[^\W\d_]", text.removesuffix(unit)):
            raise UnitError(error.what, given=text, expected=error.expected) from None
    else:
        return Taken(f"{text} {unit}" if bare else text, why=why)
    try:
        parse_si(f"{text} {unit}", kind)
    except UnitError as error:
        raise UnitError(error.what, given=text, expected=error.expected) from None
    return Taken(f"{text} {unit}", why=why)


def _refuse_two_numbers(fraction: re.Match[str], text: str, kind: kinds.Kind) -> None:
    """54 / 55 are two readings and no share: only what is cut into halves, quarters and so on is a fraction."""
    above, below = int(fraction[1][:9]), int(fraction[2][:9])
    if kind not in _WITH_FRACTIONS or below not in _CUT or above >= below:
        raise _two_numbers(text, kind)


def _two_numbers(text: str, kind: kinds.Kind) -> InputError:
    return InputError(
        "two numbers stand in one cell", given=text,
        expected=f"{kind.expected}; a second reading has a column of its own",
    )  # fmt: skip


def _is_bare(text: str) -> bool:
    """Whether no unit is there: 6 could be a share of six or six percent."""
    return not re.search(r"[^\d\s.,/eE+−-]", text)


def plain_number(digits: str, decimal_comma: bool, text: str) -> str:
    """Digits with the marks of the field as Python writes them.

    Parameters
    ----------
    digits : str
        Such as "1,200", "1'200", "1 200", "1.200,5" or "2,5".
    decimal_comma : bool
        Whether the file has decimal commas elsewhere.
    text : str
        The whole cell, for the refusal.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If it cannot be read, or could be two numbers.
    """
    plain = re.sub(r"[\u00a0\u2009\u202f]", " ", digits).replace("’", "'").strip()
    if decimal_comma and re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", plain):
        whole, part = re.split(r"[.,]", plain)
        raise InputError(
            f"could be {whole}{part} or {whole}.{part}, since the file has decimal commas elsewhere",
            given=text,
            expected=f"{whole}{part} or {whole}.{part} without grouping",
        )
    if re.fullmatch(r"\d+\.?|\d*\.\d+", plain):
        return plain
    for group, point in ((",", "."), ("'", "."), (" ", "."), (".", ","), ("'", ","), (" ", ",")):
        grouped = rf"[1-9]\d{{0,2}}(?:{re.escape(group)}\d{{3}})+"
        if group == "." and not re.fullmatch(rf"{grouped},\d+|[1-9]\d{{0,2}}(?:\.\d{{3}}){{2,}}", plain):
            continue
        if re.fullmatch(rf"{grouped}(?:{re.escape(point)}\d+)?", plain):
            return plain.replace(group, "").replace(point, ".")
    if re.fullmatch(r"\d*,\d+", plain):
        return "0" * plain.startswith(",") + plain.replace(",", ".")
    raise InputError("the number cannot be read", given=text, expected="a number such as 1200.5 or 1,200.5")


def yes_or_no(text: str) -> Taken:
    """The answer to a yes or no.

    Raises
    ------
    InputError
        For anything else.

    Examples
    --------
    >>> yes_or_no("✓")
    Taken(value='yes', bound='', why='the mark means yes')
    """
    word = text.casefold().rstrip(".").removesuffix("\ufe0f")  # a tick may be asked to be drawn in colour
    if word in YES or word in _TICKS:
        return Taken("yes", why="" if word in _CLEAR_YES else "the mark means yes")
    if word in NO:
        return Taken("no", why="" if word in _CLEAR_NO else "the mark means no")
    raise InputError("not an answer", given=text[:80], expected="yes or no")


def pair(text: str, kind: kinds.Kind, unit: str, decimal_comma: bool) -> tuple[str, str]:
    """The two ends of a range: "40 to 70 °F", "40-70", "40 °F – 70 °F".

    Raises
    ------
    InputError, UnitError
        If it is none.
    """
    ends = re.split(r"\s+to\s+|\s*\.\.\s*|(?<=[^\s\-–—−(])\s*[-–—−]\s*(?=[\d.])", text.strip(), maxsplit=1)
    if len(ends) != 2:
        raise InputError(
            "not a range", given=text[:80], expected=f"two numbers such as '40 to 70', each {kind.title}"
        )
    last = number(ends[1], kind, unit, "", decimal_comma).value
    behind = re.sub(r"^[-+\d.\s]+", "", last)
    first = number(ends[0], kind, unit or behind, "", decimal_comma).value
    if parse_si(first, kind) > parse_si(last, kind):
        raise InputError("the range is empty", given=text[:80], expected="the smaller value first")
    return first, last
