"""The firing board's answer: clocked rate, what the plate allows, what puts it right, pressure at the appliance."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.physics import air, gas_supply
from hvaclib.physics.gas_supply import FiringCorrection, Pipe, PipeState, PipeTree
from hvaclib.reference import value
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs

_SEA_LEVEL = value("air", "standard_atmosphere")
TOLERANCE = value("gas_piping", "firing", "tolerance")
CROSS_CHECK = value("gas_piping", "firing", "cross_check")
HEATING_VALUE_NEAR = value("gas_piping", "firing", "heating_value")
_WATCH = value("gas_piping", "firing", "watch")
FURNACE = "furnace"


@dataclass(frozen=True, slots=True)
class Gas:
    """What the kind of gas brings with it: defaults of the controls, and what is judged by.

    Attributes
    ----------
    words : str
        Its name.
    heating_value, manifold, adjustment, supply, least : str
        Heating value, plate pressure, range either way, pressure after the meter or regulator, least at the appliance.
    relative_density : float
        Air = 1.
    """

    words: str
    heating_value: str
    manifold: str
    adjustment: str
    supply: str
    least: float
    relative_density: float


def _inches(*keys: str) -> str:
    return f"{value('gas_piping', *keys)} in. w.c."


GASES = {
    "natural": Gas(
        "natural gas", "1025 Btu/ft³", _inches("manifold", "natural_gas"), _inches("manifold", "adjustment_natural_gas"),
        "7 in. w.c.", parse_si(_inches("supply", "natural_gas_least"), kinds.GAUGE_PRESSURE),
        value("gas_supply", "relative_density", "natural_gas"),
    ),
    "propane": Gas(
        "propane", "2516 Btu/ft³", _inches("manifold", "propane"), _inches("manifold", "adjustment_propane"),
        "11.5 in. w.c.", parse_si(_inches("supply", "propane_least"), kinds.GAUGE_PRESSURE),
        value("gas_supply", "relative_density", "propane"),
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FiringAnswer:
    """Everything that the page shows, in SI.

    Attributes
    ----------
    gas : Gas
        That burns.
    flow, factor, rate : float
        Clocked flow (m³/s), factor to base conditions, input rate (W).
    share : float
        Half width of the rate's uncertainty by the watch alone, share of the rate.
    allowed : dict of str to float or None
        Rate left at this altitude by each rule, W; none where the rule has no figure.
    wanted : float
        By the rule chosen, W.
    correction : FiringCorrection
        What puts it right.
    verdict : str
        "on rate", "over", "under", "too close to call" or "manifold".
    by_orifices : float
        Rate that the orifices would pass at the manifold pressure, W.
    drill : str
        Largest drill not above the orifice that would be right at the plate's pressure; empty where there is none.
    pipes : dict of str to PipeState
        The pipe tree with what burns now.
    """

    gas: Gas
    flow: float
    factor: float
    rate: float
    share: float
    allowed: dict[str, float | None]
    wanted: float
    correction: FiringCorrection
    verdict: str
    by_orifices: float
    drill: str
    pipes: dict[str, PipeState]

    @property
    def supply(self) -> float:
        """Pressure at the furnace with what burns now, Pa."""
        return self.pipes[FURNACE].pressure

    @property
    def disagreement(self) -> float:
        """Clocked rate over that by the orifices, less one."""
        return self.rate / self.by_orifices - 1.0

    @property
    def agrees(self) -> bool:
        """Whether meter and orifices tell the same; if not, one of them is misread or faulty."""
        return abs(self.disagreement) <= CROSS_CHECK

    @property
    def starved(self) -> bool:
        """Whether the furnace gets less pressure than it needs."""
        return self.supply < self.gas.least


def allowed_rates(plate: float, altitude: float) -> dict[str, float | None]:
    """What each altitude rule leaves of a plate's rate (W); none where the rule has no figure."""
    found: dict[str, float | None] = {}
    for name in gas_supply.ALTITUDE_RULES:
        try:
            found[name] = float(gas_supply.altitude_derate.si(input_rate=plate, altitude=altitude, rule=name))
        except InputError:  # the Canadian rule ends at 4500 ft; the page says "no figure"
            found[name] = None
    return found


