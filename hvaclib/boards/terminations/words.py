"""A judged wall in words and rows, for the board and for the command."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.physics.terminations import rules_for
from hvaclib.plots.elevation.drawing import allowed_words, lack_words
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.physics.terminations import Judged, Rule, TooClose
    from hvaclib.plots.style import System


def words_of(judged: Judged, system: System) -> list[str]:
    """The answer first, then what the new terminal covers and breaks, what else is too close, where it may stand."""
    said = [_first(judged)]
    said += [_sentence(lack, system) for lack in judged.own]
    put = judged.terminal is not None
    said += [_sentence(lack, system, lead="Besides, " if put else "") for lack in judged.others]
    if judged.region is not None:
        said.append(allowed_words(judged.region))
    if judged.stands is False:
        said += _nearest(judged, system)
    return said


def _first(judged: Judged) -> str:
    if judged.terminal is None:
        if judged.lacks:
            return f"No: in this wall {_broken(len(judged.lacks))}."
        if rules_of(judged):
            return "Yes: by these rules nothing in this wall is too close."
        return "Nothing in this wall asks for a distance."
    faults = [f"covers the {item.name}" for item in judged.covered]
    if judged.own:
        count = len(judged.own)
        faults.append(f"breaks {'one clearance' if count == 1 else f'{count} clearances'}")
    if faults:
        return f"No: here the new terminal {' and '.join(faults)}."
    if judged.others:
        return f"The new terminal may stand here by these rules, but elsewhere in this wall {_broken(len(judged.others))}."
    return "Yes: by these rules the new terminal may stand here."


def _broken(count: int) -> str:
    return "one clearance is broken" if count == 1 else f"{count} clearances are broken"


def _sentence(lack: TooClose, system: System, lead: str = "") -> str:
    """One lack with the other ways out that the rule leaves, and the rule."""
    words = lack_words(lack, system)
    rule = lack.rule
    below, above = (show(edge, kinds.SIZE, system, 0) for edge in (rule.below, rule.above))
    other = {
        "beside": f" ({show(rule.distance, kinds.SIZE, system, 0)} beside, {below} below or {above} above is enough)",
        "column": f" (beside its centre line, or {show(rule.height, kinds.LENGTH, system)} above it)",
        "over": f" ({show(rule.distance, kinds.SIZE, system, 0)} above or {show(rule.within, kinds.LENGTH, system)} to the side is enough)",
    }.get(rule.shape, "")
    words = f"{lead}{words}" if lead else f"{words[0].upper()}{words[1:]}"
    return f"{words}{other}: {rule.title[0].lower()}{rule.title[1:]} ({rule.column})."


def _nearest(judged: Judged, system: System) -> list[str]:
    """The nearest place allowed: the way there, and where it is."""
    if judged.terminal is None or judged.region is None:
        return []
    if judged.nearest is None:
        return [
            "Another wall, another kind of terminal, or something in this wall moved: nothing else helps here."
        ]
    there = judged.nearest
    ways = zip(there, judged.terminal.centre, (("to the left", "to the right"), ("down", "up")), strict=True)
    moves = [
        f"{show(abs(to - at), kinds.LENGTH, system, 2)} {names[to > at]}"
        for to, at, names in ways
        if abs(to - at) > 1.01 * (judged.region.x[1] - judged.region.x[0])
    ]
    along, up = (show(part, kinds.LENGTH, system, 2) for part in there)
    way = f"{' and '.join(moves)}, " if moves else ""
    return [f"Nearest place allowed: about {way}its centre {along} along the wall and {up} above grade."]


def row_of(lack: TooClose, system: System) -> Mapping[str, Any]:
    """A row of the table of broken clearances."""
    return {
        "what": lack.terminal.name,
        "too close to": lack.neighbour.name,
        "there is": _present(lack, system),
        "needed": f"{show(lack.needed, kinds.SIZE, system, 1)} ({lack.direction})",
        "rule": lack.rule.title,
        "source": f"{lack.rule.column}: {lack.rule.source}",
        "how sure": lack.rule.certainty,
        "note": lack.rule.condition,
    }


def _present(lack: TooClose, system: System) -> str:
    """The distance there is with its direction; where there is none, how far the wrong way."""
    size = show(abs(lack.present), kinds.SIZE, system, 1)
    wrong = {
        "above": "below its top",
        "below": "above its bottom",
        "beside its centre line": "over its centre line",
    }.get(lack.direction, "within it")
    return f"{size} {lack.direction if lack.present >= 0.0 else wrong}"


def needs_of(judged: Judged, system: System) -> list[Mapping[str, Any]]:
    """The distance that the new terminal must keep from each thing in the wall."""
    terminal = judged.terminal
    rows: list[Mapping[str, Any]] = []
    if terminal is None:
        return []
    for item in judged.wall.neighbours():
        if item.name == terminal.name:
            continue
        for rule in rules_for(terminal.kind, item.kind, terminal.input_rate, judged.column):
            rows.append(
                {
                    "neighbour": item.name,
                    "needed": _needed(rule, system),
                    "certainty": rule.certainty,
                    "note": rule.condition,
                }
            )
    return rows


def _needed(rule: Rule, system: System) -> str:
    needed, below, above = (
        show(edge, kinds.SIZE, system, 0) for edge in (rule.distance, rule.below, rule.above)
    )
    return {
        "beside": f"{needed} beside, {below} below or {above} above",
        "over": f"{needed} above, within {show(rule.within, kinds.LENGTH, system)} to the side",
        "column": f"{needed} beside its centre line, up to {show(rule.height, kinds.LENGTH, system)} above it",
        "height": f"{needed} above",
    }.get(rule.shape, needed)


def rules_of(judged: Judged) -> tuple[Rule, ...]:
    """Every rule that has a say about a pair in the wall."""
    found = [
        rule
        for one in judged.wall.items
        for other in judged.wall.neighbours()
        if other is not one
        for rule in rules_for(one.kind, other.kind, one.input_rate, judged.column)
    ]
    return tuple(dict.fromkeys(found))


def sources_of(judged: Judged) -> list[str]:
    """Those rules with their sources, and how sure each is."""
    return [f"{rule.title} ({rule.column}): {rule.source} [{rule.certainty}]" for rule in rules_of(judged)]
