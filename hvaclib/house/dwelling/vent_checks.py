"""What must hold between an appliance, its connector and its vent before the vent physics can run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from hvaclib.house.dwelling.names import Problem
from hvaclib.house.dwelling.sentences import Words
from hvaclib.house.dwelling.venting import Appliance, Vent

if TYPE_CHECKING:
    from hvaclib.house.dwelling.model import Dwelling

#: How far apart the joints of two connectors on one vent may lie, m: the vent model joins them at one height.
JOINT_SPREAD = 1.0

_GASES = {"natural gas", "propane"}
_SOLIDS = {"wood", "pellets", "coal"}


def vent_problems(dwelling: Dwelling) -> Iterator[Problem]:
    """Everything wrong with the vents and appliances of a dwelling whose names are right."""
    for index, appliance in enumerate(dwelling.appliances):
        yield from _keys(index, appliance)
        yield from _fuel(index, appliance)
        if _complete(appliance):
            yield from _heights(dwelling, index, appliance)
    for index, vent in enumerate(dwelling.vents):
        yield from _users(dwelling, index, vent)


def _complete(appliance: Appliance) -> bool:
    return (
        appliance.vent is not None and appliance.connector is not None and appliance.hood_height is not None
    )


def _keys(index: int, appliance: Appliance) -> Iterator[Problem]:
    needed = ("vent", "connector", "hood_height")
    if appliance.draft_hood or appliance.fan_assisted:
        for key in needed:
            if getattr(appliance, key) is None:
                yield Problem(("appliance", index, key), f"a {appliance.kind} needs this key")
    else:
        for key in (*needed, "test_hole"):
            if getattr(appliance, key) is not None:
                reason = (
                    "has pipes of its own"
                    if appliance.sealed
                    else "is not simulated; it only forbids the test"
                )
                yield Problem(
                    ("appliance", index, key), f"a {appliance.kind} {reason}", key, "this key left out"
                )


def _fuel(index: int, appliance: Appliance) -> Iterator[Problem]:
    solid = appliance.kind in {"solid-fuel stove", "fireplace"}
    allowed = _GASES if appliance.draft_hood or appliance.fan_assisted else {*_GASES, "fuel oil"}
    if appliance.kind == "fireplace":
        allowed = {*_SOLIDS, *_GASES}
    elif solid:
        allowed = _SOLIDS
    if appliance.fuel not in allowed:
        yield Problem(
            ("appliance", index, "fuel"),
            f"a {appliance.kind} does not burn this",
            appliance.fuel,
            "one of " + ", ".join(sorted(allowed)),
        )


def _heights(dwelling: Dwelling, index: int, appliance: Appliance) -> Iterator[Problem]:
    connector = appliance.connector
    assert connector is not None
    zone = dwelling.zone(appliance.zone)
    vent: Vent = dwelling.part("vents", str(appliance.vent))
    outlet = dwelling.outlet_height(appliance)
    if (appliance.hood_height or 0.0) > zone.height:
        yield Problem(
            ("appliance", index, "hood_height"),
            "the outlet stands above the ceiling",
            _feet(appliance.hood_height or 0.0),
            f"at most {_feet(zone.height)} above the floor",
        )
    joint = outlet + connector.rise
    if vent.top <= joint:
        yield Problem(
            ("appliance", index, "vent"),
            f'the vent "{vent.name}" ends below the point where the connector joins it',
            Words(f"top at {_feet(vent.top)}, joint at {_feet(joint)}"),
            "a vent top above the joint",
        )
    length = connector.length + max(vent.top - joint, 0.0) + vent.lateral
    if appliance.test_hole is not None and appliance.test_hole >= length:
        yield Problem(
            ("appliance", index, "test_hole"),
            "the test hole lies beyond the end of the vent",
            _feet(appliance.test_hole),
            f"less than {_feet(length)} from the outlet",
        )


def _users(dwelling: Dwelling, index: int, vent: Vent) -> Iterator[Problem]:
    users = dwelling.users(vent)
    if not users:
        yield Problem(
            ("vent", index),
            "no appliance uses this vent",
            None,
            'an appliance with vent = "' + vent.name + '"; describe an unused chimney as an opening',
        )
    if len({user.zone for user in users}) > 1:
        yield Problem(
            ("vent", index),
            "appliances of different zones share this vent",
            ", ".join(sorted({user.zone for user in users})),
            "appliances of one zone; a common vent through two zones is not simulated",
        )
    joints = [
        dwelling.outlet_height(user) + user.connector.rise
        for user in users
        if user.connector and _complete(user)
    ]
    if joints and max(joints) - min(joints) > JOINT_SPREAD:
        yield Problem(
            ("vent", index),
            "its connectors join it too far apart",
            _feet(max(joints) - min(joints)),
            f"within {_feet(JOINT_SPREAD)}; change the connectors' rise",
        )


def vent_notes(dwelling: Dwelling) -> Iterator[str]:
    """What is allowed in a file but worth a look at the dwelling, one sentence each."""
    for appliance in dwelling.appliances:
        if appliance.vent is None or appliance.connector is None:
            continue
        vent: Vent = dwelling.part("vents", appliance.vent)
        if appliance.connector.diameter > vent.diameter:
            yield (
                f'The connector of "{appliance.name}" ({_inches(appliance.connector.diameter)}) is wider than the vent '
                f'"{vent.name}" ({_inches(vent.diameter)}): check that neither was mistaken.'
            )
    for vent in dwelling.vents:
        if vent.blockage > 0.0:
            yield f'{100 * vent.blockage:.0f} % of the area of the vent "{vent.name}" is blocked in this file.'


def _inches(metres: float) -> str:
    return f"{metres / 0.0254:.3g} in"


def _feet(metres: float) -> Words:
    return Words(f"{metres / 0.3048:.1f} ft")