def answer(inputs: Inputs) -> FiringAnswer:
    """Work out the answer; a millisecond or so."""
    gas = GASES[inputs.gas]
    corrected = inputs.counted == "base"
    flow = float(
        gas_supply.meter_flow.si(
            dial=parse_si(inputs.dial, kinds.VOLUME), time=inputs.time, turns=inputs.turns
        )
    )
    factor = 1.0
    if corrected:
        factor = float(
            gas_supply.volume_correction.si(
                gas_pressure=inputs.supply, gas_temperature=inputs.gas_temperature, altitude=inputs.altitude
            )
        )
    rate = flow * factor * inputs.heating_value
    allowed = allowed_rates(inputs.plate, inputs.altitude)
    wanted = allowed[inputs.rule]
    assert wanted is not None  # find_blockers has seen to it
    pipes = _pipes(inputs, gas, flow, factor).solve(inputs.supply, inputs.allowed_drop, inputs.others)
    diameter = gas_supply.drills()[round(inputs.drill)]
    correction = gas_supply.firing_correction.si(
        present_rate=rate,
        wanted_rate=wanted,
        present_pressure=inputs.manifold,
        plate_pressure=inputs.plate_pressure,
        adjustment=inputs.adjustment,
        supply_pressure=pipes[FURNACE].pressure,
        least_supply=gas.least,
        orifice=diameter,
    )
    share = _WATCH / inputs.time
    return FiringAnswer(
        gas, flow, factor, rate, share, allowed, wanted, correction, _verdict(correction, share),
        _by_orifices(inputs, gas, diameter, corrected), _drill(correction), pipes,
    )  # fmt: skip


def _verdict(correction: FiringCorrection, share: float) -> str:
    """Where the rate stands, with what the watch can tell; a rate that is right by a wrong manifold is told apart."""
    off, slack = correction.off_rate, share * (1.0 + correction.off_rate)
    if abs(off) > TOLERANCE + slack:
        return "over" if off > 0 else "under"
    if abs(off) > TOLERANCE - slack and abs(off) + slack > TOLERANCE:
        return "too close to call"
    return "on rate" if correction.remedy in ("none needed", "supply pressure") else "manifold"


def _by_orifices(inputs: Inputs, gas: Gas, diameter: float, corrected: bool) -> float:
    """Rate by the orifice formula; thin air at altitude makes the gas thinner too, by the root of its density."""
    each = float(
        gas_supply.orifice_flow.si(
            diameter=diameter, manifold_pressure=inputs.manifold, relative_density=gas.relative_density
        )
    )
    thin = math.sqrt(float(air.barometric_pressure.si(altitude=inputs.altitude)) / _SEA_LEVEL)
    return round(inputs.burners) * each * inputs.heating_value * (thin if corrected else 1.0 / thin)


def _drill(correction: FiringCorrection) -> str:
    right = correction.orifice_diameter
    assert right is not None  # the present one is given
    fitting = [number for number, size in gas_supply.drills().items() if size <= right * (1 + 1e-9)]
    return f"#{min(fitting)}" if fitting else ""


def _pipes(inputs: Inputs, gas: Gas, flow: float, factor: float) -> PipeTree:
    """The tree of the demo house: a trunk, the furnace's line, a branch to water heater and range.

    The volumes are those that the meter counts: in thin air more of it for the same heat (IRC G2413.2).
    """
    inside, foot = gas_supply.pipes(), 0.3048
    heat = factor * inputs.heating_value
    return PipeTree(
        [
            Pipe("trunk", "meter", inputs.trunk_length, inside[inputs.trunk_size]),
            Pipe(FURNACE, "trunk", inputs.furnace_length, inside[inputs.furnace_size], flow),
            Pipe("branch", "trunk", inputs.branch_length, inside[inputs.branch_size]),
            Pipe("water heater", "branch", 8 * foot, inside["1/2"], inputs.water_heater / heat),
            Pipe("range", "branch", 25 * foot, inside["1/2"], inputs.range / heat),
        ],
        gas.relative_density,
    )
