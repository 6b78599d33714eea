"""Reviews of a stream of visits over several processes, in the order of the stream and with flat memory."""

from __future__ import annotations

import datetime as dt
from collections import deque
from concurrent.futures import Future, ProcessPoolExecutor
from functools import partial
from itertools import islice
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

from hvaclib.review.record import review_visit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit

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

    Yields
    ------
    dict
        `Review.to_record` of each visit, in the order of the visits.

    Notes
    -----
    Workers start afresh on every system ('spawn'), so that a script which calls this with more than one job needs the
    usual ``if __name__ == "__main__":``.
    """
    day = today or dt.date.today()
    work = partial(_reviewed, rules=rules, today=day)
    chunks = _chunks(visits)
    if jobs <= 1:
        for chunk in chunks:
            yield from work(chunk)
        return
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        waiting: deque[Future[list[dict[str, Any]]]] = deque()
        try:
            waiting.extend(pool.submit(work, chunk) for chunk in islice(chunks, jobs * AHEAD))
            while waiting:
                yield from waiting.popleft().result()
                waiting.extend(pool.submit(work, chunk) for chunk in islice(chunks, 1))
        finally:
            for future in waiting:
                future.cancel()


def _chunks(visits: Iterable[Visit]) -> Iterator[tuple[Visit, ...]]:
    source = iter(visits)
    while chunk := tuple(islice(source, CHUNK)):
        yield chunk


def _reviewed(visits: Iterable[Visit], *, rules: RuleSet, today: dt.date) -> list[dict[str, Any]]:
    return [review_visit(visit, rules, today=today).to_record() for visit in visits]
