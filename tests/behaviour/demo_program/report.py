"""The score of the demo program as a page for people."""

from __future__ import annotations

from collections.abc import Iterator

from demo_program.houses import VISITS
from demo_program.making import defects, files, folder
from demo_program.scoring import Score, score
from hvaclib.review.remark import KINDS
from hvaclib.rules import load
from hvaclib.visit.sheets import read_sheets

SCORE = "score.md"
_HEAD = """# What a review finds of the demo program

Everything in this folder is invented: contractors, homes, people and numbers. {visits} visits; in {bad} of them and in the
habits of {crews} contractors {planted} defects were planted. What was done and what a review must say stands in
`planted.toml`; the houses, the sheets and this page are made by `tests/behaviour/demo_program`.

A false alarm is a remark graver than a note that neither a planted defect nor the house itself explains. What the house truly
breaks is taken from its readings without noise. Close calls are sound readings so near a limit that the instrument cannot tell.
"""


def scores() -> dict[str, Score]:
    """Score of each rule set, of the visits as they are read from the files."""
    reports = [read_sheets(folder() / name) for name in files()]
    visits = {visit.job.id: visit for each in reports for visit in each.visits}
    refusals = [refusal for each in reports for refusal in each.refusals]
    return {name: score(visits, refusals, load(name)) for name in ("plain", "stricter")}


def score_text(found: dict[str, Score] | None = None) -> str:
    """The page: a table for each rule set, and what was not found."""
    bad = {each["visit"] for each in defects() if "visit" in each}
    habits = sum("contractor" in each for each in defects())
    head = _HEAD.format(visits=len(VISITS), bad=len(bad), crews=habits, planted=len(defects()))
    parts = [line for name, each in (found or scores()).items() for line in _table(name, each)]
    return "\n".join([head, *parts, *_hidden()])


def _table(name: str, found: Score) -> Iterator[str]:
    yield f"## Rule set '{name}'\n"
    yield "| remark | to be made | made | false alarms |"
    yield "|---|---|---|---|"
    for kind, planted, made, false in found.table():
        yield f"| {KINDS[kind].title} | {planted} | {made} | {false} |"
    yield f"| all | {len(found.said)} | {sum(yes for _, yes in found.said)} | {len(found.false)} |\n"
    yield f"Planted defects: {len(found.found)}, found with all that must be said: {sum(found.found.values())}."
    yield (
        f"Of {len(found.named)} that show only between readings, what is named as most likely wrong is what was changed in "
        f"{sum(found.named.values())}. Close calls: {len(found.close)}.\n"
    )


def _hidden() -> Iterator[str]:
    yield "## What is not found, and why\n"
    for each in defects():
        if not each.get("found", True):
            yield f"- {each.get('visit') or each['contractor']}: {each['did']} {each['why']}"
    yield ""
