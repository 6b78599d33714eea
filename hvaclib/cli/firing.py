"""``python -m hvaclib firing NAME=VALUE …``: the firing board's answer in the terminal, or as JSON."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report, settings
from hvaclib.errors import HvacError, InputError

if TYPE_CHECKING:
    from hvaclib.boards.firing.answer import FiringAnswer

COMMAND = "firing"


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
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Input rate by the clocked gas meter against the plate at this altitude, what may be set, and the pressure at the "
        "appliance. Give time; what else is not given is as on the board, and is listed with the answer.",
        _words,
    )
    parser.add_argument("settings", nargs="*", metavar="NAME=VALUE", help='such as time="86 s" dial="2 ft³"')
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.firing import FiringBoard

    model = FiringBoard()
    words = settings.words_of(model)
    others = ", ".join(f"others.{name}=off" for name in model.others)
    return {**words, "others": f"{words['others']} ({others})"}


def _dial(text: str) -> str:
    """The dial that a text means: "2", "2 cu ft" and "2 ft3" are the dial "2 ft³"; what is none is left to the board."""
    from hvaclib.boards.firing.model import DIALS
    from hvaclib.units import kinds, parse_si

    try:
        volume = parse_si(text if any(letter.isalpha() for letter in text) else f"{text} ft³", kinds.VOLUME)
    except HvacError:
        return text  # the board's refusal names the dials that there are
    return next((dial for dial in DIALS if abs(parse_si(dial, kinds.VOLUME) - volume) <= 1e-6 * volume), text)


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.boards.firing import FiringBoard

    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    if not given.get("time"):  # nobody is told that a burner is on rate whose meter was not clocked
        raise InputError(
            "a reading is missing: time", where=COMMAND, expected='such as time="86 s" dial="2 ft³" turns=1'
        )
    if "dial" in given:
        given["dial"] = _dial(given["dial"])
    model = FiringBoard()
    settings.put_in(model, given, settings.system_of(arguments), COMMAND)
    inputs = model.inputs()
    settings.refuse_blocked(model, inputs, COMMAND)
    found = model.compute(inputs)
    page = model.present(inputs, found, None)
    return settings.content(page, settings.taken(model, given), _numbers(found)), page.verdict == "pass"


def _numbers(found: FiringAnswer) -> dict[str, Any]:
    """Rates in W, flow in m³/s as the meter counts it, pressures in Pa; a rule without a figure is null."""
    told = found.correction
    return {
        "flow_m3_s": found.flow,
        "factor_to_base": found.factor,
        "rate_W": found.rate,
        "rate_half_width_W": found.share * found.rate,
        "allowed_W": dict(found.allowed),
        "wanted_W": found.wanted,
        "off_rate": float(told.off_rate),
        "verdict": found.verdict,
        "remedy": told.remedy,
        "manifold_for_the_rate_Pa": float(told.manifold_pressure),
        "manifold_lowest_Pa": float(told.lowest),
        "manifold_highest_Pa": float(told.highest),
        "rate_by_orifices_W": found.by_orifices,
        "meter_and_orifices_agree": found.agrees,
        "supply_at_furnace_Pa": found.supply,
    }
