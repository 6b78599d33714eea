"""The draft board's pictures: the house in section, the first five minutes, all combinations."""

from __future__ import annotations

from math import isinf
from typing import TYPE_CHECKING

from hvaclib.boards.base import Inputs, PagePicture
from hvaclib.boards.draft.situation import Situation
from hvaclib.plots import WarmUpLines, dwelling_section, effects_chart, ranking_chart, warm_up_chart
from hvaclib.plots.section import section_of

if TYPE_CHECKING:
    from hvaclib.boards.draft.answer import Answer
    from hvaclib.boards.draft.model import Later
    from hvaclib.procedures.ranking import Ranking


def pictures(inputs: Inputs, answer: Answer, later: Later | None) -> list[PagePicture]:
    state, system, width = answer.state, inputs.system, inputs.width
    moment = "after five minutes of burning" if answer.burning else "with nothing burning"
    pictures = [
        PagePicture(
            f"The house in section, {moment}",
            dwelling_section(section_of(state), width, system),
            "Figures in the rooms: pressure against outdoors. Arrows: air, wider for more.",
        )
    ]
    if answer.run is not None:
        pictures.append(PagePicture("The first five minutes", warm_up_chart(_lines(answer), width, system)))
    rank = later.rank if later is not None else None
    if rank is not None:
        pictures += _ranking_pictures(inputs, answer, rank)
    return pictures


def _lines(answer: Answer) -> WarmUpLines:
    run = answer.run
    assert run is not None  # the caller has looked
    rows = [run.appliances.index(name) for name in answer.burning]
    return WarmUpLines(
        names=answer.burning,
        time=run.time,
        draft=run.draft[rows],
        spillage=run.spillage[rows],
        spillage_time=run.spillage_time[rows],
        limits=tuple(_limit(answer, name) for name in answer.burning),
    )


def _limit(answer: Answer, name: str) -> float | None:
    """Upper limit of the rule that judged this appliance's draft; None where none did."""
    for finding in answer.findings:
        if finding.rule.quantity == "draft" and finding.where == name and finding.bounds is not None:
            upper = finding.bounds.upper
            return None if isinf(upper) else float(upper)
    return None


def present_state(here: Situation, rank: Ranking) -> int:
    """Index of the combination that the screen shows."""
    moved = []
    for control in rank.controls:
        if control.kind == "fan":
            on = here.setup.fans[control.name] > 0.5
        elif control.kind == "door":
            on = not here.setup.doors[control.name]
        else:
            on = bool(here.setup.air_handler)
        if on:
            moved.append(control.name)
    return rank.combinations.index(moved)


def _ranking_pictures(inputs: Inputs, answer: Answer, rank: Ranking) -> list[PagePicture]:
    present = present_state(answer.situation, rank)
    names = [f"{control.name} {control.words[1]}" for control in rank.controls]
    spilling = int((rank.spillage > 0.0).sum())
    return [
        PagePicture(
            f"All {rank.draft.size} combinations of fans, doors and air handler",
            ranking_chart(
                rank.draft,
                present,
                title=f"draft of the {rank.appliance}, burning alone",
                limit=_limit(answer, rank.appliance),
                spilling=rank.spillage > 0.0,
                width=inputs.width,
                system=inputs.system,
            ),
            f'{spilling} of {rank.draft.size} spill (hatched). The table "The worst combinations" names the worst.',
        ),
        PagePicture(
            "What each control does to the zone",
            effects_chart(
                names,
                rank.effects("pressure"),
                title=f"pressure of the {rank.zone}, mean change",
                width=inputs.width,
                system=inputs.system,
            ),
        ),
    ]
