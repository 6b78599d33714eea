"""The rooms board's page: the answer in words first, then cautions, pictures, numbers and sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.base import Inputs, Page, PagePicture
from hvaclib.boards.rooms.tables import tables
from hvaclib.boards.rooms.words import telling, words
from hvaclib.boards.verdicts import bar, cautions_of
from hvaclib.plots.rooms import DoorAjar, RoomBar, WallPath, door_picture, gap_curve, room_bars, wall_picture
from hvaclib.procedures.room_effects import first_fire

if TYPE_CHECKING:
    from hvaclib.boards.rooms.answer import Answer
    from hvaclib.physics.room_pressure import TransferPath

SPILLING = (
    "Flue gas comes into the room: carbon monoxide has no smell. Stop the burner, ventilate, shut the appliance down, "
    "call."
)
CAUTIONS = (
    "A house drawn down by closed doors pulls at the water heater and furnace: flue gas and carbon monoxide can come "
    "back into the rooms. After any change of doors, grilles or returns test the draft again, with a carbon monoxide "
    "meter running.",
    "Before a wall is opened: no gas, no live wire, no pipe in the bay; a fire-rated wall, a garage wall and a bay used "
    "as a duct are left alone. The adopted code and the manufacturer's instructions come first.",
    "This is a simulation: it teaches and plans. In the house the manometer at the door decides.",
)
METHOD = (
    "Rooms, doors and ducts in the airflow network of the house; relief area by the orifice of BSC RR-0005 and the power "
    "law of ASTM E779; three restrictions in series; the door-crack method is common practice, no source."
)


def page_of(inputs: Inputs, answer: Answer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    first = telling(answer)
    return Page(
        answer=words(answer, inputs.system),
        verdict="fail" if answer.effects.spills_before else "" if first is None else bar(first),
        cautions=cautions_of(
            answer.findings, (SPILLING, *CAUTIONS) if answer.effects.spills_before else CAUTIONS
        ),
        pictures=_pictures(inputs, answer),
        tables=tables(answer, inputs.system),
        sources=[*dict.fromkeys(f"{item.rule.title}: {item.source}" for item in answer.findings), METHOD],
    )


def _pictures(inputs: Inputs, answer: Answer) -> list[PagePicture]:
    system, width = inputs.system, inputs.width
    band = (answer.bounds.lower, answer.bounds.upper)
    door = answer.situation.room.door
    curve = gap_curve(
        answer.gaps, answer.curve, band, gap=inputs.gap, pressure=answer.at_gap, enough=answer.enough, width=width,
        system=system,
    )  # fmt: skip
    pictures = [
        PagePicture(
            "Every room behind its shut door",
            room_bars(_bars(answer), band, width=width, system=system),
            "! marks what is out of the band. The boxed room is the chosen one.",
        ),
        PagePicture(f"The {door}: where to stop opening", curve),
        PagePicture(
            f"The crack of the {door}", door_picture(_ajar(inputs, answer), width=width, system=system)
        ),
    ]
    path = answer.built.path
    if path is not None:
        wall = wall_picture(_wall(answer, path), width=width, system=system)
        pictures.append(PagePicture("The way through the wall", wall))
    return pictures


def _bars(answer: Answer) -> list[RoomBar]:
    here = answer.situation
    fire = first_fire(here.dwelling)
    return [
        RoomBar(
            room.zone,
            float(answer.now[row]),
            float(answer.after[row]),
            chosen=room == here.room,
            note=f"{fire.name} here" if fire is not None and fire.zone == room.zone else "",
        )
        for row, room in enumerate(answer.found.rooms)
    ]


def _ajar(inputs: Inputs, answer: Answer) -> DoorAjar:
    here = answer.situation
    door = here.dwelling.part("doors", here.room.door)
    under = inputs.undercut * door.width
    return DoorAjar(
        gap=inputs.gap, width=door.width, height=door.height, undercut=inputs.undercut, strip=answer.strip,
        wedge=answer.wedge, under=under, other=answer.existing - under,
    )  # fmt: skip


def _wall(answer: Answer, path: TransferPath) -> WallPath:
    room = answer.situation.room
    return WallPath(
        room=room.zone, hall=room.reference, high=path.stud_bays * path.high_grille_area, cavity=path.cavity_area,
        low=path.stud_bays * path.low_grille_area, effective=path.effective_area, required=answer.built.needed,
        grille=path.grille, bays=path.stud_bays, inward=answer.pressure < 0.0,
    )  # fmt: skip
