"""The rooms board's tables: rooms with verdicts, the chain of areas, the appliance zone before and after."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import PageTable
from hvaclib.plots.section.words import pressure_text
from hvaclib.procedures.room_relief import gap_for_area, net_flow
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.boards.rooms.answer import Answer
    from hvaclib.plots.style import System


def tables(answer: Answer, system: System) -> list[PageTable]:
    """Every table of the page, the rooms first."""
    found = [
        PageTable("Rooms and what the rule says", _rooms(answer, system)),
        PageTable(f"Relief of the {answer.situation.room.zone}, step by step", _chain(answer, system)),
    ]
    if not isnan(answer.effects.zone_before):
        found.append(
            PageTable("The appliance zone and its draft, all inner doors shut", _zone(answer, system))
        )
    return found


def _rooms(answer: Answer, system: System) -> list[Mapping[str, Any]]:
    here = answer.situation
    verdicts = {item.where: item.verdict for item in answer.findings if item.reading is not None}
    rows: list[Mapping[str, Any]] = []
    for row, room in enumerate(answer.found.rooms):
        net = (
            here.net
            if room == here.room
            else net_flow(here.dwelling, room.zone, here.moved.get(room.zone, 0.0))
        )
        rows.append(
            {
                "room": room.zone,
                "against": room.reference,
                "supply less return": show(net, kinds.VOLUME_FLOW, system, 0),
                "its door alone shut": pressure_text(float(answer.found.alone[row]), system),
                "all doors shut": pressure_text(float(answer.found.together[row]), system),
                "judged": pressure_text(float(answer.now[row]), system),
                "verdict": verdicts.get(room.zone, ""),
                "with the remedy": pressure_text(float(answer.after[row]), system),
            }
        )
    return rows


def _chain(answer: Answer, system: System) -> list[Mapping[str, Any]]:
    here, built = answer.situation, answer.built
    gap = gap_for_area(here.dwelling, here.room, answer.by_calculation)
    steps = [
        ("supply less return of the room", show(here.net, kinds.VOLUME_FLOW, system, 0)),
        ("free area needed in all, by calculation", show(answer.total, kinds.AREA, system)),
        ("free area of the shut door", show(answer.existing, kinds.AREA, system)),
        ("to be added, by calculation", show(answer.by_calculation, kinds.AREA, system)),
        ("gap at the latch with that crack", show(gap, kinds.SIZE, system, 2 if system == "field" else 0)),
        ("crack as the door stands: latch strip", show(answer.strip, kinds.AREA, system)),
        ("crack as the door stands: both wedges", show(2.0 * answer.wedge, kinds.AREA, system)),
        ("pressure as the door stands", pressure_text(answer.at_gap, system)),
        ("the remedy is sized for", show(built.needed, kinds.AREA, system)),
    ]
    if built.path is not None:
        path = built.path
        needs = (
            show(path.needed_grille_area, kinds.AREA, system)
            if path.needed_grille_area
            else "no size is enough"
        )
        steps += [
            ("stud bays", str(path.stud_bays)),
            ("cavity", show(path.cavity_area, kinds.AREA, system)),
            ("free area that each grille of a bay needs", needs),
            ("grilles built", path.grille),
            ("free area of each", show(path.high_grille_area, kinds.AREA, system)),
            ("all three as one opening", show(path.effective_area, kinds.AREA, system)),
            ("least stud bays", str(path.bays_needed) if path.bays_needed else "no number is enough"),
        ]
    if built.duct:
        steps.append(("jump duct", show(built.duct, kinds.SIZE, system)))
    steps.append(("retest with the door shut", pressure_text(float(answer.after[answer.row]), system)))
    if built.path is not None:
        steps.append(
            (
                "retest by the rule of thumb (each as large as the opening)",
                pressure_text(answer.thumb, system),
            )
        )
    return [{"step": step, "value": value} for step, value in steps]


def _zone(answer: Answer, system: System) -> list[Mapping[str, Any]]:
    effects = answer.effects
    return [
        {
            "state": state,
            f"pressure of the {effects.zone}": pressure_text(pressure, system),
            f"draft of the {effects.appliance}": pressure_text(draft, system),
            "spills": f"{100 * spillage:.0f} %",
        }
        for state, pressure, draft, spillage in (
            ("as found", effects.zone_before, effects.draft_before, effects.spillage_before),
            ("with the remedy", effects.zone_after, effects.draft_after, effects.spillage_after),
        )
    ]
