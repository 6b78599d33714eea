"""The terminations board's page: may it stand here, what is too close and by which rule, the wall drawn to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.terminations.words import needs_of, row_of, sources_of, words_of
from hvaclib.physics.terminations.clearances import CAUTION
from hvaclib.plots.elevation import Elevation, wall_elevation

if TYPE_CHECKING:
    from hvaclib.physics.terminations import Judged

CAUTIONS = (
    "A terminal too close to an opening sends flue gas and its carbon monoxide back in.",
    CAUTION,
    "Smell gas at the meter: leave, and call the gas supplier from outside. Work on a ladder with somebody who holds it, "
    "clear of the electric service drop.",
)


def page_of(inputs: Inputs, judged: Judged | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if judged is None or judged.region is None:
        return Page(cautions=CAUTIONS)
    elevation = Elevation(judged.wall, judged.region, judged.lacks)
    caption = (
        "To scale. Hatched: where the new terminal's centre may lie. Dashed: reach of a rule that is broken."
    )
    return Page(
        answer=words_of(judged, inputs.system),
        verdict="pass" if judged.met else "fail",
        cautions=CAUTIONS,
        pictures=[PagePicture("The wall from outside", wall_elevation(elevation, inputs.width, inputs.system), caption)],
        tables=[
            PageTable("Clearances that are broken", [row_of(lack, inputs.system) for lack in judged.lacks]),
            PageTable("Distances for the new terminal in this wall", needs_of(judged, inputs.system)),
        ],
        sources=sources_of(judged),
    )  # fmt: skip
