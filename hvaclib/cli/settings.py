"""What the commands that answer as a board does share: NAME=VALUE into the board's inputs, its page as a report."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from hvaclib.cli import report
from hvaclib.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable

    from hvaclib.boards.base import BoardModel, Page
    from hvaclib.plots.style import System

VIEW = ("system", "large_type")
"""Settings of a board's page that the terminal has no use for."""


class SettingsParser(report.Parser):
    """Lists the settings below the options.

    Parameters
    ----------
    command : str
        Name behind ``python -m hvaclib``.
    description : str
        What it does.
    settings : callable
        Gives a line of words by the name of each setting; called for ``--help`` only.
    """

    def __init__(self, command: str, description: str, settings: Callable[[], dict[str, str]]) -> None:
        super().__init__(prog=f"python -m hvaclib {command}", description=description)
        self._settings = settings
        self.add_argument("--si", action="store_true", help="answer in SI units")
        self.add_argument("--json", action="store_true", help="one JSON object instead of tables")
        self.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """The arguments; settings may stand before, between and behind options."""
        return self.parse_intermixed_args(args, namespace)

    def format_help(self) -> str:
        """The usual help, then one line a setting."""
        lines = [f"  {name:<18} {words}" for name, words in self._settings().items()]
        return "\n".join([super().format_help(), "settings:", *lines, ""])


def words_of(model: BoardModel, without: Iterable[str] = ()) -> dict[str, str]:
    """The words of each of a board's inputs by name; what one may choose stands behind them."""
    from hvaclib.boards.base import Choice

    left_out = {*VIEW, *without}
    return {
        name: trait.words + (f" ({', '.join(trait.options)})" if isinstance(trait, Choice) else "")
        for name, trait in model.declared().items()
        if name not in left_out
    }


def pairs(items: Sequence[str], command: str) -> dict[str, str]:
    """Split NAME=VALUE arguments.

    Raises
    ------
    InputError
        If one has no name or no equals sign, or a name comes twice.
    """
    found: dict[str, str] = {}
    for item in items:
        name, sign, text = (part.strip() for part in item.partition("="))
        if not sign or not name:
            raise InputError("a setting without '='", where=command, given=item, expected='NAME="VALUE"')
        if name in found:
            raise InputError("this setting is given twice", where=command, given=name, expected="one value")
        found[name] = text
    return found


def check_names(given: Iterable[str], known: Iterable[str], command: str) -> None:
    """Refuse a setting that the command does not have; one of a group of switches counts by its group.

    Raises
    ------
    InputError
        Naming the nearest one, or all.
    """
    names = list(known)
    for name in given:
        if name.partition(".")[0] not in names:
            near = difflib.get_close_matches(name, names, 1, 0.6)
            expected = f"{near[0]!r}, or another of --help" if near else "one of: " + ", ".join(names)
            raise InputError("there is no such setting", where=command, given=name, expected=expected)


def put_in(model: BoardModel, given: dict[str, str], system: str, command: str) -> None:
    """Set a board's inputs; a number without a unit counts in the unit of the answer.

    They are set in the board's own order, whichever way they were typed: a kind of gas brings its usual pressures, which
    must not overwrite one that was given.

    Parameters
    ----------
    model : BoardModel
        Whose inputs are set.
    given : dict
        Text by name of input, as `pairs` gives it and `check_names` has passed it.
    system : {"field", "si"}
        Units of the answer.
    command : str
        What refusals name.

    Raises
    ------
    InputError
        For the first value that cannot be followed.
    """
    from hvaclib.boards.base import Switches

    model.system = system
    order = list(model.declared())
    for name in given:
        members = list(getattr(model, name)) if isinstance(model.declared().get(name), Switches) else []
        if members:
            raise InputError(
                "this is a group of switches", where=command, given=name,
                expected="one of them: " + ", ".join(f'"{name}.{member}=off"' for member in members),
            )  # fmt: skip
    fields = sorted(given.items(), key=lambda item: order.index(item[0].partition(".")[0]))
    problems = model.from_link(urlencode(fields, quote_via=quote))
    if problems:
        raise InputError(problems[0].removeprefix("link, ").rstrip("."), where=command)


def refuse_blocked(model: BoardModel, inputs: Any, command: str) -> None:
    """Refuse inputs that the board has no answer for.

    Raises
    ------
    InputError
        With the board's own sentence.
    """
    blockers = model.find_blockers(inputs)
    if blockers:
        raise InputError(blockers[0].rstrip("."), where=command)


def taken(model: BoardModel, without: Iterable[str] = ()) -> dict[str, str]:
    """What was not given and is taken as on the board: text by name of input; typed readings left empty are none."""
    from hvaclib.boards.base import Choice, Number, Switch
    from hvaclib.units import show

    left_out = {*VIEW, *without}
    found = {}
    for name, trait in model.declared().items():
        value = getattr(model, name)
        if name in left_out or value is None:
            continue
        if isinstance(trait, Number):
            found[name] = show(value, trait.kind, model.system)
        elif isinstance(trait, Switch):  # said too: nobody may take for seen what nobody looked for
            found[name] = "on" if value else "off"
        elif isinstance(trait, Choice) and value:
            found[name] = str(value)
    return found


def content(page: Page, assumed: dict[str, str], numbers: dict[str, Any]) -> dict[str, Any]:
    """A board's page as a report that JSON can hold, with what was taken and the bare numbers (SI) beside."""
    return {
        "answer": list(page.answer),
        "verdict": page.verdict,
        "cautions": list(page.cautions),
        "taken_as_on_the_board": assumed,
        "numbers": numbers,
        "tables": {table.title: [dict(row) for row in table.rows] for table in page.tables},
        "sources": list(page.sources),
    }


def text_of(found: dict[str, Any]) -> str:
    """The report for people."""
    lines = list(found["answer"])
    if found["cautions"]:
        lines += ["", *(f"Caution: {text}" for text in found["cautions"])]
    assumed = found["taken_as_on_the_board"]
    if assumed:
        told = ", ".join(f"{name} {text}" for name, text in assumed.items())
        lines += ["", f"Not given, taken as on the board: {told}."]
    for title, rows in found["tables"].items():
        if rows:
            head = tuple(rows[0])
            body = [tuple(str(row[key]) for key in head) for row in rows]
            lines += ["", title, *report.rows(head, body)]
    return "\n".join([*lines, "", *(f"Source: {text}" for text in found["sources"])])


def system_of(arguments: argparse.Namespace) -> System:
    """The system of units asked for."""
    return "si" if arguments.si else "field"
