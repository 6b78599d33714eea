"""The page of one visit: stop-and-call first, then the step in words, the ladder of steps, its entries and remarks."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from hvaclib.boards.base import Inputs, Page, PagePicture
from hvaclib.boards.finished_sheets import CAUTIONS, DEMO, WORDS, counted
from hvaclib.boards.one_visit.reading import WHOLE
from hvaclib.boards.one_visit.tables import tables_of
from hvaclib.paper.label import label_lines
from hvaclib.plots.visit_steps import WORDS as STATES
from hvaclib.plots.visit_steps import label_picture, step_ladder
from hvaclib.visit.checklist import steps

if TYPE_CHECKING:
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.one_visit.reading import Sheet
    from hvaclib.visit.sheets import Understood

VERDICTS: dict[str, Verdict] = {
    "stop and call": "fail",
    "fail": "fail",
    "look again": "unsure",
    "pass": "pass",
}
LABEL = "manuals"
"""Step at which the label is written."""
SOURCES = (
    "Probability that a reading conforms, and 'too close to call': JCGM 106:2012; accuracy of instruments as the sheet "
    "declares it, else the usual one.",
    "Order of the steps and what a job needs: common practice and program decisions, as each item states.",
)


def page_of(inputs: Inputs, sheet: Sheet | None, loaded: Understood | None) -> Page:
    """What the board shows; an empty page before a sheet was read."""
    if sheet is None:
        return Page(cautions=CAUTIONS)
    number = round(inputs.step)
    lines = label_lines(sheet.review.visit, system=inputs.system)
    return Page(
        answer=words(sheet, number, loaded),
        verdict=VERDICTS[sheet.review.severity],
        cautions=cautions(sheet, number),
        pictures=_pictures(inputs, sheet, number, lines),
        tables=tables_of(sheet, number, inputs.system, lines, loaded),
        sources=_sources(sheet, number),
    )


def _pictures(inputs: Inputs, sheet: Sheet, number: int, lines: tuple[str, ...]) -> list[PagePicture]:
    """The steps; and the label where it is the step's own, because what is written in a step follows the pictures."""
    ladder = PagePicture("Steps in the order of the work", step_ladder(sheet.states, number, inputs.width))
    if steps()[number - 1].key != LABEL:
        return [ladder]
    caption = (
        "A blank stands where the sheet has no value. As text: the table below, or the files of this view."
    )
    words = "Label for the return drop, to be copied by marker"
    return [ladder, PagePicture(words, label_picture(lines, inputs.width), caption)]


def words(sheet: Sheet, number: int, loaded: Understood | None) -> list[str]:
    """The answer: what stops the work, the step, then the whole sheet. The first sentence stays in sight on a phone."""
    review, job = sheet.review, sheet.review.visit.job
    step = sheet.state(number)
    here = f"Step {number}, {step.title}: {STATES[step.state]}"
    said = [f"STOP AND CALL: {remark.sentence}" for remark in review.stops]
    if not said:
        said.append(f"{job.id}: {WORDS[review.severity]}. {here}.")
        said += _step(sheet, number)
    else:
        said += _step(sheet, number, f"{here}. ")
    counts = Counter(remark.severity for remark in review.remarks)
    told = ", ".join(
        f"{counts[key]} '{key}'" for key in ("stop and call", "fail", "look again", "note") if counts[key]
    )
    who = f"{job.id} ({job.contractor}, {job.date.isoformat()})"
    said.append(f"{who}: {f'remarks: {told}.' if told else 'no remark at all.'}")
    if sheet.of(WHOLE):
        said.append(f"About the whole sheet: {sheet.of(WHOLE)[0].sentence}")
    said.append(_elsewhere(sheet, number))
    if loaded is None:
        said.append(DEMO)
    return [sentence for sentence in said if sentence]


def _step(sheet: Sheet, number: int, start: str = "") -> list[str]:
    """The gravest remark of the step and what is to be done; nothing but the beginning where it has none."""
    found = sheet.of(number)
    if not found:
        return [start.strip()]
    what = "As said above." if found[0] in sheet.review.stops else found[0].sentence
    more = f" ({counted(len(found) - 1, 'more remark')} below.)" if len(found) > 1 else ""
    doing = [f"To do ({found[0].acts}): {' '.join(found[0].do)}"] if found[0].do else []
    return [f"{start}{what}{more}", *doing]


def _elsewhere(sheet: Sheet, number: int) -> str:
    others = [
        f"{step.number} ({STATES[step.state]})"
        for step in sheet.states
        if step.state not in ("pass", "not needed") and step.number != number
    ]
    return f"Look at these steps as well: {', '.join(others)}." if others else ""


def cautions(sheet: Sheet, number: int) -> list[str]:
    """Cautions of what stops the work, then of this step, then those that always stand."""
    found = [text for remark in (*sheet.review.stops, *sheet.of(number)) for text in remark.cautions]
    return list(dict.fromkeys([*found, *CAUTIONS]))


def _sources(sheet: Sheet, number: int) -> list[str]:
    findings = sheet.review.findings
    found = [remark.source for remark in sheet.of(number) if remark.source]
    return list(dict.fromkeys([f"Rule set: {findings.rule_set} {findings.version}.", *found, *SOURCES]))
