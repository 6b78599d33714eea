"""What a reading must be, as a rule's file says it: a text with unit, a line along outdoor temperature, a plate's fact."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag, model_validator

from hvaclib.errors import InputError
from hvaclib.rules.facts import PlateFact, YesNo


class Strict(BaseModel):
    """Base of every table of a rule set: frozen, unknown keys and conversions refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


SIDES = ("below", "at_most", "above", "at_least")
"""Keys of a limit that hold a number."""

Point = Annotated[tuple[str, str], Field(strict=False)]


class Line(Strict):
    """A limit that follows the outdoor temperature: straight between points, held at the ends."""

    along: Literal["outdoor_temperature"]
    points: Annotated[tuple[Point, ...], Field(min_length=2, strict=False)]


class PlateLimit(Strict):
    """A limit that stands on the appliance's rating plate: a fact of the visit, not of the rule set.

    Notes
    -----
    The limit is the fact times ``times`` (a share such as "102 %") plus ``plus`` (of the quantity's kind).
    """

    fact: PlateFact
    times: str | None = None
    plus: str | None = None


def _tag(value: object) -> str:
    if isinstance(value, PlateLimit) or (
        isinstance(value, dict) and not PlateLimit.model_fields.keys().isdisjoint(value)
    ):
        return "plate"
    return "line" if isinstance(value, (dict, Line)) else "text"


Value = Annotated[
    Annotated[str, Tag("text")] | Annotated[Line, Tag("line")] | Annotated[PlateLimit, Tag("plate")],
    Discriminator(_tag),
]


class Limit(Strict):
    """What the reading must be: one limit or a lower and an upper one; or an answer; or when to note it."""

    below: Value | None = None
    at_most: Value | None = None
    above: Value | None = None
    at_least: Value | None = None
    answer: YesNo | None = Field(default=None, alias="is")
    note_when: YesNo | None = None

    @property
    def plate_facts(self) -> tuple[PlateFact, ...]:
        """Names of the facts on the rating plate that the limits are taken from."""
        sides = (getattr(self, name) for name in SIDES)
        return tuple(side.fact for side in sides if isinstance(side, PlateLimit))

    @model_validator(mode="after")
    def _one_of_each(self) -> Limit:
        for pair in (("below", "at_most"), ("above", "at_least")):
            if all(getattr(self, name) is not None for name in pair):
                raise InputError("two limits on the same side", expected=f"either {pair[0]} or {pair[1]}")
        answers = [name for name in (self.answer, self.note_when) if name is not None]
        numbers = [name for name in (self.below, self.at_most, self.above, self.at_least) if name is not None]
        if len(answers) + bool(numbers) != 1:
            raise InputError(
                "a limit needs exactly one meaning",
                expected="below or at_most, above or at_least, or both sides; or is; or note_when",
            )
        return self
