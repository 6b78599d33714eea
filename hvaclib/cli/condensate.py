"""``python -m hvaclib condensate NAME=VALUE …``: water from the flue gas, the pump in its line, the trap."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from hvaclib.cli import controls_report, report, settings

COMMAND = "condensate"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``condensate``.

    Returns
    -------
    int
        0 where the water gets out, 1 where it does not or where something must be looked at again, 2 where what was
        asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "How much condensate a furnace makes, whether its pump lifts it through the line, and the seal that the trap "
        "needs. What is not given is as on the board.",
        _words,
    )
    parser.add_argument(
        "settings", nargs="*", metavar="NAME=VALUE", help='such as lift="6 ft" run="30 ft" seal="2 in"'
    )
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.controls.words import WATER

    return controls_report.words_of_parts((WATER,))


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.boards.controls.words import WATER

    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    controls_report.refuse_half(given, ("static", "seal"), COMMAND)
    return controls_report.report_of(given, (WATER,), settings.system_of(arguments), COMMAND)
