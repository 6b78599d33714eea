"""The draft board's page: the answer in words first, then cautions, pictures, numbers and sources."""

from __future__ import annotations

from collections.abc import Mapping
from math import isinf
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.base.page import Verdict
from hvaclib.boards.draft.situation import Situation
from hvaclib.house.dwelling.measured import measured_readings
from hvaclib.plots import WarmUpLines, dwelling_section, effects_chart, ranking_chart, warm_up_chart
from hvaclib.plots.section import section_of
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.draft.answer import Answer
    from hvaclib.boards.draft.model import Later
    from hvaclib.procedures.ranking import Ranking
    from hvaclib.procedures.remedies import Remedy
    from hvaclib.readings import Reading
    from hvaclib.rules import Finding

CAUTIONS = (
    "Carbon monoxide has no smell. Work with a meter that alarms; if it rises, or a hood keeps spilling: stop the "
    "burner, ventilate, shut the appliance down, call the program office.",
    "This is a simulation: it teaches and plans. In the house the test itself decides, with the adopted code, the "
    "manufacturer's instructions and a licensed technician.",
)
VERDICTS: dict[str, Verdict] = {
    "pass": "pass",
    "noted": "pass",
    "fail": "fail",
    "too close to call": "unsure",
    "not measured": "unsure",
}
METHOD = (
    "Airflow network, mass balance of every zone; vents with dilution, friction, heat loss and stored heat; checked "
    "against IFGC (2018) Table 504.2(1) and the ASHRAE chimney chapter (see DEVELOPERS.md)."
)


