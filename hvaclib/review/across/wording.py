"""A question that chance does not answer, in words that blame nobody."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.across.figures import figure, words
from hvaclib.review.across.taken import title
from hvaclib.review.remark import Remark

if TYPE_CHECKING:
    from hvaclib.review.across.trials import Seen, Trial

MOST = 3
"""Things that one sentence tells."""


def remark_of(trial: Trial, chance: float, family: int) -> Remark:
    """Remark on one contractor's visits.

    Parameters
    ----------
    trial : Trial
        What was seen.
    chance : float
        The family's false-alarm rate at which it would just be shown.
    family : int
        How many questions were asked of all contractors.

    Returns
    -------
    Remark
        Its ``false_alarm`` is that rate, and never below what the assumptions are good for.
    """
    rate = figure("family", "false_alarm")
    told = _told(trial, rate)
    said = words()[trial.kind]
    names = tuple(dict.fromkeys(name for one in told for name in one.items))
    readings = ", ".join(title(name) for name in names)
    clauses = "; ".join(_with_readings(one, trial.kind) for one in told)
    least = max(chance, figure("family", "least_stated"))
    sentence = (
        f"Look again at the visits of {trial.contractor}: {clauses}. Among programs of sound contractors no more than "
        f"about 1 in {round(1.0 / least):,} shows as much in any of its {family} comparisons. {said.innocent}"
    )
    return Remark(
        trial.kind,
        "look again",
        sentence,
        where=trial.contractor,
        item=names[0] if len(names) == 1 else "",
        acts="program office",
        do=tuple(line.format(readings=readings) for line in said.do),
        source=said.source,
        false_alarm=least,
    )


def _told(trial: Trial, rate: float) -> tuple[Seen, ...]:
    """What is unlikely enough even by itself; the least likely at any rate."""
    clear = [one for one in trial.seen if one.chance * trial.looked <= rate]
    return tuple(clear[:MOST]) or trial.seen[:1]


def _with_readings(one: Seen, kind: str) -> str:
    if kind == "repeated-set" or len(one.items) != 1:
        return one.clause
    return f"{title(one.items[0])}: {one.clause}"
