"""``python -m hvaclib chimney NAME=VALUE …``: what is left when the furnace is taken off the chimney."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report, settings
from hvaclib.errors import InputError

if TYPE_CHECKING:
    from hvaclib.boards.chimney import ChimneyBoard
    from hvaclib.boards.chimney.answer import Capacities, ChimneyAnswer

COMMAND = "chimney"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``chimney``.

    Returns
    -------
    int
        0 where area, lift and connector are enough and the wall becomes dry, 1 where not or where the code's own tables
        must decide, 2 where what was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Whether a water heater is safe alone on a chimney, or with its furnace: area against the rules, lift, capacity, "
        "liner, wet walls, the connector's slope and length. What is not given is as on the board.",
        _words,
    )
    parser.add_argument(
        "settings", nargs="*", metavar="NAME=VALUE", help='such as heater="40 kBtu/h" flue_area="64 sq in"'
    )
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.chimney import ChimneyBoard

    return settings.words_of(ChimneyBoard())


def _idle(model: ChimneyBoard) -> dict[str, str]:
    """Settings that have no say in this answer, and what would give them one."""
    from hvaclib.boards.chimney.answer import MASONRY, VENT

    idle: dict[str, str] = {}
    if model.furnace == "off":
        idle |= dict.fromkeys(("furnace_input", "furnace_connector"), "furnace=on")
    if model.kind == MASONRY:
        idle["size"] = "another kind than masonry"
    if model.kind == VENT:
        idle["flue_area"] = "another kind than double-wall"
    return idle


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.boards.chimney import ChimneyBoard
    from hvaclib.procedures.parts import last

    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    model = ChimneyBoard()
    settings.put_in(model, given, settings.system_of(arguments), COMMAND)
    idle = _idle(model)
    for name, needed in idle.items():
        if given.get(name):
            raise InputError(
                f"{name} has no say here", where=COMMAND, given=given[name], expected=f"it with {needed}"
            )
    inputs = model.inputs()
    settings.refuse_blocked(model, inputs, COMMAND)
    found = model.compute(inputs)
    later = last(model.compute_later(inputs, found))
    page = model.present(inputs, found, later)
    content = settings.content(page, settings.taken(model, {*given, *idle}), _numbers(found, later))
    return content, page.verdict == "pass"


def _numbers(found: ChimneyAnswer, later: Capacities) -> dict[str, Any]:
    """In SI; what there is none of is null. Shares of the flue's height whose face is wet, by time of burning."""
    return {
        "rate_W": found.rate,
        "flue_area_m2": found.area,
        "least_area_m2": found.least,
        "largest_area_m2": found.most,
        "area_ratio": found.ratio,
        "area_allowed": bool(found.area_allowed),
        "lift_less_losses_Pa": found.spare,
        "lifts": bool(found.carries),
        "capacity_W": later.now,
        "table_capacity_W": later.table,
        "liner_m": later.liner,
        "liner_capacity_W": later.liner_capacity,
        "climb_needed_m": found.climb_needed,
        "run_allowed_m": found.run_allowed,
        "dew_point_K": found.dew,
        "wet_share": {when: found.wet_share(when) for when in found.profiles},
        "theoretical_draft_Pa": found.theoretical,
    }
