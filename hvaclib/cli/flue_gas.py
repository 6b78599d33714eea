"""``python -m hvaclib flue-gas NAME=VALUE …``: what an analyser's readings say, in the terminal or as JSON."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report, settings
from hvaclib.errors import InputError

if TYPE_CHECKING:
    from hvaclib.boards.flue_gas.answer import FlueAnswer

COMMAND = "flue-gas"
SAID_BY_THE_READINGS = ("read",)  # which of the two gases was read follows from what was given
PARTS = (
    "excess_air",
    "dry_gas",
    "latent",
    "water",
    "carbon_monoxide",
    "total",
    "efficiency_hhv",
    "efficiency_lhv",
)


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``flue-gas``.

    Returns
    -------
    int
        0 where the rule set lets the CO pass and the readings can be true together, 1 where not or where it is too
        close to call, 2 where what was asked cannot be done (one sentence on standard error, nothing on standard
        output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Whether the burner is clean, its excess air, losses and efficiency, and whether the readings can be true. Give "
        "o2 or co2 (or both, each by a cell of its own), co and stack; what else is not given is as on the board.",
        _words,
    )
    parser.add_argument(
        "settings", nargs="*", metavar="NAME=VALUE", help='such as o2="7 %%" co="30 ppm" stack="420 °F"'
    )
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.flue_gas import FlueGasBoard

    return settings.words_of(FlueGasBoard(), SAID_BY_THE_READINGS)


def _readings(given: dict[str, str]) -> str:
    """Which gas was read; refuses to judge what nobody has read."""
    missing = [name for name in ("co", "stack") if not given.get(name)]
    if not (given.get("o2") or given.get("co2")):
        missing.insert(0, "o2 or co2")
    if missing:
        raise InputError(
            f"a reading is missing: {missing[0]}", where=COMMAND,
            expected='such as o2="7 %" co="30 ppm" stack="420 °F"',
        )  # fmt: skip
    return "both" if "o2" in given and "co2" in given else "o2" if "o2" in given else "co2"


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.boards.flue_gas import FlueGasBoard

    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    read = _readings(given)
    model = FlueGasBoard()
    settings.put_in(model, {**given, "read": read}, settings.system_of(arguments), COMMAND)
    inputs = model.inputs()
    found = model.compute(inputs)
    if any(name.startswith("before_") and text for name, text in given.items()) and found.before is None:
        raise InputError(
            "the readings before allow no sum of losses", where=COMMAND,
            expected="a stack no colder than the combustion air, and oxygen well below that of air",
        )  # fmt: skip
    page = model.present(inputs, found, None)
    unread = {"o2": ("co2",), "co2": ("o2",), "both": ()}[read]
    unused = () if inputs.fuel == "natural gas" else ("heating_value",)
    assumed = settings.taken(model, {*given, *unread, *unused, *SAID_BY_THE_READINGS})
    return settings.content(page, assumed, _numbers(found)), page.verdict == "pass"


def _numbers(found: FlueAnswer) -> dict[str, Any]:
    """Shares as fractions of 1, temperatures in K; those of the losses are left out where they have no sum."""
    numbers: dict[str, Any] = {
        "o2": found.sample.o2, "co2": found.co2, "co": found.sample.co, "stack_temperature_K": found.sample.stack,
        "readings_possible": bool(found.checked.possible), "rule_set": found.rules.name,
    }  # fmt: skip
    if found.losses is not None:
        numbers["co_air_free"] = found.co_air_free
        numbers["co_air_free_standard_uncertainty"] = found.co_uncertainty
        numbers["dew_point_K"] = float(found.losses.dew_point)
        numbers["condensate_kg_s"] = found.condensate
        numbers |= {name: float(getattr(found.losses, name)) for name in PARTS}
    if found.before is not None:
        numbers["before"] = {name: float(getattr(found.before, name)) for name in PARTS}
    return numbers
