"""What ``wall`` says: pairs too close with rule and distance, the share allowed, the nearest place allowed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hvaclib.cli import settings

if TYPE_CHECKING:
    from hvaclib.physics.terminations import Judged
    from hvaclib.plots.style import System


def report_of(judged: Judged, system: System, assumed: dict[str, str]) -> tuple[dict[str, Any], bool]:
    """The report of a wall that JSON can hold, and whether everything in it is met.

    Parameters
    ----------
    judged : Judged
        The wall with what the rules say of it.
    system : {"field", "si"}
        Units of words and tables.
    assumed : dict
        What was taken as on the board.
    """
    from hvaclib.boards.base import Page, PageTable
    from hvaclib.boards.terminations.page import CAUTIONS
    from hvaclib.boards.terminations.words import row_of, sources_of, words_of

    page = Page(
        answer=words_of(judged, system),
        verdict="pass" if judged.met else "fail",
        cautions=CAUTIONS,
        tables=[PageTable("Clearances that are broken", [row_of(lack, system) for lack in judged.lacks])],
        sources=sources_of(judged),
    )
    return settings.content(page, assumed, _numbers(judged)), judged.met


def _numbers(judged: Judged) -> dict[str, Any]:
    """Pairs with their distances, m, the share of the wall, places as m along and m up."""
    pairs = [
        {
            "terminal": lack.terminal.name,
            "neighbour": lack.neighbour.name,
            "rule": lack.rule.id,
            "column": lack.rule.column,
            "certainty": lack.rule.certainty,
            "direction": lack.direction,
            "needed_m": lack.needed,
            "present_m": lack.present,
        }
        for lack in judged.lacks
    ]
    return {
        "too_close": pairs,
        "covers": [item.name for item in judged.covered],
        "share_allowed": None if judged.region is None else judged.region.share,
        "at_m": None if judged.terminal is None else list(judged.terminal.centre),
        "allowed_here": judged.stands,
        "nearest_allowed_m": None if judged.nearest is None else list(judged.nearest),
    }
