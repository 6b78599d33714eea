"""The what-if board's inputs, and what it keeps: fits, and answers along each control; no widget in here."""

from __future__ import annotations

from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar

from hvaclib.boards.base import Choice, Inputs, MemberChoice, Number, Page, Switch, Upload
from hvaclib.boards.dwelling_choice import LOADED, DwellingBoard, house_choice
from hvaclib.boards.what_if import page
from hvaclib.boards.what_if.house import exhaust_of, keep, key_of, outdoors_of, within
from hvaclib.boards.what_if.work import KINDS, TITLES, Curve, answer_parts, curve_parts, rest
from hvaclib.review.fit import Fit, dwelling_from_visit, fit
from hvaclib.review.fit.source import Source, source_of, source_of_dwelling, source_of_visit
from hvaclib.review.what_if import Changes, WhatIf
from hvaclib.rules import RuleSet, available, load
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.visit import Visit

MADE = "made"
WORST = "worst"
_HOUSES = house_choice(
    "passes",
    {
        "passes": "demo: a sound house, invented readings",
        "closed_door_fails": "demo: a shut basement door, invented readings",
        "blocked_vent": "demo: a blocked vent, invented readings",
    },
)


@lru_cache(maxsize=8)
def _rules(name: str) -> RuleSet:
    return load(name)


@dataclass(frozen=True, slots=True)
class Known:
    """What the board knows for the present inputs.

    Attributes
    ----------
    source : Source
        House and record.
    fit : Fit or None
        None while the house is being fitted.
    changes : Changes
        What is asked.
    control : str
        Control along which the pictures are drawn.
    here : float
        Its present value, SI.
    start : float
        Its value on the day of the visit, SI.
    answer : WhatIf or None
        None while it is being worked out.
    curve : Curve or None
        None while it is being worked out.
    """

    source: Source
    fit: Fit | None
    changes: Changes
    control: str
    here: float
    start: float
    answer: WhatIf | None
    curve: Curve | None


