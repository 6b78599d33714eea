"""``python -m hvaclib controls NAME=VALUE …``: the thermostat's circuit, the transformer, the way back from a setback."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from hvaclib.cli import controls_report, report, settings

COMMAND = "controls"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``controls``.

    Returns
    -------
    int
        0 where every part judged is in order, 1 where one is not or must be looked at again, 2 where what was asked
        cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Anticipator setting from the measured current, load of the control transformer, recovery from a setback. Only "
        "the parts are judged of which something is given; all, as on the board, where nothing is.",
        _words,
    )
    parser.add_argument(
        "settings", nargs="*", metavar="NAME=VALUE", help='such as reading="4.0 A" turns=10 pointer="0.40 A"'
    )
    return parser


def _parts() -> tuple[str, ...]:
    from hvaclib.boards.controls.words import PARTS, WATER

    return tuple(part for part in PARTS if part != WATER)


def _words() -> dict[str, str]:
    return controls_report.words_of_parts(_parts())


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.boards.controls import ControlsBoard

    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    controls_report.refuse_half(given, ("reading", "pointer"), COMMAND)
    belongs = controls_report.parts_of_inputs(ControlsBoard())
    asked = {belongs[name.partition(".")[0]] for name in given}
    parts = tuple(part for part in _parts() if part in asked) or _parts()
    return controls_report.report_of(given, parts, settings.system_of(arguments), COMMAND)
