"""How people spell units, and what each spelling means for a kind of quantity."""

from __future__ import annotations

import difflib
import itertools
import re
from functools import lru_cache
from typing import Any, Final

from pint.errors import PintError

from hvaclib.errors import UnitError
from hvaclib.units.kinds import Kind
from hvaclib.units.registry import ureg
from hvaclib.units.spellings import DIFFERENCES, NAMES, PHRASES, STRICT, TEMPERATURES, WHOLE

__all__ = ["affine", "refusal", "unit_named"]

_TOKEN: Final = re.compile(
    r"\s*(?:(?P<op>\*\*|[*/()^·])|(?P<number>-?\d+)|(?P<name>[^\W\d][\w]*|[°%Ω][\w]*|\"|'))"
)


@lru_cache(maxsize=4096)
def unit_named(text: str, kind: Kind) -> Any:
    """Find the unit that a spelling means where a quantity of this kind is asked for.

    Parameters
    ----------
    text : str
        Unit as typed: ``"in. w.c."``, ``"sq in"``, ``"Btu/hr"``, ``"°F"``, or in pint's spelling.
    kind : Kind
        What is asked for; it decides whether ``°F`` is a temperature or a difference.

    Returns
    -------
    pint.Unit
        Of the suite's registry; its kind is not yet checked (see `affine`).

    Raises
    ------
    UnitError
        If the spelling is unknown.
    """
    folded = _fold(text)
    lower = folded.lower().replace(".", "")
    wants_difference = kind.name == "TEMPERATURE_DIFFERENCE"
    if lower in DIFFERENCES:
        return ureg.Unit(f"delta_degree_{DIFFERENCES[lower]}")
    if lower in TEMPERATURES:
        return ureg.Unit(f"{'delta_' if wants_difference else ''}degree_{TEMPERATURES[lower]}")
    if lower in STRICT:
        return ureg.Unit(f"degree_{STRICT[lower]}")
    if lower in WHOLE:
        return ureg.Unit(WHOLE[lower])
    try:
        return ureg.parse_units(_expression(folded, text))
    except (
        PintError,
        ValueError,
        TypeError,
        AttributeError,
        SyntaxError,
        KeyError,
        ArithmeticError,
        AssertionError,  # pint's own, for a numeral such as ⅚ that is no digit
    ) as error:
        if isinstance(error, UnitError):
            raise
        raise UnitError(f"the unit {text!r} is not known{_hint(text)}", expected=kind.expected) from error


def _fold(text: str) -> str:
    """Typographic variants to one form each."""
    table = {"⁄": "/", "⋅": "·", "×": "*", "²": "^2", "³": "^3", "⁻": "-", "″": '"', "”": '"', "“": '"'}
    table |= {
        "′": "'",
        "’": "'",
        "º": "°",
        "˚": "°",
        "℉": "°F",
        "℃": "°C",
        "−": "-",
        "\u00a0": " ",
        "\u202f": " ",
    }
    folded = "".join(table.get(letter, letter) for letter in text).replace("''", '"')
    return re.sub(r"\s+", " ", re.sub(r"°\s+(?=[FCRK]\b)", "°", folded)).strip()


def _expression(folded: str, text: str) -> str:
    """Rewrite a spelling as an expression of pint's unit names, token by token."""
    plain = re.sub(r"\bper\b", "/", folded.replace(".", ""), flags=re.IGNORECASE)
    for pattern, name in PHRASES:
        plain = re.sub(rf"(?<![\w]){pattern}(?![\w])", name, plain, flags=re.IGNORECASE)
    plain = re.sub(r"(?<=\w)-(?=[^\W\d]|°)", "·", plain)
    tokens = _tokens(plain.rstrip(), text)
    parts: list[str] = []
    # whether a product written with a dot or a space still belongs to the divisor, one entry for each open bracket:
    # 'Btu/h·ft²·°F' divides by all three, 'Btu/h*ft^2' (pint's way) by the first only
    dividing = [False]
    for previous, (group, token) in itertools.pairwise([("op", "("), *tokens]):
        ends = previous[0] != "op" or previous[1] == ")"
        if not ends and group == "op" and token != "(":
            raise ValueError(text)
        if group == "number":
            if ends:
                parts.append("**")
            if abs(int(token)) > 6 or (parts and parts[-1] not in {"**", "("} and token != "1"):
                raise ValueError(text)
            parts.append(token)
            continue
        if ends and (group == "name" or token == "("):
            parts.append("/" if dividing[-1] else "*")
        if token == "(":
            dividing.append(False)
        elif token == ")":
            dividing.pop()
        elif group == "op" and token in "*/":
            dividing[-1] = token == "/"
        written = {"^": "**", "·": "/" if dividing[-1] else "*"}.get(token, token)
        parts.append(_name(token) if group == "name" else written)
    return "".join(parts)


