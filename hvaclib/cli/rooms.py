"""``python -m hvaclib rooms FILE``: every room behind its shut door, judged by a rule set, and what relieves it."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from math import isnan
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report
from hvaclib.errors import InputError
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.procedures.room_effects import Effects
    from hvaclib.procedures.room_pressure import RoomPressures
    from hvaclib.procedures.room_relief import Relief
    from hvaclib.rules import Bounds

CAUTIONS = (
    (
        "A house drawn down by closed doors pulls at the water heater and furnace: flue gas and carbon monoxide can "
        "come back. After any change of doors, grilles or returns test the draft again with a meter running."
    ),
    "Before a wall is opened: no gas, no live wire, no pipe in the bay; fire-rated and garage walls are left alone.",
    report.SIMULATED,
)
NEGATIVE = "drawn down: first look for a shut or blocked supply register, a shut damper, a crushed duct, a return too far open"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``rooms``.

    Returns
    -------
    int
        0 where every room meets the rule, 1 where one does not or an appliance spills, 2 where what was asked cannot be
        done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _parser() -> report.Parser:
    parser = report.dwelling_parser(
        "rooms",
        "Pressure of every room behind its shut door, air handler on, windows shut, fans off: each door alone and all "
        "together; the free area that relieves a room, the transfer path as built, and the test after it.",
    )
    parser.add_argument("--bays", default="1", metavar="N", help="stud bays side by side (default: 1)")
    parser.add_argument("--ratio", metavar="SHARE", help='free area of a grille over its face, e.g. "75 %%"')
    return parser


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.house.file import read_dwelling
    from hvaclib.procedures.room_effects import relief_effects
    from hvaclib.procedures.room_pressure import room_pressures
    from hvaclib.procedures.room_relief import relieve
    from hvaclib.rules import judge, load
    from hvaclib.rules.band import bounds_of
    from hvaclib.units import quantity_si

    bays = _bays(arguments.bays)
    options = (
        {} if arguments.ratio is None else {"ratio": quantity_si(arguments.ratio, kinds.FRACTION, "--ratio")}
    )
    rules = load(arguments.rules)
    dwelling = read_dwelling(arguments.file)
    setup = report.weather(dwelling.default_setup(), arguments)
    bounds = bounds_of(rules, "room_pressure", setup.outdoor_temperature)
    if bounds is None:
        raise InputError(
            "this rule set has no limit for the pressure of a room", where="--rules", given=arguments.rules
        )
    found = room_pressures(dwelling, setup)
    findings = judge(found.readings, rules, {"house": dwelling.name}).about("room_pressure")
    reliefs = [
        relieve(found, room, bounds.upper if found.pressure(room) > 0.0 else -bounds.lower, bays, **options)
        for room in found.rooms
        if not bounds.holds(found.pressure(room))
    ]
    built = {item.room.door: item.path.effective_area for item in reliefs if item.path is not None}
    effects = relief_effects(dwelling, found.setup, built)
    content = {
        "dwelling": dwelling.name,
        "invented": dwelling.invented,
        **report.judged(findings, rules),
        "rooms": _rooms(found, effects),
        "relief": [_relief(item, bounds) for item in reliefs],
        "appliance_zone": _zone(effects),
        "readings": found.readings.to_records(),
        "cautions": list(CAUTIONS),
    }
    return content, findings.verdict_of_measured in ("pass", "noted") and not effects.spills_before


def _bays(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 20):
        raise InputError(
            "this is no number of stud bays", where="--bays", given=text, expected="a whole number, 1 to 20"
        )
    return int(text)


def _rooms(found: RoomPressures, effects: Effects) -> list[dict[str, Any]]:
    return [
        {
            "room": room.zone,
            "against": room.reference,
            "door": room.door,
            "alone_pa": round(float(found.alone[row]), 2),
            "together_pa": round(float(found.together[row]), 2),
            "all_relieved_pa": round(float(effects.after[row]), 2),
        }
        for row, room in enumerate(found.rooms)
    ]


def _relief(item: Relief, bounds: Bounds) -> dict[str, Any]:
    path = item.path
    return {
        "room": item.room.zone,
        "first": NEGATIVE if item.before < 0.0 else "",
        "net_flow": show(item.net, kinds.VOLUME_FLOW),
        "needed": show(item.total, kinds.AREA),
        "shut_door": show(item.existing, kinds.AREA),
        "added": show(item.added, kinds.AREA),
        "gap": show(item.gap, kinds.SIZE, digits=2),
        "grilles": "" if path is None else path.grille,
        "stud_bays": 0 if path is None else path.stud_bays,
        "as_one_opening": show(0.0 if path is None else path.effective_area, kinds.AREA),
        "next_remedy": "" if path is None else path.next_remedy,
        "retest_pa": round(item.after, 2),
        "retest_within": bounds.holds(item.after),
        "rule_of_thumb_pa": round(item.undone, 2),
        "added_m2": item.added,
    }


def _zone(effects: Effects) -> dict[str, Any] | None:
    if isnan(effects.zone_before):
        return None
    return {
        "zone": effects.zone,
        "appliance": effects.appliance,
        "pressure_pa": [round(effects.zone_before, 2), round(effects.zone_after, 2)],
        "draft_pa": [round(effects.draft_before, 2), round(effects.draft_after, 2)],
        "spills": effects.spills_before,
        "spillage": [round(effects.spillage_before, 3), round(effects.spillage_after, 3)],
    }


def _table(content: dict[str, Any]) -> str:
    invented = " (an invented dwelling)" if content["invented"] else ""
    lines = [f"{content['dwelling']}{invented}: rooms behind shut doors", "", content["answer"], ""]
    lines += report.rows(
        ("room", "against", "its door alone, Pa", "all shut, Pa", "all relieved, Pa"),
        [
            (
                row["room"],
                row["against"],
                f"{row['alone_pa']:+.1f}",
                f"{row['together_pa']:+.1f}",
                f"{row['all_relieved_pa']:+.1f}",
            )
            for row in content["rooms"]
        ],
    )
    lines += ["", *report.findings_lines(content)]
    for item in content["relief"]:
        lines += ["", *_relief_lines(item)]
    zone = content["appliance_zone"]
    if zone is not None and content["relief"]:
        before, after = zone["pressure_pa"]
        draft, relieved = zone["draft_pa"]
        lines += [
            "",
            f"With all of them relieved the {zone['zone']} goes from {before:+.1f} to {after:+.1f} Pa against outdoors, and "
            f"the draft of the {zone['appliance']} from {draft:+.1f} to {relieved:+.1f} Pa.",
        ]
    if zone is not None and zone["spills"]:
        lines += [
            "",
            f"The {zone['appliance']} spills flue gas with all doors shut as found: stop the burner, ventilate, and run the "
            "draft test.",
        ]
    return "\n".join([*lines, "", *content["cautions"]])


def _relief_lines(item: dict[str, Any]) -> list[str]:
    lines = [f"Relief of the {item['room']} (supply less return {item['net_flow']}):"]
    if item["first"]:
        lines.append(f"  {item['first']}.")
    lines.append(
        f"  needs {item['needed']} of free area; the shut door has {item['shut_door']}; {item['added']} more, as much as a "
        f"gap of {item['gap']} at the latch"
    )
    if item["grilles"]:
        verdict = "within the band" if item["retest_within"] else "still out of the band"
        lines.append(
            f"  {item['grilles']} grilles high and low, stud bays: {item['stud_bays']}; as one opening "
            f"{item['as_one_opening']}; retest {item['retest_pa']:+.1f} Pa, {verdict}"
        )
        lines.append(
            f"  each of the three only as large as the opening would leave {item['rule_of_thumb_pa']:+.1f} Pa"
        )
    if item["next_remedy"]:
        lines.append(f"  next remedy: {item['next_remedy']}")
    return lines
