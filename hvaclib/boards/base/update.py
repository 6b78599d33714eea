"""When a board works: the quick answer at once, moves that queue up taken as one, slow work when the hand rests."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

GATHER = 0.002  # s: what arrives in this time after a move belongs to it (a finger's moves come 16 ms apart)
REST = 0.25  # s without a move before slow work begins
ARRIVAL = (
    10.0  # s from a board's first answer to its slow work, where the page does not say that it has arrived
)
BREATH = 0.003  # s given to waiting messages between two parts of slow work


def _running_loop() -> asyncio.AbstractEventLoop | None:
    """The event loop of the page's calculation; none in a script."""
    try:
        return asyncio.get_running_loop()
    except RuntimeError:
        return None


class UpdateLoop:
    """Runs a quick step for each move, and a slow generator after the last one.

    Parameters
    ----------
    quick : callable
        Answer and picture; must not raise.
    slow : callable
        Gives the generator of the slow work, or none; each part it yields other than none goes to ``show``.
    show : callable
        Shows a part of the slow work; must not raise.
    report : callable
        Gets the exception of a slow step that failed.

    Notes
    -----
    Without a running event loop (a script, a test) everything happens at once and in order.
    """

    def __init__(
        self, quick: Callable[[], bool], slow: Callable[[], Iterator[Any]], show: Callable[[Any], None],
        report: Callable[[Exception], None],
    ) -> None:  # fmt: skip
        self._quick, self._slow, self._show, self._report = quick, slow, show, report
        self._waiting: asyncio.TimerHandle | None = None
        self._resting: asyncio.TimerHandle | None = None
        self._work: asyncio.Task[None] | None = None
        self._rest = ARRIVAL
        self.begun = False
        """Whether slow work was begun on the event loop, its results sent to whoever listened."""

    def request(self) -> None:
        """An input has moved."""
        loop = _running_loop()
        if loop is None:
            self.run_now()
            return
        self._stop_slow()
        self._rest = REST
        if self._waiting is None:
            self._waiting = loop.call_later(GATHER, self._step)

    def run_now(self) -> None:
        """Answer at once; the slow work follows when the event loop rests, or at once where there is none."""
        self._stop_slow()
        if self._waiting is not None:
            self._waiting.cancel()
            self._waiting = None
        answered = self._quick()
        if not answered:
            return
        loop = _running_loop()
        if loop is None:
            self._drain()
            return
        self._resting = loop.call_later(self._rest, self._start_slow)

    def arrived(self) -> None:
        """The page has its widgets: slow work that waited for them begins."""
        waiting, self._rest = self._resting is not None, REST
        if waiting:
            self._stop_slow()
            self._start_slow()

    def finish_now(self) -> None:
        """Do the slow work at once: the page is being prepared and nobody waits."""
        self._stop_slow()
        self._drain()

    def _step(self) -> None:
        self._waiting = None
        self.run_now()

    def _stop_slow(self) -> None:
        if self._resting is not None:
            self._resting.cancel()
            self._resting = None
        if self._work is not None:
            self._work.cancel()
            self._work = None

    def _start_slow(self) -> None:
        self._resting, self.begun = None, True
        self._work = asyncio.get_running_loop().create_task(self._drain_gently())

    async def _drain_gently(self) -> None:
        try:
            for part in self._slow():
                if part is not None:
                    self._show(part)
                await asyncio.sleep(BREATH)
        except Exception as error:  # noqa: BLE001 - shown on the page by the view
            self._report(error)

    def _drain(self) -> None:
        try:
            for part in self._slow():
                if part is not None:
                    self._show(part)
        except Exception as error:  # noqa: BLE001 - shown on the page by the view
            self._report(error)
