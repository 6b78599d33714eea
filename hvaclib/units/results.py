"""What comes back over the border: one quantity, or a small frozen object of quantities, notes and sources."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from hvaclib.units.arguments import ListOf
from hvaclib.units.kinds import Kind
from hvaclib.units.registry import ureg

__all__ = ["Result", "field_kinds", "quantity", "wrap"]


class Result:
    """Base of the objects that calculations with several results return: one quantity a field.

    The first field is the main result. `notes` are sentences that belong beside the number, `sources` say where the
    method comes from.
    """

    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    _main: str = ""

    @property
    def main(self) -> Any:
        """The main quantity."""
        return getattr(self, self._main)


def quantity(si: Any, kind: Kind) -> Any:
    """Make the pint quantity that people see, in the kind's field unit, of a value in SI."""
    unit, scale, offset = _unit(kind)
    number = (si - offset) / scale
    return ureg.Quantity(float(number) if getattr(number, "ndim", 0) == 0 else number, unit)


@cache
def _unit(kind: Kind) -> tuple[Any, float, float]:
    from hvaclib.units.spelling import affine

    unit = ureg.Unit(kind.field_unit or "dimensionless")
    return (unit, *affine(unit, kind))


@cache
def field_kinds(result: type) -> dict[str, Kind | ListOf | None]:
    """Kind that each field of a result declares through ``Annotated``; None for words, counts and nested results."""
    hints = get_type_hints(result, include_extras=True)
    kinds: dict[str, Kind | ListOf | None] = {}
    for field in dataclasses.fields(result):
        hint = hints[field.name]
        marks = [
            mark
            for part in (hint, *get_args(hint))
            if get_origin(part) is Annotated
            for mark in get_args(part)[1:]
        ]
        kinds[field.name] = next((mark for mark in marks if isinstance(mark, (Kind, ListOf))), None)
    return kinds


@cache
def _twin(result: type) -> type:
    """Build the class of the same name and fields that holds quantities instead of floats."""
    kinds = field_kinds(result)
    fields = [(name, Any) for name in kinds if name not in {"notes", "sources"}]
    tail = [(name, Any, dataclasses.field(default=())) for name in ("notes", "sources")]
    main = next(iter(kinds))
    return dataclasses.make_dataclass(
        result.__name__,
        [*fields, *tail],
        bases=(Result,),
        frozen=True,
        namespace={"_main": main, "__doc__": result.__doc__, "__module__": result.__module__},
    )


def _over(value: Any, kind: Kind | ListOf | None) -> Any:
    if value is None:
        return None
    if isinstance(kind, ListOf):
        return tuple(quantity(item, kind.kind) for item in value)
    if kind is not None:
        return quantity(value, kind)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return wrap(value, type(value), (), ())
    if isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
        return tuple(_over(item, None) for item in value)
    return value


def wrap(value: Any, gives: Any, notes: tuple[str, ...], sources: tuple[str, ...]) -> Any:
    """Bring what the body returned over the border.

    Parameters
    ----------
    value : float, ndarray, sequence or dataclass instance
        As the body returned it, in SI.
    gives : Kind, ListOf or dataclass type
        As declared.
    notes, sources : tuple of str
        Of the calculation, set before those of the result itself.

    Returns
    -------
    pint.Quantity, tuple of pint.Quantity, or Result
    """
    if isinstance(gives, (Kind, ListOf)):
        return _over(value, gives)
    values = {
        name: _over(getattr(value, name), kind)
        for name, kind in field_kinds(gives).items()
        if name not in {"notes", "sources"}
    }
    values["notes"] = notes + tuple(getattr(value, "notes", ()))
    values["sources"] = sources + tuple(getattr(value, "sources", ()))
    return _twin(gives)(**values)
