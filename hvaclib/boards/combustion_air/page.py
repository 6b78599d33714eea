"""The combustion-air board's page: is the room enough, what opening does it need, the room drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from hvaclib.boards.base import Inputs, Page, PageLink, PagePicture, PageTable
from hvaclib.boards.base.link import quantity_text
from hvaclib.boards.combustion_air.answer import drawing_of
from hvaclib.boards.combustion_air.draft_check import check_words
from hvaclib.physics.combustion_air import opening_area, required_volume
from hvaclib.physics.combustion_air.area import INDOOR, ROUTES
from hvaclib.plots.air_room import air_room
from hvaclib.reference import figure
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.combustion_air.answer import Answer
    from hvaclib.boards.combustion_air.draft_check import DraftCheck

CAUTIONS = (
    "Too little air makes carbon monoxide and spillage: work with a meter that alarms. The adopted code and the manufacturer's "
    "instructions decide.",
    "The tables count no exhaust fan, dryer or fireplace: an opening of this size does not promise a draft. Test the draft "
    "with everything running, in the house and on the draft board.",
    "Never shut or screen an opening finer than 1/4 in; lint and frost close it. Electricity and gas run in walls: look before cutting.",
)


def page_of(inputs: Inputs, found: Answer | None, check: DraftCheck | None = None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if found is None:
        return Page(cautions=CAUTIONS)
    picture = air_room(drawing_of(inputs, found), inputs.width, inputs.system)
    tables = [PageTable("Volume by both methods", _volumes(found, inputs.system))]
    if found.opening is not None:
        tables.append(PageTable("Openings by every way", _ways(inputs, found)))
        tables.append(PageTable("This opening in a dwelling file, for the draft board", _file_rows(found)))
    return Page(
        answer=[*_words(inputs, found), *([] if check is None else [check_words(check, inputs.system)])],
        verdict=_verdict(found),
        cautions=CAUTIONS,
        pictures=[PagePicture("The room in section", picture, "Blue: fresh air. Orange: used air.")],
        tables=tables,
        links=_links(inputs, found),
        sources=[*dict.fromkeys([*required_volume.declaration.sources, *opening_area.declaration.sources, *_figures(inputs)])],
    )  # fmt: skip


def _verdict(found: Answer) -> Verdict:
    if found.rate <= 0.0:
        return ""
    if found.room_is_enough:
        return "pass"
    return "fail" if found.route == INDOOR and not found.together_enough else "unsure"


def _words(inputs: Inputs, found: Answer) -> list[str]:
    system = inputs.system
    room, needed = (show(volume, kinds.VOLUME, system, 0) for volume in (found.room, found.needed))
    if found.opening is None:
        return ["Nothing in this room takes its air from the room: no opening is needed for combustion."]
    size = show(found.opening.area, kinds.AREA, system)
    free = show(found.opening.free_area, kinds.AREA, system)
    count = "two openings" if found.opening.openings == 2 else "one opening"
    face = f"{count} of {size} each" if found.opening.openings == 2 else f"{count} of {size}"
    face += f" ({free} free)" if size != free else ""
    if found.room_is_enough:
        return [f"Yes: the room's own leakage is enough, {room} against {needed} needed.", *_method(found)]
    said = [f"Not by itself: the room has {room}, {needed} are needed."]
    if found.route == INDOOR:
        both = show(found.room + found.beyond, kinds.VOLUME, system, 0)
        said.append(
            f"With the rooms beyond it has {both}: {face} to them are enough." if found.together_enough
            else f"Even with the rooms beyond it has only {both}: the air must come from outdoors."
        )  # fmt: skip
    else:
        said.append(
            f"It needs {face} to outdoors, or a fan that brings {show(found.fan, kinds.VOLUME_FLOW, system)}."
        )
    if found.route == INDOOR and not found.together_enough:
        return said + _method(found)  # where openings stand has no say where none of them helps
    if found.opening.openings == 2:
        said.append("One begins within 12 in of the ceiling, the other within 12 in of the floor.")
    else:
        said.append(
            "It begins within 12 in of the ceiling; appliances stand 1 in clear at sides and back, 6 in at the front."
        )
    return said + _method(found)


def _method(found: Answer) -> list[str]:
    if found.standard is None:
        return ["The infiltration is known to be below 0.40 an hour: the standard method is not allowed."]
    return []


def _volumes(found: Answer, system: str) -> list[dict[str, Any]]:
    rows = []
    for method, volume in (
        ("standard, 50 ft³ for 1000 Btu/h", found.standard),
        ("known infiltration", found.known),
    ):
        needed = "not allowed" if method.startswith("standard") else "infiltration not known"
        rows.append(
            {"method": method, "needed": needed if volume is None else show(volume, kinds.VOLUME, system, 0),
             "there is": show(found.room + found.beyond, kinds.VOLUME, system, 0)}
        )  # fmt: skip
    return rows


def _ways(inputs: Inputs, found: Answer) -> list[dict[str, Any]]:
    """Every route with two openings, and one opening to outdoors, with the louver chosen."""
    assert found.opening is not None  # the caller has looked
    share = found.opening.free_area / found.opening.area
    rows = []
    for route, openings in [*((route, 2) for route in ROUTES), ("direct", 1)]:
        size = opening_area.si(input_rate=found.rate, route=route, openings=openings, louver=share)
        if openings == 1 and inputs.openings == "1":
            size = found.opening
        rows.append(
            {
                "way": "one opening, any way to outdoors" if openings == 1 else f"two, {route}",
                "free, each": show(size.free_area, kinds.AREA, inputs.system),
                "face, each": show(size.area, kinds.AREA, inputs.system),
                "round duct": show(size.round_duct, kinds.SIZE, inputs.system, 0),
            }
        )
    rows.append(
        {"way": "a fan from outdoors, interlocked", "free, each": "", "face, each": "",
         "round duct": show(found.fan, kinds.VOLUME_FLOW, inputs.system)}
    )  # fmt: skip
    return rows


def _links(inputs: Inputs, found: Answer) -> list[PageLink]:
    """The draft board with this opening in the dwelling that is tried here; nothing for a way that leads indoors."""
    if found.opening is None or found.route == INDOOR or found.room_is_enough:
        return []
    fields = [("house", inputs.house)] if inputs.house else []
    fields += [
        ("opening", quantity_text(found.opening.free_area, kinds.AREA, inputs.system)),
        ("openings", str(found.opening.openings)),
    ]
    if inputs.system == "si":
        fields.append(("system", "si"))
    address = "draft.ipynb?" + urlencode(fields, quote_via=quote)
    return [
        PageLink(
            "Would it draw? Open the draft board with this opening, fan by fan and door by door.", address
        )
    ]


def _file_rows(found: Answer) -> list[dict[str, Any]]:
    """Lines for a dwelling file, one table an opening: high first, then the low one where there are two."""
    assert found.opening is not None  # the caller has looked
    area = show(found.opening.free_area, kinds.AREA)
    other = "other rooms" if found.route == INDOOR else "outdoors"
    rows = []
    for level, height, near in (("high", "0.5 ft", "ceiling"), ("low", "-6.5 ft", "floor"))[
        : found.opening.openings
    ]:
        lines = (
            ("[[opening]]", "the zone's own name, and heights above grade, to be put in"),
            (f'name = "combustion air, {level}"', ""),
            (f'between = ["basement", "{other}"]', ""),
            (f'area = "{area}"', "free area"),
            (
                f'height = "{height}"',
                f"within 12 in of the {near}: here a floor 7 ft below grade, a ceiling of 8 ft",
            ),
            ('purpose = "combustion air"', ""),
        )
        rows += [{"line": line, "note": note} for line, note in lines]
    return rows


def _figures(inputs: Inputs) -> list[str]:
    if inputs.louver not in ("metal", "wood"):
        return []
    found = figure("combustion_air", "louver", inputs.louver)
    return [f"Louver of {inputs.louver}: {found.source} [{found.certainty}]"]
