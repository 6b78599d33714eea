"""A simple house made from a sheet, for a fit where nobody has drawn the real one."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from hvaclib.errors import HvacError, InputError
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.dwelling.quantities import SI_CONTEXT
from hvaclib.house.dwelling.venting import Vent
from hvaclib.review.altitude import input_at
from hvaclib.units import kinds, parse_si, show
from hvaclib.visit import reading_of

if TYPE_CHECKING:
    from hvaclib.visit import Appliance, Visit


@dataclass(frozen=True, slots=True)
class Started:
    """A dwelling made from a visit.

    Parameters
    ----------
    dwelling : Dwelling
    assumptions : tuple of str
        What was assumed, one sentence each.
    """

    dwelling: Dwelling
    assumptions: tuple[str, ...]


@cache
def _assumed() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("assumed.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def dwelling_from_visit(visit: Visit) -> Started:
    """Make a simple house from what a sheet has: the zone, the rest of the house, a door, fans, ducts, vents.

    Parameters
    ----------
    visit : Visit

    Returns
    -------
    Started
        A plausible dwelling and what was assumed for it; rooms and the size of the house are not known.

    Raises
    ------
    InputError
        If no appliance of the sheet has a vent whose draft can be read.
    """
    vented = [item for item in visit.appliance if not item.kind.startswith("two-pipe sealed")]
    if not vented:
        raise InputError(
            "no appliance of the visit has a draft", where=visit.name,
            expected="a draft-hood or fan-assisted appliance",
        )  # fmt: skip
    zone = vented[0].zone
    said = [
        f"The sheet does not describe the house: one body of air of {_assumed()['house']['floor_area']} beside the {zone}, "
        f"with a door between, a range hood ({_assumed()['fans']['hood']}), a dryer ({_assumed()['fans']['dryer']}) and "
        f"a bath fan ({_assumed()['fans']['bath']}), was assumed."
    ]
    below = any(word in zone.lower() for word in _assumed()["zone"]["below_words"])
    vents, appliances = _venting(visit, vented, zone, below, said)
    data = {
        "format": "hvaclib dwelling 1",
        "name": f"house of job {visit.name}"[:60],
        "description": "Made from the sheet of a visit; what it does not tell was assumed.",
        "invented": visit.job.invented,
        "site": {"altitude": visit.job.altitude_si},
        "weather": {"outdoor_temperature": _outdoors(visit, said)},
        **_shell(zone, below),
        "vent": vents,
        "appliance": appliances,
    }
    handler = _air_handler(visit, zone, said)
    if handler:
        data["air_handler"] = handler
    return Started(Dwelling.model_validate(data, context=SI_CONTEXT), tuple(said))


def _si(text: str, kind: kinds.Kind) -> float:
    return parse_si(text, kind)


def _rest(zone: str) -> str:
    name = str(_assumed()["house"]["rest"])
    return name if zone != name else f"other {name}"


def _outdoors(visit: Visit, said: list[str]) -> float:
    found = _read(visit, "outdoor-temperature")
    if found is not None:
        return found
    usual = str(_assumed()["house"]["outdoor_temperature"])
    said.append(f"The sheet has no outdoor temperature: {usual} was assumed.")
    return _si(usual, kinds.TEMPERATURE)


def _read(visit: Visit, key: str) -> float | None:
    """Last readable number of an item; an unreadable one is told by the fit itself."""
    for entry in reversed(visit.entries(key)):
        try:
            reading = reading_of(entry, visit)
        except HvacError:
            continue
        if reading is not None:
            return reading.value
    return None


def _shell(zone: str, below: bool) -> dict[str, Any]:
    """Zones, leaks, door and fans."""
    house, place, fans = _assumed()["house"], _assumed()["zone"], _assumed()["fans"]
    rest, floor = _rest(zone), _si(place["house_floor"], kinds.LENGTH)
    storey = _si(place["storey"], kinds.LENGTH)
    area = _si(house["floor_area"], kinds.AREA)
    whole = _si(house["leakage_per_area"], kinds.VOLUME_FLOW) * area / _si("1 sq ft", kinds.AREA)
    ceiling = float(house["ceiling_share"])
    base = _si(place["below_floor"], kinds.LENGTH) if below else floor
    tall = _si(place["below_height"], kinds.LENGTH) if below else storey
    zone_area = _si(place["below_area" if below else "beside_area"], kinds.AREA)
    rim = base + tall - 0.2 if below else base + 0.5 * tall
    zones = [
        (zone, base, tall, zone_area, house["zone_temperature"]),
        (rest, floor, storey, area, house["indoor_temperature"]),
    ]
    return {
        "zone": [
            {"name": name, "floor": low, "height": high, "floor_area": size, "temperature": warm}
            for name, low, high, size, warm in zones
        ],
        "leak": [
            {"name": "walls", "between": (rest, "outdoors"), "flow_at_50": whole * (1.0 - ceiling),
             "height": floor, "top": floor + storey},
            {"name": "ceiling", "between": (rest, "outdoors"), "flow_at_50": whole * ceiling, "height": floor + storey},
            {"name": f"{zone} rim", "between": (zone, "outdoors"),
             "flow_at_50": _si(house["zone_leakage"], kinds.VOLUME_FLOW), "height": rim},
            {"name": f"{zone} to house", "between": (zone, rest),
             "flow_at_50": _si(house["between_leakage"], kinds.VOLUME_FLOW), "height": floor},
        ],
        "door": [{"name": f"{zone} door"[:60], "between": (zone, rest), "open": True, **_assumed()["door"]}],
        "fan": [
            {"name": "range hood", "zone": rest, "flow": fans["hood"]},
            {"name": "dryer", "zone": rest, "flow": fans["dryer"]},
            {"name": "bath fan", "zone": rest, "flow": fans["bath"]},
        ],
    }  # fmt: skip


def _air_handler(visit: Visit, zone: str, said: list[str]) -> dict[str, Any] | None:
    """Ducts of the furnace, where the sheet has one."""
    furnace = next((item for item in visit.appliance if item.kind.endswith("furnace")), None)
    if furnace is None:
        return None
    given = _assumed()["air_handler"]
    flow = _read(visit, "airflow")
    if flow is None:
        rate = _si(given["flow_per_input"], kinds.VOLUME_FLOW) / _si("1 kBtu/h", kinds.POWER)
        flow = rate * _input(furnace)
        said.append(
            f"The sheet has no airflow: {show(flow, kinds.VOLUME_FLOW)} was assumed for the {furnace.name}."
        )
    leak, lost = float(given["return_leakage"]), float(given["supply_leakage"])
    said.append(
        f"Of its air {100 * leak:.0f} % was assumed to come through leaks of the return in the {furnace.zone}."
    )
    here = furnace.zone if furnace.zone == zone else _rest(zone)
    return {
        "zone": here,
        "flow": flow,
        "supply": [{"zone": _rest(zone), "share": 1.0 - lost}],
        "supply_leakage": [{"zone": here, "share": lost}],
        "return": [{"zone": _rest(zone), "share": 1.0 - leak}],
        "return_leakage": [{"zone": here, "share": leak}],
    }


def _input(item: Appliance, altitude: float = 0.0) -> float:
    given = input_at(item, altitude)
    if given is not None:
        return given
    heater = item.kind.endswith("water heater")
    return _si(_assumed()["vent"]["input_water_heater" if heater else "input_other"], kinds.POWER)


def _venting(
    visit: Visit, vented: list[Appliance], zone: str, below: bool, said: list[str]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Vents and appliances; an appliance that shares another's vent joins it."""
    given, place = _assumed()["vent"], _assumed()["zone"]
    base = _si(place["below_floor" if below else "house_floor"], kinds.LENGTH)
    vents: dict[str, dict[str, Any]] = {}
    rows = []
    for item in visit.appliance:
        row: dict[str, Any] = {
            "name": item.name,
            "kind": item.kind,
            "zone": item.zone if item.zone == zone else _rest(zone),
            "fuel": item.fuel,
            "input": _input(item, visit.job.altitude_si),
        }
        efficiency = item.si("efficiency")
        if efficiency is not None and 0.4 <= efficiency <= 0.99:
            row["efficiency"] = efficiency
        if item in vented:
            owner = _owner(item, vented)
            hood = _si(
                given[
                    "hood_height_water_heater" if item.kind.endswith("water heater") else "hood_height_other"
                ],
                kinds.LENGTH,
            )
            vent = vents.setdefault(owner.name, _vent(owner, base + hood, said))
            row |= _connector(item, owner, hood, vent)
        rows.append(row)
    return list(vents.values()), rows


