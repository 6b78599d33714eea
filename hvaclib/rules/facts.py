"""What a rule may depend on beside its own reading: the appliances, how they are vented, the start of the test."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal, get_args

from hvaclib.errors import InputError
from hvaclib.readings import nearest
from hvaclib.units import kinds

Stage = Literal["baseline", "worst case", "natural", "retest"]
Start = Literal["cold", "warm"]
Fuel = Literal["natural gas", "propane", "fuel oil", "wood", "pellets", "coal"]
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
    "solid-fuel stove",
    "fireplace",
]
Sharing = Literal[ApplianceKind, "nothing"]
YesNo = Literal["yes", "no"]
PlateFact = Literal[
    "rise_least",
    "rise_most",
    "maximum_static",
    "input",
    "manifold_pressure",
    "gas_supply_least",
    "gas_supply_most",
    "efficiency",
]

CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "stage": get_args(Stage),
        "start": get_args(Start),
        "fuel": get_args(Fuel),
        "appliance_kind": get_args(ApplianceKind),
        "vent_shared_with": get_args(Sharing),
        "vent_damper": get_args(YesNo),
        "condensing": get_args(YesNo),
    }
)
TITLES: Mapping[str, str] = MappingProxyType(
    {
        "stage": "the stage of the test",
        "start": "whether the vent was cold or warm at the start",
        "fuel": "the fuel",
        "appliance_kind": "the kind of appliance",
        "vent_shared_with": "what else is on the same vent",
        "vent_damper": "whether there is a vent damper",
        "condensing": "whether the appliance condenses",
        "outdoor_temperature": "the outdoor temperature",
        "zone": "the zone the appliance stands in",
        "rise_least": "the least temperature rise on the rating plate",
        "rise_most": "the greatest temperature rise on the rating plate",
        "maximum_static": "the maximum external static pressure on the rating plate",
        "input": "the rating plate's input for the altitude",
        "manifold_pressure": "the manifold pressure on the rating plate",
        "gas_supply_least": "the least gas supply pressure on the rating plate",
        "gas_supply_most": "the greatest gas supply pressure on the rating plate",
        "efficiency": "the steady-state efficiency on the rating plate",
    }
)
#: Facts that are a number, with their kind; a rule may take its limit from one of the plate's.
NUMBERS: Mapping[str, kinds.Kind] = MappingProxyType(
    {
        "outdoor_temperature": kinds.TEMPERATURE,
        "rise_least": kinds.TEMPERATURE_DIFFERENCE,
        "rise_most": kinds.TEMPERATURE_DIFFERENCE,
        "maximum_static": kinds.GAUGE_PRESSURE,
        "input": kinds.POWER,
        "manifold_pressure": kinds.GAUGE_PRESSURE,
        "gas_supply_least": kinds.GAUGE_PRESSURE,
        "gas_supply_most": kinds.GAUGE_PRESSURE,
        "efficiency": kinds.FRACTION,
    }
)
# A damper is rare and is seen at once; a missing answer means there is none.
WHEN_NOT_GIVEN: Mapping[str, str] = MappingProxyType({"vent_damper": "no"})


@dataclass(frozen=True, slots=True)
class Facts:
    """Facts about a visit that its rules may ask for.

    Parameters
    ----------
    common : mapping, optional
        Facts of the whole visit: 'start', 'fuel', 'outdoor_temperature' (K) and so on.
    appliances : mapping, optional
        Facts of each appliance by its name, which go before the common ones; 'zone' names the zone that it
        stands in, and ties the rules of a zone to the appliances in it. A fact with choices may hold
        several of them as a tuple.
    house : str, optional
        Name that readings of the whole house carry.

    Raises
    ------
    InputError
        If a fact is unknown or is none of its choices; the sentence names the nearest one.
    """

    common: Mapping[str, Any] = field(default_factory=dict)
    appliances: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    house: str = "house"

    def __post_init__(self) -> None:
        object.__setattr__(self, "common", MappingProxyType(_checked(self.common, "facts")))
        each = {
            name: MappingProxyType(_checked(row, f"facts of {name!r}"))
            for name, row in self.appliances.items()
        }
        object.__setattr__(self, "appliances", MappingProxyType(each))

    @classmethod
    def from_mapping(cls, mapping: Mapping[str, Any]) -> Facts:
        """Facts from one mapping with the common facts, and optionally 'appliances' and 'house'.

        Parameters
        ----------
        mapping : mapping

        Returns
        -------
        Facts
        """
        common = {key: value for key, value in mapping.items() if key not in ("appliances", "house")}
        return cls(common, mapping.get("appliances", {}), mapping.get("house", "house"))

    @property
    def zones(self) -> tuple[str, ...]:
        """Zones that the appliances stand in, each once, in order."""
        return tuple(dict.fromkeys(str(row["zone"]) for row in self.appliances.values() if "zone" in row))

    def places(self, place: str) -> tuple[str, ...]:
        """Names of the places of one sort that a reading may be expected from.

        Parameters
        ----------
        place : str
            "appliance", "zone", "house" or "test hole".

        Returns
        -------
        tuple of str
        """
        if place == "appliance":
            return tuple(self.appliances)
        if place == "test hole":
            return ()  # which holes there are, only their readings say
        return self.zones if place == "zone" else (self.house,)

    def beside(self, place: str, where: str) -> Iterator[Mapping[str, Any]]:
        """Facts, one mapping an appliance, that bear on a reading.

        Parameters
        ----------
        place, where : str
            Sort of place and its name.

        Yields
        ------
        mapping
            Common facts with the appliance's own before them: of the appliance itself, of each one in the
            zone, or of every one in the house; the common facts alone where no appliance is known.
        """
        if place == "appliance":
            chosen = [self.appliances[where]] if where in self.appliances else []
        elif place == "zone":
            chosen = [row for row in self.appliances.values() if row.get("zone") == where]
        else:
            chosen = list(self.appliances.values())
        for row in chosen or [{}]:
            yield {**WHEN_NOT_GIVEN, **self.common, **row}


def _checked(row: Mapping[str, Any], where: str) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for key, value in row.items():
        if key not in TITLES or key == "stage":
            known = [name for name in TITLES if name != "stage"]
            raise InputError("no such fact", where=where, given=str(key), expected=nearest(str(key), known))
        kept[key] = _value(key, value, f"{where}, {key}")
    return kept


def _value(key: str, value: object, where: str) -> object:
    if key in CHOICES:
        chosen = (
            (value,) if isinstance(value, str) else tuple(value) if isinstance(value, (tuple, list)) else ()
        )
        for each in chosen:
            if each not in CHOICES[key]:
                raise InputError(
                    "no such choice", where=where, given=each, expected=nearest(str(each), CHOICES[key])
                )
        if not chosen:
            raise InputError("no such choice", where=where, given=value, expected=nearest("", CHOICES[key]))
        return chosen
    if key == "zone":
        if not isinstance(value, str) or not value:
            raise InputError("must be the name of a zone", where=where, given=value)
        return value
    if (
        isinstance(value, bool)
        or not isinstance(value, (int, float))
        or not math.isfinite(value)
        or value < 0.0
    ):
        kind = NUMBERS[key]
        unit = f" in {kind.si}" if kind.si else ", such as 0.8"
        raise InputError(f"must be a {kind.title}{unit}", where=where, given=value)
    return float(value)
