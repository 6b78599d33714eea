"""Annotated types for the dwelling file: people write a text with its unit, the model holds an SI float."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from hvaclib.errors import HvacError, InputError
from hvaclib.units import Kind, kinds, parse_si

#: Validation context under which plain floats are taken as SI values (changes made in Python, not in a file).
SI_CONTEXT: dict[str, Any] = {"si": True}


def refusal(what: str, given: object = None, expected: str = "") -> PydanticCustomError:
    """Wrap one refusal of ours so that pydantic carries it, with its parts, to the sentence writer."""
    return PydanticCustomError("refusal", "{what}", {"what": what, "given": given, "expected": expected})


@dataclass(frozen=True)
class Measured:
    """A quantity typed as text with its unit; the limits are those beyond which the value must be a slip.

    Parameters
    ----------
    kind : Kind
        Kind of quantity.
    noun : str
        What people call it, with its article.
    example : str
        A good value with the unit used when the value is written back.
    lowest, highest : str
        Limits, inclusive, as text with unit.
    positive : bool
        Whether zero is refused.
    bare : bool
        Whether a number without a unit is accepted (shares and exponents).
    """

    kind: Kind
    noun: str
    example: str
    lowest: str
    highest: str
    positive: bool = False
    bare: bool = False

    @property
    def expected(self) -> str:
        """What a person should write here."""
        example = self.example if self.bare else f'"{self.example}"'
        more = "above 0 and up to" if self.positive else f"from {self.lowest} to"
        return f"{self.noun}, {more} {self.highest}, such as {example}"

    def validate(self, value: object, info: core_schema.ValidationInfo) -> float:
        """Turn the text into an SI float, or refuse with what was found and what is expected."""
        si = self._read(value, si_allowed=bool(info.context and info.context.get("si")))
        if not math.isfinite(si):
            raise refusal("not a finite number", value, self.expected)
        outside = si < self._limit(self.lowest) or si > self._limit(self.highest)
        if outside or (self.positive and si <= 0.0):
            raise refusal("out of range", self._as_found(value), self.expected)
        return si

    def _read(self, value: object, *, si_allowed: bool) -> float:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and (self.bare or si_allowed):
            return float(value)  # type: ignore[arg-type]
        if number:
            raise refusal("a number without its unit", value, self.expected)
        if not isinstance(value, str):
            raise refusal("not a quantity", value, self.expected)
        try:
            return parse_si(value, self.kind)
        except HvacError as error:
            raise refusal(error.what, value, self.expected) from error

    def _as_found(self, value: object) -> object:
        return value if isinstance(value, str) or self.bare else self.text(float(value))  # type: ignore[arg-type]

    def _limit(self, text: str) -> float:
        return parse_si(text, self.kind)

    def text(self, si: float) -> str:
        """Write the value back so that it reads back as the same float: the shortest text in a trade unit, else SI."""
        unit = self.example.partition(" ")[2]
        texts = [text for other in (unit, *_OTHER_UNITS.get(unit, ())) if (text := self._text_in(other, si))]
        return min(texts, key=len) if texts else self._si_text(si)

    def _text_in(self, unit: str, si: float) -> str:
        zero, one = parse_si(f"0 {unit}", self.kind), parse_si(f"1 {unit}", self.kind)
        number = (si - zero) / (one - zero)
        for digits in range(2, 18):
            text = f"{number:.{digits}g} {unit}".strip()
            if "e" not in text.partition(" ")[0] and parse_si(text, self.kind) == si:
                return text
        return ""

    def _si_text(self, si: float) -> str:
        text = f"{si!r} {self.kind.label('si') if self.kind.metric_unit == self.kind.si else self.kind.si}"
        if parse_si(text, self.kind) != si:
            raise InputError("has no text that reads back equal", where=self.kind.title, given=si)
        return text

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        """Validate by ``validate``; serialise as text."""
        return core_schema.with_info_plain_validator_function(
            self.validate,
            serialization=core_schema.plain_serializer_function_ser_schema(self._serialize, when_used="json"),
        )

    def _serialize(self, si: float) -> str | float:
        return si if self.bare else self.text(si)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe the text for editors that complete and check."""
        types = ["string", "number"] if self.bare else "string"
        example: object = float(self.example) if self.bare else self.example
        return {"type": types, "description": self.expected, "examples": [example]}


_OTHER_UNITS = {"ft": ("in",), "in": ("ft",), "sq in": ("sq ft",), "sq ft": ("sq in",)}