def _owner(item: Appliance, vented: list[Appliance]) -> Appliance:
    """The appliance that has the note of a shared vent; the later of two that name each other joins the earlier."""
    mates = [
        other
        for other in vented
        if other.name == item.vent_shared_with or other.vent_shared_with == item.name
    ]
    group = [each for each in vented if each is item or each in mates]
    return next((each for each in group if each.vent is not None), group[0])


def _vent(owner: Appliance, outlet: float, said: list[str]) -> dict[str, Any]:
    given, note = _assumed()["vent"], owner.vent
    lacking = []

    def of(key: str, usual: str) -> float:
        text = getattr(note, key) if note is not None else ""
        if not text:
            lacking.append(f"{key} {usual}")
        return _si(text or usual, kinds.LENGTH)

    small = _input(owner) <= _si(given["small_input"], kinds.POWER)
    kind = note.kind if note is not None else str(Vent.model_fields["kind"].annotation.__args__[0])  # type: ignore[union-attr]
    diameter = of("diameter", given["diameter_small" if small else "diameter_large"])
    height = of("height", given["height"])
    if lacking:
        said.append(f"Not on the sheet, assumed for the vent of the {owner.name}: {', '.join(lacking)}.")
    return {
        "name": f"vent of {owner.name}"[:60],
        "kind": kind,
        "diameter": diameter,
        "top": outlet + height,
        "outdoor_share": float(given["outdoor_share"]),
    }


def _connector(item: Appliance, owner: Appliance, hood: float, vent: dict[str, Any]) -> dict[str, Any]:
    given, note = _assumed()["vent"], item.vent or owner.vent
    own = item.vent.diameter if item.vent is not None else ""
    return {
        "vent": vent["name"],
        "hood_height": hood,
        "connector": {
            "kind": "single-wall",
            "diameter": _si(own, kinds.LENGTH) if own else vent["diameter"],
            "rise": given["connector_rise"],
            "lateral": _si(note.lateral, kinds.LENGTH) if note is not None and note.lateral else 0.0,
            "elbows": note.elbows if note is not None else int(given["connector_elbows"]),
        },
    }
