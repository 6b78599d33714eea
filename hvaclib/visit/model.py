"""A visit as its file holds it: pydantic models with every check that needs only the file."""

from __future__ import annotations

import datetime as dt
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from hvaclib.errors import InputError
from hvaclib.units import kinds, parse_si, show
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.clock import clock
from hvaclib.visit.plate import Appliance, Name, Strict, Text, parsed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

LOWEST, HIGHEST = -500.0, 6000.0
"""m: bounds of the altitude of a house."""
FORMAT: Literal["hvaclib visit 1"] = "hvaclib visit 1"

Scope = Literal[
    "cooling coil",
    "condensate pump",
    "liner",
    "chimney",
    "side wall",
    "ducts sealed",
    "ducts cleaned",
    "anticipator",
    "solid fuel",
    "above living space",
]


class Job(Strict):
    """Which job it is, who did it, and what belonged to it."""

    id: Name
    contractor: Name
    technician: Text = ""
    client: Text = ""
    address: Text = ""
    date: Annotated[dt.date, Field(strict=False)]
    altitude: Text = "0 ft"
    scope: Annotated[tuple[Scope, ...], Field(strict=False)] = ()
    rooms: Annotated[tuple[Name, ...], Field(strict=False)] = ()
    invented: bool = False

    @model_validator(mode="after")
    def _on_land(self) -> Job:
        if self.altitude and not LOWEST <= parsed(self.altitude, kinds.LENGTH, "altitude") <= HIGHEST:
            raise InputError(
                "no house stands there",
                where="altitude",
                given=self.altitude,
                expected=f"{show(LOWEST, kinds.LENGTH)} to {show(HIGHEST, kinds.LENGTH)}",
            )
        return self

    @cached_property
    def altitude_si(self) -> float:
        """Altitude, m."""
        return parse_si(self.altitude, kinds.LENGTH) if self.altitude else 0.0


class InstrumentNote(Strict):
    """An instrument as the sheet names it; its accuracy goes before that of the usual one."""

    name: Name
    measures: Name
    accuracy: Text = ""
    resolution: Text = ""
    checked: Text = ""


class Entry(Strict):
    """What the sheet says about one item at one place.

    Notes
    -----
    ``value`` is "yes" or "no", text, the name of a photo file, or a number with its unit; empty when the sheet says that
    it was not taken. ``bound`` tells that the instrument only showed 'less than' or 'more than' the value.
    """

    item: Name
    value: Text = ""
    where: Text = ""
    when: Text = ""
    at: Text = ""
    bound: Literal["", "less than", "more than"] = ""
    instrument: Text = ""
    note: Text = ""
    photo: Text = ""
    found_as: Text = ""

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:  # noqa: ARG002 - pydantic's
        """A copy, with other values where `update` has them; every field is text, so that it is always a deep one."""
        values = {**self.__dict__, **update} if update else self.__dict__
        return _entry(*map(values.__getitem__, _FIELDS))  # type: ignore[return-value]

    @model_validator(mode="after")
    def _known(self) -> Entry:
        item(self.item)
        if self.at and clock(self.at) is None:
            raise InputError(
                "not a time of day", where="at", given=self.at, expected="hours and minutes, as 14:05"
            )
        return self

    @property
    def line(self) -> Item:
        """The line of the record that it answers."""
        return item(self.item)

    @property
    def taken(self) -> bool:
        """Whether there is an answer at all."""
        return bool(self.value or self.photo)

    @property
    def stage(self) -> str:
        """Stage of the test: its own, or that of the item."""
        return self.when or self.line.stage

    @property
    def place(self) -> str:
        """Title, place and stage, as a sentence names them."""
        parts = [part for part in (self.where, self.when) if part]
        return self.line.title + (f" ({', '.join(parts)})" if parts else "")


def _entry(*values: str) -> Entry:
    """An entry of values that were checked before, in the order of its fields."""
    made = Entry.__new__(Entry)
    object.__setattr__(made, "__dict__", dict(zip(_FIELDS, values, strict=True)))
    object.__setattr__(made, "__pydantic_fields_set__", _ALL)
    object.__setattr__(made, "__pydantic_extra__", None)
    object.__setattr__(made, "__pydantic_private__", None)
    return made


_FIELDS = tuple(Entry.model_fields)
_ALL = set(_FIELDS)


class Visit(Strict):
    """The record of one replacement job."""

    format: Literal["hvaclib visit 1"] = FORMAT
    job: Job
    appliance: Annotated[tuple[Appliance, ...], Field(min_length=1, max_length=12, strict=False)]
    instrument: Annotated[tuple[InstrumentNote, ...], Field(max_length=40, strict=False)] = ()
    entry: Annotated[tuple[Entry, ...], Field(max_length=2_000, strict=False)] = ()

    def __reduce__(self) -> tuple[Callable[..., Visit], tuple[Any, ...]]:
        # From process to process: a hundred entries as one list of texts are packed in a quarter of the time.
        texts = [text for each in self.entry for text in map(each.__dict__.__getitem__, _FIELDS)]
        return _visit, (self.job, self.appliance, self.instrument, texts)

    @model_validator(mode="after")
    def _coherent(self) -> Visit:
        names = [each.name for each in self.appliance]
        for name in names:
            if names.count(name) > 1:
                raise InputError("two appliances have the same name", where="appliance", given=name)
        for each in self.appliance:
            if each.vent_shared_with and (
                each.vent_shared_with not in names or each.vent_shared_with == each.name
            ):
                raise InputError(
                    "no other appliance has that name",
                    where=f'appliance "{each.name}", vent_shared_with',
                    given=each.vent_shared_with,
                    expected="the name of the other appliance on the vent",
                )
        return self

    @property
    def name(self) -> str:
        """Id of the job."""
        return self.job.id

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy, with other values where `update` has them; see pydantic."""
        copied = super().model_copy(update=update, deep=deep)
        for derived in (
            "places",
            "_by_item",
        ):  # the copy would keep those of the entries that it was made from
            copied.__dict__.pop(derived, None)
        return copied

    @cached_property
    def places(self) -> dict[str, tuple[str, ...]]:
        """Names of the places of each sort that an entry may be of."""
        from hvaclib.readings import TEST_HOLES

        return {
            "house": ("house",),
            "appliance": tuple(each.name for each in self.appliance),
            "zone": tuple(dict.fromkeys(each.zone for each in self.appliance)),
            "room": self.job.rooms,
            "test hole": TEST_HOLES,
        }

    def entries(self, key: str, where: str | None = None, when: str | None = None) -> tuple[Entry, ...]:
        """Entries of one item in the order of the sheet.

        Parameters
        ----------
        key : str
            Name of the item.
        where, when : str, optional
            Only those of this place, of this stage.

        Returns
        -------
        tuple of Entry
        """
        return tuple(
            each
            for each in self._by_item.get(key, ())
            if (where is None or each.where == where) and (when is None or each.stage == when)
        )

    @cached_property
    def _by_item(self) -> dict[str, list[Entry]]:
        found: dict[str, list[Entry]] = {}
        for each in self.entry:
            found.setdefault(each.item, []).append(each)
        return found


def _visit(
    job: Job, appliance: tuple[Appliance, ...], instrument: tuple[InstrumentNote, ...], texts: list[str]
) -> Visit:
    """A visit of parts that were checked before; the texts are those of its entries, one after the other."""
    rows = zip(*[iter(texts)] * len(_FIELDS), strict=True)
    entry = tuple(_entry(*row) for row in rows)
    return Visit.model_construct(
        format=FORMAT, job=job, appliance=appliance, instrument=instrument, entry=entry
    )
