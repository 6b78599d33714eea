"""What an argument of a calculation accepts, and how it becomes the plain value that the body computes with."""

from __future__ import annotations

import math
import numbers
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias, runtime_checkable

import numpy as np
import pint

from hvaclib.errors import InputError, UnitError
from hvaclib.units.kinds import Kind
from hvaclib.units.parsing import parse_si
from hvaclib.units.spelling import affine

__all__ = [
    "COUNT", "FLAG", "TEXT", "Accepts", "Choice", "Either", "ListOf",
    "argument_si", "choice", "describe", "either", "list_of", "quantity_si",
]  # fmt: skip


@runtime_checkable
class Special(Protocol):
    """Something other than one quantity that an argument may be."""

    def to_si(self, value: Any, where: str) -> Any:
        """Bring what was given to what the body takes, or refuse it in a sentence."""

    def describe(self) -> str:
        """Name what is expected, for lists, help and refusals."""


Accepts: TypeAlias = Kind | Special


def quantity_si(value: Any, kind: Kind, where: str = "") -> Any:
    """Bring one quantity, typed text or plain number to a float (or array) in the kind's SI unit.

    Parameters
    ----------
    value : pint.Quantity, str, float or array_like
        Of this registry or another; arrays keep their shape. Plain numbers only where the kind has no unit.
    kind : Kind
        What is asked for.
    where : str, optional
        Argument, key or field, named in the refusal.

    Returns
    -------
    float or ndarray
        In ``kind.si``.

    Raises
    ------
    UnitError
        If it is of another kind, has no unit, or is not finite.
    """
    try:
        if isinstance(value, str):
            return parse_si(value, kind)
        if isinstance(value, pint.Quantity):
            scale, offset = affine(value.units, kind)
            return _scaled(value.magnitude, scale, offset, kind)
        return _plain(value, kind)
    except UnitError as error:
        given = value if error.given is None else error.given
        raise UnitError(error.what, where=where, given=_short(given), expected=error.expected) from None


def _plain(value: Any, kind: Kind) -> Any:
    """A number without a unit, where the kind has none."""
    if isinstance(value, bool) or not isinstance(value, (numbers.Real, np.ndarray, list, tuple)):
        raise UnitError(f"{type(value).__name__} is not a quantity", expected=kind.expected)
    if not kind.bare:
        raise UnitError("a number without its unit", expected=kind.expected)
    return _scaled(value, 1.0, 0.0, kind)


def _short(given: Any) -> str:
    text = " ".join(str(given).split())
    return text if len(text) <= 60 else text[:57] + "..."


def _scaled(magnitude: Any, scale: float, offset: float, kind: Kind) -> Any:
    if isinstance(magnitude, (numbers.Real, np.number)):
        number = float(magnitude) * scale + offset
        if not math.isfinite(number):
            raise UnitError("not a finite number", expected=kind.expected)
        return number
    try:
        array = np.asarray(magnitude, dtype=np.float64)
    except (TypeError, ValueError):
        raise UnitError("not a number", expected=kind.expected) from None
    if not np.isfinite(array).all():
        raise UnitError("not every number is finite", expected=kind.expected)
    return array * scale + offset


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]

    def to_si(self, value: Any, where: str) -> str:
        """Match without regard to capitals, hyphens and underscores."""
        folded = {_fold(word): word for word in self.words}
        if isinstance(value, str) and _fold(value) in folded:
            return folded[_fold(value)]
        raise InputError("not one of the choices", where=where, given=_short(value), expected=self.describe())

    def describe(self) -> str:
        """List the words."""
        quoted = [f'"{word}"' for word in self.words]
        return " or ".join([", ".join(quoted[:-1]), quoted[-1]] if len(quoted) > 1 else quoted)