class WhatIfBoard(DwellingBoard):
    """A house fitted to its readings, asked what a change would do."""

    title = "What if, of this house?"
    question = (
        "Would it still draw on a colder or a milder day, with a larger range hood, with a door shut, with a new liner, "
        "with an opening for combustion air?"
    )
    name = "what-if"
    uploads: ClassVar[tuple[Upload, ...]] = (
        Upload("visit", "Load a visit", ".toml,.json,.csv,.xlsx", 5_000_000),
        Upload("dwelling", "Load a dwelling file", ".toml", 1_000_000),
    )
    house = Choice(
        {**_HOUSES.options, MADE: "a simple house made from the visit that you load"},
        "passes", label="House", group="House",
    )  # fmt: skip
    use_visit = Switch(False, label="Readings of the visit that you load", group="House")
    outdoor = Number(
        kinds.TEMPERATURE,
        "35 °F",
        low="-10 °F",
        high="95 °F",
        step=1,
        label="Outdoor temperature",
        group="What if",
    )
    exhaust = Number(
        kinds.VOLUME_FLOW, "100 cfm", low="20 cfm", high="1200 cfm", step=10, label="Largest exhaust fan, airflow",
        help="Its rating; it delivers the share of it that the fans of this house were found to deliver.", group="What if",
    )  # fmt: skip
    door = MemberChoice(label="Doors during the test", group="What if")
    new_liner = Switch(False, label="Put a new liner or vent in", group="What if")
    liner = Number(
        kinds.SIZE, "4 in", low="3 in", high="8 in", step=0.5, label="Its inside diameter", group="What if"
    )
    opening = Number(
        kinds.AREA, "0 sq in", low="0 sq in", high="200 sq in", step=5, group="What if",
        label="Combustion-air opening, free area", help="From the appliance zone to outdoors.",
    )  # fmt: skip
    axis = Choice(
        TITLES, "outdoor", label="Pictures drawn against", group="View",
        help="Follows the control that was moved last.",
    )  # fmt: skip
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def __init__(self, **values: Any) -> None:
        self.visit: Visit | None = None
        self._fits: dict[Source, Fit] = {}
        self._curves: dict[Any, Curve] = {}
        self._answers: dict[Any, WhatIf] = {}
        super().__init__(**values)
        for control in KINDS:
            self.observe(self._follow, names=control)

    def _follow(self, change: Any) -> None:
        """Draw the pictures against what was moved; a new diameter means a new liner."""
        self.axis = change["name"]
        if change["name"] == "liner":
            self.new_liner = True

    # -- the house and its record -------------------------------------------------------------------------------

    @property
    def dwelling(self) -> Dwelling | None:
        """The dwelling that the fit starts from; the simple one where only a visit is known."""
        if self.house == MADE:
            return None if self.visit is None else dwelling_from_visit(self.visit).dwelling
        return super().dwelling

    @property
    def source(self) -> Source | None:
        """House and record; None where one of them is not loaded yet."""
        dwelling = self.dwelling
        if dwelling is None or (self.use_visit and self.visit is None):
            return None
        if self.visit is not None and (self.house == MADE or self.use_visit):
            made = source_of_visit(self.visit)
            return made if self.house == MADE else made.with_dwelling(dwelling)
        return source_of_dwelling(dwelling, dwelling.name)

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to what the house has and to the day of the visit."""
        source = self._source_or_none()
        outdoors = dwelling.weather.outdoor_temperature if source is None else outdoors_of(source, dwelling)
        self.set_default("outdoor", within(type(self).outdoor, outdoors))
        self.set_default("exhaust", within(type(self).exhaust, exhaust_of(dwelling)))
        bore = min((vent.diameter for vent in dwelling.vents), default=type(self).liner.low)
        self.set_default("liner", within(type(self).liner, bore))
        self.opening, self.new_liner = 0.0, False
        inner = [door.name for door in dwelling.doors if not door.outer]
        options = {WORST: "as they stand at the worst case"}
        for name in inner:
            options |= {f"shut:{name}": f"{name} shut", f"open:{name}": f"{name} open"}
        self.set_options("door", options, WORST)
        self.axis = "outdoor"

    def _source_or_none(self) -> Source | None:
        from hvaclib.errors import HvacError

        try:
            return self.source
        except HvacError:
            return None  # `find_blockers` says why

    def find_blockers(self, inputs: Inputs) -> list[str]:
        """Why there is no answer: no file yet, or no fan whose airflow could be drawn against."""
        if (self.house == MADE or self.use_visit) and self.visit is None:
            return ["No visit is loaded yet: load the file of one, or choose a demo house."]
        if self.dwelling is None:
            return self.no_dwelling()
        assert self.source is not None  # refusals of a file without readings come from here
        if inputs.axis == "exhaust" and not exhaust_of(self.dwelling):
            return ["No fan of this house blows outdoors: there is no exhaust airflow to draw against."]
        return []

    # -- the answer ---------------------------------------------------------------------------------------------

    def compute(self, inputs: Inputs) -> Known:
        """What is known already for these inputs: nothing is solved here, so that the page follows the hand."""
        source = self.source
        assert source is not None  # find_blockers has seen to it
        return self._known(source, inputs)

    def _known(self, source: Source, inputs: Inputs) -> Known:
        changes, control = self._changes(inputs), inputs.axis
        fitted, rules = self._fits.get(source), _rules(inputs.rule_set)
        here = float(inputs[control])
        curve = self._curves.get((source, inputs.rule_set, control, key_of(rest(changes, control))))
        answer = self._answers.get((source, inputs.rule_set, key_of(changes)))
        if answer is None and curve is not None and fitted is not None:
            answer = curve.at(here, fitted, rules)
        return Known(source, fitted, changes, control, here, float(self.default_of(control)), answer, curve)

    def _changes(self, inputs: Inputs) -> Changes:
        def moved(name: str) -> float | None:
            return None if abs(inputs[name] - self.default_of(name)) < 1e-9 else float(inputs[name])

        how, _, name = inputs.door.partition(":")
        return Changes(
            outdoor=moved("outdoor"),
            exhaust=moved("exhaust"),
            doors={name: how == "open"} if name else {},
            liner=float(inputs.liner) if inputs.new_liner else None,
            opening=float(inputs.opening) or None,
        )

    def compute_later(self, inputs: Inputs, outputs: Known) -> Iterator[Any]:
        """Fit the house, work out the answer, then the curve that is drawn, then the others; with pauses."""
        source, rules = outputs.source, _rules(inputs.rule_set)
        if source not in self._fits:
            yield self._known(source, inputs)
            self._fits[source] = fit(source.dwelling, source.record)
            yield self._known(source, inputs)
        fitted, changes = self._fits[source], self._changes(inputs)

        def answer(asked: Changes) -> Generator[None, None, WhatIf]:
            key = (source, inputs.rule_set, key_of(asked))
            for part in () if key in self._answers else answer_parts(fitted, asked, rules):
                if part is None:
                    yield None
                else:
                    keep(self._answers, key, part)
            return self._answers[key]

        yield from answer(changes)
        yield self._known(source, inputs)
        for control in sorted(KINDS, key=lambda name: name != inputs.axis):
            if control == "exhaust" and not exhaust_of(fitted.start):
                continue
            place = (source, inputs.rule_set, control, key_of(rest(changes, control)))
            if place in self._curves:
                continue
            for part in curve_parts(control, changes, float(self.default_of(control)), answer):
                if part is not None:
                    keep(self._curves, place, part)
                else:
                    yield None
            if control == inputs.axis:
                yield self._known(source, inputs)
        yield self._known(source, inputs)

    def present(self, inputs: Inputs, outputs: Known | None, later: Known | None) -> Page:
        """Words, pictures and tables for the page."""
        return page.page_of(inputs, later or outputs, _rules(inputs.rule_set))

    # -- files --------------------------------------------------------------------------------------------------

    def receive(self, upload: str, filename: str, content: bytes) -> str:
        """Take a visit or a dwelling file."""
        if upload == "dwelling":
            return super().receive(upload, filename, content)
        source = source_of(content, filename)
        if source.dwelling is not None:
            return super().receive("dwelling", filename, content)
        self.visit = source.record  # type: ignore[assignment]  # a source without a dwelling has a visit
        if self.house == LOADED:
            self.use_visit = True
        else:
            self.house = MADE
        self._furnish()
        return f"Loaded: {source.name}, {len(self.visit.entry)} entries."  # type: ignore[union-attr]

    def saved_extra(self) -> dict[str, Any]:
        """Keep the loaded dwelling and visit with the settings."""
        from hvaclib.visit import to_text

        kept = super().saved_extra()
        return kept if self.visit is None else {**kept, "visit": to_text(self.visit, "json")}

    def restore_extra(self, extra: Mapping[str, Any]) -> None:
        """Bring a saved dwelling and visit back."""
        if "visit" in extra:
            from hvaclib.visit import from_text

            self.visit = from_text(str(extra["visit"]), "saved settings")
            self._furnish()
        super().restore_extra(extra)
