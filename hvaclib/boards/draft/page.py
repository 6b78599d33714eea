"""The draft board's page: the answer in words first, then cautions, pictures, numbers and sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.base import Inputs, Page
from hvaclib.boards.draft.pictures import pictures
from hvaclib.boards.draft.tables import tables
from hvaclib.boards.draft.words import verdict, words
from hvaclib.boards.verdicts import cautions_of
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.draft.answer import Answer
    from hvaclib.boards.draft.model import Later

CAUTIONS = (
    "Carbon monoxide has no smell. Work with a meter that alarms; if it rises, or a hood keeps spilling: stop the "
    "burner, ventilate, shut the appliance down, call the program office.",
    "This is a simulation: it teaches and plans. In the house the test itself decides, with the adopted code, the "
    "manufacturer's instructions and a licensed technician.",
)
METHOD = (
    "Airflow network, mass balance of every zone; vents with dilution, friction, heat loss and stored heat; checked "
    "against IFGC (2018) Table 504.2(1) and the ASHRAE chimney chapter (see DEVELOPERS.md)."
)


def page_of(inputs: Inputs, answer: Answer | None, later: Later | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    return Page(
        answer=[*words(answer, inputs.system), *_added(inputs, answer)],
        verdict=verdict(answer),
        # What to do about carbon monoxide comes first: two sentences stand in sight, the others are folded.
        cautions=list(dict.fromkeys([CAUTIONS[0], *cautions_of(answer.findings.ranked, CAUTIONS)])),
        pictures=pictures(inputs, answer, later),
        tables=tables(inputs, answer, later),
        sources=[*dict.fromkeys(f"{item.rule.title}: {item.source}" for item in answer.findings), METHOD],
    )


def _added(inputs: Inputs, answer: Answer) -> list[str]:
    """What was added to the house of the file, so that nobody takes the answer for that of the house as it is."""
    if not inputs.opening:
        return []
    each = show(inputs.opening, kinds.AREA, inputs.system)
    count = (
        f"two combustion-air openings of {each} each"
        if inputs.openings == "2"
        else f"one combustion-air opening of {each}"
    )
    return [
        f"What if: the {answer.zone} has {count} (free area) to outdoors, which the dwelling's file does not have."
    ]
