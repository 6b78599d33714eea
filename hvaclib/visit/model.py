"""A visit as its file holds it: pydantic models with every check that needs only the file."""

from __future__ import annotations

import datetime as dt
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from hvaclib.errors import HvacError, InputError
from hvaclib.units import kinds, parse_si, show
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.clock import clock

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

LOWEST, HIGHEST = -500.0, 6000.0
"""m: bounds of the altitude of a house."""
FORMAT: Literal["hvaclib visit 1"] = "hvaclib visit 1"

ApplianceKind = Literal[
    "draft-hood water heater",
    "draft-hood furnace",
    "draft-hood boiler",
    "fan-assisted water heater",
    "fan-assisted furnace",
    "fan-assisted boiler",
    "two-pipe sealed water heater",
    "two-pipe sealed furnace",
    "two-pipe sealed boiler",
]
Fuel = Literal["natural gas", "propane", "fuel oil"]
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
Text = Annotated[str, Field(max_length=2_000)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
Pair = Annotated[tuple[Text, Text], Field(strict=False)]


class Strict(BaseModel):
    """Unknown keys are refused, and nothing changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


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
        if self.altitude and not LOWEST <= _parsed(self.altitude, kinds.LENGTH, "altitude") <= HIGHEST:
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


class VentNote(Strict):
    """The vent of an appliance, as far as the sheet has it."""

    kind: Literal["double-wall", "single-wall", "masonry", "lined masonry"] = "double-wall"
    diameter: Text = ""
    height: Text = ""
    lateral: Text = "0 ft"
    elbows: Annotated[int, Field(ge=0, le=12)] = 2


class Appliance(Strict):
    """An appliance of the job with its rating plate and its vent.

    Notes
    -----
    ``input_at_altitude`` is what plate or instructions give for the altitude of the job, where they do.
    """

    name: Name
    kind: ApplianceKind
    fuel: Fuel
    zone: Name
    is_new: bool = Field(default=True, alias="new")
    condensing: bool = False
    input: Text = ""
    input_at_altitude: Text = ""
    efficiency: Text = ""
    rise: Pair | None = None
    maximum_static: Text = ""
    manifold_pressure: Text = ""
    gas_supply: Pair | None = None
    blower: Annotated[tuple[Pair, ...], Field(strict=False, max_length=40)] = ()
    vent: VentNote | None = None
    vent_shared_with: Text = ""
    vent_damper: bool = False
    start: Literal["cold", "warm"] = "cold"

    @model_validator(mode="after")
    def _plate(self) -> Appliance:
        for key, kind in PLATE.items():
            for number, text in enumerate(_texts(getattr(self, key))):
                if text:
                    _parsed(text, kind, key if number == 0 else f"{key}[{number + 1}]")
        for pair in (self.rise, self.gas_supply):
            if pair is not None and not self._pair_rises(pair):
                raise InputError(
                    "the range is empty",
                    where="rise" if pair is self.rise else "gas_supply",
                    given=" to ".join(pair),
                    expected="the smaller value first",
                )
        for row, (static, flow) in enumerate(self.blower, start=1):
            _parsed(static, kinds.GAUGE_PRESSURE, f"blower[{row}]")
            _parsed(flow, kinds.VOLUME_FLOW, f"blower[{row}]")
        if self.vent is not None:
            for key in ("diameter", "height", "lateral"):
                if getattr(self.vent, key):
                    _parsed(getattr(self.vent, key), kinds.LENGTH, f"vent.{key}")
        return self

    def _pair_rises(self, pair: tuple[str, str]) -> bool:
        kind = PLATE["rise"] if pair is self.rise else PLATE["gas_supply"]
        return parse_si(pair[0], kind) <= parse_si(pair[1], kind)

    def si(self, key: str) -> float | None:
        """A number of the plate in SI; ``None`` where the sheet has none.

        Parameters
        ----------
        key : str
            "input", "input_at_altitude", "efficiency", "maximum_static" or "manifold_pressure".
        """
        text = getattr(self, key)
        return parse_si(text, PLATE[key]) if text else None

    def range_si(self, key: str) -> tuple[float, float] | None:
        """A range of the plate in SI: "rise" or "gas_supply"; ``None`` where the sheet has none."""
        pair = getattr(self, key)
        return None if pair is None else (parse_si(pair[0], PLATE[key]), parse_si(pair[1], PLATE[key]))

    @property
    def blower_table(self) -> tuple[tuple[float, float], ...]:
        """The blower's table: external static pressure (Pa) and airflow (m³/s)."""
        return tuple(
            (parse_si(static, kinds.GAUGE_PRESSURE), parse_si(flow, kinds.VOLUME_FLOW))
            for static, flow in self.blower
        )


PLATE = {
    "input": kinds.POWER,
    "input_at_altitude": kinds.POWER,
    "efficiency": kinds.FRACTION,
    "rise": kinds.TEMPERATURE_DIFFERENCE,
    "maximum_static": kinds.GAUGE_PRESSURE,
    "manifold_pressure": kinds.GAUGE_PRESSURE,
    "gas_supply": kinds.GAUGE_PRESSURE,
}
"""Kind of each number on the rating plate."""


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

    def __reduce__(self) -> tuple[Callable[..., Entry], tuple[Any, ...]]:
        # A visit has a hundred of them: this is what goes from process to process.
        return _entry, tuple(map(self.__dict__.__getitem__, _FIELDS))

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


def _texts(value: Any) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else ("" if value is None else value,)


def _parsed(text: str, kind: kinds.Kind, where: str) -> float:
    try:
        return parse_si(text, kind)
    except HvacError as error:
        raise type(error)(error.what, where=where, given=error.given, expected=error.expected) from None
