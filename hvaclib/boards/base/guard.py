"""No silent failure: every callback ends in an answer or in one plain sentence on the page, and in the log."""

from __future__ import annotations

import functools
import logging
from typing import TYPE_CHECKING, Any

from hvaclib.errors import HvacError

if TYPE_CHECKING:
    from collections.abc import Callable

log = logging.getLogger("hvaclib.boards")


def sentence_of(error: Exception) -> str:
    """What the page says about an exception.

    Parameters
    ----------
    error : Exception
        A refusal of the suite keeps its own sentence. Anything else is a defect: it is logged with its trace, and the
        page names its kind, so that a report can be matched with the log.
    """
    if isinstance(error, HvacError):
        log.info("refused: %s", error)
        return str(error)
    log.error("a board's calculation failed", exc_info=error)
    detail = f"{type(error).__name__}: {error}".rstrip(".: ")
    return f"Something went wrong in this calculation ({detail}); your inputs are kept. Reload if it stays."


def guarded(report: Callable[[str], None]) -> Callable[[Callable[..., Any]], Callable[..., None]]:
    """Wrap a widget callback so that an exception becomes a sentence given to ``report``.

    A widget library drops what a callback raises: the page would show nothing, not even in its console.
    """

    def wrap(callback: Callable[..., Any]) -> Callable[..., None]:
        @functools.wraps(callback)
        def safe(*args: Any, **kwargs: Any) -> None:
            try:
                callback(*args, **kwargs)
            except Exception as error:  # noqa: BLE001 - the last place where it can be shown
                report(sentence_of(error))

        return safe

    return wrap
