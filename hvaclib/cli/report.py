"""What the commands that test a dwelling share: arguments, the run, tables, files that appear whole or not at all."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from hvaclib.errors import HvacError, InputError
from hvaclib.files import write_text
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.house.setup import Setup
    from hvaclib.rules import Findings, RuleSet

SIMULATED = (
    "A simulation teaches and plans; it does not replace the test in the house, the adopted code, the "
    "manufacturer's instructions or a licensed technician."
)
"""The caution that stands under every simulated test."""


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are sentences like those of the rest of the suite."""

    def error(self, message: str) -> NoReturn:
        """Refuse the arguments.

        Raises
        ------
        InputError
            With the parser's message.
        """
        raise InputError(
            message, where=self.prog.rpartition(" ")[2], expected=f"what '{self.prog} --help' shows"
        )


def dwelling_parser(command: str, description: str) -> Parser:
    """A parser with the arguments that every test of a dwelling has.

    Parameters
    ----------
    command : str
        Its name behind ``python -m hvaclib``.
    description : str
        What it does.

    Returns
    -------
    Parser
    """
    parser = Parser(prog=f"python -m hvaclib {command}", description=description)
    parser.add_argument("file", help="dwelling file (TOML)")
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument("--outdoor", metavar="TEMPERATURE", help='other outdoor temperature, e.g. "20 °F"')
    parser.add_argument("--json", action="store_true", help="one JSON object instead of tables")
    parser.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")
    return parser


def run(
    parser: Parser,
    argv: Sequence[str],
    test: Callable[[argparse.Namespace], tuple[dict[str, Any], bool]],
    table: Callable[[dict[str, Any]], str],
) -> int:
    """Run a command: test, then print or write what it found.

    Parameters
    ----------
    parser : Parser
        With ``--json`` and ``--out`` among its arguments.
    argv : sequence of str
        Arguments behind the command.
    test : callable
        From the arguments to the report, a mapping that JSON can hold, and whether everything meets its rule.
    table : callable
        From the report to text for people.

    Returns
    -------
    int
        0 where everything judged meets its rule, 1 where something does not, 2 where what was asked cannot be done
        (one sentence on standard error, nothing on standard output).
    """
    try:
        arguments = parser.parse_args(list(argv))
        report, met = test(arguments)
        text = json.dumps(report, indent=2, ensure_ascii=False) if arguments.json else table(report)
        if arguments.out is None:
            print(text)
        else:
            write_text(Path(arguments.out), text + "\n", "--out")
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0 if met else 1


def weather(setup: Setup, arguments: argparse.Namespace) -> Setup:
    """Return the setup in the weather asked for by ``--outdoor`` and, where the command has it, ``--wind``.

    Raises
    ------
    InputError
        Repeating what was typed.
    """
    option, typed = "", ""
    try:
        if arguments.outdoor is not None:
            option, typed = "--outdoor", arguments.outdoor
            setup = setup.with_outdoor_temperature(parse_si(typed, kinds.TEMPERATURE))
        if getattr(arguments, "wind", None) is not None:
            option, typed = "--wind", arguments.wind
            setup = setup.with_wind(parse_si(typed, kinds.WIND_SPEED))
    except HvacError as error:
        raise InputError(error.what, where=option, given=typed, expected=error.expected) from error
    return setup


def judged(findings: Findings, rules: RuleSet) -> dict[str, Any]:
    """The part of a report that tells the judgement: rule set, answer, verdict, findings from the gravest down."""
    return {
        "rule_set": {"name": rules.name, "version": rules.version, "digest": rules.digest},
        "answer": findings.answer,
        "verdict": findings.verdict_of_measured,
        "findings": [finding.to_record() for finding in findings.ranked],
    }


def findings_lines(report: dict[str, Any]) -> list[str]:
    """Findings of a report as lines: verdict, sentence, source, and what to do where that is needed."""
    lines = [f"Findings by the rule set {report['rule_set']['name']} {report['rule_set']['version']}:"]
    for finding in report["findings"]:
        lines.append(f"  [{finding['verdict']}] {finding['sentence']}")
        lines.append(f"      source: {finding['source']}")
        if finding["verdict"] in ("fail", "too close to call"):
            lines += [f"      do: {action}" for action in finding["do"]]
    return lines


def rows(head: tuple[str, ...], body: list[tuple[str, ...]]) -> list[str]:
    """A table as lines with aligned columns."""
    widths = [max(len(row[column]) for row in [head, *body]) for column in range(len(head))]
    aligned = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in [head, *body]
    ]
    return ["  " + line.rstrip() for line in aligned]


def files_named(names: Sequence[str]) -> list[str]:
    """Files with patterns resolved: the Command Prompt of Windows leaves that to the program.

    Parameters
    ----------
    names : sequence of str
        As typed.

    Returns
    -------
    list of str
        A pattern that nothing fits stays as it is, so that the refusal can name it.
    """
    found: list[str] = []
    for name in names:
        path = Path(name)
        base = Path(path.anchor)
        pattern = any(sign in name for sign in "*?[") and not path.exists()
        matches = sorted(str(each) for each in base.glob(str(path.relative_to(base)))) if pattern else []
        found += matches or [name]
    return found
