"""Kinds of quantity: what a number *is*, beyond its dimension.

A temperature and a temperature difference share a dimension and are two kinds; so are an absolute pressure and a
pressure difference, a fraction and an angle. A kind also says which unit the suite computes in (SI) and which units a
screen shows: the trade's ("field") or SI.
"""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = ["KINDS", "LABELS", "Kind"]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity.

    Parameters
    ----------
    name : str
        Key in `KINDS`, for example ``"VOLUME_FLOW"``.
    title : str
        What it is called in a sentence: ``"volume flow"``.
    si : str
        Unit of computation, in pint's spelling; floats inside the suite are in this unit.
    field_unit, metric_unit : str
        Units shown to people, in pint's spelling.
    examples : str
        How a person may type it; quoted in refusals.
    decimals : int
        Most decimals that `show` prints in field units.
    metric_decimals : int
        The same in SI.
    bare : bool
        Whether a number without a unit is understood.
    only : frozenset of str
        The units that are accepted, where the dimension does not tell (ratios and angles); empty for all.
    refused : frozenset of str
        Units of the same dimension that mean something else.
    """

    name: str
    title: str
    si: str
    field_unit: str
    metric_unit: str
    examples: str
    decimals: int = 2
    metric_decimals: int = 2
    bare: bool = False
    only: frozenset[str] = field(default=frozenset())
    refused: frozenset[str] = field(default=frozenset())

    def __hash__(self) -> int:
        return hash(self.name)

    def __str__(self) -> str:
        return self.title

    def __repr__(self) -> str:
        return f"<Kind {self.name}>"

    @property
    def expected(self) -> str:
        """What a refusal says is expected: ``"a length such as 10 ft, 6 ft 8 in or 3 m"``."""
        article = "an" if self.title[0] in "aeiou" else "a"
        return f"{article} {self.title} such as {self.examples}"

    def unit(self, system: str = "field") -> str:
        """Unit shown in the system ``"field"`` or ``"si"``, in pint's spelling."""
        return self.metric_unit if system == "si" else self.field_unit

    def label(self, system: str = "field") -> str:
        """The same unit as people write it, for labels and axes; empty for a plain number."""
        unit = self.unit(system)
        return LABELS.get(unit, unit)


LABELS = {
    "": "",
    "inch": "in",
    "foot": "ft",
    "meter": "m",
    "millimeter": "mm",
    "inch**2": "sq in",
    "foot**2": "sq ft",
    "meter**2": "m²",
    "centimeter**2": "cm²",
    "foot**3": "ft³",
    "meter**3": "m³",
    "pascal": "Pa",
    "pascal/meter": "Pa/m",
    "inch_H2O": "in. w.c.",
    "degree_Fahrenheit": "°F",
    "degree_Celsius": "°C",
    "delta_degree_Fahrenheit": "°F",
    "kelvin": "K",
    "cfm": "cfm",
    "cfh": "ft³/h",
    "liter/second": "L/s",
    "meter**3/hour": "m³/h",
    "meter**3/second": "m³/s",
    "pound/hour": "lb/h",
    "kilogram/hour": "kg/h",
    "kilogram/meter**3": "kg/m³",
    "Btu/hour": "Btu/h",
    "kBtu/hour": "kBtu/h",
    "watt": "W",
    "kilowatt": "kW",
    "Btu": "Btu",
    "megajoule": "MJ",
    "therm": "therm",
    "percent": "%",
    "ppm": "ppm",
    "fpm": "fpm",
    "mph": "mph",
    "meter/second": "m/s",
    "second": "s",
    "hour": "h",
    "gallon/hour": "gal/h",
    "liter/hour": "L/h",
    "minute": "min",
    "degree": "°",
    "Btu/hour/foot**2/delta_degree_Fahrenheit": "Btu/(h·ft²·°F)",
    "watt/meter**2/kelvin": "W/(m²·K)",
    "Btu/hour/foot/delta_degree_Fahrenheit": "Btu/(h·ft·°F)",
    "watt/meter/kelvin": "W/(m·K)",
    "Btu/pound/delta_degree_Fahrenheit": "Btu/(lb·°F)",
    "kilojoule/kilogram/kelvin": "kJ/(kg·K)",
    "Btu/foot**3": "Btu/ft³",
    "megajoule/meter**3": "MJ/m³",
    "micropascal*second": "µPa·s",
    "1/hour": "per hour",
    "ampere": "A",
    "volt": "V",
    "volt_ampere": "VA",
    "kilogram": "kg",
    "pound": "lb",
    "gram/mole": "g/mol",
    "kilojoule/mole": "kJ/mol",
}

