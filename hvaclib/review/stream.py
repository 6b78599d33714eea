"""Reviews of a stream of visits over several processes, in the order of the stream and with flat memory."""

from __future__ import annotations

import datetime as dt
import gc
from collections import deque
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass
from itertools import islice
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any

from hvaclib.review.across.taken import brought_by
from hvaclib.review.derived import record_of
from hvaclib.review.record import review_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from hvaclib.review.across.taken import Brought
    from hvaclib.review.across.tally import Tally
    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit

    _Chunk = tuple[Visit, ...]
    _Done = tuple[dict[str, Any], Brought | None]

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
    work = _Work(rules, today or dt.date.today(), tally is not None)
    for visit, (record, what) in _worked(work, _chunks(visits), jobs):
        if tally is not None and what is not None:
            tally.take(visit.job, what)
        yield record


@dataclass(frozen=True)
class _Work:
    """What is done with each visit."""

    rules: RuleSet
    today: dt.date
    compare: bool

    def __call__(self, visits: Iterable[Visit]) -> list[_Done]:
        done: list[_Done] = []
        for visit in visits:
            record = record_of(visit)
            review = review_of(record, self.rules, today=self.today)
            done.append((review.to_record(), brought_by(record) if self.compare else None))
        return done


def _worked(work: _Work, chunks: Iterator[_Chunk], jobs: int) -> Iterator[tuple[Visit, _Done]]:
    if jobs <= 1:
        for chunk in chunks:
            yield from zip(chunk, work(chunk), strict=True)
        return
    spawn = get_context("spawn")
    with ProcessPoolExecutor(jobs, mp_context=spawn, initializer=_begin, initargs=(work,)) as pool:
        waiting: deque[tuple[_Chunk, Future[list[_Done]]]] = deque()

        def send(count: int) -> None:
            waiting.extend((chunk, pool.submit(_do, chunk)) for chunk in islice(chunks, count))

        try:
            send(jobs * AHEAD)
            while waiting:
                chunk, future = waiting.popleft()
                yield from zip(chunk, future.result(), strict=True)
                send(1)
        finally:
            for _, future in waiting:
                future.cancel()


_mine: list[_Work] = []
"""Of a worker: its work, sent once, so that what a rule set works out for itself is worked out once."""


def _begin(work: _Work) -> None:
    """A worker begins. What it has loaded stays to its end: the search for garbage need not go through that again."""
    _mine[:] = [work]
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


def _do(chunk: _Chunk) -> list[_Done]:
    return _mine[0](chunk)


def _chunks(visits: Iterable[Visit]) -> Iterator[_Chunk]:
    source = iter(visits)
    while chunk := tuple(islice(source, CHUNK)):
        yield chunk
