"""``python -m hvaclib rise FILE``: the furnace's temperature rise against its plate, judged by a rule set."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from hvaclib.cli import air_side, report


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``rise``.

    Returns
    -------
    int
        0 where the rise meets its rule, 1 where it does not or cannot be judged, 2 where what was asked cannot be done
        (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _parser() -> report.Parser:
    parser = air_side.parser(
        "rise",
        "Temperature rise of the furnace in a dwelling file, simulated or from readings, against its plate; the "
        "airflow that follows, and what to check in which order when the rise is high or low.",
        "return = 68 °F, supply = 121 °F",
    )
    parser.add_argument(
        "--in-sight", action="store_true", help="simulate a supply thermometer in sight of the heat exchanger"
    )
    return parser


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.procedures.temperature_rise import QUANTITIES, temperature_rise

    dwelling, side, taken = air_side.situation(arguments)
    test = temperature_rise(dwelling, side=side.with_in_sight(arguments.in_sight), measured=taken)
    return air_side.found(test, dwelling, arguments.rules, QUANTITIES)


def _table(content: dict[str, Any]) -> str:
    return air_side.table(content, "temperature rise")
