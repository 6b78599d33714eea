"""Which past visits change verdict between two rule sets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hvaclib.review.record import review_visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator

    from hvaclib.review.remark import Remark, Review
    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit


@dataclass(frozen=True, slots=True)
class Impact:
    """A visit that ends otherwise under another rule set.

    Parameters
    ----------
    visit : str
        Id of the job.
    before, after : str
        Severity of its review under the old and the new set, or 'pass'.
    gone, come : tuple of Remark
        What only the old set, and only the new one says about its readings, gravest first.
    """

    visit: str
    before: str
    after: str
    gone: tuple[Remark, ...]
    come: tuple[Remark, ...]

    @property
    def sentence(self) -> str:
        """The change in words, with the finding that decides."""
        deciding = self.come or self.gone
        head = f"{self.visit}: '{self.before}' becomes '{self.after}'."
        if not deciding:
            return head
        return f"{head} {'New' if self.come else 'No longer said'}: {deciding[0].sentence}"

    def to_record(self) -> dict[str, Any]:
        """Plain mapping for JSON."""
        return {
            "visit": self.visit,
            "before": self.before,
            "after": self.after,
            "gone": [remark.to_record() for remark in self.gone],
            "come": [remark.to_record() for remark in self.come],
        }


def impact(
    visits: Iterable[Visit], old_rules: RuleSet, new_rules: RuleSet, *, today: dt.date | None = None
) -> Iterator[Impact]:
    """Visits whose review ends otherwise under another rule set, one by one as they come.

    Parameters
    ----------
    visits : iterable of Visit
    old_rules, new_rules : RuleSet
    today : date, optional
        As for `review_visit`.

    Yields
    ------
    Impact
        Only for a visit that changes its severity.
    """
    for visit in visits:
        before = review_visit(visit, old_rules, today=today)
        after = review_visit(visit, new_rules, today=today)
        if before.severity != after.severity:
            gone, come = _only_in(before, after), _only_in(after, before)
            yield Impact(visit.name, before.severity, after.severity, gone, come)


def _only_in(one: Review, other: Review) -> tuple[Remark, ...]:
    there = {(each.item, each.where, each.when, each.severity) for each in other.remarks if each.rule}
    rows = (each for each in one.remarks if each.rule)
    return tuple(each for each in rows if (each.item, each.where, each.when, each.severity) not in there)
