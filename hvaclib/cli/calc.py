"""``python -m hvaclib calc``: every declared calculation, with arguments as people write them."""

from __future__ import annotations

import dataclasses
import difflib
import importlib
import json
import math
import pkgutil
import sys
from collections.abc import Sequence
from typing import Any

from hvaclib import physics
from hvaclib.errors import HvacError, InputError
from hvaclib.units import Declaration, Kind, Quantity, Result, show
from hvaclib.units.spelling import affine, unit_named

__all__ = ["calculations", "find", "main"]

_HELP = """\
python -m hvaclib calc NAME ARGUMENT=VALUE …     one JSON object on standard output
python -m hvaclib calc NAME --help               the arguments of one calculation
python -m hvaclib calc --list                    all calculations

Values carry their units as people write them, in quotes: diameter="4 in" temperature="70 °F".
Lists have commas, each item its unit. as="kW" gives the main result in another unit."""

_JSON_UNITS = {"inch**2": "in²", "foot**2": "ft²", "delta_degree_Fahrenheit": "Δ°F"}
"""Where the label on a screen and the spelling in a result differ: here a difference says so, and pint can read it."""


def main(argv: Sequence[str]) -> int:
    """Answer one calculation, or list them.

    Parameters
    ----------
    argv : sequence of str
        Arguments after ``calc``.

    Returns
    -------
    int
        0, or 2 with one sentence on standard error and nothing on standard output.
    """
    try:
        text = _answer(list(argv))
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    print(text)
    return 0


def _answer(arguments: list[str]) -> str:
    if arguments and arguments[0] in {"--help", "-h"}:
        return _HELP
    if arguments and arguments[0] == "--list":
        return "\n".join(_entry(function.declaration) for function in calculations().values())
    if not arguments:
        raise InputError("calc needs the name of a calculation", expected="a name from 'calc --list'")
    function = find(arguments[0])
    if set(arguments[1:]) & {"--help", "-h"}:
        return _help(function.declaration)
    given = _given(arguments[1:], function.declaration)
    unit = given.pop("as", None)
    return json.dumps(
        _record(function(**given), function.declaration, unit), ensure_ascii=False, allow_nan=False
    )


def calculations() -> dict[str, Any]:
    """All public calculations by name, in alphabetical order; imports every module of physics.

    Returns
    -------
    dict of str to Calculation
    """
    return {name: function for subject in _subjects() for name, function in sorted(_of(subject).items())}


def find(name: str) -> Any:
    """Look up a calculation by its name; imports only the module of its subject.

    Parameters
    ----------
    name : str
        ``"subject.function"``.

    Returns
    -------
    Calculation

    Raises
    ------
    InputError
        If there is none, with the nearest name.
    """
    subject = name.partition(".")[0]
    if subject in _subjects():
        found = _of(subject).get(name)
        if found is not None:
            return found
        names = sorted(_of(subject))
        if subject == name:
            raise InputError("a subject, not a calculation", given=name, expected=", ".join(names))
    everything = calculations()
    close = difflib.get_close_matches(name, everything, n=1, cutoff=0.5)
    hint = f" (did you mean {close[0]!r}?)" if close else ""
    raise InputError(f"there is no calculation {name!r}{hint}", expected="a name from 'calc --list'")


def _subjects() -> list[str]:
    return sorted(
        module.name for module in pkgutil.iter_modules(physics.__path__) if not module.name.startswith("_")
    )


def _of(subject: str) -> dict[str, Any]:
    module = importlib.import_module(f"{physics.__name__}.{subject}")
    found = {}
    for name, member in vars(module).items():
        declaration = getattr(member, "declaration", None)
        if isinstance(declaration, Declaration) and declaration.name == f"{subject}.{name}":
            found[declaration.name] = member
    return found


def _given(arguments: list[str], declaration: Declaration) -> dict[str, str]:
    """Split ``name=value``; whether a name exists is for the calculation itself to say."""
    given: dict[str, str] = {}
    for argument in arguments:
        name, sign, text = argument.partition("=")
        name = name.strip().lstrip("-").replace("-", "_")
        if not sign:
            raise InputError(
                "an argument without '='",
                where=declaration.name,
                given=argument,
                expected='NAME="VALUE" in quotes, such as diameter="4 in"',
            )
        if f"{name}_" in declaration.arguments:
            name += "_"
        if name in given:
            raise InputError("an argument is given twice", where=declaration.name, given=name)
        given[name] = text
    return given


