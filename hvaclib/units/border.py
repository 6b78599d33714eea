"""The border of a calculation: one declaration that checks, converts once, runs the plain body and wraps the result."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import inspect
from collections.abc import Callable
from functools import cached_property
from typing import Any, Generic, ParamSpec, Protocol, TypeVar, cast

from hvaclib.errors import HvacError, InputError
from hvaclib.units import docstrings
from hvaclib.units.arguments import Accepts, ListOf, Special, argument_si, describe
from hvaclib.units.kinds import Kind
from hvaclib.units.results import field_kinds, wrap

__all__ = ["Argument", "Calculation", "Declaration", "calculation"]

P = ParamSpec("P")
R = TypeVar("R")
R_co = TypeVar("R_co", covariant=True)

_OMITTED = frozenset({"default", "none"})


@dataclasses.dataclass(frozen=True, slots=True)
class Argument:
    """One declared argument.

    Parameters
    ----------
    name : str
        As in the signature.
    accepts : Kind or Special
        What it may be.
    required : bool
        Whether it has no default.
    default : object
        In SI, or None where the calculation finds its own default.
    """

    name: str
    accepts: Accepts
    required: bool
    default: Any = None

    def describe(self) -> str:
        """Name what is accepted, in a few words."""
        return describe(self.accepts)


@dataclasses.dataclass(frozen=True)
class Declaration:
    """What a calculation takes and gives; the command line, the boards and the docstring test read it.

    Parameters
    ----------
    name : str
        ``"subject.function"``, as typed on the command line.
    arguments : dict of str to Argument
        In the order of the signature.
    gives : Kind, ListOf or dataclass type
        Kind of the result, or the type whose fields carry kinds.
    notes : tuple of str
        Sentences shown beside every result, cautions first.
    doc : str
        The docstring.
    """

    name: str
    arguments: dict[str, Argument]
    gives: Any
    notes: tuple[str, ...]
    doc: str

    @cached_property
    def summary(self) -> str:
        """One line of meaning."""
        return docstrings.summary(self.doc)

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """References of the docstring."""
        return docstrings.references(self.doc)

    @cached_property
    def meanings(self) -> dict[str, str]:
        """What each argument means, from the docstring."""
        return {name: meaning for name, (_, meaning) in docstrings.parameters(self.doc).items()}

    @property
    def result_kinds(self) -> dict[str, Kind | ListOf | None]:
        """Kind of each part of the result, main part first."""
        if isinstance(self.gives, (Kind, ListOf)):
            return {self.name.rpartition(".")[2]: self.gives}
        return {
            name: kind for name, kind in field_kinds(self.gives).items() if name not in {"notes", "sources"}
        }


class Calculation(Protocol, Generic[P, R_co]):
    """A calculation with two doors: called with quantities, or through ``si`` with plain SI floats and arrays."""

    __name__: str
    __doc__: str | None
    declaration: Declaration

    @property
    def si(self) -> Callable[P, R_co]:
        """The plain body: SI floats or arrays in and out, no conversion."""

    def __call__(self, **quantities: Any) -> Any:
        """Take quantities or typed text by name; return a quantity or an object of quantities."""


def calculation(
    *, gives: Any, notes: tuple[str, ...] = (), **accepts: Accepts
) -> Callable[[Callable[P, R]], Calculation[P, R]]:
    """Declare what a calculation takes and gives.

    Parameters
    ----------
    gives : Kind, ListOf or dataclass type
        Kind of the result; or a frozen dataclass whose fields carry their kinds, as
        ``area: Annotated[float, kinds.AREA]``, the main result first.
    notes : tuple of str, optional
        Sentences that belong beside every result: cautions, assumptions that a reader must know.
    **accepts : Kind or Special
        What each argument of the body may be; names equal the signature's.

    Returns
    -------
    callable
        Decorator. The decorated function takes quantities and strings by name; ``.si`` is the plain body,
        ``.declaration`` the declaration.

    Raises
    ------
    TypeError
        At import, if declaration and signature do not match.

    Examples
    --------
    >>> from hvaclib.units import calculation, kinds
    >>> @calculation(width=kinds.SIZE, height=kinds.SIZE, gives=kinds.AREA)
    ... def area(*, width: float, height: float) -> float:
    ...     return width * height
    >>> round(area(width="3 in", height="5 in"), 6)
    <Quantity(15.0, 'inch ** 2')>
    >>> area.si(width=0.5, height=2.0)
    1.0
    """

    def declare(body: Callable[P, R]) -> Calculation[P, R]:
        declaration = _declaration(body, gives, notes, accepts)
        required = tuple(name for name, argument in declaration.arguments.items() if argument.required)

        @functools.wraps(body)
        def border(*positional: Any, **given: Any) -> Any:
            if positional:
                raise InputError("arguments are given by name", where=declaration.name)
            plain = {}
            for name, value in given.items():
                argument = declaration.arguments.get(name) or _unknown(declaration, name)
                if not (value is None or _is_omission(value, argument)):
                    plain[name] = argument_si(argument.accepts, value, f"{declaration.name}, {name}")
                elif argument.required:
                    raise _missing(declaration, name)
            for name in required:
                if name not in plain:
                    raise _missing(declaration, name)
            try:
                value = body(**plain)  # type: ignore[call-arg]
            except HvacError as error:
                raise _located(error, declaration) from error
            return wrap(
                value, gives, notes, declaration.sources if not isinstance(gives, (Kind, ListOf)) else ()
            )

        border.si = body  # type: ignore[attr-defined]
        border.declaration = declaration  # type: ignore[attr-defined]
        return cast("Calculation[P, R]", border)

    return declare


def _declaration(
    body: Callable[..., Any], gives: Any, notes: tuple[str, ...], accepts: dict[str, Accepts]
) -> Declaration:
    subject = body.__module__.removeprefix("hvaclib.physics.").split(".")[0]
    name = f"{subject}.{body.__name__}"
    signature = inspect.signature(body).parameters
    if list(signature) != list(accepts):
        raise TypeError(f"{name}: declared {list(accepts)}, but the signature has {list(signature)}")
    arguments = {}
    for parameter in signature.values():
        kind = accepts[parameter.name]
        if parameter.kind is not inspect.Parameter.KEYWORD_ONLY:
            raise TypeError(f"{name}: {parameter.name} must be keyword-only")
        if not isinstance(kind, (Kind, Special)):
            raise TypeError(f"{name}: {parameter.name} is declared as {kind!r}, not as a kind")
        required = parameter.default is inspect.Parameter.empty
        default = None if required else parameter.default
        if isinstance(kind, Kind) and default is not None and type(default) not in {float, int}:
            raise TypeError(f"{name}: the default of {parameter.name} must be a float in SI or None")
        arguments[parameter.name] = Argument(parameter.name, kind, required, default)
    if not isinstance(gives, (Kind, ListOf)) and not (
        isinstance(gives, type) and dataclasses.is_dataclass(gives)
    ):
        raise TypeError(f"{name}: gives must be a kind, a list of a kind or a dataclass")
    return Declaration(name, arguments, gives, notes, body.__doc__ or "")


def _is_omission(value: Any, argument: Argument) -> bool:
    """Whether the words 'default' or 'none' stand for leaving an argument out."""
    return isinstance(value, str) and not argument.required and value.strip().lower() in _OMITTED


def _unknown(declaration: Declaration, name: str) -> Argument:
    close = difflib.get_close_matches(name, declaration.arguments, n=1)
    hint = f" (did you mean {close[0]!r}?)" if close else ""
    raise InputError(
        f"there is no argument {name!r}{hint}",
        where=declaration.name,
        expected=", ".join(declaration.arguments) or "no argument",
    )


def _missing(declaration: Declaration, name: str) -> InputError:
    accepts = declaration.arguments[name].accepts
    expected = accepts.expected if isinstance(accepts, Kind) else accepts.describe()
    return InputError(f"the argument {name!r} is missing", where=declaration.name, expected=expected)


def _located(error: HvacError, declaration: Declaration) -> HvacError:
    """Name the calculation, and the argument only when it is one of its own."""
    where = f"{declaration.name}, {error.where}" if error.where in declaration.arguments else declaration.name
    return type(error)(error.what, where=where, given=error.given, expected=error.expected)
