"""``python -m hvaclib static FILE``: static pressures along the air's way, judged, and the stretch that is out of line."""

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
        Arguments behind ``static``.

    Returns
    -------
    int
        0 where the external static pressure meets its rule and no stretch is out of line, 1 where not, 2 where what
        was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _parser() -> report.Parser:
    return air_side.parser(
        "static",
        "Static pressures at the four test holes of the furnace in a dwelling file, simulated or from readings: total "
        "external static pressure against the plate, airflow from the blower's table, and which component is out of "
        "line.",
        "hole 1 = -0.12 in. w.c., hole 2 = -0.30 in. w.c., hole 3 = 0.25 in. w.c., hole 4 = 0.10 in. w.c.",
    )


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.procedures.static_pressure import QUANTITIES, static_pressure

    dwelling, side, taken = air_side.situation(arguments)
    test = static_pressure(dwelling, side=side, measured=taken)
    content, met = air_side.found(test, dwelling, arguments.rules, QUANTITIES)
    found = test.identification
    if found is None:
        return {**content, "identification": None}, met
    content["identification"] = {
        "out_of_line": found.named,
        "sentence": found.sentence,
        "stretches": [
            {
                "name": item.name,
                "components": list(item.components),
                "design_pa": round(item.design, 2),
                "measured_pa": round(item.measured, 2),
                "ratio": round(item.ratio, 3),
                "ratio_95_percent": [round(item.low, 3), round(item.high, 3)],
                "verdict": item.verdict,
            }
            for item in found.segments
        ],
    }
    return content, met and not found.named


def _table(content: dict[str, Any]) -> str:
    return air_side.table(content, "static pressure")
