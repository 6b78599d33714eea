"""A reviewed sheet sorted by the steps of the work: the state of each, its remarks, and the verdict of each entry."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from hvaclib.plots.visit_steps import StepMark
from hvaclib.rules.wording import both
from hvaclib.visit.answers import reading_of
from hvaclib.visit.checklist import Step, item, items, steps
from hvaclib.visit.demands import Demand, demands

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review import Remark, Review
    from hvaclib.rules import Finding
    from hvaclib.visit import Entry

WHOLE = 0
"""In place of a step's number: a remark about the sheet as a whole, such as its date."""
_STATES = ("stop and call", "fail", "missing", "out of order", "look again")
_ABSENT = frozenset({"missing-item", "not-taken"})


@dataclass(frozen=True, slots=True)
class Sheet:
    """A reviewed sheet.

    Parameters
    ----------
    review : Review
        With every remark.
    states : tuple of StepMark
        The steps in the order of the work.
    remarks : dict of int to tuple of Remark
        By number of the step; `WHOLE` for those about the whole sheet.
    """

    review: Review
    states: tuple[StepMark, ...]
    remarks: dict[int, tuple[Remark, ...]]

    def of(self, number: int) -> tuple[Remark, ...]:
        """Remarks of a step, gravest first."""
        return self.remarks.get(number, ())

    def state(self, number: int) -> StepMark:
        """The state of a step."""
        return self.states[number - 1]


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of a step, or one that the job needs and the sheet does not have.

    Parameters
    ----------
    entry : Entry or None
        As written.
    title, where, when : str
        What it is, its place, and the stage of the test.
    findings : tuple of Finding
        What the rules say of it.
    must_be : str
        The right answer of a yes or no that no rule judges.
    computed : str
        What was computed from other entries and then judged, in both unit systems.
    """

    entry: Entry | None
    title: str
    where: str
    when: str
    findings: tuple[Finding, ...] = ()
    must_be: str = ""
    computed: str = ""


def sheet_of(review: Review) -> Sheet:
    """Sort a review by the steps of the work.

    Parameters
    ----------
    review : Review

    Returns
    -------
    Sheet
    """
    by_step: dict[int, list[Remark]] = {}
    for remark in review.remarks:
        by_step.setdefault(step_of(remark), []).append(remark)
    sorted_by_step = {number: tuple(found) for number, found in by_step.items()}
    wanted = {each.item.step.number for each in demands(review.visit)}
    written = {entry.line.step.number for entry in review.visit.entry if entry.taken}
    states = tuple(
        StepMark(step.number, step.title, _state(step, sorted_by_step.get(step.number, ()), wanted | written))
        for step in steps()
    )
    return Sheet(review, states, sorted_by_step)


def step_of(remark: Remark) -> int:
    """Number of the step that a remark is about; of its stage where it is about no line; `WHOLE` where about neither.

    Parameters
    ----------
    remark : Remark

    Returns
    -------
    int
    """
    if remark.item:
        return item(remark.item).step.number
    return _by_stage().get(remark.when, WHOLE) if remark.when else WHOLE


@cache
def _by_stage() -> dict[str, int]:
    found: dict[str, int] = {}
    for line in items():
        if line.stage:
            found.setdefault(line.stage, line.step.number)
    return found


def _state(step: Step, remarks: tuple[Remark, ...], present: set[int]) -> str:
    found = {_state_of(remark) for remark in remarks if remark.severity != "note"}
    for state in _STATES:
        if state in found:
            return state
    return "pass" if step.number in present else "not needed"


def _state_of(remark: Remark) -> str:
    if remark.severity == "stop and call":
        return "stop and call"
    if remark.kind in _ABSENT:
        return "missing"
    if remark.kind == "out-of-order":
        return "out of order"
    return remark.severity


def lines_of(sheet: Sheet, number: int) -> tuple[Line, ...]:
    """The lines of a step: each entry as written, and what the job needs and the sheet does not have.

    Parameters
    ----------
    sheet : Sheet
    number : int
        Of the step.

    Returns
    -------
    tuple of Line
        In the order of the checklist.
    """
    visit = sheet.review.visit
    entries = [entry for entry in visit.entry if entry.line.step.number == number]
    there = {(entry.item, entry.where) for entry in entries}
    lines = [(entry.line.number, _line(sheet, entry)) for entry in entries]
    for demand in demands(visit):
        if demand.item.step.number == number and (demand.item.key, demand.where) not in there:
            lines.append((demand.item.number, _wanted(demand)))
    written = [line for _, line in sorted(lines, key=lambda row: row[0])]
    return (*written, *_computed(sheet, number))


def _computed(sheet: Sheet, number: int) -> Iterator[Line]:
    """What no line of the record asks for, and the rules judge: the change of a pressure, say."""
    asked = {each.quantity for each in items()}
    for finding in sheet.review.findings:
        thing, read = finding.rule.measurable, finding.reading
        if finding.rule.quantity in asked or read is None or _by_stage().get(finding.when, WHOLE) != number:
            continue
        value = both(read.value, thing.kind) if thing.kind is not None else ("yes" if read.value else "no")
        yield Line(None, thing.title, finding.where, finding.when, (finding,), computed=value)


def _line(sheet: Sheet, entry: Entry) -> Line:
    line = entry.line
    found = tuple(
        finding
        for finding in sheet.review.findings
        if finding.rule.quantity == line.quantity
        and finding.when == entry.stage
        and finding.where in (entry.where, line.where)
        and _is_of(finding, sheet, entry)
    )
    return Line(entry, line.title, entry.where, entry.stage, found, line.good)


def _is_of(finding: Finding, sheet: Sheet, entry: Entry) -> bool:
    """Whether a finding is about this entry, where a sheet has two of the same item, place and stage."""
    visit = sheet.review.visit
    if finding.reading is None or len(visit.entries(entry.item, entry.where, entry.stage)) < 2:
        return True
    from hvaclib.errors import HvacError

    try:
        read = reading_of(entry, visit)
    except HvacError:
        return False  # it has a remark of its own: the value cannot be read
    return read is not None and read.value == finding.reading.value


def _wanted(demand: Demand) -> Line:
    return Line(None, demand.item.title, demand.where, demand.item.stage, must_be=demand.item.good)
