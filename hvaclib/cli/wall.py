"""``python -m hvaclib wall FILE.toml`` or ``NAME=VALUE …``: what in a wall is too close, where a terminal may stand."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report, settings, wall_report
from hvaclib.errors import HvacError, InputError

if TYPE_CHECKING:
    from hvaclib.boards.terminations import TerminationsBoard

COMMAND = "wall"
INSTEAD = {"column": "column", "kind": "kind", "size": "size", "input_rate": "input"}
"""Settings that may stand beside a file, and the key whose place they take."""


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``wall``.

    Returns
    -------
    int
        0 where nothing in the wall is too close and a terminal that was placed lies in the wall and covers nothing, 1
        where not, 2 where what was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Every pair of things in an outside wall that is too close, by which rule and how far; where a new vent terminal "
        "may stand. The wall is a file (TOML; the head of hvaclib/house/wall_file.py shows one), or the board's wall "
        "with settings. Beside a file: " + ", ".join(INSTEAD) + ".",
        _words,
    )
    parser.add_argument(
        "settings", nargs="*", metavar="FILE.toml | NAME=VALUE", help='such as column="Canada"'
    )
    parser.add_argument(
        "--at", metavar="ALONG,UP", help='centre of the new terminal, such as "11.5 ft, 3.5 ft"'
    )
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.terminations import TerminationsBoard

    model = TerminationsBoard()
    things = ", ".join(f'"things.{name}=on"' for name in model.members["things"])
    return {**settings.words_of(model), "things": f"what is in the wall: {things} or off"}


def _place(text: str) -> tuple[str, str]:
    """Both parts of a place."""
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 2 or not all(parts):
        raise InputError(
            "a place has two lengths", where="--at", given=text, expected="such as '11.5 ft, 3.5 ft'"
        )
    return parts[0], parts[1]


def _metres(text: str) -> tuple[float, float]:
    """A place along the wall and above grade, m."""
    from hvaclib.units import kinds, parse_si

    try:
        along, up = (parse_si(part, kinds.LENGTH) for part in _place(text))
    except HvacError as error:
        if error.where:
            raise
        raise InputError(
            error.what, where="--at", given=text, expected=error.expected or "such as '11.5 ft, 3.5 ft'"
        ) from error
    return along, up


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    files = [item for item in arguments.settings if "=" not in item]
    given = settings.pairs([item for item in arguments.settings if "=" in item], COMMAND)
    if len(files) > 1:
        raise InputError("one wall at a time", where=COMMAND, given=", ".join(files), expected="one file")
    if files:
        return _of_file(files[0], given, arguments)
    return _of_board(given, arguments)


def _of_board(given: dict[str, str], arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    """The board's own wall with settings."""
    from hvaclib.boards.terminations import TerminationsBoard

    settings.check_names(given, _words(), COMMAND)
    if arguments.at is not None:
        both = [name for name in ("along", "up") if name in given]
        if both:
            raise InputError(f"--at and {both[0]} are both given", where=COMMAND, expected="one or the other")
        given["along"], given["up"] = _place(arguments.at)
    # the scene first: it sets the places that the other settings change
    ordered = dict(sorted(given.items(), key=lambda item: item[0] != "scene"))
    model = TerminationsBoard()
    settings.put_in(model, ordered, settings.system_of(arguments), COMMAND)
    inputs = model.inputs()
    settings.refuse_blocked(model, inputs, COMMAND)
    found = model.compute(inputs)
    assumed = settings.taken(model, _not_taken(ordered, model))
    if not any(name.startswith("things.") for name in given):
        assumed["things"] = ", ".join(name for name, there in model.things.items() if there)
    return wall_report.report_of(found, settings.system_of(arguments), assumed)


def _not_taken(given: dict[str, str], model: TerminationsBoard) -> set[str]:
    """Settings that were given, or that tell of what is not in this wall."""
    places = {"window": "window_along", "second window": "second_along", "door": "door_along",
              "gravity inlet": "gravity_along", "forced inlet": "forced_", "dryer": "dryer_", "gas meter": "meter_along"}  # fmt: skip
    absent = tuple(start for thing, start in places.items() if not model.things.get(thing))
    names = {name for name in model.declared() if absent and name.startswith(absent)}
    if not (model.things.get("window") or model.things.get("second window")):
        names |= {"sill", "window_width"}
    return {*given, *names}


def _of_file(path: str, given: dict[str, str], arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    """The wall of a file; the new terminal is placed only where ``--at`` says so."""
    from hvaclib.boards.terminations.model import STEP
    from hvaclib.house.wall_file import read_wall
    from hvaclib.physics.terminations import judge_wall

    settings.check_names(given, INSTEAD, COMMAND)
    at = None if arguments.at is None else _metres(arguments.at)
    plan = read_wall(path, {INSTEAD[name]: text for name, text in given.items()})
    if at is not None and plan.new is None:
        raise InputError(
            "the file has no new terminal to place", where="--at", given=arguments.at,
            expected="a table [new] with kind, size and input",
        )  # fmt: skip
    found = judge_wall(plan.wall, plan.new, at=at, step=STEP, column=plan.column)
    return wall_report.report_of(found, settings.system_of(arguments), {})
