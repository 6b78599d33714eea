"""``python -m hvaclib firing NAME=VALUE …``: the firing board's answer in the terminal, or as JSON."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from hvaclib.cli import report
from hvaclib.errors import InputError

if TYPE_CHECKING:
    from hvaclib.boards.firing import FiringBoard

VIEW = ("system", "large_type")  # settings of the page that the terminal has no use for


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``firing``.

    Returns
    -------
    int
        0 where the burner is on rate and gets its pressure, 1 where not or where it is too close to call, 2 where what
        was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


class _Parser(report.Parser):
    """Lists the settings below the options."""

    def format_help(self) -> str:
        """The usual help, then one line a setting."""
        from hvaclib.boards.firing import FiringBoard

        found = FiringBoard().declared().items()
        lines = [f"  {name:<16} {trait.words}" for name, trait in found if name not in VIEW]
        return "\n".join([super().format_help(), "settings:", *lines, ""])


def _parser() -> _Parser:
    parser = _Parser(
        prog="python -m hvaclib firing",
        description="Input rate by the clocked gas meter against the plate at this altitude, what may be set, and the "
        "pressure at the appliance. What is not given is as on the board.",
    )
    parser.add_argument("settings", nargs="*", metavar="NAME=VALUE", help='such as time="86 s" dial="2 ft³"')
    parser.add_argument("--si", action="store_true", help="answer in SI units")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of tables")
    parser.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")
    return parser


def _model(settings: Sequence[str]) -> FiringBoard:
    from hvaclib.boards.firing import FiringBoard

    fields = []
    for item in settings:
        name, sign, text = item.partition("=")
        if not sign or not name.strip():
            raise InputError("a setting without '='", where="firing", given=item, expected='NAME="VALUE"')
        fields.append((name.strip(), text.strip()))
    model = FiringBoard()
    problems = model.from_link(urlencode(fields, quote_via=quote))
    if problems:
        raise InputError(problems[0].rstrip("."), where="firing")
    return model


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    model = _model(arguments.settings)
    if arguments.si:
        model.system = "si"
    if not model.refresh():
        raise InputError(model.blockers[0].rstrip("."), where="firing")
    page = model.page()
    content = {
        "answer": list(page.answer),
        "verdict": page.verdict,
        "cautions": list(page.cautions),
        "tables": {table.title: [dict(row) for row in table.rows] for table in page.tables},
        "sources": list(page.sources),
    }
    return content, page.verdict == "pass"


def _table(content: dict[str, Any]) -> str:
    lines = [*content["answer"], "", *(f"Caution: {text}" for text in content["cautions"])]
    for title, rows in content["tables"].items():
        head = tuple(rows[0])
        lines += ["", title, *report.rows(head, [tuple(str(row[key]) for key in head) for row in rows])]
    return "\n".join([*lines, "", *(f"Source: {text}" for text in content["sources"])])
