"""What ``condensate`` and ``controls`` share: some parts of the condensate-and-controls board as a report."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from hvaclib.cli import settings
from hvaclib.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Collection

    from hvaclib.boards.controls import ControlsBoard
    from hvaclib.boards.controls.answer import ControlsAnswer
    from hvaclib.plots.style import System


def parts_of_inputs(model: ControlsBoard) -> dict[str, str]:
    """The part of the board that each of its inputs belongs to, by name of the input."""
    from hvaclib.boards.controls import model as board
    from hvaclib.boards.controls import words

    parts = {board.BURNER: words.WATER, board.PUMP: words.WATER, board.TRAP: words.WATER,
             board.CIRCUIT: words.CIRCUIT, board.TRANSFORMER: words.LOADS, board.SETBACK: words.WARMTH}  # fmt: skip
    return {
        name: parts[trait.section] for name, trait in model.declared().items() if name not in settings.VIEW
    }


def words_of_parts(parts: Collection[str]) -> dict[str, str]:
    """A line of words for each setting of these parts."""
    from hvaclib.boards.controls import ControlsBoard

    model = ControlsBoard()
    belongs = parts_of_inputs(model)
    return {name: said for name, said in settings.words_of(model).items() if belongs[name] in parts}


def refuse_half(given: dict[str, str], both: tuple[str, str], command: str) -> None:
    """Refuse one of two readings that are judged against each other without the other.

    Raises
    ------
    InputError
        Naming the one that is missing.
    """
    here = [name for name in both if given.get(name)]
    if len(here) == 1:
        missing = both[1] if here[0] == both[0] else both[0]
        raise InputError(
            f"{here[0]} is judged against {missing}, which is missing",
            where=command,
            expected=f'{missing}="…"',
        )


def report_of(
    given: dict[str, str], parts: Collection[str], system: System, command: str
) -> tuple[dict[str, Any], bool]:
    """The report of some parts that JSON can hold, and whether everything in them is in order.

    Parameters
    ----------
    given : dict
        Text by name of setting, as `settings.check_names` has passed it.
    parts : collection of str
        Parts of the board that are judged.
    system : {"field", "si"}
        Units of words and tables.
    command : str
        What refusals name.

    Raises
    ------
    InputError
        For what cannot be followed or cannot be true.
    """
    from hvaclib.boards.controls import ControlsBoard
    from hvaclib.boards.controls.page import words_page

    model = ControlsBoard()
    settings.put_in(model, given, system, command)
    inputs = model.inputs()
    settings.refuse_blocked(model, inputs, command)
    found = model.compute(inputs)
    page = words_page(inputs, found, parts)
    belongs = parts_of_inputs(model)
    silent = {name for name, part in belongs.items() if part not in parts}
    assumed = settings.taken(model, {*given, *silent})
    numbers = _numbers(found)
    content = settings.content(page, assumed, {key: numbers[key] for key in numbers if key in parts})
    return content, page.verdict == "pass"


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _numbers(found: ControlsAnswer) -> dict[str, Any]:
    """By part, in SI; what never ends is null."""
    from hvaclib.boards.controls import words

    duty, told, back = found.duty, found.transformer, found.recovery
    return {
        words.WATER: {
            "condensate_kg_s": found.water,
            "condensate_m3_s": found.water_volume,
            "pump_delivers_kg_s": duty.delivered,
            "pump_head_m": duty.head,
            "pump_runs": _finite(duty.running),
            "pump_enough": bool(duty.enough),
            "trap_needed_m": found.trap,
        },
        words.CIRCUIT: {"current_A": found.current, "circuit_VA": found.circuit_load},
        words.LOADS: {"load_VA": told.load, "spare_VA": told.spare, "share": told.share, "enough": bool(told.enough)},
        words.WARMTH: {
            "recovery_s": _finite(back.time),
            "final_K": back.final,
            "time_constant_s": back.constant,
            "house_capacity_J_K": back.capacity,
            "lowest_setback_K": back.least_setback,
        },
    }  # fmt: skip
