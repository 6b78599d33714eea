"""The condensate-and-controls board's answer, in SI: water to the drain, the 24 V circuit, the way back from a setback."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.physics import condensate, controls, flue_gas
from hvaclib.physics.fuel import fuel
from hvaclib.reference import value
from hvaclib.units import kinds, parse_si

if TYPE_CHECKING:
    from hvaclib.boards.base import Inputs
    from hvaclib.physics.condensate import PumpDuty
    from hvaclib.physics.controls import TransformerLoad

FUELS = ("natural gas", "propane")
TUBES = {name: parse_si(f"{name} in", kinds.SIZE) for name in ("1/4", "3/8", "1/2", "3/4")}
LOADS = {
    "valve": "gas valve",
    "relays": "relays and board",
    "thermostat": "thermostat",
    "humidifier": "humidifier",
    "others": "dampers and all else",
}
VOLTAGE = value("controls", "transformer", "voltage")
TOLERANCE = value("controls", "anticipator", "tolerance")
SCALE = (value("controls", "anticipator", "lowest"), value("controls", "anticipator", "highest"))
RESERVE = value("condensate", "pump", "reserve")
_DENSITY = value("condensate", "water", "density")


@dataclass(frozen=True, slots=True)
class Recovery:
    """The way back from a setback.

    Attributes
    ----------
    time : float
        s; infinite where the furnace does not hold the occupied temperature.
    final : float
        Temperature that the furnace would reach in the end, K.
    constant : float
        Time constant of the house, s.
    capacity : float
        Heat capacity of the house, J/K.
    least_setback : float
        Lowest setback temperature that is back in the time there is, K; where there is none, the occupied one.
    """

    time: float
    final: float
    constant: float
    capacity: float
    least_setback: float


@dataclass(frozen=True, slots=True)
class ControlsAnswer:
    """Everything that the page shows, in SI.

    Attributes
    ----------
    water : float
        Condensate, kg/s.
    water_volume : float
        The same, m³/s.
    duty : PumpDuty
        What the pump does in its line.
    trap : float
        Seal that the trap needs, m.
    current : float
        Of the control circuit, A.
    circuit_load : float
        That current times the voltage, VA.
    transformer : TransformerLoad
        Everything that can be on at once.
    loads : dict of str to float
        VA by words.
    recovery : Recovery
        The way back from the setback.
    """

    water: float
    water_volume: float
    duty: PumpDuty
    trap: float
    current: float
    circuit_load: float
    transformer: TransformerLoad
    loads: dict[str, float]
    recovery: Recovery


def answer(inputs: Inputs) -> ControlsAnswer:
    """Work out the answer; well under a millisecond."""
    water = float(
        flue_gas.condensate.si(
            fuel=fuel(inputs.fuel),
            input_rate=inputs.input_rate,
            condensing_temperature=inputs.condensing_temperature,
            o2=inputs.o2,
        )
    )
    duty = condensate.pump_duty.si(
        condensate=water,
        shutoff_head=inputs.shutoff_head,
        free_flow=inputs.free_flow,
        lift=inputs.lift,
        length=inputs.run,
        diameter=TUBES[inputs.tube],
    )
    current = float(controls.anticipator.si(measured_current=inputs.reading, turns=round(inputs.turns)))
    loads = {words: inputs[name] for name, words in LOADS.items()}
    return ControlsAnswer(
        water,
        water / _DENSITY,
        duty,
        float(condensate.trap_depth.si(pressure=inputs.static)),
        current,
        current * VOLTAGE,
        controls.transformer_load.si(
            currents=np.array(list(loads.values())) / VOLTAGE, voltage=VOLTAGE, rating=inputs.rating
        ),
        loads,
        recovery(inputs),
    )


def recovery(inputs: Inputs) -> Recovery:
    """Time back to the occupied temperature, and the setback that would fit the time there is."""
    constant = float(
        controls.cooling_time_constant.si(
            start=inputs.occupied, end=inputs.night_end, outdoor=inputs.outdoor, time=inputs.night
        )
    )
    conductance = inputs.heat_loss / (inputs.occupied - inputs.outdoor)
    final = inputs.outdoor + inputs.output / conductance
    time = math.inf
    if inputs.output > inputs.heat_loss:
        time = float(
            controls.recovery_time.si(
                output=inputs.output,
                heat_loss=inputs.heat_loss,
                setback=inputs.setback,
                occupied=inputs.occupied,
                outdoor=inputs.outdoor,
                time_constant=constant,
            )
        )
    # recovery_time solved for the temperature from which it starts
    reached = final - (final - inputs.occupied) * math.exp(inputs.available / constant)
    least = max(reached, inputs.outdoor) if math.isfinite(time) else inputs.occupied
    return Recovery(time, final, constant, constant * conductance, least)
