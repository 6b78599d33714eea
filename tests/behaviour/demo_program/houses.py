"""Houses of the demo program: the four demo dwellings, mended, varied at random, and then with what was planted."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

import numpy as np
import tomli_w

from hvaclib.house.demo import demo_dwellings
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.file import parse_dwelling
from hvaclib.review.simulated import Burner

CONTRACTORS = ("Ash", "Elm", "Fir", "Oak", "Yew")
EACH = 12
VISITS = tuple(f"{name.upper()}-{number:02d}" for name in CONTRACTORS for number in range(1, EACH + 1))
PLANS = ("passes", "blocked_vent", "closed_bedrooms", "closed_door_fails")
PROPANE = frozenset({"ASH-08", "ELM-03", "FIR-10", "OAK-06", "YEW-04"})
ROOMS = {
    "front bedroom": ("street room", "front bedroom", "parents' room"),
    "back bedroom": ("garden room", "back bedroom", "guest room"),
    "large bedroom": ("large bedroom", "corner room"),
    "small bedroom": ("small bedroom", "nursery", "sewing room"),
    "main bedroom": ("main bedroom", "big bedroom"),
    "east bedroom": ("east bedroom", "morning room"),
    "west bedroom": ("west bedroom", "evening room"),
    "utility basement": ("utility basement", "boiler room"),
}
_NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)\s*(.*)")

Document = dict[str, Any]


def times(text: str, factor: float, digits: int = 2) -> str:
    """A quantity, as a dwelling file writes it, times a factor."""
    found = _NUMBER.fullmatch(text)
    assert found is not None
    return f"{round(float(found[1]) * factor, digits):g} {found[2]}"


def plus(text: str, more: float) -> str:
    """A quantity, as a dwelling file writes it, and so many of its units more."""
    found = _NUMBER.fullmatch(text)
    assert found is not None
    return f"{float(found[1]) + more:g} {found[2]}"


def house(visit: str, faults: Mapping[str, Any]) -> tuple[Dwelling, dict[str, Burner]]:
    """The house of a visit and how its burners are set.

    Parameters
    ----------
    visit : str
        One of ``VISITS``; everything drawn depends on it alone.
    faults : mapping
        What is planted in the house, see ``_planted``.

    Returns
    -------
    tuple
    """
    number = VISITS.index(visit)
    rng = np.random.default_rng([2026, number])
    plan = PLANS[number % len(PLANS)]
    document = tomllib.loads(demo_dwellings()[plan].read_text(encoding="utf-8"))
    document.pop("reading", None)
    document["name"] = f"Invented house of visit {visit}"
    _MENDED[plan](document)
    burners = _varied(document, rng)
    if visit in PROPANE:
        for each in document["appliance"]:
            each["fuel"] = "propane"
    _planted(document, faults)
    for name, setting in faults.get("burner", {}).items():
        burners[name] = {**burners[name], **setting}
    text = tomli_w.dumps(document)
    for name, others in ROOMS.items():
        text = text.replace(f'"{name}"', f'"{rng.choice(others)}"')
    return parse_dwelling(text, visit), {name: Burner(**setting) for name, setting in burners.items()}


def _named(rows: list[Document], name: str) -> Document:
    return next(row for row in rows if row["name"] == name)


def _share(rows: list[Document], zone: str, share: float) -> None:
    row = next(row for row in rows if row["zone"] == zone)
    row["share"] = round(share, 4)


def _nest_out(document: Document) -> None:
    """The nest is out of the vent, and the return drop is as wide as the blower needs."""
    _named(document["vent"], "common vent")["blockage"] = 0.0
    _named(document["air_handler"]["component"], "return drop").update(
        width="20 in", height="10 in", elbows=1
    )


def _rooms_relieved(document: Document) -> None:
    """Grilles in the doors, the study's register open, the combustion-air duct of the size that it should have."""
    for name in ("main bedroom door", "small bedroom door", "study door"):
        _named(document["door"], name)["crack_area"] = "70 sq in"
    _share(document["air_handler"]["supply"], "study", 0.12)
    _share(document["air_handler"]["supply"], "hall and living room", 0.41)
    _named(document["opening"], "combustion air duct")["area"] = "110 sq in"


