"""Every calculation says in its docstring what its declaration says, and its examples run."""

import doctest
import inspect

import pytest

from hvaclib.cli.calc import calculations
from hvaclib.units import COUNT, FLAG, TEXT, Kind, docstrings, parse_si
from hvaclib.units.arguments import Choice, Either, ListOf

CALCULATIONS = calculations()
every = pytest.mark.parametrize("function", CALCULATIONS.values(), ids=CALCULATIONS.keys())
WORDS = {FLAG: "bool", COUNT: "int", TEXT: "str"}


def entries(function, section="Parameters"):
    return docstrings.parameters(function.__doc__, section)


def beginning(accepts):
    """How the type of a documented argument begins."""
    if isinstance(accepts, Kind):
        return accepts.title
    if isinstance(accepts, ListOf):
        return f"list of {accepts.kind.title}"
    if isinstance(accepts, Either):
        return f"{accepts.kind.title} or "
    return "{" if isinstance(accepts, Choice) else WORDS.get(accepts, "")


@every
def test_parameters_are_those_of_the_signature_in_their_order(function):
    assert (
        list(entries(function))
        == list(inspect.signature(function).parameters)
        == list(function.declaration.arguments)
    )
    assert all(meaning for _, meaning in entries(function).values())


@every
def test_kinds_and_defaults_are_the_declared_ones(function):
    for name, (kind, _) in entries(function).items():
        argument = function.declaration.arguments[name]
        assert kind.startswith(beginning(argument.accepts)), f"{name}: {kind}"
        if isinstance(argument.accepts, Choice):
            assert all(f'"{word}"' in kind for word in argument.accepts.words)
        text = kind.partition(", default ")[2]
        assert bool(text) is not argument.required or "optional" in kind, f"{name}: {kind}"
        if isinstance(argument.accepts, Kind) and argument.default is not None:
            assert parse_si(text, argument.accepts) == pytest.approx(argument.default), name


@every
def test_result_is_the_declared_one_with_its_unit(function):
    returned = docstrings.sections(function.__doc__)["Returns"]
    gives = function.declaration.gives
    if isinstance(gives, Kind):
        assert returned[0] == gives.title
        labels = {gives.label("field"), gives.label("si")} - {""}
        assert not labels or any(label in " ".join(returned) for label in labels)
    else:
        assert returned[0] == (f"list of {gives.kind.title}" if isinstance(gives, ListOf) else gives.__name__)


@every
def test_meaning_and_sources_are_there(function):
    assert function.declaration.summary.endswith(".")
    assert function.declaration.sources
    assert all(len(source) > 10 for source in function.declaration.sources)


@every
def test_examples_run(function):
    scope = dict(vars(inspect.getmodule(function.si)))
    found = doctest.DocTestParser().get_doctest(function.__doc__, scope, function.declaration.name, None, 0)
    assert found.examples
    failed, tried = doctest.DocTestRunner(verbose=False).run(found)
    assert tried
    assert not failed