def _fold(word: str) -> str:
    return " ".join(word.lower().replace("-", " ").replace("_", " ").split())


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""

    def to_si(self, value: Any, where: str) -> bool:
        """Take a bool, or the words true, false, yes and no."""
        words = {"true": True, "yes": True, "false": False, "no": False}
        if isinstance(value, (bool, np.bool_)):
            return bool(value)
        if isinstance(value, str) and value.strip().lower() in words:
            return words[value.strip().lower()]
        raise InputError("neither true nor false", where=where, given=_short(value), expected=self.describe())

    def describe(self) -> str:
        """Say the two words."""
        return "true or false"


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number, not negative."""

    def to_si(self, value: Any, where: str) -> int:
        """Take an int or its digits."""
        if isinstance(value, str) and value.strip().isdecimal():
            value = int(value)
        if isinstance(value, (int, np.integer)) and not isinstance(value, bool) and int(value) >= 0:
            return int(value)
        raise InputError("not a whole number", where=where, given=_short(value), expected=self.describe())

    def describe(self) -> str:
        """Say what a count is."""
        return "a whole number such as 2"


@dataclass(frozen=True, slots=True)
class Text:
    """Free text."""

    def to_si(self, value: Any, where: str) -> str:
        """Take a text that is not empty."""
        if isinstance(value, str) and value.strip():
            return value.strip()
        raise InputError("not a text", where=where, given=_short(value), expected=self.describe())

    def describe(self) -> str:
        """Say that it is a text."""
        return "a text"


@dataclass(frozen=True, slots=True)
class ListOf:
    """Several quantities of one kind."""

    kind: Kind

    def to_si(self, value: Any, where: str) -> Any:
        """Take a list, an array quantity, or a text with commas between the items."""
        if isinstance(value, pint.Quantity):
            array = quantity_si(value, self.kind, where)
            return np.atleast_1d(array)
        items = value.split(",") if isinstance(value, str) else value
        if not isinstance(items, (list, tuple, np.ndarray)) or len(items) == 0:
            raise InputError("not a list", where=where, given=_short(value), expected=self.describe())
        try:
            return np.asarray([quantity_si(item, self.kind, where) for item in items], dtype=np.float64)
        except UnitError as error:
            if not isinstance(value, str):
                raise
            what = f"{error.what} (commas part the items of the list, and each item needs its unit)"
            raise UnitError(what, where=where, given=_short(value), expected=self.describe()) from None

    def describe(self) -> str:
        """Say of what it is a list."""
        return f"a list of {self.kind.title}, each item with its unit, with commas between them"


@dataclass(frozen=True, slots=True)
class Either:
    """A quantity, or something else: a pipe by its inside diameter or by its nominal size, for example."""

    kind: Kind
    other: Special

    def to_si(self, value: Any, where: str) -> Any:
        """Take the quantity where it is one, else the other."""
        if isinstance(value, str):
            try:
                return self.other.to_si(value, where)
            except InputError:
                if isinstance(self.other, Choice) and not any(letter.isdigit() for letter in value):
                    raise
        return quantity_si(value, self.kind, where)

    def describe(self) -> str:
        """Name both."""
        return f"{self.kind.title} or {self.other.describe()}"


FLAG = Flag()
COUNT = Count()
TEXT = Text()


def choice(*words: str) -> Choice:
    """Accept one of these words."""
    return Choice(words)


def list_of(kind: Kind) -> ListOf:
    """Accept several quantities of this kind; the body gets an array of shape (n,) in SI."""
    return ListOf(kind)


def either(kind: Kind, other: Special) -> Either:
    """Accept a quantity of this kind or something else; the body gets a float or what the other gives."""
    return Either(kind, other)


def argument_si(accepts: Accepts, value: Any, where: str) -> Any:
    """Bring what was given for an argument to what the body takes."""
    if isinstance(accepts, Kind):
        return quantity_si(value, accepts, where)
    return accepts.to_si(value, where)


def describe(accepts: Accepts) -> str:
    """Name what an argument accepts, in a few words."""
    return accepts.title if isinstance(accepts, Kind) else accepts.describe()