Height = Annotated[float, Measured(kinds.LENGTH, "a height above outdoor ground", "8 ft", "-40 ft", "100 ft")]
Distance = Annotated[float, Measured(kinds.LENGTH, "a length", "3 ft", "0 ft", "200 ft")]
Length = Annotated[float, Measured(kinds.LENGTH, "a length", "8 ft", "0 ft", "200 ft", positive=True)]
Gap = Annotated[float, Measured(kinds.LENGTH, "a gap", "0.5 in", "0 in", "6 in")]
Diameter = Annotated[float, Measured(kinds.LENGTH, "a diameter", "4 in", "0 in", "24 in", positive=True)]
Altitude = Annotated[
    float, Measured(kinds.LENGTH, "an altitude above sea level", "500 ft", "-1500 ft", "15000 ft")
]
FloorArea = Annotated[
    float, Measured(kinds.AREA, "a floor area", "400 sq ft", "0 sq ft", "20000 sq ft", positive=True)
]
OpeningArea = Annotated[
    float, Measured(kinds.AREA, "a free area", "40 sq in", "0 sq in", "20000 sq in", positive=True)
]
CrackArea = Annotated[float, Measured(kinds.AREA, "a crack area", "6 sq in", "0 sq in", "500 sq in")]
Flow = Annotated[
    float, Measured(kinds.VOLUME_FLOW, "an airflow", "150 cfm", "0 cfm", "10000 cfm", positive=True)
]
CurveFlow = Annotated[float, Measured(kinds.VOLUME_FLOW, "an airflow", "150 cfm", "0 cfm", "10000 cfm")]
CurvePressure = Annotated[
    float, Measured(kinds.PRESSURE_DIFFERENCE, "a pressure difference", "25 Pa", "0 Pa", "2000 Pa")
]
RoomTemperature = Annotated[
    float, Measured(kinds.TEMPERATURE, "a room temperature", "68 °F", "-20 °F", "130 °F")
]
OutdoorTemperature = Annotated[
    float, Measured(kinds.TEMPERATURE, "an outdoor temperature", "35 °F", "-60 °F", "130 °F")
]
WindSpeed = Annotated[float, Measured(kinds.SPEED, "a wind speed", "8 mph", "0 mph", "60 mph")]
WindDirection = Annotated[
    float,
    Measured(
        kinds.ANGLE, "the bearing the wind blows from, clockwise from north", "270 deg", "0 deg", "360 deg"
    ),
]
InputRate = Annotated[
    float, Measured(kinds.POWER, "an input rate", "40 kBtu/h", "0 kBtu/h", "400 kBtu/h", positive=True)
]
Share = Annotated[float, Measured(kinds.FRACTION, "a share", "0.25", "0", "1", bare=True)]
PositiveShare = Annotated[
    float, Measured(kinds.FRACTION, "a share", "0.25", "0", "1", positive=True, bare=True)
]
Blockage = Annotated[
    float,
    Measured(kinds.FRACTION, "the share of the vent's area that is blocked", "0.6", "0", "0.99", bare=True),
]
Exponent = Annotated[float, Measured(kinds.FRACTION, "a flow exponent", "0.65", "0.5", "1", bare=True)]
Efficiency = Annotated[float, Measured(kinds.FRACTION, "an efficiency", "0.78", "0.4", "0.99", bare=True)]
Oxygen = Annotated[
    float, Measured(kinds.FRACTION, "the share of oxygen in the dry flue gas", "0.06", "0", "0.18", bare=True)
]
Coefficient = Annotated[
    float, Measured(kinds.FRACTION, "a discharge coefficient", "0.6", "0.3", "1", bare=True)
]
StaticPressure = Annotated[
    float, Measured(kinds.GAUGE_PRESSURE, "a static pressure", "0.50 in. w.c.", "0 in. w.c.", "5 in. w.c.")
]
Loss = Annotated[
    float,
    Measured(
        kinds.GAUGE_PRESSURE, "a pressure loss", "0.12 in. w.c.", "0 in. w.c.", "5 in. w.c.", positive=True
    ),
]
Rise = Annotated[
    float,
    Measured(kinds.TEMPERATURE_DIFFERENCE, "a temperature rise", "45 °F", "0 °F", "200 °F", positive=True),
]
LossExponent = Annotated[float, Measured(kinds.FRACTION, "a loss exponent", "1.6", "1", "2", bare=True)]
DuctSide = Annotated[
    float, Measured(kinds.LENGTH, "a side of a duct", "14 in", "0 in", "60 in", positive=True)
]
DuctLength = Annotated[
    float, Measured(kinds.LENGTH, "a length of duct", "6 ft", "0 ft", "200 ft", positive=True)
]
