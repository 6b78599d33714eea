"""The punch list: what must be done, grouped by who must do it, the stop-and-call list first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.paper.document import Bullets, Cautions, Document, Heading, Paragraph, Signatures

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.paper.document import Block
    from hvaclib.review import Remark, Review

WHO = {
    "installer": "Installer",
    "gas fitter": "Gas fitter",
    "electrician": "Electrician",
    "chimney trade": "Chimney trade",
    "program office": "Program office",
}
FOOT = (
    "Gas, electrical and chimney work by licensed people only. Local code and the manufacturer's instructions go "
    "before this list."
)


def punch_list(reviews: Sequence[Review]) -> Document:
    """What must be done on one job, or on all jobs of a contractor.

    Parameters
    ----------
    reviews : sequence of Review
        Not empty.

    Returns
    -------
    Document
    """
    several = len(reviews) > 1
    named = [(review, remark) for review in reviews for remark in review.remarks if remark.severity != "note"]
    stops = [pair for pair in named if pair[1].severity == "stop and call"]
    blocks: list[Block] = []
    if stops:
        blocks.append(Heading("First: stop, make safe, and call the program office"))
        blocks.append(Bullets(tuple(_entry(*pair, several) for pair in stops), boxes=True))
    cautions = tuple(dict.fromkeys(caution for _, remark in named for caution in remark.cautions))
    if cautions:
        blocks.append(Cautions(cautions))
    for who, title in WHO.items():
        rest = [pair for pair in named if pair[1].acts == who and pair not in stops]
        if rest:
            blocks.append(Heading(title))
            blocks.append(Bullets(tuple(_entry(*pair, several) for pair in rest), boxes=True))
    if not named:
        blocks.append(Paragraph("Nothing is left to do."))
    blocks.append(Signatures(("Done by", "Seen by the inspector")))
    jobs = [review.visit.job for review in reviews]
    contractors = ", ".join(dict.fromkeys(job.contractor for job in jobs))
    which = f"{len(jobs)} jobs" if several else f"Job {jobs[0].id}, {jobs[0].date.isoformat()}"
    return Document(title="Punch list", below=f"{which}, {contractors}.", blocks=tuple(blocks), foot=FOOT)


def _entry(review: Review, remark: Remark, several: bool) -> tuple[str, ...]:
    again = "Look again: " if remark.severity == "look again" else ""
    job = f"Job {review.visit.job.id}: " if several else ""
    return (f"{job}{again}{remark.sentence}", *remark.do)
