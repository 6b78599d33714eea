"""``python -m hvaclib draft FILE``: the worst-case draft procedure on a dwelling file, judged by a rule set."""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from hvaclib.errors import FileError, HvacError, InputError
from hvaclib.units import kinds, parse_si, show

if TYPE_CHECKING:
    from hvaclib.house.setup import Setup
    from hvaclib.procedures.ranking import Ranking
    from hvaclib.procedures.remedies import Remedy

CAUTIONS = (
    (
        "Carbon monoxide has no smell: work with a meter that alarms. If it rises or a hood keeps spilling: stop the "
        "burner, ventilate, shut the appliance down, call."
    ),
    (
        "A simulation teaches and plans; it does not replace the test in the house, the adopted code, the "
        "manufacturer's instructions or a licensed technician."
    ),
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
    try:
        arguments = _parser().parse_args(list(argv))
        report, met = _report(arguments)
        text = json.dumps(report, indent=2, ensure_ascii=False) if arguments.json else _table(report)
        if arguments.out is None:
            print(text)
        else:
            _write(Path(arguments.out), text + "\n")
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0 if met else 1


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints are sentences like those of the rest of the suite."""

    def error(self, message: str) -> NoReturn:
        raise InputError(message, where="draft", expected="what 'python -m hvaclib draft --help' shows")


def _count(text: str) -> int:
    """Read how many states to list."""
    if not (text.isascii() and text.isdigit()):
        raise InputError(
            "this is no number of states", where="--worst", given=text, expected="a whole number, 0 or more"
        )
    return int(text)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="python -m hvaclib draft",
        description="Run the worst-case draft test on a dwelling file, judge it, rank every combination of fans, "
        "doors and air handler, and size remedies.",
    )
    parser.add_argument("file", help="dwelling file (TOML)")
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument(
        "--start", choices=("cold", "warm"), default="cold", help="vent at the start (default: cold)"
    )
    parser.add_argument("--zone", help="combustion appliance zone to test (default: the file's first)")
    parser.add_argument("--outdoor", metavar="TEMPERATURE", help='other outdoor temperature, e.g. "20 °F"')
    parser.add_argument("--wind", metavar="SPEED", help='other wind speed, e.g. "10 mph"')
    parser.add_argument("--worst", default="5", metavar="N", help="how many of the ranked states to list")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of tables")
    parser.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")
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
    setup = _weather(dwelling.default_setup(), arguments)
    test = worst_case(dwelling, setup, arguments.start, arguments.zone)
    findings = judge(test.readings, rules, test.facts)
    ranked = ranking(dwelling, setup, test.order[0], arguments.start)
    accepts = acceptance(rules, test.facts)
    proposals = remedies(ranked, accepts, arguments.start)
    met = findings.verdict_of_measured in ("pass", "noted") and not proposals
    report = {
        "dwelling": dwelling.name,
        "invented": dwelling.invented,
        "zone": test.zone,
        "rule_set": {"name": rules.name, "version": rules.version, "digest": rules.digest},
        "answer": findings.answer,
        "verdict": findings.verdict_of_measured,
        "steps": [
            {"title": step.title, "finding": step.finding, "pressure_pa": round(step.pressure, 2)}
            for step in test.steps
        ],
        "readings": test.readings.to_records(),
        "findings": [finding.to_record() for finding in findings.ranked],
        "ranking": _ranked(ranked, listed),
        "remedies": [_remedy(remedy) for remedy in proposals],
        "cautions": list(CAUTIONS),
    }
    return report, met


def _weather(setup: Setup, arguments: argparse.Namespace) -> Setup:
    """Return the setup in the weather asked for; a refusal repeats what was typed."""
    option, typed = "", ""
    try:
        if arguments.outdoor is not None:
            option, typed = "--outdoor", arguments.outdoor
            setup = setup.with_outdoor_temperature(parse_si(typed, kinds.TEMPERATURE))
        if arguments.wind is not None:
            option, typed = "--wind", arguments.wind
            setup = setup.with_wind(parse_si(typed, kinds.WIND_SPEED))
    except HvacError as error:
        raise InputError(error.what, where=option, given=typed, expected=error.expected) from error
    return setup


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


def _table(report: dict[str, Any]) -> str:
    invented = " (an invented dwelling)" if report["invented"] else ""
    lines = [
        f"{report['dwelling']}{invented}: worst-case draft test, zone {report['zone']}",
        "",
        report["answer"],
        "",
    ]
    lines += _rows(
        ("step", "zone, Pa", "what it showed"),
        [(step["title"], f"{step['pressure_pa']:+.1f}", step["finding"]) for step in report["steps"]],
    )
    lines += ["", f"Findings by the rule set {report['rule_set']['name']} {report['rule_set']['version']}:"]
    for finding in report["findings"]:
        lines.append(f"  [{finding['verdict']}] {finding['sentence']}")
        lines.append(f"      source: {finding['source']}")
        if finding["verdict"] in ("fail", "too close to call"):
            lines += [f"      do: {action}" for action in finding["do"]]
    ranked = report["ranking"]
    lines += [
        "",
        f"All {ranked['states']} combinations, {ranked['appliance']} burning alone; {ranked['spilling']} spill:",
    ]
    lines += _rows(
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
    if report["remedies"]:
        lines += ["", "What would bring the worst of them within the rules:"]
        lines += [
            f"  {'-' if row['works'] else 'x'} {row['words']} (worst draft then {row['worst_draft_pa']:+.2f} Pa)"
            for row in report["remedies"]
        ]
        if not any(row["works"] for row in report["remedies"]):
            lines.append("  None of these helps: look into the vent itself, from the hood to the cap.")
    return "\n".join([*lines, "", *report["cautions"]])


def _rows(head: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[str]:
    widths = [max(len(row[column]) for row in [head, *rows]) for column in range(len(head))]
    aligned = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in [head, *rows]
    ]
    return ["  " + line.rstrip() for line in aligned]


def _write(path: Path, text: str) -> None:
    """Write through a temporary file, so that a reader never sees half of it.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
            Path(name).chmod(_usual_mode(path))  # a temporary file is made for its owner's eyes only
            Path(name).replace(path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise FileError(
            "this file cannot be written",
            where="--out",
            given=str(path),
            expected=f"a file in a folder that can be written to ({error.strerror})",
        ) from error


def _usual_mode(path: Path) -> int:
    """Permissions of the file that is replaced, or those that a new file gets here."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
