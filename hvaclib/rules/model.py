"""A rule set as its file holds it: pydantic models with every check that needs only the file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cached_property
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from hvaclib.errors import HvacError, InputError
from hvaclib.readings import VOCABULARY, Measurable, measurable
from hvaclib.rules.conformity import Bounds
from hvaclib.rules.facts import NUMBERS, ApplianceKind, Fuel, PlateFact, Sharing, Stage, Start, YesNo
from hvaclib.rules.limits import SIDES, Limit, Line, PlateLimit, Strict
from hvaclib.units import kinds, parse_si

FORMAT = "hvaclib rule set 1"
Severity = Literal["stop and call", "fail", "look again", "note"]

Sentence = Annotated[str, Field(min_length=2, pattern=r"[.!]$")]


class Band(Strict):
    """Outdoor temperatures within which a rule applies; an end left out is open."""

    start: str | None = Field(default=None, alias="from")
    end: str | None = Field(default=None, alias="to")

    @model_validator(mode="after")
    def _rising(self) -> Band:
        low, high = self.range
        if not low < high:
            raise InputError(
                "the band is empty", given=f"{self.start} to {self.end}", expected="from below to"
            )
        return self

    @property
    def range(self) -> tuple[float, float]:
        """Ends of the band, K; infinite where open."""
        low = _si(self.start, kinds.TEMPERATURE, "from") if self.start is not None else float("-inf")
        high = _si(self.end, kinds.TEMPERATURE, "to") if self.end is not None else float("inf")
        return low, high


def _choice(kind: Any) -> Any:
    return Annotated[tuple[kind, ...], Field(min_length=1, strict=False)] | None


class Applies(Strict):
    """Conditions of a rule; all must hold, and each holds when one of its choices does."""

    stage: _choice(Stage) = None  # type: ignore[valid-type]
    start: _choice(Start) = None  # type: ignore[valid-type]
    fuel: _choice(Fuel) = None  # type: ignore[valid-type]
    appliance_kind: _choice(ApplianceKind) = None  # type: ignore[valid-type]
    vent_shared_with: _choice(Sharing) = None  # type: ignore[valid-type]
    vent_damper: _choice(YesNo) = None  # type: ignore[valid-type]
    outdoor_temperature: Band | None = None


class Rule(Strict):
    """One rule: what must hold, where it applies, where it comes from and what to do."""

    id: str = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")
    title: str = Field(min_length=3)
    quantity: str = Field(json_schema_extra={"enum": [*sorted(VOCABULARY)]})
    applies: Applies = Applies()
    limit: Limit
    severity: Severity
    source: str = Field(min_length=5)
    do: Annotated[tuple[Sentence, ...], Field(strict=False)] = ()
    cautions: Annotated[tuple[Sentence, ...], Field(strict=False)] = ()
    note: str = ""
    group: str = ""
    required: bool = True

    @model_validator(mode="after")
    def _consistent(self) -> Rule:
        thing = measurable(self.quantity)
        answered = self.limit.answer is not None or self.limit.note_when is not None
        if thing.yes_or_no != answered:
            expected = "is or note_when" if thing.yes_or_no else "below, at_most, above or at_least"
            raise InputError(f"the limit does not suit {self.quantity!r}", where="limit", expected=expected)
        if (self.limit.note_when is not None) != (self.severity == "note") and answered:
            raise InputError(
                "note_when goes with the severity 'note', and is with the others",
                where="severity",
                given=self.severity,
            )
        if self.severity != "note" and not self.do:
            raise InputError("missing key", where="do", expected="at least one sentence that says what to do")
        self._check_limits(thing)
        return self

    def _check_limits(self, thing: Measurable) -> None:
        if thing.kind is None:
            return
        for name in self.plate_facts:
            if NUMBERS[name] is not thing.kind:
                raise InputError(
                    f"this fact is no limit of {self.quantity!r}",
                    where="limit",
                    given=name,
                    expected=f"a fact that is a {thing.kind.title}",
                )
        if self.plate_facts:
            return
        temperatures = self._temperatures()
        for temperature in temperatures or (0.0,):
            bounds = self.bounds(temperature)
            if not bounds.lower < bounds.upper:
                raise InputError(
                    "nothing can be within these limits",
                    where="limit",
                    expected="the lower one below the upper",
                )

    @property
    def measurable(self) -> Measurable:
        """Entry of the vocabulary that the rule is about."""
        return measurable(self.quantity)

    @property
    def follows_outdoors(self) -> bool:
        """Whether a limit of the rule changes with the outdoor temperature."""
        return bool(self._temperatures())

    @property
    def unverified(self) -> bool:
        """Whether the source was recalled and not read."""
        return "from memory" in self.source

    @property
    def plate_facts(self) -> tuple[PlateFact, ...]:
        """Names of the facts on the rating plate that the rule takes its limits from."""
        return self.limit.plate_facts

    @cached_property
    def _limits(self) -> dict[str, tuple[tuple[float, float], ...]]:
        """Each limit in SI as points (outdoor temperature, value); one point when it is constant."""
        kind = self.measurable.kind
        if kind is None:
            return {}
        given = {name: getattr(self.limit, name) for name in SIDES}
        return {
            name: _points(value, kind, f"limit.{name}")
            for name, value in given.items()
            if value is not None and not isinstance(value, PlateLimit)
        }

    def _temperatures(self) -> tuple[float, ...]:
        return tuple(point[0] for points in self._limits.values() if len(points) > 1 for point in points)

    def bounds(self, outdoor_temperature: float, facts: Mapping[str, Any] | None = None) -> Bounds:
        """Limits in SI at an outdoor temperature, beside the facts of an appliance.

        Parameters
        ----------
        outdoor_temperature : float
            K; without effect on a constant limit.
        facts : mapping, optional
            Facts of the appliance, SI; those of `plate_facts` must be among them.

        Returns
        -------
        Bounds
        """
        at = {name: _along(points, outdoor_temperature) for name, points in self._limits.items()}
        for name in SIDES:
            side = getattr(self.limit, name)
            if isinstance(side, PlateLimit):
                at[name] = float((facts or {})[side.fact])
        return Bounds(
            lower=at.get("above", at.get("at_least", float("-inf"))),
            upper=at.get("below", at.get("at_most", float("inf"))),
            lower_open="above" in at,
            upper_open="below" in at,
        )


class Decision(Strict):
    """Between which probabilities of conformance a reading is too close to call."""

    fails_up_to: str
    passes_from: str
    source: str = Field(min_length=5)

    @model_validator(mode="after")
    def _ordered(self) -> Decision:
        low, high = self.range
        if not 0.0 <= low <= high <= 1.0 or low == high == 0.0 or low == high == 1.0:
            raise InputError(
                "the probabilities are out of order",
                given=f"{self.fails_up_to} to {self.passes_from}",
                expected="0 % to 100 %, fails_up_to not above passes_from",
            )
        return self

    @property
    def range(self) -> tuple[float, float]:
        """Highest probability that fails and lowest that passes, 0 to 1."""
        low = _si(self.fails_up_to, kinds.FRACTION, "fails_up_to")
        return low, _si(self.passes_from, kinds.FRACTION, "passes_from")


class RuleSet(Strict):
    """A versioned set of rules and the way to decide near their limits."""

    format: Literal["hvaclib rule set 1"]
    name: str = Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")
    title: str = Field(min_length=3)
    version: str = Field(pattern=r"^\d+\.\d+(\.\d+)?$")
    description: str = ""
    decision: Decision
    rule: Annotated[tuple[Rule, ...], Field(min_length=1, strict=False)]

    @model_validator(mode="after")
    def _distinct(self) -> RuleSet:
        seen: set[str] = set()
        for rule in self.rule:
            if rule.id in seen:
                raise InputError(
                    "two rules have the same id", where="rule", given=rule.id, expected="each id once"
                )
            seen.add(rule.id)
        return self

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules in the order of the file."""
        return self.rule

    @cached_property
    def digest(self) -> str:
        """SHA-256, in hexadecimal, of what the set says.

        Notes
        -----
        Taken of the content as JSON with sorted keys and without values left at their defaults, so that
        layout, comments and the order of keys do not change it, and any word, limit or source does.
        """
        content = self.model_dump(mode="json", by_alias=True, exclude_defaults=True)
        text = json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _si(text: str, kind: kinds.Kind, where: str) -> float:
    try:
        return parse_si(text, kind)
    except HvacError as error:
        raise InputError(error.what, where=where, given=error.given, expected=error.expected) from None


def _points(value: str | Line, kind: kinds.Kind, where: str) -> tuple[tuple[float, float], ...]:
    if isinstance(value, str):
        return ((0.0, _si(value, kind, where)),)
    points = tuple(
        (_si(at, kinds.TEMPERATURE, f"{where}.points"), _si(limit, kind, f"{where}.points"))
        for at, limit in value.points
    )
    if any(later[0] <= earlier[0] for earlier, later in pairwise(points)):
        raise InputError(
            "the temperatures of the line do not rise", where=f"{where}.points", expected="coldest first"
        )
    return points


def _along(points: tuple[tuple[float, float], ...], at: float) -> float:
    """Value of a line at a place, held at its ends."""
    if at <= points[0][0] or len(points) == 1:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[-1][1]
