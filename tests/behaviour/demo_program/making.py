"""From the list of what is planted to the sheets and their files; the same every time."""

from __future__ import annotations

import datetime as dt
import json
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from demo_program.forms import files_of
from demo_program.houses import CONTRACTORS, EACH, VISITS, house
from demo_program.planting import planted, with_habit
from hvaclib.house.demo import demo_folder
from hvaclib.readings import Reading, Readings
from hvaclib.review.simulated import simulated_readings, visit_of
from hvaclib.visit import Job, Visit

EXACT = Path(__file__).with_name("exact.json")
"""What the simulation says of each house, without noise: by visit, rows of quantity, place, stage and SI value."""
_DIGITS = 7
"""Significant digits of the exact readings that are kept."""
_TECHNICIANS = 3
_NOISE, _HABIT = 2027, 2028
"""Seeds of what the instruments show, and of what is written by habit."""
_CREWS = {name: f"Invented contractor {name}" for name in CONTRACTORS}

Defect = Mapping[str, Any]


def folder() -> Path:
    """Where the program lies."""
    return demo_folder() / "program"


@cache
def defects() -> tuple[Defect, ...]:
    """Everything that was planted."""
    return tuple(tomllib.loads((folder() / "planted.toml").read_text(encoding="utf-8"))["defect"])


def faults(visit: str) -> dict[str, Any]:
    """What is planted in the house of a visit."""
    found: dict[str, Any] = {}
    for each in defects():
        if each.get("visit") == visit:
            found.update(each.get("house", {}))
    return found


def simulated(visit: str) -> list[list[Any]]:
    """Exact readings of the house of a visit, as rows of ``exact.json``."""
    dwelling, burners = house(visit, faults(visit))
    return [
        [each.quantity, each.where, each.when, float(f"{each.value:.{_DIGITS}g}")]
        for each in simulated_readings(dwelling, burners)
    ]


@cache
def exact() -> dict[str, Readings]:
    """Exact readings of every house, as they are kept."""
    rows = json.loads(EXACT.read_text(encoding="utf-8"))
    return {
        name: Readings(Reading(key, value, where, when) for key, where, when, value in rows[name])
        for name in VISITS
    }


def write_exact() -> None:
    """Simulate every house again."""
    lines = (
        f"{json.dumps(name)}: [\n"
        + ",\n".join(json.dumps(row, ensure_ascii=False) for row in simulated(name))
        + "]"
        for name in VISITS
    )
    EXACT.write_text("{" + ",\n".join(lines) + "}\n", encoding="utf-8")


@cache
def sound(visit: str) -> Visit:
    """The sheet of a visit as a careful technician wrote it, before anything was done to it."""
    number = VISITS.index(visit)
    name = CONTRACTORS[number // EACH]
    rng = np.random.default_rng([_NOISE, number])
    job = Job(
        id=visit,
        contractor=_CREWS[name],
        technician=f"technician {name[0]}{1 + int(rng.integers(_TECHNICIANS))}",
        client=f"invented client {visit}",
        address=f"{3 * number + 2} Invented Street",
        date=dt.date(2026, 1, 12) + dt.timedelta(days=int(10 * (number % EACH) + rng.integers(0, 5))),
        scope=tuple(key for each in defects() if each.get("visit") == visit for key in each.get("scope", ())),
        invented=True,
    )
    dwelling, _ = house(visit, faults(visit))
    made = visit_of(
        dwelling, job, readings=exact()[visit], noise=rng, system="si" if name == "Elm" else "field"
    )
    return _at_work(made, rng)


def _at_work(visit: Visit, rng: np.random.Generator) -> Visit:
    """The same sheet with the times of a working day: some lines go quickly, others take a while."""
    minute = int(rng.integers(7 * 60, 8 * 60))
    entries = []
    for each in visit.entry:
        minute += int(rng.choice([1, 2, 3, 5, 9], p=[0.3, 0.25, 0.2, 0.15, 0.1]))
        entries.append(each.model_copy(update={"at": f"{minute // 60:02d}:{minute % 60:02d}"}))
    return visit.model_copy(update={"entry": tuple(entries)})


@cache
def sheets() -> dict[str, Visit]:
    """Every sheet with what was planted in it, by visit."""
    clean = {name: sound(name) for name in VISITS}
    for number, each in enumerate(defects()):
        if "habit" in each:
            own = [name for name in VISITS if name.startswith(each["contractor"].upper())]
            rng = np.random.default_rng([_HABIT, number])
            clean |= zip(own, with_habit([clean[name] for name in own], each["habit"], rng), strict=True)
    found = dict(clean)
    for each in defects():
        if "visit" in each:
            name = each["visit"]
            found[name] = planted(found[name], each.get("change", ()), clean)
    return found


def files() -> dict[str, bytes]:
    """Every file of the program by its name."""
    found: dict[str, bytes] = {}
    for name in CONTRACTORS:
        own = [visit for key, visit in sheets().items() if key.startswith(name.upper())]
        found |= files_of(name, own)
    return found


def write() -> None:
    """Write the files of the program."""
    for name, content in files().items():
        (folder() / name).write_bytes(content)
