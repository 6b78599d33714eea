"""The terminations board's page: may it stand here, what is too close and by which rule, the wall drawn to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.physics.terminations import rules_for
from hvaclib.physics.terminations.clearances import CAUTION
from hvaclib.plots.elevation import Elevation, wall_elevation
from hvaclib.plots.elevation.drawing import allowed_words, lack_words
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.terminations.model import Answer
    from hvaclib.physics.terminations import TooClose
    from hvaclib.plots.style import System

CAUTIONS = (
    "A terminal too close to an opening sends flue gas and its carbon monoxide back in.",
    CAUTION,
    "Smell gas at the meter: leave, and call the gas supplier from outside. Work on a ladder with somebody who holds it, "
    "clear of the electric service drop.",
)


def page_of(inputs: Inputs, answer: Answer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    elevation = Elevation(answer.wall, answer.region, answer.lacks)
    caption = (
        "To scale. Hatched: where the new terminal's centre may lie. Dashed: reach of a rule that is broken."
    )
    rules = _rules(answer, inputs.column)
    return Page(
        answer=_words(answer, inputs.system),
        verdict="fail" if answer.lacks else "pass",
        cautions=CAUTIONS,
        pictures=[PagePicture("The wall from outside", wall_elevation(elevation, inputs.width, inputs.system), caption)],
        tables=[
            PageTable("Clearances that are broken", [_row(item, inputs.system) for item in answer.lacks]),
            PageTable("Distances for the new terminal in this wall", _needs(answer, inputs)),
        ],
        sources=[*dict.fromkeys(f"{rule.title} ({rule.column}): {rule.source} [{rule.certainty}]" for rule in rules)],
    )  # fmt: skip


def _words(answer: Answer, system: System) -> list[str]:
    own, others = answer.own, [item for item in answer.lacks if item not in answer.own]
    inside = _inside(answer)
    said = []
    if own:
        count = "one clearance" if len(own) == 1 else f"{len(own)} clearances"
        said.append(f"No: here the new terminal breaks {count}.")
        said += [_sentence(item, system) for item in own]
    elif not inside:
        said.append("No: the new terminal does not lie in the wall, or covers something.")
    else:
        said.append("Yes: by these rules the new terminal may stand here.")
    if others:
        said += ["Besides, " + _sentence(item, system, capital=False) for item in others]
    said.append(allowed_words(answer.region))
    if own or not inside:
        said += _nearest(answer, system)
    return said


def _sentence(lack: TooClose, system: System, *, capital: bool = True) -> str:
    """One lack in words, with the other ways out that the rule leaves."""
    words = lack_words(lack, system)
    below, above = (show(edge, kinds.SIZE, system, 0) for edge in (lack.rule.below, lack.rule.above))
    other = {
        "beside": f" ({show(lack.rule.distance, kinds.SIZE, system, 0)} beside, {below} below or {above} above is enough)",
        "over": f" ({show(lack.rule.distance, kinds.SIZE, system, 0)} above or {show(lack.rule.within, kinds.LENGTH, system)} to the side is enough)",
    }.get(lack.rule.shape, "")
    return f"{words[0].upper() if capital else words[0]}{words[1:]}{other}."


def _inside(answer: Answer) -> bool:
    """Whether the nearest place of the map is allowed: it lies in the wall and covers nothing."""
    x, y = answer.terminal.centre
    row = int(np.abs(answer.region.y - y).argmin())
    column = int(np.abs(answer.region.x - x).argmin())
    around = answer.region.allowed[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2]
    return bool(around.any())


def _nearest(answer: Answer, system: System) -> list[str]:
    """The nearest place allowed, told from here."""
    region = answer.region
    if not region.allowed.any():
        return [
            "Another wall, another kind of terminal, or something in this wall moved: nothing else helps here."
        ]
    x, y = answer.terminal.centre
    away = np.hypot(region.x[None, :] - x, region.y[:, None] - y)
    row, column = np.unravel_index(np.where(region.allowed, away, np.inf).argmin(), away.shape)
    across, rise = float(region.x[column] - x), float(region.y[row] - y)
    moves = [
        f"{show(abs(move), kinds.LENGTH, system, 1)} {words[move > 0]}"
        for move, words in ((across, ("to the left", "to the right")), (rise, ("down", "up")))
        if abs(move) > 1.01 * (region.x[1] - region.x[0])
    ]
    return [f"Nearest place allowed: about {' and '.join(moves)}."] if moves else []


def _row(lack: TooClose, system: System) -> dict[str, Any]:
    return {
        "what": lack.terminal.name,
        "too close to": lack.neighbour.name,
        "there is": _present(lack, system),
        "needed": show(lack.needed, kinds.SIZE, system, 0),
        "rule": lack.rule.title,
        "source": f"{lack.rule.column}: {lack.rule.source}",
    }


def _present(lack: TooClose, system: System) -> str:
    """The distance there is with its direction; where there is none, how far the wrong way."""
    size = show(abs(lack.present), kinds.SIZE, system, 0)
    wrong = {"above": "below its top", "below": "above its bottom"}.get(lack.direction, "within it")
    return f"{size} {lack.direction if lack.present >= 0.0 else wrong}"


def _rules(answer: Answer, column: str) -> list[Any]:
    """Every rule that has a say about the new terminal or is broken here."""
    terminal = answer.terminal
    own = [
        rule
        for item in answer.wall.neighbours()
        if item.name != terminal.name
        for rule in rules_for(terminal.kind, item.kind, terminal.input_rate, column)
    ]
    return list(dict.fromkeys([*own, *(item.rule for item in answer.lacks)]))


def _needs(answer: Answer, inputs: Inputs) -> list[dict[str, Any]]:
    rows = []
    for item in answer.wall.neighbours():
        for rule in rules_for(answer.terminal.kind, item.kind, answer.terminal.input_rate, inputs.column):
            if item.name == answer.terminal.name:
                continue
            needed = show(rule.distance, kinds.SIZE, inputs.system, 0)
            if rule.shape == "beside":
                below = show(rule.below, kinds.SIZE, inputs.system, 0)
                above = show(rule.above, kinds.SIZE, inputs.system, 0)
                needed = f"{needed} beside, {below} below or {above} above"
            elif rule.shape == "over":
                needed += f" above, within {show(rule.within, kinds.LENGTH, inputs.system)} to the side"
            rows.append(
                {
                    "neighbour": item.name,
                    "needed": needed,
                    "certainty": rule.certainty,
                    "note": rule.condition,
                }
            )
    return rows
