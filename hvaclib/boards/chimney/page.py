"""The chimney board's page: words, cautions, two pictures, numbers and sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Page, PagePicture, PageTable
from hvaclib.boards.chimney.answer import VENT, Capacities, ChimneyAnswer
from hvaclib.boards.chimney.words import CO, DEFER, verdict, words
from hvaclib.physics.vent.masonry import CHIMNEY_CAUTION
from hvaclib.plots.chimney import ChimneyScene, chimney_picture
from hvaclib.plots.chimney_capacity import CapacityCurves, capacity_chart
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs

SOURCES = (
    "Capacity: lift against losses, ASHRAE HVAC Systems and Equipment (2016), chimney chapter; walls and roughness EN 13384-1:2015; "
    "gas as codes rate it: 5.3 % CO₂ after the draft hood, 300 °F above a room of 60 °F.",
    "Area: IFGC (2018) Table 504.2(3), 504.2.10; two appliances: 503.5.5 (recalled, not verified).",
    "Dew point of natural gas diluted to 5.3 % CO₂: water of the products at its saturation pressure, dry combustion air.",
    "Spillage is looked for after five minutes: IFGC and IRC (2018), Appendix D.",
    "Test holes: draft 1 to 2 ft past the hood, flue-gas sample before the hood: common practice, no source.",
    "An outside wall: the code has tables of its own for exterior masonry chimneys, with a least input; not in this board.",
)


def page_of(inputs: Inputs, answer: ChimneyAnswer | None, later: Capacities | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=[CO, DEFER])
    scene = ChimneyScene(
        answer.profiles,
        answer.dew,
        answer.alone,
        inputs.kind,
        answer.flue,
        inputs.height,
        inputs.place == "outside",
    )
    pictures = [
        PagePicture(
            "The chimney in section, and how warm its wall becomes", chimney_picture(scene, inputs.width, inputs.system),
            "Section not to scale. Blue on the wall: colder than the dew point after 20 minutes, water runs down. The gas is "
            "taken as hot and as diluted as the codes rate it; a chimney that draws harder is colder and drier. Settled: the gas is hotter then, too.",
        )
    ]  # fmt: skip
    if later is not None:
        curves = CapacityCurves(
            later.heights, later.flue, later.lined, later.liner, inputs.height, answer.rate, later.now or 0.0
        )
        pictures.append(
            PagePicture("Capacity against height", capacity_chart(curves, inputs.width, inputs.system),
                        "By physics, in the state that the codes rate; the code's tables decide.")
        )  # fmt: skip
    return Page(
        answer=words(inputs, answer, later),
        verdict=verdict(inputs, answer, later),
        cautions=[CO, DEFER, *([] if inputs.kind == VENT else [CHIMNEY_CAUTION])],
        pictures=pictures,
        tables=[
            PageTable("Along the way", _along(inputs, answer)),
            PageTable("Numbers", _numbers(inputs, answer)),
        ],
        sources=list(SOURCES),
    )


def _along(inputs: Inputs, answer: ChimneyAnswer) -> list[Mapping[str, Any]]:
    """Where the flue begins, its middle and its top, by time of burning."""
    found: list[Mapping[str, Any]] = []
    for when, told in answer.profiles.items():
        inside = [i for i, piece in enumerate(told.piece) if piece >= 2]
        half = (told.height[inside[0]] + told.height[inside[-1]]) / 2
        middle = inside[int(abs(told.height[inside] - half).argmin())]
        for name, i in (("bottom of the flue", inside[0]), ("middle", middle), ("top", inside[-1])):
            wet = ", wet" if told.wall[i] < answer.dew else ""
            found.append(
                {
                    "burning": when,
                    "where": name,
                    "gas": show(float(told.gas[i]), kinds.TEMPERATURE, inputs.system, 0),
                    "wall": show(float(told.wall[i]), kinds.TEMPERATURE, inputs.system, 0) + wet,
                }
            )
    return found


def _numbers(inputs: Inputs, answer: ChimneyAnswer) -> list[Mapping[str, Any]]:
    system = inputs.system
    pairs = [
        ("input", show(answer.rate, kinds.CAPACITY, system, 1)),
        ("flue area", show(answer.area, kinds.AREA, system, 1)),
        ("flue area over the outlet's area", f"{answer.ratio:.2f}"),
        ("lift less losses at this input", show(answer.spare, kinds.PRESSURE_DIFFERENCE, system, 1)),
        ("theoretical draft after 5 minutes", show(answer.theoretical, kinds.PRESSURE_DIFFERENCE, system, 1)),
        ("dew point of the gas", show(answer.dew, kinds.TEMPERATURE, system, 0)),
    ]
    return [{"quantity": key, "value": text} for key, text in pairs]
