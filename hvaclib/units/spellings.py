"""Tables of how people spell units, beyond pint's own spellings."""

from __future__ import annotations

from typing import Final

__all__ = ["DIFFERENCES", "NAMES", "PHRASES", "STRICT", "TEMPERATURES", "WHOLE"]

# Whole unit texts, compared without dots and in lower case.
WHOLE: Final = {
    "iwc": "inch_H2O",
    "wc": "inch_H2O",  # nobody measures gas or static pressure in feet of water
    "": "dimensionless",
    '"': "inch",
    "'": "foot",
    "°": "degree",
    "degrees": "degree",
    "% rh": "percent",
    "percent rh": "percent",
    "ach": "1/hour",
    "per hour": "1/hour",
    "/h": "1/hour",
    "/hr": "1/hour",
    "btuh": "Btu/hour",
    "kbtuh": "kBtu/hour",
    "mbtuh": "MBH",
    "oz/in²": "osi",
}

# Phrases inside a unit text, longest first: pattern without dots, lower case → pint's name.
PHRASES: Final = (
    (r"(?:in|inch|inches|\")\s*(?:of\s+)?(?:wc|w c|wg|w g|h2o|water(?:\s+column|\s+gauge)?)", "inch_H2O"),
    (r"(?:mm)\s*(?:of\s+)?(?:wc|h2o|water(?:\s+column)?)", "mmH2O"),
    (r"(?:in|inch|inches|\")\s*(?:of\s+)?(?:hg|mercury)", "inHg"),
    (r"(?:mm)\s*(?:of\s+)?(?:hg|mercury)", "mmHg"),
    (r"(?:sq|square)[\s_]*(in|inch|inches|ft|foot|feet|m|meter|metre|meters|cm|mm|yd)", r"\1**2"),
    (r"(?:cu|cubic)[\s_]*(in|inch|inches|ft|foot|feet|m|meter|metre|meters|cm|mm|yd)", r"\1**3"),
)

# Single unit names in lower case, where people differ from pint or do not mind capitals.
NAMES: Final[dict[str, str]] = {
    "pa": "Pa",
    "kpa": "kPa",
    "w": "W",
    "kw": "kW",
    "kwh": "kWh",
    "j": "J",
    "kj": "kJ",
    "a": "A",
    "ma": "mA",
    "v": "V",
    "amps": "ampere",
    "btu": "Btu",
    "btus": "Btu",
    "kbtu": "kBtu",
    "mbh": "MBH",
    "mmbtu": "MMBtu",
    "mmbtuh": "MMBtu/hour",
    "btuh": "BTUH",
    "hrs": "hour",
    "mins": "minute",
    "secs": "second",
    "lbs": "pound",
    "ach": "1/hour",
    "°": "degree",
    "deg": "degree",
    "pct": "percent",
    "inch": "inch",
    "inches": "inch",
    "kelvins": "kelvin",
    "μm": "micrometer",
    "µm": "micrometer",
}
NAMES.update(
    {name: name for name in ["in", "yd", "mi", "mph", "fpm", "cfm", "cfh", "psi", "psig", "psia", "ppm"]}
)
NAMES.update({"ft": "foot", "feet": "foot", "percent": "percent", "therms": "therm", "gal": "gallon"})

# As people write a temperature; the same sign serves for a difference. pint's own names are strict.
TEMPERATURES: Final = {
    "°f": "Fahrenheit",
    "f": "Fahrenheit",
    "deg f": "Fahrenheit",
    "degrees f": "Fahrenheit",
    "degrees fahrenheit": "Fahrenheit",
    "°c": "Celsius",
    "c": "Celsius",
    "deg c": "Celsius",
    "degrees c": "Celsius",
    "degrees celsius": "Celsius",
}
STRICT: Final = {"degf": "Fahrenheit", "fahrenheit": "Fahrenheit", "degree_fahrenheit": "Fahrenheit"} | {
    "degc": "Celsius",
    "celsius": "Celsius",
    "degree_celsius": "Celsius",
}
DIFFERENCES: Final = {
    prefix + name: scale
    for prefix in ("delta_", "delta ", "delta", "δ", "∆", "δ ")
    for name, scale in (TEMPERATURES | STRICT).items()
} | {"f°": "Fahrenheit", "c°": "Celsius", "°f difference": "Fahrenheit", "°c difference": "Celsius"}
