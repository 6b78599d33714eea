"""A rule set as its file holds it: pydantic models with every check that needs only the file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from hvaclib.errors import InputError
from hvaclib.readings import VOCABULARY, Measurable, measurable
from hvaclib.rules.conformity import Bounds
from hvaclib.rules.facts import NUMBERS, ApplianceKind, Fuel, PlateFact, Sharing, Stage, Start, YesNo
from hvaclib.rules.limits import Limit, Strict
from hvaclib.rules.sides import Side, si, sides_of
from hvaclib.units import kinds

FORMAT = "hvaclib rule set 1"
Severity = Literal["stop and call", "fail", "look again", "note"]
CONDITIONS = ("start", "fuel", "appliance_kind", "vent_shared_with", "vent_damper", "condensing")
"""Conditions of a rule that a fact of the visit answers with one of its choices."""

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

    @cached_property
    def range(self) -> tuple[float, float]:
        """Ends of the band, K; infinite where open."""
        low = si(self.start, kinds.TEMPERATURE, "from") if self.start is not None else float("-inf")
        high = si(self.end, kinds.TEMPERATURE, "to") if self.end is not None else float("inf")
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
    condensing: _choice(YesNo) = None  # type: ignore[valid-type]
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
        sides = self.sides
        if self.plate_facts and (
            len(sides) < 2 or sides[0].fact != sides[1].fact or sides[0].plus or sides[1].plus
        ):
            return  # only the plate can tell
        trial: dict[str, Any] = dict.fromkeys(self.plate_facts, 1.0)
        for temperature in self.outdoor_temperatures or (0.0,):
            bounds = self.bounds(temperature, trial)
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
        return bool(self.outdoor_temperatures)

    @property
    def unverified(self) -> bool:
        """Whether the source was recalled and not read."""
        return "from memory" in self.source

    @cached_property
    def plate_facts(self) -> tuple[PlateFact, ...]:
        """Names of the facts on the rating plate that the rule takes its limits from."""
        return self.limit.plate_facts

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The sides of the limit in SI; none for an answer with yes or no."""
        kind = self.measurable.kind
        return () if kind is None else sides_of(self.limit, kind)

    @cached_property
    def asks(self) -> tuple[tuple[str, frozenset[str]], ...]:
        """What the rule asks of the facts: name and allowed choices."""
        named = ((name, getattr(self.applies, name)) for name in CONDITIONS)
        return tuple((name, frozenset(allowed)) for name, allowed in named if allowed is not None)

    @cached_property
    def unconditional(self) -> bool:
        """Whether it holds at every place, whatever the facts."""
        band = self.applies.outdoor_temperature
        return not (self.asks or self.plate_facts or self.follows_outdoors or band is not None)

    @cached_property
    def outdoor_temperatures(self) -> tuple[float, ...]:
        """Outdoor temperatures, K, at which a limit bends; none where none follows the outdoor temperature."""
        return tuple(point[0] for side in self.sides if side.follows_outdoors for point in side.points)

    @cached_property
    def _always(self) -> Bounds | None:
        """The limits where they are constant."""
        varies = self.follows_outdoors or self.plate_facts
        return None if varies else self._bounds(0.0, {}, 0.0)

    def bounds(
        self,
        outdoor_temperature: float,
        facts: Mapping[str, Any] | None = None,
        outdoor_uncertainty: float = 0.0,
    ) -> Bounds:
        """Limits in SI at an outdoor temperature, beside the facts of an appliance.

        Parameters
        ----------
        outdoor_temperature : float
            K; without effect on a constant limit.
        facts : mapping, optional
            Facts of the appliance, SI; those of `plate_facts` must be among them.
        outdoor_uncertainty : float, optional
            Standard uncertainty of the outdoor temperature, K; a limit that follows it takes over its share.

        Returns
        -------
        Bounds
        """
        return self._always or self._bounds(outdoor_temperature, facts or {}, outdoor_uncertainty)

    def _bounds(self, outdoors: float, facts: Mapping[str, Any], of_outdoors: float) -> Bounds:
        given: dict[str, Any] = {}
        for side in self.sides:
            end = "upper" if side.upper else "lower"
            given[end] = side.at(outdoors, facts)
            given[f"{end}_open"] = side.open
            given[f"{end}_uncertainty"] = side.uncertainty(outdoors, of_outdoors)
        return Bounds(**given)


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

    @cached_property
    def range(self) -> tuple[float, float]:
        """Highest probability that fails and lowest that passes, 0 to 1."""
        low = si(self.fails_up_to, kinds.FRACTION, "fails_up_to")
        return low, si(self.passes_from, kinds.FRACTION, "passes_from")


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
