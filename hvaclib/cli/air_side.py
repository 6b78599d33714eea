"""What ``rise`` and ``static`` share: arguments, the readings that go before the simulation, the report and its table."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report

if TYPE_CHECKING:
    from hvaclib.house.air_side import AirSide
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.procedures.static_pressure import StaticPressure
    from hvaclib.procedures.temperature_rise import TemperatureRise
    from hvaclib.readings import Readings

CAUTIONS = (
    (
        "Moving blower and live parts behind the door, hot surfaces: power off before the door comes off, and never "
        "drill where a coil, a wire, a gas pipe or the heat exchanger may be."
    ),
    (
        "A heat exchanger that ran too hot can crack and let carbon monoxide into the air of the house: measure it; "
        "if it rises, shut the furnace down, ventilate, call."
    ),
    report.SIMULATED,
)


def parser(command: str, description: str, example: str) -> report.Parser:
    """A parser with the arguments of both commands.

    Parameters
    ----------
    command, description : str
        As of `report.dwelling_parser`.
    example : str
        Readings as they are typed.

    Returns
    -------
    report.Parser
    """
    made = report.dwelling_parser(command, description)
    made.add_argument("--tap", metavar="NAME", help="another tap of the blower")
    made.add_argument(
        "--measured",
        metavar="READINGS",
        help=f'what was read in the house, e.g. "{example}"; goes before the readings of the file',
    )
    made.add_argument(
        "--simulate", action="store_true", help="leave the readings of the file out and show the simulation"
    )
    return made


def situation(arguments: argparse.Namespace) -> tuple[Dwelling, AirSide, Readings]:
    """The dwelling, its air side as asked for, and the readings taken in it.

    Raises
    ------
    HvacError
        If the file cannot be read, has no furnace, or an option cannot be followed.
    """
    from hvaclib.house.air_side import air_side_of
    from hvaclib.house.file import read_dwelling
    from hvaclib.procedures.air_readings import filed, typed
    from hvaclib.readings import Readings

    dwelling = read_dwelling(arguments.file)
    setup = report.weather(dwelling.default_setup(), arguments)
    side = air_side_of(dwelling, setup.outdoor_temperature)
    if arguments.tap is not None:
        side = side.with_tap(arguments.tap)
    taken = Readings() if arguments.simulate else filed(dwelling, side.furnace)
    if arguments.measured is not None:
        taken = taken + typed(arguments.measured, side.furnace)
    return dwelling, side, taken


def found(
    test: TemperatureRise | StaticPressure,
    dwelling: Dwelling,
    rules_name: str,
    quantities: tuple[str, ...],
) -> tuple[dict[str, Any], bool]:
    """The report of a test, and whether everything judged meets its rule."""
    from hvaclib.procedures.air_checks import what_to_check
    from hvaclib.rules import judge, load

    rules = load(rules_name)
    findings = judge(test.readings, rules, test.facts).about(*quantities)
    state = test.state
    content = {
        "dwelling": dwelling.name,
        "invented": dwelling.invented,
        "furnace": test.side.furnace,
        "tap": test.side.tap,
        "measured": test.measured,
        **report.judged(findings, rules),
        "steps": [{"title": step.title, "finding": step.finding} for step in test.steps],
        "readings": test.readings.to_records(),
        "simulated": {
            "airflow_m3_s": round(float(state.flow[0]), 5),
            "external_static_pa": round(float(state.external_static[0]), 2),
            "rise_k": round(float(state.rise[0]), 3),
            "holes_pa": [round(float(p), 2) for p in state.holes[:, 0]],
        },
        "check": [
            {"title": item.title, "do": item.do, "caution": item.caution, "source": item.source}
            for item in what_to_check(test.trouble)
        ],
        "cautions": list(CAUTIONS),
    }
    return content, findings.verdict_of_measured in ("pass", "noted")


def table(content: dict[str, Any], title: str) -> str:
    """The report as text for people."""
    invented = " (an invented dwelling)" if content["invented"] else ""
    how = "from readings" if content["measured"] else "simulated"
    lines = [
        f"{content['dwelling']}{invented}: {title}, {content['furnace']}, {how}",
        "",
        content["answer"],
        "",
    ]
    lines += report.rows(
        ("step", "what it showed"), [(step["title"], step["finding"]) for step in content["steps"]]
    )
    lines += ["", *report.findings_lines(content)]
    if content["check"]:
        lines += ["", "What to check, in this order:"]
        for number, item in enumerate(content["check"], start=1):
            lines.append(f"  {number}. {item['title']}: {item['do']}")
            if item["caution"]:
                lines.append(f"     caution: {item['caution']}")
        lines += [f"  source: {content['check'][0]['source']}"]
    return "\n".join([*lines, "", *content["cautions"]])
