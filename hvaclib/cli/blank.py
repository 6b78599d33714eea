"""``python -m hvaclib blank FILE``: an empty job sheet to fill in."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

from hvaclib.cli import report
from hvaclib.errors import HvacError, InputError

if TYPE_CHECKING:
    from hvaclib.visit import Appliance


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``blank``.

    Returns
    -------
    int
        0 when the file is written, 2 if what was asked cannot be done (one sentence on standard error).
    """
    try:
        _write(argv)
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _write(argv: Sequence[str]) -> None:
    from hvaclib.visit.sheets import blank_sheet

    arguments = _parser().parse_args(list(argv))
    blank_sheet(
        arguments.file,
        form=arguments.form,
        appliances=[_appliance(text) for text in arguments.appliance] or _usual(),
        system="si" if arguments.si else "field",
        rooms=arguments.room,
        scope=arguments.scope,
    )
    print(arguments.file)


def _parser() -> report.Parser:
    parser = report.Parser(
        prog="python -m hvaclib blank",
        description="An empty sheet with the headings that a job needs, in the order of the work and with their units. "
        "Filled in, it is what 'review' reads.",
    )
    parser.add_argument("file", metavar="FILE", help="new file, .csv or .xlsx")
    parser.add_argument(
        "--form", choices=("wide", "long"), default="wide", help="one visit a row, or one entry a row"
    )
    parser.add_argument(
        "--appliance",
        metavar="KIND[, FUEL[, ZONE]]",
        action="append",
        default=[],
        help='such as "fan-assisted furnace, propane, attic"; once for each (default: a fan-assisted furnace and a draft-hood '
        "water heater, natural gas, basement)",
    )
    parser.add_argument(
        "--room", metavar="NAME", action="append", default=[], help="a room with a door; repeat"
    )
    parser.add_argument(
        "--scope", metavar="WORK", action="append", default=[], help='such as "liner"; repeat'
    )
    parser.add_argument("--si", action="store_true", help="headings in SI units")
    return parser


def _usual() -> Sequence[Appliance | str]:
    from hvaclib.visit.sheets.blank import USUAL

    return USUAL


def _appliance(text: str) -> Appliance | str:
    from pydantic import ValidationError

    from hvaclib.visit import Appliance
    from hvaclib.visit.plate import Fuel

    kind, *rest = (part.strip() for part in text.split(","))
    if not rest:
        return kind
    fuel, zone = rest[0], rest[1] if len(rest) > 1 else "basement"
    if len(rest) > 2 or not zone:
        raise InputError(
            "too much or too little", where="--appliance", given=text, expected="KIND, FUEL, ZONE"
        )
    name = next((sort for sort in ("furnace", "boiler", "water heater") if kind.endswith(sort)), kind)
    try:
        return Appliance.model_validate({"name": name, "kind": kind, "fuel": fuel, "zone": zone})
    except ValidationError:
        raise InputError(
            "no such kind or fuel",
            where="--appliance",
            given=text,
            expected=f"a kind such as 'draft-hood water heater' and {', '.join(get_args(Fuel))}",
        ) from None
