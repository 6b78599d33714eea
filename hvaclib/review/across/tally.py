"""Visits come one by one; what they say together is asked at the end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.across.chances import holm
from hvaclib.review.across.figures import figure
from hvaclib.review.across.stock import Stock, Values
from hvaclib.review.across.taken import brought
from hvaclib.review.across.trials import Trial, trials_of
from hvaclib.review.across.wording import remark_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from hvaclib.review.across.taken import Brought
    from hvaclib.review.remark import Remark
    from hvaclib.visit import Visit
    from hvaclib.visit.model import Job


class Tally:
    """What the visits of every contractor have in common, kept as counts, sums and hashes.

    Notes
    -----
    Memory grows by eight bytes and a job's id for each set of readings of a visit, and by a number for each value that was
    not seen before; no visit is kept.
    """

    def __init__(self) -> None:
        self._stocks: dict[str, Stock] = {}
        self._values = Values()

    def add(self, visit: Visit) -> None:
        """Take one more visit.

        Parameters
        ----------
        visit : Visit
            An entry that cannot be read is left out; the same sheet of the same job counts once.
        """
        self.take(visit.job, brought(visit))

    def take(self, job: Job, what: Brought) -> None:
        """Take what a visit brings, where it was read before.

        Parameters
        ----------
        job : Job
            Of whom and where.
        what : Brought
            Its readings.
        """
        name = " ".join(job.contractor.split())
        self._stocks.setdefault(name.casefold(), Stock(name)).add(job, what, self._values)

    def trials(self) -> tuple[Trial, ...]:
        """Every question that the visits are enough for, of every contractor.

        Returns
        -------
        tuple of Trial
        """
        return tuple(trial for stock in self._stocks.values() for trial in trials_of(stock, self._values))

    def remarks(self) -> tuple[Remark, ...]:
        """What asks for another look.

        Returns
        -------
        tuple of Remark
            By contractor in the order of their first visits; none where chance explains everything.

        Notes
        -----
        All questions to all contractors are one family: of programs in which every contractor is sound, no more than the
        stated share shows any remark (Holm).

        References
        ----------
        S. Holm, Scandinavian Journal of Statistics 6 (1979), 65.
        """
        trials = self.trials()
        rate = figure("family", "false_alarm")
        shown = zip(trials, holm([trial.chance for trial in trials]), strict=True)
        return tuple(remark_of(trial, chance, len(trials)) for trial, chance in shown if chance <= rate)


def across(visits: Iterable[Visit]) -> tuple[Remark, ...]:
    """What the visits of each contractor say together that one alone cannot.

    Parameters
    ----------
    visits : iterable of Visit
        Of any number of contractors; read once, none is kept.

    Returns
    -------
    tuple of Remark
        Of the kinds 'repeated-set', 'last-digit' and 'little-scatter', all 'look again': each has innocent explanations,
        and says them.
    """
    tally = Tally()
    for visit in visits:
        tally.add(visit)
    return tally.remarks()


def across_one(contractor: str, visits: Iterable[Visit]) -> tuple[Remark, ...]:
    """As `across`, of one contractor, whose questions then are the whole family.

    Parameters
    ----------
    contractor : str
        Visits of others are passed over; capitals and spaces do not matter.
    visits : iterable of Visit

    Returns
    -------
    tuple of Remark
    """
    name = " ".join(contractor.split()).casefold()
    return across(visit for visit in visits if " ".join(visit.job.contractor.split()).casefold() == name)
