"""``python -m hvaclib draft FILE``: the worst-case draft procedure on a dwelling file, judged by a rule set."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report
from hvaclib.errors import InputError
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.procedures.ranking import Ranking
    from hvaclib.procedures.remedies import Remedy

CAUTIONS = (
    (
        "Carbon monoxide has no smell: work with a meter that alarms. If it rises or a hood keeps spilling: stop the "
        "burner, ventilate, shut the appliance down, call."
    ),
    report.SIMULATED,
)


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``draft``.

    Returns
    -------
    int
        0 where everything judged meets its rule, 1 where something does not, 2 where what was asked cannot be done
        (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _count(text: str) -> int:
    """Read how many states to list."""
    if not (text.isascii() and text.isdigit()):
        raise InputError(
            "this is no number of states", where="--worst", given=text, expected="a whole number, 0 or more"
        )
    return int(text)


def _parser() -> report.Parser:
    parser = report.dwelling_parser(
        "draft",
        "Run the worst-case draft test on a dwelling file, judge it, rank every combination of fans, doors and air "
        "handler, and size remedies.",
    )
    parser.add_argument(
        "--start", choices=("cold", "warm"), default="cold", help="vent at the start (default: cold)"
    )
    parser.add_argument("--zone", help="combustion appliance zone to test (default: the file's first)")
    parser.add_argument("--wind", metavar="SPEED", help='other wind speed, e.g. "10 mph"')
    parser.add_argument("--worst", default="5", metavar="N", help="how many of the ranked states to list")
    return parser


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.house.file import read_dwelling
    from hvaclib.procedures.ranking import ranking
    from hvaclib.procedures.remedies import remedies
    from hvaclib.procedures.worst_case import worst_case
    from hvaclib.rules import acceptance, judge, load

    listed = _count(arguments.worst)
    rules = load(arguments.rules)
    dwelling = read_dwelling(arguments.file)
    setup = report.weather(dwelling.default_setup(), arguments)
    test = worst_case(dwelling, setup, arguments.start, arguments.zone)
    findings = judge(test.readings, rules, test.facts)
    ranked = ranking(dwelling, setup, test.order[0], arguments.start)
    accepts = acceptance(rules, test.facts)
    proposals = remedies(ranked, accepts, arguments.start)
    met = findings.verdict_of_measured in ("pass", "noted") and not proposals
    found = {
        "dwelling": dwelling.name,
        "invented": dwelling.invented,
        "zone": test.zone,
        **report.judged(findings, rules),
        "steps": [
            {"title": step.title, "finding": step.finding, "pressure_pa": round(step.pressure, 2)}
            for step in test.steps
        ],
        "readings": test.readings.to_records(),
        "ranking": _ranked(ranked, listed),
        "remedies": [_remedy(remedy) for remedy in proposals],
        "cautions": list(CAUTIONS),
    }
    return found, met


def _ranked(ranked: Ranking, listed: int) -> dict[str, Any]:
    return {
        "appliance": ranked.appliance,
        "states": int(ranked.draft.size),
        "spilling": int((ranked.spillage > 0).sum()),
        "worst": [
            {
                "state": ranked.combinations.describe(int(state)),
                "draft_pa": round(float(ranked.draft[state]), 2),
                "spillage": round(float(ranked.spillage[state]), 3),
                "zone_pressure_pa": round(float(ranked.pressure[state]), 2),
            }
            for state in ranked.order[:listed]
        ],
        "effects_on_zone_pressure_pa": {
            control.name: round(float(effect), 2)
            for control, effect in zip(ranked.controls, ranked.effects("pressure"), strict=True)
        },
    }


def _remedy(remedy: Remedy) -> dict[str, Any]:
    kind = kinds.VOLUME_FLOW if remedy.kind == "exhaust" else kinds.AREA
    size = None if remedy.size is None else show(remedy.size, kind)
    words = {
        "combustion air": f"a combustion-air opening of {size} free area from the {remedy.what} to outdoors",
        "exhaust": f"{remedy.what} reduced to {size} (from {show(remedy.before, kind)})",
        "door relief": f"{size} of free area through or around the {remedy.what}",
    }
    fails = {
        "combustion air": f"no opening from the {remedy.what} to outdoors is enough",
        "exhaust": f"not even switching off helps: {remedy.what}",
        "door relief": f"relieving the {remedy.what} alone is not enough",
    }
    return {
        "kind": remedy.kind,
        "works": remedy.works,
        "words": words[remedy.kind] if remedy.works else fails[remedy.kind],
        "size_si": remedy.size,
        "worst_draft_pa": round(remedy.draft, 2),
    }


def _table(found: dict[str, Any]) -> str:
    invented = " (an invented dwelling)" if found["invented"] else ""
    lines = [
        f"{found['dwelling']}{invented}: worst-case draft test, zone {found['zone']}",
        "",
        found["answer"],
        "",
    ]
    lines += report.rows(
        ("step", "zone, Pa", "what it showed"),
        [(step["title"], f"{step['pressure_pa']:+.1f}", step["finding"]) for step in found["steps"]],
    )
    lines += ["", *report.findings_lines(found)]
    ranked = found["ranking"]
    lines += [
        "",
        f"All {ranked['states']} combinations, {ranked['appliance']} burning alone; {ranked['spilling']} spill:",
    ]
    lines += report.rows(
        ("draft, Pa", "spills", "zone, Pa", "state"),
        [
            (
                f"{row['draft_pa']:+.2f}",
                f"{100 * row['spillage']:.0f} %",
                f"{row['zone_pressure_pa']:+.2f}",
                row["state"],
            )
            for row in ranked["worst"]
        ],
    )
    if found["remedies"]:
        lines += ["", "What would bring the worst of them within the rules:"]
        lines += [
            f"  {'-' if row['works'] else 'x'} {row['words']} (worst draft then {row['worst_draft_pa']:+.2f} Pa)"
            for row in found["remedies"]
        ]
        if not any(row["works"] for row in found["remedies"]):
            lines.append("  None of these helps: look into the vent itself, from the hood to the cap.")
    return "\n".join([*lines, "", *found["cautions"]])
