"""``python -m hvaclib what-if VISIT``: fit a house to its readings and ask what a change would do, with its band."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report
from hvaclib.errors import FileError, HvacError, InputError
from hvaclib.units import kinds, parse_si, show

if TYPE_CHECKING:
    from hvaclib.review.fit.source import Source
    from hvaclib.review.what_if import Changes

LARGEST = 10_000_000
"""Largest file that is read, bytes."""
OPEN_OR_SHUT = {"open": True, "shut": False, "closed": False}


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``what-if``.

    Returns
    -------
    int
        0 where the rules are very likely met, 1 where they are not, 2 where what was asked cannot be done (one sentence
        on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _parser() -> report.Parser:
    parser = report.Parser(
        prog="python -m hvaclib what-if",
        description="Fit a house to the readings of a visit, then ask: what if it were colder, the hood larger, a door "
        "shut, a new liner in, an opening added? The answer comes with the band that the readings leave.",
    )
    parser.add_argument(
        "visit", help="file of one visit (TOML, JSON, CSV, XLSX), or a dwelling file with readings"
    )
    parser.add_argument("--dwelling", metavar="FILE", help="dwelling file that the fit starts from")
    parser.add_argument("--outdoor", metavar="TEMPERATURE", help='outdoor temperature, e.g. "20 °F"')
    parser.add_argument("--exhaust", metavar="AIRFLOW", help='largest exhaust fan, e.g. "400 cfm"')
    parser.add_argument(
        "--door", action="append", default=[], metavar="NAME=shut", help="a door shut or open during the test"
    )
    parser.add_argument("--liner", metavar="DIAMETER", help='new liner or vent, e.g. "5 in"')
    parser.add_argument("--opening", metavar="AREA", help='combustion-air opening, e.g. "50 sq in"')
    parser.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of sentences")
    parser.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")
    return parser


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.review.fit import fit
    from hvaclib.review.fit.unknowns import table
    from hvaclib.review.what_if import Changes, what_if
    from hvaclib.rules import load

    rules = load(arguments.rules)
    changes = _changes(arguments)
    source = _source(arguments)
    fitted = fit(source.dwelling, source.record)
    now = what_if(fitted, Changes(), rules)
    then = what_if(fitted, changes, rules) if changes != Changes() else now
    found = {
        "house": source.name,
        "invented": source.invented,
        "rule_set": {"name": rules.name, "version": rules.version, "digest": rules.digest},
        "fit": fitted.to_record(),
        "fit_sentences": fitted.sentences(),
        "now": now.to_record(),
        "now_sentence": now.sentences()[0],
        "what_if": then.to_record(),
        "sentences": then.sentences(),
        "cautions": then.to_record()["cautions"],
    }
    return found, then.probability >= table()["words"]["very_likely"]


def _source(arguments: argparse.Namespace) -> Source:
    from hvaclib.review.fit.source import source_of

    path = Path(arguments.visit)
    dwelling = None
    if arguments.dwelling is not None:
        from hvaclib.house.file import read_dwelling

        dwelling = read_dwelling(arguments.dwelling)
    source = source_of(_content(path), path.name)
    return source if dwelling is None else source.with_dwelling(dwelling)


def _content(path: Path) -> bytes:
    if path.is_dir():
        raise FileError("is a folder", where=str(path), expected="the file of a visit")
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise FileError(
                "the file is too large",
                where=path.name,
                given=f"{size / 1e6:.0f} MB",
                expected="at most 10 MB",
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise FileError("there is no such file", where=str(path)) from None
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise FileError(f"the file cannot be read ({reason})", where=str(path)) from None


def _changes(arguments: argparse.Namespace) -> Changes:
    from hvaclib.review.what_if import Changes

    return Changes(
        outdoor=_typed(arguments.outdoor, kinds.TEMPERATURE, "--outdoor"),
        exhaust=_typed(arguments.exhaust, kinds.VOLUME_FLOW, "--exhaust"),
        doors=dict(_door(text) for text in arguments.door),
        liner=_typed(arguments.liner, kinds.SIZE, "--liner"),
        opening=_typed(arguments.opening, kinds.AREA, "--opening"),
    )


def _typed(text: str | None, kind: kinds.Kind, option: str) -> float | None:
    if text is None:
        return None
    try:
        value = parse_si(text, kind)
    except HvacError as error:
        raise InputError(error.what, where=option, given=text, expected=error.expected) from error
    if value < 0.0:
        raise InputError("below zero", where=option, given=text, expected=f"such as {kind.expected}")
    return value


def _door(text: str) -> tuple[str, bool]:
    name, _, how = text.rpartition("=")
    if not name or how.strip().lower() not in OPEN_OR_SHUT:
        raise InputError(
            "a door is shut or open",
            where="--door",
            given=text,
            expected='its name and how it stands: "NAME=shut"',
        )
    return name.strip(), OPEN_OR_SHUT[how.strip().lower()]


def _table(found: dict[str, Any]) -> str:
    invented = " (invented)" if found["invented"] else ""
    fitted = found["fit"]
    lines = [f"What if, of {found['house']}{invented}:", "", *found["sentences"]]
    if found["what_if"]["changes"]:
        lines += ["", f"As it was read: {found['now_sentence']}"]
    lines += ["", "The fit:", *(f"  {text}" for text in found["fit_sentences"])]
    lines += ["", *report.rows(("factor", "best", "90 % from", "to", "from the readings"), [
        (row["title"], f"{row['factor']:.2f}", f"{row['low']:.2f}", f"{row['high']:.2f}",
         "yes" if row["determined"] else "no")
        for row in fitted["factors"]
    ])]  # fmt: skip
    lines += ["", *report.rows(("reading", "where", "stage", "read", "fitted house"), [
        (row["quantity"], row["where"], row["when"], _value(row["quantity"], row["value"]),
         _value(row["quantity"], row["fitted"]))
        for row in fitted["readings"]
    ])]  # fmt: skip
    lines += [f"  {text}" for text in fitted["assumptions"]]
    return "\n".join([*lines, "", *found["cautions"], report.SIMULATED])


def _value(quantity: str, value: float | str) -> str:
    from hvaclib.readings import measurable

    thing = measurable(quantity)
    if isinstance(value, str):
        return thing.infinite or value
    assert thing.kind is not None  # a fit looks at numbers only
    return show(value, thing.kind, "field", 0 if thing.kind is kinds.TIME else 1)
