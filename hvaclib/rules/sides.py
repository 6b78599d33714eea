"""The two sides of a limit in SI: constant, along the outdoor temperature, or from the rating plate."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from hvaclib.errors import HvacError, InputError
from hvaclib.rules.limits import SIDES, Limit, Line, PlateLimit
from hvaclib.units import kinds, parse_si

UPPER = ("below", "at_most")
"""Sides that hold from above."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a limit, SI.

    Parameters
    ----------
    name : str
        "below", "at_most", "above" or "at_least".
    points : tuple of (float, float)
        Outdoor temperature (K) and limit; one point where it is constant, none where the plate has it.
    fact : str
        Fact on the rating plate; empty where the rule set has the limit.
    times, plus : float
        The limit is the fact times the one plus the other.
    """

    name: str
    points: tuple[tuple[float, float], ...] = ()
    fact: str = ""
    times: float = 1.0
    plus: float = 0.0

    @property
    def upper(self) -> bool:
        """Whether it holds from above."""
        return self.name in UPPER

    @property
    def open(self) -> bool:
        """Whether a value at the limit is outside."""
        return self.name in ("below", "above")

    @property
    def follows_outdoors(self) -> bool:
        """Whether it changes with the outdoor temperature."""
        return len(self.points) > 1

    def at(self, outdoors: float, facts: Mapping[str, Any]) -> float:
        """The limit.

        Parameters
        ----------
        outdoors : float
            Outdoor temperature, K.
        facts : mapping
            Facts of the appliance, SI.

        Returns
        -------
        float
            SI.
        """
        if self.fact:
            return self.times * float(facts[self.fact]) + self.plus
        return _along(self.points, outdoors)

    def uncertainty(self, outdoors: float, of_outdoors: float) -> float:
        """Standard uncertainty that the limit takes over from the outdoor temperature.

        Parameters
        ----------
        outdoors, of_outdoors : float
            Outdoor temperature and its standard uncertainty, K.

        Returns
        -------
        float
            SI: the slope of the line times the uncertainty, by a step of the uncertainty to both sides, so that a bend of
            the line counts with its share.

        References
        ----------
        JCGM 100:2008 (GUM), 5.1.3, note 2, from memory.
        """
        if not self.follows_outdoors or not of_outdoors:
            return 0.0
        warm, cold = (_along(self.points, outdoors + step) for step in (of_outdoors, -of_outdoors))
        return 0.5 * abs(warm - cold)


def sides_of(limit: Limit, kind: kinds.Kind) -> tuple[Side, ...]:
    """The sides of a limit, read once.

    Parameters
    ----------
    limit : Limit
        As the file holds it.
    kind : hvaclib.units.Kind
        Kind of what is limited.

    Returns
    -------
    tuple of Side

    Raises
    ------
    InputError
        If a text is not what its place needs; the sentence names the key.
    """
    found = []
    for name in SIDES:
        value = getattr(limit, name)
        if value is not None:
            found.append(_side(name, value, kind))
    return tuple(found)


def _side(name: str, value: str | Line | PlateLimit, kind: kinds.Kind) -> Side:
    if isinstance(value, str):
        return Side(name, ((0.0, si(value, kind, f"limit.{name}")),))
    if isinstance(value, Line):
        return Side(name, _points(value, kind, f"limit.{name}.points"))
    width = kinds.TEMPERATURE_DIFFERENCE if kind is kinds.TEMPERATURE else kind
    times = 1.0 if value.times is None else si(value.times, kinds.FRACTION, f"limit.{name}.times")
    if times <= 0.0:
        raise InputError(
            "a share of nothing", where=f"limit.{name}.times", given=value.times, expected="above 0 %"
        )
    plus = 0.0 if value.plus is None else si(value.plus, width, f"limit.{name}.plus")
    return Side(name, (), value.fact, times, plus)


def si(text: str, kind: kinds.Kind, where: str) -> float:
    """A text of the file in SI; a refusal names the key.

    Parameters
    ----------
    text : str
        Number with its unit.
    kind : hvaclib.units.Kind
        What it must be.
    where : str
        Key in the file.

    Returns
    -------
    float
    """
    try:
        return parse_si(text, kind)
    except HvacError as error:
        raise InputError(error.what, where=where, given=error.given, expected=error.expected) from None


def _points(value: Line, kind: kinds.Kind, where: str) -> tuple[tuple[float, float], ...]:
    points = tuple((si(at, kinds.TEMPERATURE, where), si(limit, kind, where)) for at, limit in value.points)
    if any(later[0] <= earlier[0] for earlier, later in pairwise(points)):
        raise InputError("the temperatures of the line do not rise", where=where, expected="coldest first")
    return points


def _along(points: tuple[tuple[float, float], ...], at: float) -> float:
    """Value of a line at a place, held at its ends."""
    if at <= points[0][0] or len(points) == 1:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[-1][1]
