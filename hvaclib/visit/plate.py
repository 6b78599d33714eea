"""An appliance of a job: rating plate, blower's table and vent, as a visit's file holds them."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from hvaclib.errors import HvacError, InputError
from hvaclib.units import kinds, parse_si

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
Text = Annotated[str, Field(max_length=2_000)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
Pair = Annotated[tuple[Text, Text], Field(strict=False)]


class Strict(BaseModel):
    """Unknown keys are refused, and nothing changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    def __reduce__(self) -> tuple[Any, ...]:
        # From process to process: the values alone, without what was worked out of them.
        return _rebuilt, (type(self), tuple(map(self.__dict__.__getitem__, _fields(type(self)))))


@lru_cache(maxsize=64)
def _fields(model: type[BaseModel]) -> tuple[str, ...]:
    return tuple(model.model_fields)


def _rebuilt(model: type[BaseModel], values: tuple[Any, ...]) -> BaseModel:
    """A record of values that were checked before, in the order of its fields."""
    made = model.__new__(model)
    names = _fields(model)
    object.__setattr__(made, "__dict__", dict(zip(names, values, strict=True)))
    object.__setattr__(made, "__pydantic_fields_set__", set(names))
    object.__setattr__(made, "__pydantic_extra__", None)
    object.__setattr__(made, "__pydantic_private__", None)
    return made


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
                    parsed(text, kind, key if number == 0 else f"{key}[{number + 1}]")
        for pair in (self.rise, self.gas_supply):
            if pair is not None and not self._pair_rises(pair):
                raise InputError(
                    "the range is empty",
                    where="rise" if pair is self.rise else "gas_supply",
                    given=" to ".join(pair),
                    expected="the smaller value first",
                )
        for row, (static, flow) in enumerate(self.blower, start=1):
            parsed(static, kinds.GAUGE_PRESSURE, f"blower[{row}]")
            parsed(flow, kinds.VOLUME_FLOW, f"blower[{row}]")
        if self.vent is not None:
            for key in ("diameter", "height", "lateral"):
                if getattr(self.vent, key):
                    parsed(getattr(self.vent, key), kinds.LENGTH, f"vent.{key}")
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


def _texts(value: Any) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else ("" if value is None else value,)


def parsed(text: str, kind: kinds.Kind, where: str) -> float:
    """A number with its unit in SI.

    Parameters
    ----------
    text : str
    kind : Kind
    where : str
        What a refusal names.

    Returns
    -------
    float

    Raises
    ------
    UnitError, InputError
        If it cannot be read.
    """
    try:
        return parse_si(text, kind)
    except HvacError as error:
        raise type(error)(error.what, where=where, given=error.given, expected=error.expected) from None