_RATIO = frozenset({"dimensionless", "percent"})

LENGTH = Kind("LENGTH", "length", "meter", "foot", "meter", "10 ft, 6 ft 8 in or 3 m")
SIZE = Kind("SIZE", "size", "meter", "inch", "millimeter", "4 in, 1 1/2 in or 100 mm", 3, 1)
AREA = Kind("AREA", "area", "meter**2", "inch**2", "centimeter**2", "50 sq in, 2 sq ft or 320 cm²", 1, 0)
FLOOR_AREA = Kind("FLOOR_AREA", "floor area", "meter**2", "foot**2", "meter**2", "1200 sq ft or 110 m²", 0, 1)
VOLUME = Kind("VOLUME", "volume", "meter**3", "foot**3", "meter**3", "5000 ft³ or 140 m³", 1, 2)
PRESSURE = Kind(
    "PRESSURE",
    "absolute pressure",
    "pascal",
    "pascal",
    "pascal",
    "29.92 in. Hg, 14.7 psia or 101325 Pa",
    0,
    0,
    refused=frozenset({"psig", "osi"}),
)
PRESSURE_DIFFERENCE = Kind(
    "PRESSURE_DIFFERENCE",
    "pressure difference",
    "pascal",
    "pascal",
    "pascal",
    "-3 Pa or 0.02 in. w.c.",
    refused=frozenset({"psia"}),
)
GAUGE_PRESSURE = Kind(
    "GAUGE_PRESSURE",
    "pressure above the surrounding air",
    "pascal",
    "inch_H2O",
    "pascal",
    "3.5 in. w.c., 2 psig or 870 Pa",
    4,
    1,
    refused=frozenset({"psia"}),
)
TEMPERATURE = Kind(
    "TEMPERATURE",
    "temperature",
    "kelvin",
    "degree_Fahrenheit",
    "degree_Celsius",
    "70 °F, 70 degF or 21 °C",
    1,
    1,
)
TEMPERATURE_DIFFERENCE = Kind(
    "TEMPERATURE_DIFFERENCE",
    "temperature difference",
    "kelvin",
    "delta_degree_Fahrenheit",
    "kelvin",
    "50 °F, 50 delta_degF or 28 K",
    1,
    1,
)
VOLUME_FLOW = Kind(
    "VOLUME_FLOW", "air flow", "meter**3/second", "cfm", "liter/second", "50 cfm, 50 ft³/min or 24 L/s", 1, 1
)
GAS_FLOW = Kind(
    "GAS_FLOW", "gas flow", "meter**3/second", "cfh", "meter**3/hour", "40 ft³/h, 40 cfh or 1.1 m³/h", 2, 3
)
MASS_FLOW = Kind(
    "MASS_FLOW", "mass flow", "kilogram/second", "pound/hour", "kilogram/hour", "60 lb/h or 27 kg/h", 2, 2
)
DRAIN_FLOW = Kind(
    "DRAIN_FLOW", "water flow", "meter**3/second", "gallon/hour", "liter/hour", "0.5 gal/h or 2 L/h", 2, 2
)
MASS = Kind("MASS", "mass", "kilogram", "pound", "kilogram", "10 lb or 4.5 kg")
DENSITY = Kind(
    "DENSITY",
    "density",
    "kilogram/meter**3",
    "kilogram/meter**3",
    "kilogram/meter**3",
    "0.075 lb/ft³ or 1.2 kg/m³",
    4,
    4,
)
POWER = Kind("POWER", "heat or power", "watt", "Btu/hour", "watt", "40000 Btu/h, 40 kBtu/h or 12 kW", 0, 0)
CAPACITY = Kind("CAPACITY", "capacity", "watt", "kBtu/hour", "kilowatt", "40 kBtu/h, 40 MBH or 12 kW", 1, 2)
ENERGY = Kind("ENERGY", "energy", "joule", "Btu", "megajoule", "1000 Btu, 1 therm or 1 kWh", 1, 3)
FRACTION = Kind(
    "FRACTION", "fraction", "", "percent", "percent", "80 % or 0.8", 2, 2, bare=True, only=_RATIO | {"ppm"}
)
CONCENTRATION = Kind(
    "CONCENTRATION", "concentration", "", "ppm", "ppm", "35 ppm", 1, 1, only=frozenset({"ppm", "percent"})
)
DIMENSIONLESS = Kind(
    "DIMENSIONLESS", "plain number", "", "", "", "0.61 or 61 %", 4, 4, bare=True, only=_RATIO
)
SPEED = Kind("SPEED", "air speed", "meter/second", "fpm", "meter/second", "600 fpm or 3 m/s", 0, 2)
WIND_SPEED = Kind(
    "WIND_SPEED", "wind speed", "meter/second", "mph", "meter/second", "10 mph or 4.5 m/s", 1, 1
)
TIME = Kind("TIME", "time", "second", "second", "second", "35 s, 5 min or 1 min 30 s", 1, 1)
HOURS = Kind("HOURS", "time in hours", "second", "hour", "hour", "8 h or 30 min", 1, 1)
ANGLE = Kind(
    "ANGLE",
    "angle",
    "radian",
    "degree",
    "degree",
    "270 deg",
    1,
    1,
    only=frozenset({"degree", "radian", "turn"}),
)
U_VALUE = Kind(
    "U_VALUE",
    "heat transfer coefficient",
    "watt/meter**2/kelvin",
    "Btu/hour/foot**2/delta_degree_Fahrenheit",
    "watt/meter**2/kelvin",
    "0.4 Btu/(h·ft²·°F) or 2.3 W/(m²·K)",
    3,
    3,
)
CONDUCTIVITY = Kind(
    "CONDUCTIVITY",
    "thermal conductivity",
    "watt/meter/kelvin",
    "Btu/hour/foot/delta_degree_Fahrenheit",
    "watt/meter/kelvin",
    "0.015 Btu/(h·ft·°F) or 0.026 W/(m·K)",
    5,
    5,
)
SPECIFIC_HEAT = Kind(
    "SPECIFIC_HEAT",
    "specific heat",
    "joule/kilogram/kelvin",
    "Btu/pound/delta_degree_Fahrenheit",
    "kilojoule/kilogram/kelvin",
    "0.24 Btu/(lb·°F) or 1.006 kJ/(kg·K)",
    4,
    4,
)
VISCOSITY = Kind(
    "VISCOSITY", "dynamic viscosity", "pascal*second", "micropascal*second", "micropascal*second", "18.2 µPa·s", 3, 3
)  # fmt: skip
HEATING_VALUE = Kind(
    "HEATING_VALUE",
    "heating value of a gas volume",
    "joule/meter**3",
    "Btu/foot**3",
    "megajoule/meter**3",
    "1025 Btu/ft³ or 38 MJ/m³",
    0,
    2,
)
MOLAR_MASS = Kind(
    "MOLAR_MASS", "molar mass", "kilogram/mole", "gram/mole", "gram/mole", "17.4 g/mol or 17.4 kg/kmol", 4, 4
)
MOLAR_HEAT = Kind(
    "MOLAR_HEAT", "heat of an amount of gas", "joule/mole", "kilojoule/mole", "kilojoule/mole", "891.5 kJ/mol", 2, 2
)  # fmt: skip
AIR_CHANGES = Kind(
    "AIR_CHANGES",
    "air change rate",
    "1/second",
    "1/hour",
    "1/hour",
    "0.35 /h or 0.35 ACH",
    3,
    3,
    refused=frozenset({"revolutions_per_minute", "hertz"}),
)
CURRENT = Kind("CURRENT", "electric current", "ampere", "ampere", "ampere", "0.40 A or 400 mA", 3, 3)
VOLTAGE = Kind("VOLTAGE", "voltage", "volt", "volt", "volt", "120 V", 1, 1)
APPARENT_POWER = Kind("APPARENT_POWER", "apparent power", "watt", "volt_ampere", "volt_ampere", "40 VA", 1, 1)

KINDS: dict[str, Kind] = {kind.name: kind for kind in list(globals().values()) if isinstance(kind, Kind)}
