"""How much input a vent carries: the largest fire whose gas, as diluted as it must be, the column can lift."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.physics import air
from hvaclib.physics.fuel import excess_air_from_co2, fuel, products
from hvaclib.physics.vent.column import density, march, transfer_units, wall_flow
from hvaclib.physics.vent.losses import loss, resistance
from hvaclib.physics.vent.wall import wall
from hvaclib.reference import load

FloatArray = NDArray[np.float64]

STANDARD_GRAVITY = 9.80665
POUND, BTU = 0.45359237, 1055.05585262  # kg and J (international table), exact
SEGMENTS = 16


@dataclass(frozen=True, slots=True)
class Rating:
    """The gas that a vent is rated with.

    Attributes
    ----------
    mass : float
        kg of gas in the vent per J of gross input.
    gas_constant : float
        J/(kg K).
    rise : float
        K above the surroundings where it enters the vent.
    inlet_loss : float
        Velocity heads.
    ambient : float
        K.
    """

    mass: float
    gas_constant: float
    rise: float
    inlet_loss: float
    ambient: float


def rating(*, fan_assisted: bool, gas: str = "natural gas") -> Rating:
    """Return the state in which the codes rate a vent for this kind of appliance."""
    table: dict[str, Any] = load("vents")["rating"]
    kind = "fan_assisted" if fan_assisted else "hood"
    burning = fuel(gas)
    share = float(table[f"{kind}_carbon_dioxide"]["value"])
    gas_in_vent = products(burning, excess_air_from_co2(burning, share))
    factor, base, slope = table["mass_flow"]["value"]
    return Rating(
        mass=factor * (base + slope / (100.0 * share)) * POUND / (1000.0 * BTU),
        gas_constant=float(gas_in_vent.gas_constant),
        rise=float(table[f"{kind}_rise"]["value"]),
        inlet_loss=loss("direct_inlet" if fan_assisted else "draft_hood"),
        ambient=float(table["ambient_temperature"]["value"]),
    )


def surplus(
    flow: float,
    rated: Rating,
    *,
    diameter: float,
    height: float,
    lateral: float,
    elbows: float,
    kind: str,
    altitude: float = 0.0,
) -> float:
    """Return lift minus losses (Pa) of a vent that carries this mass flow of the rated gas.

    The lateral cools the gas before it rises; losses are counted at the density where they happen.
    """
    material = wall(kind)
    pressure = air.barometric_pressure.si(altitude=altitude)
    area = np.pi * diameter**2 / 4
    length = lateral + height
    steps = np.concatenate([np.full(SEGMENTS, lateral / SEGMENTS), np.full(SEGMENTS, height / SEGMENTS)])
    inlet = rated.ambient + rated.rise
    mean = np.full(2 * SEGMENTS, inlet)
    outlet = np.asarray(inlet)
    for _ in range(4):  # properties follow the temperature, which follows the properties only weakly
        touch = wall_flow(flow, diameter, length, material.roughness, mean, material.shape)
        conductance = (
            np.pi * diameter * material.shape * steps / (1.0 / touch.film + material.outward_resistance)
        )
        mean, outlet = march(inlet, np.full(2 * SEGMENTS, rated.ambient), transfer_units(conductance, flow))
    weight = density(mean, pressure, rated.gas_constant)
    around = air.density.si(temperature=rated.ambient, altitude=altitude)
    lift = STANDARD_GRAVITY * float(np.sum((around - weight)[SEGMENTS:] * steps[SEGMENTS:]))
    hot = density(inlet, pressure, rated.gas_constant)
    cool = density(outlet, pressure, rated.gas_constant)
    held = float(np.sum(resistance(touch.friction * steps / diameter, area, weight)))
    held += float(resistance(rated.inlet_loss + elbows * loss("elbow"), area, hot))
    held += float(resistance(loss("cap"), area, cool))
    return lift - held * flow**2


def largest_flow(balance: Callable[[float], float], area: float) -> float:
    """Return the largest mass flow (kg/s) at which lift minus losses is not negative; 0 where there is none.

    Lift falls short of the losses once the flow is large enough, and exceeds them at some smaller flow (a flow so
    small that it cools to the surroundings lifts nothing, too): the largest root counts, so the search comes from
    above.
    """
    upper = 20.0 * area  # kg/s: 20 kg/(m2 s) is 25 m/s of gas at 450 K, beyond any natural draft
    while balance(upper) > 0:
        upper *= 2.0
    lower = upper
    while balance(lower) <= 0:
        upper, lower = lower, 0.8 * lower
        if lower < 1e-7 * area:
            return 0.0
    for _ in range(28):  # to 1e-9 of the flow
        middle = 0.5 * (lower + upper)
        lower, upper = (middle, upper) if balance(middle) > 0 else (lower, middle)
    return lower


def largest_input(
    *,
    diameter: float,
    height: float,
    lateral: float,
    elbows: float,
    kind: str,
    fan_assisted: bool,
    altitude: float = 0.0,
) -> float:
    """Return the largest input (W, gross) at which lift and losses are in balance."""
    rated = rating(fan_assisted=fan_assisted)
    area = np.pi * diameter**2 / 4

    def balance(flow: float) -> float:
        return surplus(
            flow,
            rated,
            diameter=diameter,
            height=height,
            lateral=lateral,
            elbows=elbows,
            kind=kind,
            altitude=altitude,
        )

    return largest_flow(balance, area) / rated.mass