def _tokens(plain: str, text: str) -> list[tuple[str, str]]:
    tokens: list[tuple[str, str]] = []
    position = 0
    while position < len(plain):
        match = _TOKEN.match(plain, position)
        if match is None:
            raise ValueError(text)
        position = match.end()
        group = match.lastgroup or "name"
        tokens.append((group, match[group]))
    depths = list(itertools.accumulate((token == "(") - (token == ")") for _, token in tokens))
    unfinished = not tokens or (tokens[-1][0] == "op" and tokens[-1][1] != ")")
    if unfinished or min(depths) < 0 or depths[-1] != 0:
        raise ValueError(text)
    return tokens


def _name(token: str) -> str:
    """One unit name; inside a compound unit a temperature can only be a difference."""
    lower = token.lower()
    scale = TEMPERATURES.get(lower) or STRICT.get(lower) or DIFFERENCES.get(lower)
    if scale:
        return f"delta_degree_{scale}"
    if token == "%":
        return "percent"
    if token == '"':
        return "inch"
    if token == "'":
        return "foot"
    # 'ft2', 'm3': a power written as a digit
    power = re.fullmatch(r"([A-Za-zµμ]+?)([2-4])", token)
    if power and token not in ureg:
        return f"{_name(power[1])}**{power[2]}"
    if token in ureg:
        return str(token)
    if lower in NAMES:
        return NAMES[lower]
    if lower in ureg:
        return lower
    raise KeyError(token)


def _hint(text: str) -> str:
    known = [
        *NAMES,
        "in. w.c.",
        "kBtu/h",
        "Btu/h",
        "therm",
        "°F",
        "°C",
        "gallon",
        "minute",
        "hour",
        "kg",
        "m",
        "L/s",
    ]
    close = difflib.get_close_matches(text.lower().strip(), known, n=1, cutoff=0.6)
    return f" (did you mean {NAMES.get(close[0], close[0])!r}?)" if close else ""


_affine: dict[tuple[int, Any, str], tuple[float, float, Any]] = {}


def affine(unit: Any, kind: Kind) -> tuple[float, float]:
    """Scale and offset that bring a number in `unit` to the kind's SI unit, after checking that the kinds agree.

    Parameters
    ----------
    unit : pint.Unit
        Of the suite's registry or of any other that knows the SI.
    kind : Kind
        Kind that is asked for.

    Returns
    -------
    tuple of float
        ``si = scale * number + offset``.

    Raises
    ------
    UnitError
        If the unit belongs to another kind.
    """
    registry = unit._REGISTRY
    key = (id(registry), unit._units, kind.name)
    known = _affine.get(key)
    if known is None:
        reason = refusal(unit, kind)
        if reason:
            raise UnitError(reason, expected=kind.expected)
        si = kind.si or "dimensionless"
        offset = float(registry.Quantity(0.0, unit).to(si).magnitude)
        one = registry.Unit(f"delta_{unit}") if offset else unit
        # the registry is kept, so that its id is not given to another one
        known = _affine[key] = (float(registry.Quantity(1.0, one).to(si).magnitude), offset, registry)
    return known[0], known[1]


def refusal(unit: Any, kind: Kind) -> str:
    """Why a unit cannot serve for a kind; empty when it can."""
    registry = unit._REGISTRY
    names = set(unit._units)
    label = f"{unit:~P}"
    if not names and not kind.bare:
        return f"a plain number is not {'an' if kind.title[0] in 'aeiou' else 'a'} {kind.title}"
    other = f"{label} is not a unit of {kind.title}"
    if unit.dimensionality != registry.Unit(kind.si or "dimensionless").dimensionality:
        return other
    if (kind.only and not names <= kind.only) or names & kind.refused:
        return other
    if kind.name == "TEMPERATURE" and any(name.startswith("delta_") for name in names):
        return "a temperature difference is given where a temperature is needed"
    if kind.name == "TEMPERATURE_DIFFERENCE" and names & {"degree_Celsius", "degree_Fahrenheit"}:
        return "a temperature is given where a temperature difference is needed"
    # joules per cubic metre and pascals have one dimension and are two things
    energy = registry.Unit("joule").dimensionality
    energetic = any(registry.Unit(name).dimensionality == energy for name in names)
    if (kind.si == "pascal" and energetic) or (kind.name == "HEATING_VALUE" and not energetic):
        return other
    return ""