def _record(value: Any, declaration: Declaration, unit: str | None) -> dict[str, Any]:
    """Everything that is known of a result, ready for JSON."""
    kinds = declaration.result_kinds
    main_name, main_kind = next(iter(kinds.items()))
    main = value.main if isinstance(value, Result) else value
    shown = _plain(main)
    if unit is not None:
        shown = {"value": _converted(main, main_kind, unit, declaration.name), "unit": unit}
    if not isinstance(shown, dict) or "unit" not in shown:
        shown = {"value": shown, "unit": ""}
    if isinstance(value, Result):
        result, notes, sources = _plain(value), value.notes, value.sources
    else:
        result, notes, sources = {main_name: _plain(value)}, declaration.notes, declaration.sources
    return {**shown, "result": result, "notes": list(notes), "sources": list(sources)}


def _converted(main: Any, kind: Any, unit: str, name: str) -> Any:
    if not isinstance(kind, Kind) or not isinstance(main, Quantity):
        raise InputError("the main result has no unit to convert", where=f"{name}, as", given=unit)
    try:
        target = unit_named(unit, kind)
        affine(target, kind)
    except HvacError as error:
        raise type(error)(
            error.what,
            where=f"{name}, as",
            given=unit,
            expected=f"a unit of {kind.title}, such as {kind.label()}",
        ) from None
    return _number(main.to(target).magnitude)


def _plain(value: Any) -> Any:
    """Quantities as value and unit, results as objects, words as they are."""
    if isinstance(value, Quantity):
        return {"value": _number(value.magnitude), "unit": _unit_text(value)}
    if isinstance(value, Result):
        fields = [field.name for field in dataclasses.fields(value) if field.name not in {"notes", "sources"}]  # type: ignore[arg-type]
        return {name: _plain(getattr(value, name)) for name in fields}
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    return _number(value) if isinstance(value, float) else value


def _number(magnitude: Any) -> Any:
    if hasattr(magnitude, "tolist"):
        magnitude = magnitude.tolist()
    if isinstance(magnitude, list):
        return [_number(item) for item in magnitude]
    return magnitude if math.isfinite(magnitude) else None


def _unit_text(value: Quantity) -> str:
    from hvaclib.units import KINDS, ureg

    for kind in KINDS.values():
        if kind.field_unit and value.units == ureg.Unit(kind.field_unit):
            return _JSON_UNITS.get(kind.field_unit, kind.label())
    return f"{value.units:~P}"


def _default(argument: Any) -> str:
    if argument.required:
        return ""
    if argument.default is None:
        return " = default"
    if isinstance(argument.accepts, Kind):
        return f" = {show(argument.default, argument.accepts)}"
    return f" = {str(argument.default).lower() if isinstance(argument.default, bool) else argument.default}"


def _gives(declaration: Declaration) -> str:
    parts = []
    for name, kind in declaration.result_kinds.items():
        if isinstance(kind, Kind):
            unit = _JSON_UNITS.get(kind.field_unit, kind.label())
            parts.append(f"{kind.title}, {unit}" if unit else kind.title)
        else:
            parts.append(name.replace("_", " ") if kind is None else kind.describe())
    return "; ".join(parts)


def _entry(declaration: Declaration) -> str:
    lines = [declaration.name, f"    {declaration.summary}"]
    lines += [
        f"    {name}{_default(item)}: {item.describe()}" for name, item in declaration.arguments.items()
    ]
    return "\n".join([*lines, f"    gives {_gives(declaration)}"])


def _help(declaration: Declaration) -> str:
    lines = [f"{declaration.name}: {declaration.summary}", ""]
    for name, item in declaration.arguments.items():
        expected = item.accepts.expected if isinstance(item.accepts, Kind) else item.describe()
        lines += [
            f"  {name}{_default(item)}",
            f"      {expected}",
            f"      {declaration.meanings.get(name, '')}".rstrip(),
        ]
    lines += ["", f"gives {_gives(declaration)}", *declaration.notes, "", "Sources", *declaration.sources]
    return "\n".join(lines)
