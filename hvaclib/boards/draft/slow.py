"""The slow work of the draft board in parts: a pause is yielded as None, the result last."""

from __future__ import annotations

from collections.abc import Iterator

from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.steady import Start
from hvaclib.procedures.ranking import Ranking, ranking
from hvaclib.procedures.remedies import Acceptable, Remedy, remedies
from hvaclib.procedures.worst_case import WorstCase, worst_case


def ranking_parts(
    dwelling: Dwelling, setup: Setup, appliance: str | None, start: Start
) -> Iterator[Ranking | None]:
    yield None
    yield ranking(dwelling, setup, appliance, start)


def test_parts(dwelling: Dwelling, setup: Setup, start: Start) -> Iterator[WorstCase | None]:
    yield None
    yield worst_case(dwelling, setup, start)


def remedy_parts(rank: Ranking, acceptable: Acceptable, start: Start) -> Iterator[Remedy | None]:
    yield None
    yield from remedies(rank, acceptable, start)
