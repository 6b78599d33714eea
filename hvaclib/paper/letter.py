"""The findings letter: what was found on a job, what must be put right, and by what rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.paper.document import Bullets, Cautions, Document, Heading, Paragraph, Signatures, Table
from hvaclib.paper.values import Values

if TYPE_CHECKING:
    from hvaclib.paper.document import Block
    from hvaclib.plots.style import System
    from hvaclib.review import Remark, Review
    from hvaclib.rules import Finding

FOOT = (
    "Judged by the named rule set. Local code, the manufacturer's instructions and the judgement of a licensed "
    "technician go before it."
)
GROUPS = (
    ("stop and call", "Stop, make safe, and call the program office"),
    ("fail", "To be put right"),
    ("look again", "To be looked at again"),
    ("note", "Noted"),
)
OPENING = {
    "stop and call": "Something on this job must not wait: read the first list before anything else.",
    "fail": "The job is not finished: what is listed first has to be put right and measured again.",
    "look again": "Nothing on this job is out of the rules for certain, but some readings or steps need another look.",
    "pass": "Everything that was recorded is within the rules. Thank you.",
}


def findings_letter(review: Review, system: System = "field") -> Document:
    """The letter to the contractor about one job.

    Parameters
    ----------
    review : Review
    system : {"field", "si"}, optional
        Units of the table of readings; sentences have both.

    Returns
    -------
    Document
        The stop-and-call list first.
    """
    visit, job = review.visit, review.visit.job
    blocks: list[Block] = [
        Paragraph(f"To {job.contractor}"),
        Paragraph(OPENING[review.severity], strong=review.severity == "stop and call"),
    ]
    for severity, title in GROUPS:
        remarks = [remark for remark in review.remarks if remark.severity == severity]
        if remarks:
            blocks += [Heading(title), Bullets(tuple(_entry(remark) for remark in remarks))]
    cautions = _cautions(review.remarks)
    if cautions:
        blocks.insert(2, Cautions(cautions))
    judged = [finding for finding in review.findings.items if finding.reading is not None]
    if judged:
        values = Values(visit, system)
        rows = tuple(_row(finding, values) for finding in judged)
        head = ("Rule", "Where", "Reading", "Verdict", "Margin", "Probability that it conforms")
        blocks += [Heading("Every reading that was judged"), Table(head, rows, (8, 4, 4, 4, 4, 4))]
    sources = dict.fromkeys(remark.source for remark in review.remarks if remark.source)
    if sources:
        blocks += [Heading("Where the demands come from"), Bullets(tuple((source,) for source in sources))]
    blocks.append(Signatures(("Inspector", "Received for the contractor")))
    invented = " Invented for training." if job.invented else ""
    rules = f"{review.findings.rule_set} {review.findings.version} ({review.findings.digest[:12]})"
    return Document(
        title="Findings",
        below=f"Job {job.id}, {job.date.isoformat()}, {job.contractor}. Rule set {rules}.{invented}",
        blocks=tuple(blocks),
        foot=f"Job {job.id}. {FOOT}",
    )


def _entry(remark: Remark) -> tuple[str, ...]:
    lines = [remark.sentence, *(f"Do: {sentence}" for sentence in remark.do)]
    if remark.false_alarm is not None:
        lines.append(f"About {_share(remark.false_alarm)} of sound sheets would show the same by chance.")
    return tuple(lines)


def _cautions(remarks: tuple[Remark, ...]) -> tuple[str, ...]:
    grave = [remark for remark in remarks if remark.severity in ("stop and call", "fail")]
    return tuple(dict.fromkeys(caution for remark in grave for caution in remark.cautions))


def _row(finding: Finding, values: Values) -> tuple[str, ...]:
    assert finding.reading is not None
    place = ", ".join(part for part in (finding.where, finding.when) if part)
    chance = _share(finding.probability) if finding.probability is not None else ""
    value = values.of_reading(finding.reading)
    return finding.rule.title, place, value, finding.verdict, finding.margin_shown, chance


def _share(probability: float) -> str:
    percent = 100.0 * probability
    if percent < 0.1:
        return "less than 0.1 %"
    if percent > 99.9:
        return "more than 99.9 %"
    return f"{percent:.1f} %" if percent < 10.0 or percent > 90.0 else f"{percent:.0f} %"
