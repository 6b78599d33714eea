"""A law between readings, and how far a sheet is from it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import LawFigures, laws, sheet_figures

if TYPE_CHECKING:
    from hvaclib.review.plausibility.sheet import Name, Sheet, Value

Residual = Callable[..., float]


@dataclass(frozen=True, slots=True)
class Check:
    """A law as one sheet can be held against it.

    Parameters
    ----------
    law : LawFigures
        The law.
    names : tuple of Name
        The readings that it ties together.
    residual : callable
        Of their values in that order; zero where the law holds.
    model : float
        Standard uncertainty of the law itself, in the unit of the residual.
    """

    law: LawFigures
    names: tuple[Name, ...]
    residual: Residual
    model: float

    def score(self, values: Mapping[Name, Value]) -> float:
        """Residual over its combined standard uncertainty.

        Parameters
        ----------
        values : mapping of Name to Value

        Returns
        -------
        float
            Zero where the law holds.

        References
        ----------
        JCGM 100:2008 (GUM), 5.1.3, with the differences of note 2 in place of derivatives.
        """
        found = [values[name] for name in self.names]
        numbers = [each.x for each in found]
        off = self.residual(*numbers)
        if off == 0.0:
            return 0.0
        square = self.model * self.model
        for place, each in enumerate(found):
            numbers[place] = each.x + each.u
            square += (self.residual(*numbers) - off) ** 2
            numbers[place] = each.x
        return off / math.sqrt(square)


@dataclass(frozen=True, slots=True)
class Law:
    """A law of the registry.

    Parameters
    ----------
    key : str
        Its name in ``laws.toml``.
    find : callable
        Of a sheet and the law's figures: every place where the sheet can be held against it.
    """

    key: str
    find: Callable[[Sheet, LawFigures], Iterator[Check]]

    def checks(self, sheet: Sheet) -> Iterator[Check]:
        """Every place where a sheet can be held against the law."""
        return self.find(sheet, laws()[self.key])


@lru_cache(maxsize=256)
def threshold(checks: int) -> float:
    """Score that a sound sheet with so many checks passes once in the stated number of times.

    Notes
    -----
    Šidák: 1 − (1 − a)^(1/n) for each of n checks, both sides of a normal distribution. Instrument errors are bounded, so
    that the true rate is lower.

    Examples
    --------
    >>> round(threshold(1), 3)
    2.576
    """
    each = 1.0 - (1.0 - sheet_figures().false_alarm) ** (1.0 / max(checks, 1))
    return NormalDist().inv_cdf(1.0 - each / 2.0)


def outside(value: float, low: float, high: float) -> float:
    """How far a value is outside a band; negative below it, zero inside."""
    if value < low:
        return value - low
    return value - high if value > high else 0.0


def log_ratio(one: float, other: float, least: float) -> float:
    """Logarithm of a ratio; what is below the least value counts as that."""
    return math.log(max(one, least) / max(other, least))
