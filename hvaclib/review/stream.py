"""Reviews of a stream of visits over several processes, in the order of the stream and with flat memory."""

from __future__ import annotations

import datetime as dt
import gc
from collections import deque
from concurrent.futures import Future, ProcessPoolExecutor
from functools import partial
from itertools import islice
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

from hvaclib.review.across.taken import brought_by
from hvaclib.review.derived import record_of
from hvaclib.review.record import review_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from hvaclib.review.across.taken import Brought
    from hvaclib.review.across.tally import Tally
    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit
    from hvaclib.visit.model import Job

    _Done = tuple[dict[str, Any], Job, Brought | None]
    _Work = Callable[[tuple[Visit, ...]], list[_Done]]

CHUNK = 50
"""Visits that go to a worker at once."""
AHEAD = 2
"""Chunks that wait for each worker: more would only fill memory."""


def review_many(
    visits: Iterable[Visit],
    rules: RuleSet,
    *,
    jobs: int = 1,
    today: dt.date | None = None,
    tally: Tally | None = None,
) -> Iterator[dict[str, Any]]:
    """Review visits as they come.

    Parameters
    ----------
    visits : iterable of Visit
        Read only as far ahead as the workers are busy.
    rules : RuleSet
        The rule set.
    jobs : int, optional
        Processes; one means this one alone.
    today : date, optional
        As for `review_visit`.
    tally : Tally, optional
        Takes what each visit brings to the comparison across visits.

    Yields
    ------
    dict
        `Review.to_record` of each visit, in the order of the visits.

    Notes
    -----
    Workers start afresh on every system ('spawn'), so that a script which calls this with more than one job needs the
    usual ``if __name__ == "__main__":``.
    """
    work = partial(_reviewed, rules=rules, today=today or dt.date.today(), compare=tally is not None)
    for record, job, what in _worked(work, _chunks(visits), jobs):
        if tally is not None and what is not None:
            tally.take(job, what)
        yield record


def _worked(work: _Work, chunks: Iterator[tuple[Visit, ...]], jobs: int) -> Iterator[_Done]:
    if jobs <= 1:
        for chunk in chunks:
            yield from work(chunk)
        return
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn"), initializer=_settled) as pool:
        waiting: deque[Future[list[_Done]]] = deque()
        try:
            waiting.extend(pool.submit(work, chunk) for chunk in islice(chunks, jobs * AHEAD))
            while waiting:
                yield from waiting.popleft().result()
                waiting.extend(pool.submit(work, chunk) for chunk in islice(chunks, 1))
        finally:
            for future in waiting:
                future.cancel()


def _settled() -> None:
    """What a worker has loaded stays to its end: the search for garbage need not go through it again and again."""
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


def _chunks(visits: Iterable[Visit]) -> Iterator[tuple[Visit, ...]]:
    source = iter(visits)
    while chunk := tuple(islice(source, CHUNK)):
        yield chunk


def _reviewed(visits: Iterable[Visit], *, rules: RuleSet, today: dt.date, compare: bool) -> list[_Done]:
    done: list[_Done] = []
    for visit in visits:
        record = record_of(visit)
        review = review_of(record, rules, today=today)
        done.append((review.to_record(), visit.job, brought_by(record) if compare else None))
    return done
