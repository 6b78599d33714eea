"""The draft board's tables: readings with verdicts, pressures, the worst combinations, the whole test, remedies."""

from __future__ import annotations

from collections.abc import Mapping
from math import isinf
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, PageTable
from hvaclib.house.dwelling.measured import measured_readings
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.draft.answer import Answer
    from hvaclib.boards.draft.model import Later
    from hvaclib.procedures.ranking import Ranking
    from hvaclib.procedures.remedies import Remedy
    from hvaclib.readings import Reading


def tables(inputs: Inputs, answer: Answer, later: Later | None) -> list[PageTable]:
    system = inputs.system
    found = [
        PageTable("Readings and what the rules say", _reading_rows(answer, system)),
        PageTable("Pressures against outdoors", _zone_rows(answer, system)),
    ]
    if later is not None and later.rank is not None:
        found.append(PageTable("The worst combinations", _rank_rows(later.rank, system)))
    if later is not None and later.test is not None:
        rows = [
            {
                "step": step.title,
                "zone": show(step.pressure, kinds.PRESSURE_DIFFERENCE, system, 1),
                "what it showed": step.finding,
            }
            for step in later.test.steps
        ]
        found.append(PageTable("The worst-case test, step by step, in this weather", rows))
        found.append(
            PageTable("What that test reads", [_reading_row(item, system) for item in later.test.readings])
        )
    if later is not None and later.remedies is not None:
        found.append(
            PageTable(
                "What would bring the worst combination within the rules", remedy_rows(later.remedies, system)
            )
        )
    measured = measured_readings(answer.situation.dwelling)
    if len(measured):
        rows = [_reading_row(item, system) for item in measured]
        found.append(PageTable("Read in the house (from the dwelling file)", rows))
    return found


def _reading_rows(answer: Answer, system: str) -> list[Mapping[str, Any]]:
    by_reading = {id(item.reading): item for item in answer.findings if item.reading is not None}
    rows: list[Mapping[str, Any]] = []
    for reading in answer.readings:
        finding = by_reading.get(id(reading))
        row = _reading_row(reading, system)
        row["verdict"] = "" if finding is None else finding.verdict
        row["rule"] = "" if finding is None else finding.rule.title
        rows.append(row)
    return rows


def _reading_row(reading: Reading, system: str) -> dict[str, Any]:
    return {
        "reading": reading.measurable.title,
        "where": reading.where,
        "when": reading.when,
        "value": value_text(reading, system),
    }


def value_text(reading: Reading, system: str) -> str:
    """A reading's value as a person says it."""
    thing = reading.measurable
    if thing.yes_or_no:
        return "yes" if reading.yes else "no"
    if isinf(reading.value):
        return str(thing.infinite)
    assert thing.kind is not None  # everything else is a quantity
    return show(reading.value, thing.kind, system)


def _zone_rows(answer: Answer, system: str) -> list[Mapping[str, Any]]:
    state = answer.state
    return [
        {
            "zone": name,
            "pressure": show(float(state.zone_pressure[row, 0]), kinds.PRESSURE_DIFFERENCE, system, 1),
        }
        for row, name in enumerate(state.zone_names)
    ]


def _rank_rows(rank: Ranking, system: str) -> list[Mapping[str, Any]]:
    return [
        {
            "rank": place + 1,
            "state": rank.combinations.describe(int(state)),
            "draft": show(float(rank.draft[state]), kinds.PRESSURE_DIFFERENCE, system, 2),
            "spills": f"{100 * float(rank.spillage[state]):.0f} %",
            f"pressure of the {rank.zone}": show(
                float(rank.pressure[state]), kinds.PRESSURE_DIFFERENCE, system, 1
            ),
        }
        for place, state in enumerate(rank.order[:8])
    ]


def remedy_rows(remedies: tuple[Remedy, ...], system: str) -> list[Mapping[str, Any]]:
    """The remedies in words; a row that says so where the worst is within the rules already."""
    if not remedies:
        return [{"remedy": "none needed", "size": "", "worst draft then": ""}]
    rows: list[Mapping[str, Any]] = []
    for remedy in remedies:
        kind = kinds.VOLUME_FLOW if remedy.kind == "exhaust" else kinds.AREA
        names = {
            "combustion air": f"combustion-air opening, {remedy.what} to outdoors",
            "exhaust": f"reduce {remedy.what} to",
            "door relief": f"free area through or around the {remedy.what}",
        }
        size = "no size is enough" if remedy.size is None else show(remedy.size, kind, system)
        worst = show(remedy.draft, kinds.PRESSURE_DIFFERENCE, system, 1)
        rows.append({"remedy": names[remedy.kind], "size": size, "worst draft then": worst})
    if not any(remedy.works for remedy in remedies):
        rows.append(
            {
                "remedy": "none of these helps: look into the vent itself, hood to cap",
                "size": "",
                "worst draft then": "",
            }
        )
    return rows