def _return_sealed(document: Document) -> None:
    """Mastic on the return plenum, and a combustion-air duct."""
    _share(document["air_handler"]["return_leakage"], "basement", 0.03)
    _share(document["air_handler"]["return"], "living area", 0.67)
    document["opening"].append(
        {
            "name": "combustion air duct", "between": ["basement", "outdoors"], "area": "90 sq in",
            "height": "0.5 ft", "purpose": "combustion air", "faces": "north",
        }
    )  # fmt: skip


_MENDED = {
    "passes": lambda document: None,
    "blocked_vent": _nest_out,
    "closed_bedrooms": _rooms_relieved,
    "closed_door_fails": _return_sealed,
}


def _varied(document: Document, rng: np.random.Generator) -> dict[str, dict[str, float]]:
    """Another house of the same plan: place, weather, height, leaks, fans, appliances and how their burners are set."""
    high = rng.random() < 0.1
    document["site"]["altitude"] = f"{10 * rng.integers(460, 520) if high else 10 * rng.integers(5, 220)} ft"
    document["weather"]["outdoor_temperature"] = f"{rng.integers(12, 54)} °F"
    for zone in document["zone"]:
        if "temperature" in zone:
            zone["temperature"] = plus(zone["temperature"], float(rng.integers(-3, 4)))
    tightness, blown = rng.uniform(0.8, 1.6), rng.uniform(0.5, 1.05)
    for leak in document["leak"]:
        leak["flow_at_50"] = times(leak["flow_at_50"], tightness * rng.uniform(0.9, 1.1), 0)
    for fan in document["fan"]:
        if "flow" in fan:
            fan["flow"] = times(fan["flow"], blown * rng.uniform(0.9, 1.1), 0)
    for vent in document["vent"]:
        vent["top"] = plus(vent["top"], float(rng.integers(-2, 7)))
    for part in document["air_handler"]["component"]:
        if "loss" in part:
            part["loss"] = times(part["loss"], rng.uniform(0.75, 1.1), 3)
    burners = {}
    for each in document["appliance"]:
        furnace = each["kind"].endswith("furnace")
        each["input"] = times(each["input"], (0.85 if high else 1.0) * rng.choice([0.9, 0.95, 1.0]))
        if each["efficiency"] < 0.85:
            each["efficiency"] = round(rng.uniform(0.79, 0.81) if furnace else rng.uniform(0.77, 0.80), 3)
        burners[each["name"]] = {
            "oxygen": rng.uniform(0.055, 0.08) if furnace else rng.uniform(0.06, 0.085),
            "carbon_monoxide": rng.uniform(4e-6, 45e-6),
            "firing": rng.uniform(0.96, 1.02),
        }
    return burners


def _planted(document: Document, faults: Mapping[str, Any]) -> None:
    """Faults of the house: every key is one of the list below."""
    air = document["air_handler"]
    for key, value in faults.items():
        if key == "blockage":  # share of every vent's area that a nest fills
            for vent in document["vent"]:
                vent["blockage"] = value
        elif key == "filter":  # the filter passes the air with so many times its loss
            part = _named(air["component"], "filter")
            part["loss"] = times(part["loss"], value, 3)
        elif (
            key == "return_leak"
        ):  # share of the blower's air that a leaky return draws from the appliance room
            leak = air["return_leakage"][0]
            most = max(air["return"], key=lambda row: row["share"])
            most["share"] = round(most["share"] - value + leak["share"], 4)
            leak["share"] = value
        elif key == "combustion_air":  # free area of the combustion-air duct
            _named(document["opening"], "combustion air duct")["area"] = value
        elif key == "doors":  # crack around every inner door but the basement's, with a carpet under it
            for door in document["door"]:
                if "basement" not in door["name"]:
                    door.update(crack_area=value, undercut="0.1 in")
        elif key == "tap":  # the blower runs on this speed
            air["fan"]["setting"] = value
        elif key == "fans":  # exhaust fans move so many times as much
            for fan in document["fan"]:
                if "flow" in fan:
                    fan["flow"] = times(fan["flow"], value, 0)
        elif key == "outdoors":
            document["weather"]["outdoor_temperature"] = value
        else:
            assert key == "burner", key