def page_of(inputs: Inputs, answer: Answer | None, later: Later | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    return Page(
        answer=words(answer, inputs.system),
        verdict=_verdict(answer),
        cautions=_cautions(answer),
        pictures=_pictures(inputs, answer, later),
        tables=_tables(inputs, answer, later),
        sources=[*dict.fromkeys(f"{item.rule.title}: {item.source}" for item in answer.findings), METHOD],
    )


def _verdict(answer: Answer) -> Verdict:
    """The bar beside the answer: a rule that only asks to look again does not make it red."""
    if not answer.burning:
        return ""
    if answer.idle_hoods:
        return "fail"
    first = _telling(answer)
    if first is None:
        return "unsure"
    asks = first.severity in ("look again", "note")
    return "unsure" if asks and first.verdict == "fail" else VERDICTS[first.verdict]


def words(answer: Answer, system: str) -> list[str]:
    """The answer in words: what the vents do, the rule it rests on, what to do."""
    if not answer.burning:
        pressure = show(float(answer.state.pressure(answer.zone)[0]), kinds.PRESSURE_DIFFERENCE, system, 1)
        return [
            f"Nothing burns on a vent; the {answer.zone} lies at {pressure} against outdoors. Tick a burner."
        ]
    found = [_vent_words(answer, name, system) for name in answer.burning]
    if answer.idle_hoods:
        hoods = ", ".join(answer.idle_hoods)
        found.append(f"Flue gas of the burning appliance comes out at the idle {hoods}.")
    first = _telling(answer)
    if first is not None:
        found.append(_rule_words(answer, first))
        found += list(first.actions)
    missing = [item.rule.title for item in answer.findings.missing if _belongs(item, answer.stage)]
    if missing:
        found.append("Not in these readings: " + "; ".join(missing) + ".")
    return found


def _belongs(finding: Finding, stage: str) -> bool:
    stages = finding.rule.applies.stage
    return not stages or stage in stages


def _telling(answer: Answer) -> Finding | None:
    """The finding to quote: the gravest that is not met, else the one about the draft itself."""
    judged = [item for item in answer.findings.ranked if item.reading is not None and item.verdict != "noted"]
    bad = [item for item in judged if item.verdict != "pass"]
    about_draft = [item for item in judged if item.rule.quantity == "draft"]
    return next(iter([*bad, *about_draft, *judged]), None)


def _vent_words(answer: Answer, name: str, system: str) -> str:
    run = answer.run
    assert run is not None  # something burns
    row = run.appliances.index(name)
    draft, spilling = float(run.draft[row, -1]), float(run.spillage[row, -1])
    reading = show(draft, kinds.PRESSURE_DIFFERENCE, system, 1)
    vents = answer.state.vents
    hood = answer.situation.dwelling.part("appliances", name).draft_hood
    if vents.reversed[row, 0]:
        return (
            f"No: the vent of the {name} runs backwards after five minutes, and all of its flue gas enters the "
            f"{answer.zone} (reading at the test hole {reading})."
        )
    if spilling > 0.0:
        return (
            f"No: the {name} spills {100 * spilling:.0f} % of its flue gas into the {answer.zone} after five minutes "
            f"(reading at the test hole {reading})."
        )
    seconds = float(run.spillage_time[row])
    calm = "without spilling" if seconds < 1.0 else f"spillage stopped after {seconds:.0f} s"
    tail = f", {calm}" if hood and not isinf(seconds) else ""
    return f"{'Yes' if draft < 0 else 'Hardly'}: the {name} draws, {reading} at the test hole after five minutes{tail}."


def _rule_words(answer: Answer, finding: Finding) -> str:
    verdict = {
        "pass": "Within the rule",
        "fail": "Look again, by the rule" if finding.severity == "look again" else "Out of the rule",
        "too close to call": "Too close to call, by the rule",
    }.get(finding.verdict, "By the rule")
    rules = answer.rules
    return f'{verdict} "{finding.rule.title}" ({rules.name} {rules.version}): {finding.sentence}'


def _cautions(answer: Answer) -> list[str]:
    bad = [item for item in answer.findings.ranked if item.verdict in ("fail", "too close to call")]
    return list(dict.fromkeys([*(text for item in bad for text in item.cautions), *CAUTIONS]))


def _pictures(inputs: Inputs, answer: Answer, later: Later | None) -> list[PagePicture]:
    state, system, width = answer.state, inputs.system, inputs.width
    moment = "after five minutes of burning" if answer.burning else "with nothing burning"
    pictures = [
        PagePicture(
            f"The house in section, {moment}",
            dwelling_section(section_of(state), width, system),
            "Figures in the rooms: pressure against outdoors. Arrows: air, wider for more.",
        )
    ]
    if answer.run is not None:
        pictures.append(PagePicture("The first five minutes", warm_up_chart(_lines(answer), width, system)))
    rank = later.rank if later is not None else None
    if rank is not None:
        pictures += _ranking_pictures(inputs, answer, rank)
    return pictures


def _lines(answer: Answer) -> WarmUpLines:
    run = answer.run
    assert run is not None  # the caller has looked
    rows = [run.appliances.index(name) for name in answer.burning]
    return WarmUpLines(
        names=answer.burning,
        time=run.time,
        draft=run.draft[rows],
        spillage=run.spillage[rows],
        spillage_time=run.spillage_time[rows],
        limits=tuple(_limit(answer, name) for name in answer.burning),
    )


def _limit(answer: Answer, name: str) -> float | None:
    """Upper limit of the rule that judged this appliance's draft; None where none did."""
    for finding in answer.findings:
        if finding.rule.quantity == "draft" and finding.where == name and finding.bounds is not None:
            upper = finding.bounds.upper
            return None if isinf(upper) else float(upper)
    return None


def present_state(here: Situation, rank: Ranking) -> int:
    """Index of the combination that the screen shows."""
    moved = []
    for control in rank.controls:
        if control.kind == "fan":
            on = here.setup.fans[control.name] > 0.5
        elif control.kind == "door":
            on = not here.setup.doors[control.name]
        else:
            on = bool(here.setup.air_handler)
        if on:
            moved.append(control.name)
    return rank.combinations.index(moved)


def _ranking_pictures(inputs: Inputs, answer: Answer, rank: Ranking) -> list[PagePicture]:
    present = present_state(answer.situation, rank)
    names = [f"{control.name} {control.words[1]}" for control in rank.controls]
    spilling = int((rank.spillage > 0.0).sum())
    return [
        PagePicture(
            f"All {rank.draft.size} combinations of fans, doors and air handler",
            ranking_chart(
                rank.draft,
                present,
                title=f"draft of the {rank.appliance}, burning alone",
                limit=_limit(answer, rank.appliance),
                spilling=rank.spillage > 0.0,
                width=inputs.width,
                system=inputs.system,
            ),
            f'{spilling} of {rank.draft.size} spill (hatched). The table "The worst combinations" names the worst.',
        ),
        PagePicture(
            "What each control does to the zone",
            effects_chart(
                names,
                rank.effects("pressure"),
                title=f"pressure of the {rank.zone}, mean change",
                width=inputs.width,
                system=inputs.system,
            ),
        ),
    ]


def _tables(inputs: Inputs, answer: Answer, later: Later | None) -> list[PageTable]:
    system = inputs.system
    tables = [
        PageTable("Readings and what the rules say", _reading_rows(answer, system)),
        PageTable("Pressures against outdoors", _zone_rows(answer, system)),
    ]
    if later is not None and later.rank is not None:
        tables.append(PageTable("The worst combinations", _rank_rows(later.rank, system)))
    if later is not None and later.test is not None:
        rows = [
            {
                "step": step.title,
                "zone": show(step.pressure, kinds.PRESSURE_DIFFERENCE, system, 1),
                "what it showed": step.finding,
            }
            for step in later.test.steps
        ]
        tables.append(PageTable("The worst-case test, step by step, in this weather", rows))
        tables.append(
            PageTable("What that test reads", [_reading_row(item, system) for item in later.test.readings])
        )
    if later is not None and later.remedies is not None:
        tables.append(
            PageTable(
                "What would bring the worst combination within the rules", remedy_rows(later.remedies, system)
            )
        )
    measured = measured_readings(answer.situation.dwelling)
    if len(measured):
        rows = [_reading_row(item, system) for item in measured]
        tables.append(PageTable("Read in the house (from the dwelling file)", rows))
    return tables


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
