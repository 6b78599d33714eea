"""``python -m hvaclib combustion-air NAME=VALUE …``: is the room enough for its fires, or what openings it needs."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report, settings
from hvaclib.errors import HvacError, InputError

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs
    from hvaclib.boards.combustion_air import CombustionAirBoard
    from hvaclib.boards.combustion_air.answer import Answer

COMMAND = "combustion-air"
VOLUMES = {
    "volume": "Volume of the room, instead of length, depth and height",
    "beyond": "Volume of the other rooms together, instead of beyond_length and beyond_width",
}
LARGEST = {"volume": "50000 ft³", "beyond": "84000 ft³"}  # as far as the board's own sizes go


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``combustion-air``.

    Returns
    -------
    int
        0 where the room by itself is enough or nothing takes its air from it, 1 where it needs openings or a fan, 2
        where what was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, settings.text_of)


def _parser() -> settings.SettingsParser:
    parser = settings.SettingsParser(
        COMMAND,
        "Whether a room is large enough for what burns in it, and the openings or the fan that it needs if not. What is "
        "not given is as on the board.",
        _words,
    )
    parser.add_argument(
        "settings",
        nargs="*",
        metavar="NAME=VALUE",
        help='such as volume="960 ft³" furnace_rate="80000 Btu/h"',
    )
    return parser


def _words() -> dict[str, str]:
    from hvaclib.boards.combustion_air import CombustionAirBoard

    return {**settings.words_of(CombustionAirBoard()), **VOLUMES}


def _volume(given: dict[str, str], name: str, instead: tuple[str, ...]) -> float | None:
    """A volume typed, m³; refused where sizes are typed as well."""
    from hvaclib.units import kinds, parse_si

    if name not in given:
        return None
    both = [side for side in instead if side in given]
    if both:
        raise InputError(f"{name} and {both[0]} are both given", where=COMMAND, expected="one or the other")
    try:
        value = parse_si(given[name], kinds.VOLUME)
    except HvacError as error:
        raise InputError(
            error.what,
            where=f"{COMMAND}: {name}",
            given=given[name],
            expected=error.expected or "such as '960 ft³'",
        ) from error
    if not 0.0 < value <= parse_si(LARGEST[name], kinds.VOLUME):
        raise InputError(
            "this volume cannot be", where=f"{COMMAND}: {name}", given=given[name],
            expected=f"more than 0 and at most {LARGEST[name]}",
        )  # fmt: skip
    return value


def _refuse_idle(given: dict[str, str], model: CombustionAirBoard) -> None:
    """Refuse what was typed and would have no say: it tells of a misunderstanding."""
    from hvaclib.boards.combustion_air.answer import NONE, SEALED
    from hvaclib.physics.combustion_air.area import INDOOR

    idle = []
    if model.route != INDOOR:
        idle += [(name, f"route={INDOOR}") for name in ("beyond", "beyond_length", "beyond_width")]
    if model.louver != "known":
        idle.append(("louver_share", "louver=known"))
    for name, kind in (("furnace", model.furnace_kind), ("heater", model.heater_kind)):
        if kind == NONE:
            idle.append((f"{name}_rate", f"another {name}_kind than {NONE}"))
        if kind in (NONE, SEALED):
            idle.append((f"{name}_connector", f"a {name}_kind that takes room air"))
    if model.route == INDOOR:
        idle.append(("house", "a way to outdoors"))
    for name, needed in idle:
        if given.get(name):
            raise InputError(
                f"{name} has no say here", where=COMMAND, given=given[name], expected=f"it with {needed}"
            )


def _inputs(given: dict[str, str], system: str) -> tuple[CombustionAirBoard, Inputs]:
    from hvaclib.boards.base import Inputs
    from hvaclib.boards.combustion_air import CombustionAirBoard

    room = _volume(given, "volume", ("length", "depth", "height"))
    beyond = _volume(given, "beyond", ("beyond_length", "beyond_width"))
    model = CombustionAirBoard()
    sizes = {name: text for name, text in given.items() if name not in VOLUMES}
    if "louver_share" in sizes:
        sizes.setdefault("louver", "known")
    settings.put_in(model, sizes, system, COMMAND)
    _refuse_idle(given, model)
    inputs = dict(model.inputs())
    if room is not None:
        inputs["length"] = room / (model.depth * model.height)
    if beyond is not None:
        inputs["beyond_length"] = beyond / (model.beyond_width * model.height)
    return model, Inputs(inputs)


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    given = settings.pairs(arguments.settings, COMMAND)
    settings.check_names(given, _words(), COMMAND)
    model, inputs = _inputs(given, settings.system_of(arguments))
    settings.refuse_blocked(model, inputs, COMMAND)
    found = model.compute(inputs)
    tried = None
    if given.get("house"):
        tried = next((part for part in model.compute_later(inputs, found) if part is not None), None)
    page = model.present(inputs, found, tried)
    content = settings.content(page, settings.taken(model, _not_taken(given, model)), _numbers(found))
    return content, found.rate <= 0.0 or found.room_is_enough


def _not_taken(given: dict[str, str], model: CombustionAirBoard) -> set[str]:
    """Inputs that were given, or have no say in this answer."""
    from hvaclib.boards.combustion_air.answer import NONE
    from hvaclib.physics.combustion_air.area import INDOOR

    names = {*given, "house"}
    if "volume" in given:
        names |= {"length", "depth", "height"}
    if "beyond" in given or model.route != INDOOR:
        names |= {"beyond_length", "beyond_width"}
    if model.louver != "known":
        names.add("louver_share")
    elif "louver_share" in given:
        names.add("louver")
    for name, kind in (("furnace", model.furnace_kind), ("heater", model.heater_kind)):
        if kind == NONE:
            names |= {f"{name}_rate", f"{name}_connector"}
    return names


def _numbers(found: Answer) -> dict[str, Any]:
    """Volumes in m³, areas in m², the fan in m³/s, the rate in W."""
    opening = found.opening
    return {
        "rate_W": found.rate,
        "room_m3": found.room,
        "beyond_m3": found.beyond,
        "needed_standard_m3": found.standard,
        "needed_known_infiltration_m3": found.known,
        "room_is_enough": found.rate <= 0.0 or found.room_is_enough,
        "with_rooms_beyond_enough": found.rate <= 0.0 or found.together_enough,
        "openings": None if opening is None else opening.openings,
        "opening_free_m2": None if opening is None else opening.free_area,
        "opening_face_m2": None if opening is None else opening.area,
        "fan_m3_s": found.fan,
    }
