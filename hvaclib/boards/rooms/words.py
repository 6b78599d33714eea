"""The rooms board's answer in words: which rooms are off, what the rule says, what to build, what else it moves."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING

from hvaclib.boards.verdicts import rule_words
from hvaclib.plots.section.words import pressure_text
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.rooms.answer import Answer
    from hvaclib.plots.style import System
    from hvaclib.rules import Finding

NEGATIVE = (
    "The {room} is drawn down, so more air is drawn from it than blown in. First look for what is blocked: its supply "
    "register shut or covered, a balancing damper shut, a duct crushed or fallen off; then for a return damper too far "
    "open. A grille only hides that."
)


def telling(answer: Answer) -> Finding | None:
    """The finding to quote: the chosen room's where it is not met, else the gravest of all."""
    room = answer.situation.room.zone
    judged = [item for item in answer.findings.ranked if item.reading is not None]
    bad = [item for item in judged if item.verdict in ("fail", "too close to call")]
    own = [item for item in bad if item.where == room]
    return next(iter([*own, *bad, *judged]), None)


def words(answer: Answer, system: System) -> list[str]:
    """The answer in words."""
    found = [_first(answer, system)]
    quoted = telling(answer)
    if quoted is not None:
        found.append(rule_words(quoted, answer.rules))
    room = answer.situation.room.zone
    off = not answer.bounds.holds(answer.pressure)
    if off and answer.pressure < 0.0:
        found.append(NEGATIVE.format(room=room))
        if room == answer.effects.zone:
            found.append(
                f"The {answer.effects.appliance} stands in here: seal the return ducts first, they draw their air from "
                "beside its draft hood."
            )
    found.append(_area(answer, system))
    if answer.built.needed > 0.0:
        found += _remedy(answer, system)
    if answer.built.area > 0.0 or answer.effects.spills_before:
        found += _elsewhere(answer, system)
    return found


def _first(answer: Answer, system: System) -> str:
    here = answer.situation
    out = [item for item in answer.findings if item.verdict == "fail"]
    close = [item for item in answer.findings if item.verdict == "too close to call"]
    count = len(answer.found.rooms)
    stands = (
        f"the {here.room.zone} {'reads' if answer.measured else 'stands at'} {pressure_text(answer.pressure, system)} "
        f"against the {here.room.reference}"
    )
    if answer.effects.spills_before:
        first = f"{len(out)} of {count} rooms out of" if out else f"though all {count} rooms are within"
        return f"No: the {answer.effects.appliance} spills flue gas with these doors shut, {first} the band; {stands}."
    if out:
        return f"No: {len(out)} of {count} rooms {'are' if len(out) > 1 else 'is'} out of the band; {stands}."
    if close:
        return f"Hardly: {len(close)} of {count} rooms cannot be told from the limit; {stands}."
    return f"Yes: all {count} rooms stay within the band; {stands}."


def _area(answer: Answer, system: System) -> str:
    here = answer.situation
    net = show(abs(here.net), kinds.VOLUME_FLOW, system, 0)
    way = "more blown in than drawn out" if here.net > 0.0 else "more drawn out than blown in"
    door = show(answer.existing, kinds.AREA, system)
    if answer.by_calculation <= 0.0:
        return f"Duct air of the {here.room.zone}: {net} {way}. Its shut door has {door} of free area, which is enough."
    total, added = (show(area, kinds.AREA, system) for area in (answer.total, answer.by_calculation))
    enough = (
        ""
        if answer.enough is None
        else (
            f" Open the door until the manometer says so and the gap at the latch is about "
            f"{show(answer.enough, kinds.SIZE, system, 2 if system == 'field' else 0)}."
        )
    )
    return (
        f"Duct air of the {here.room.zone}: {net} {way}. By calculation it needs {total} of free area; its shut door has "
        f"{door}: {added} more.{enough}"
    )


def _remedy(answer: Answer, system: System) -> list[str]:
    built = answer.built
    needed = show(built.needed, kinds.AREA, system)
    why = "the crack of the door as it stands" if answer.strip > 0.0 else "the calculation"
    after = pressure_text(float(answer.after[answer.row]), system)
    within = (
        "within the band" if answer.bounds.holds(float(answer.after[answer.row])) else "still out of the band"
    )
    if built.path is not None:
        path = built.path
        bays = f"{path.stud_bays} stud bay{'s' if path.stud_bays > 1 else ''}"
        sentence = (
            f"As built for {needed} ({why}): {path.grille} grilles high and low in {bays} are as good as one opening of "
            f"{show(path.effective_area, kinds.AREA, system)}{'' if path.enough else ', not enough'}. Retest: {after}, {within}."
        )
        tail = [f"Next remedy: {path.next_remedy}."] if path.next_remedy else []
        thumb = pressure_text(answer.thumb, system)
        if not answer.bounds.holds(answer.thumb):
            tail.append(f"Each of the three only as large as the opening ({needed}) would leave {thumb}.")
        return [sentence, *tail]
    if built.duct:
        size = show(built.duct, kinds.SIZE, system)
        return [f"As built for {needed} ({why}): a jump duct of {size}. Retest: {after}, {within}."]
    if built.area == 0.0:
        return [f"Nothing is built; {needed} more would be needed ({why})."]
    return []


def _elsewhere(answer: Answer, system: System) -> list[str]:
    """What the remedy does to the other rooms and to the appliance zone."""
    effects, here = answer.effects, answer.situation
    moved = [
        (
            abs(float(after - now)),
            f"{room.zone} {pressure_text(float(now), system)} to {pressure_text(float(after), system)}",
        )
        for room, now, after in zip(answer.found.rooms, answer.now, answer.after, strict=True)
        if room != here.room and abs(float(after - now)) >= 0.05
    ]
    others = "; ".join(text for _, text in sorted(moved, reverse=True)[:3])
    found = [f"The other rooms move with it: {others}."] if others else []
    if not isnan(effects.zone_before):
        before, after, draft, relieved = (
            pressure_text(value, system)
            for value in (effects.zone_before, effects.zone_after, effects.draft_before, effects.draft_after)
        )
        stands = f"The {effects.zone}, where the {effects.appliance} stands,"
        if answer.built.area > 0.0:
            found.append(
                f"{stands} goes from {before} to {after} against outdoors, and its draft when burning from {draft} to "
                f"{relieved} at the test hole.{_spills(answer)}"
            )
        else:
            found.append(
                f"{stands} lies at {before} against outdoors; its draft when burning is {draft} at the test hole."
                f"{_spills(answer)}"
            )
    return found


def _spills(answer: Answer) -> str:
    """What the draft board says more of: flue gas in the room before and after."""
    if not answer.effects.spills_before:
        return ""
    after = "it still does" if answer.effects.spills_after else "it no longer does"
    tail = f"; with the remedy {after}" if answer.built.area > 0.0 else ""
    return f" It spills as found{tail}. Stop the burner, ventilate, and take this house to the draft test."
