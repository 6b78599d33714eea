"""What never changes about the vents of a dwelling, as arrays: one connector an appliance, then one stack a vent.

Pipes are numbered connectors first (in the order of the vented appliances), then stacks (in the order of the
vents). Every stack begins at a junction, a small zone of its own in the network, where its connectors end.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.dwelling.venting import Vent
from hvaclib.physics.fuel import excess_air_from_o2, fuel, products
from hvaclib.physics.vent.column import SPECIFIC_HEAT
from hvaclib.physics.vent.losses import blockage_loss, entry_loss, loss
from hvaclib.physics.vent.wall import Wall, wall
from hvaclib.reference import load

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
BoolArray = NDArray[np.bool_]

SEGMENTS = 8
"""Pieces each pipe is cut into; twice as many change a draft by less than 0.02 Pa."""

LAYERS = 3
"""Heat-storing layers of a wall; a thinner wall has empty ones outside."""

_THIN = 1e-4
"""m2 K/W and J/(m2 K) of an empty layer: too little to matter, enough to keep the equations regular."""


@dataclass(frozen=True, slots=True)
class Pipes:
    """Vent pipes of one dwelling: A connectors, then V stacks, P = A + V; all SI.

    Attributes
    ----------
    appliances : tuple of Appliance
        The A vented appliances.
    zone : ndarray, shape (A,)
        Zone each stands in.
    junction : ndarray, shape (P,)
        Vent (0..V-1) whose junction the pipe touches.
    foot : ndarray, shape (P,)
        m above grade where the pipe begins: the hood, or the junction.
    rise, length, diameter : ndarray, shape (P,)
        m; the diameter is that of the circle of equal area.
    shape : ndarray, shape (P,)
        Perimeter over that of this circle: above 1 for the square tile of a masonry flue.
    heads : ndarray, shape (P,)
        Loss of all fittings, velocity heads of the pipe.
    idle_heads : ndarray, shape (P,)
        The same when the appliance does not burn (a stopped fan throttles).
    resistance, capacity : ndarray, shape (LAYERS, P)
        Wall: m2 K/W in front of each layer; J/(m2 K) of each layer.
    film : ndarray, shape (P,)
        W/(m2 K) outside.
    outdoor_share : ndarray, shape (P,)
        Share of the length that stands outdoors.
    surroundings : ndarray, shape (P,)
        Zone whose air surrounds the rest.
    fan_assisted : ndarray, shape (A,)
        Whether the appliance's own fan sets the flow in its connector while it burns.
    hole : ndarray, shape (A,)
        m along the pipe from the outlet to the test hole.
    """

    appliances: tuple[Appliance, ...]
    vents: tuple[str, ...]
    zone: IntArray
    junction: IntArray
    foot: FloatArray
    rise: FloatArray
    length: FloatArray
    diameter: FloatArray
    shape: FloatArray
    roughness: FloatArray
    heads: FloatArray
    idle_heads: FloatArray
    inlet_heads: FloatArray
    resistance: FloatArray
    capacity: FloatArray
    film: FloatArray
    outdoor_share: FloatArray
    surroundings: IntArray
    fan_assisted: BoolArray
    hole: FloatArray

    @property
    def connectors(self) -> int:
        """Number of connectors, A."""
        return len(self.appliances)

    @property
    def stacks(self) -> int:
        """Number of stacks, V."""
        return len(self.vents)

    @property
    def area(self) -> FloatArray:
        """m2, shape (P,)."""
        return np.pi * self.diameter**2 / 4

    @property
    def inside(self) -> FloatArray:
        """m2 of wall that the gas touches in one segment, shape (P,)."""
        return np.pi * self.diameter * self.shape * self.length / SEGMENTS

    @property
    def stack_of(self) -> IntArray:
        """Number of the stack pipe that each connector ends in, shape (A,)."""
        return self.connectors + self.junction[: self.connectors]


@dataclass(frozen=True, slots=True)
class Fires:
    """What each vented appliance sends into its vent when it burns, shape (A,), SI.

    Attributes
    ----------
    flow : ndarray
        kg/s of undiluted flue gas.
    fuel_flow : ndarray
        kg/s of fuel, which the house does not supply.
    rise : ndarray
        K of the flue gas over the room, once the appliance is warm.
    gas_constant : ndarray
        J/(kg K) of the undiluted flue gas.
    lag : ndarray
        s, time constant of the flue-gas temperature after lighting.
    """

    flow: FloatArray
    fuel_flow: FloatArray
    rise: FloatArray
    gas_constant: FloatArray
    lag: FloatArray


def vented(dwelling: Dwelling) -> tuple[Appliance, ...]:
    """Return the appliances whose gas goes through a vent of the file, in its order."""
    return tuple(item for item in dwelling.appliances if item.vented)


def pipes_of(dwelling: Dwelling) -> Pipes:
    """Return the vent pipes of a dwelling.

    Notes
    -----
    A connector is taken to rise first and to run sideways after; its rise is counted to the vent's junction, the
    lowest joint (but above every outlet). A joint of two or more connectors costs a tee, and so does every entry into a
    masonry flue, together with the sudden enlargement. A cap that stands in free wind is taken as neutral.
    """
    users = vented(dwelling)
    vents = tuple(vent for vent in dwelling.vents if any(user.vent == vent.name for user in users))
    names = [vent.name for vent in vents]
    zones = {name: index for index, name in enumerate(dwelling.zone_names)}
    bases = [_joint(dwelling, vent) for vent in vents]
    tables = [_connector(dwelling, user, bases[names.index(str(user.vent))]) for user in users]
    tables += [_stack(dwelling, vent.name, base) for vent, base in zip(vents, bases, strict=True)]
    layers = [_layers(row["wall"]) for row in tables]

    def column(key: str) -> FloatArray:
        return np.array([row[key] for row in tables], dtype=float)

    default_hole = float(load("vents")["test_hole"]["distance"]["value"])
    shared = [names.index(str(user.vent)) for user in users] + list(range(len(vents)))
    return Pipes(
        appliances=users,
        vents=tuple(names),
        zone=np.array([zones[user.zone] for user in users], dtype=np.intp),
        junction=np.array(shared, dtype=np.intp),
        foot=column("foot"),
        rise=column("rise"),
        length=column("length"),
        diameter=column("diameter"),
        shape=np.array([row["wall"].shape for row in tables], dtype=float),
        roughness=np.array([row["wall"].roughness for row in tables], dtype=float),
        heads=column("heads"),
        idle_heads=column("idle_heads"),
        inlet_heads=column("inlet_heads"),
        resistance=np.array([item[0] for item in layers], dtype=float).reshape(-1, LAYERS).T,
        capacity=np.array([item[1] for item in layers], dtype=float).reshape(-1, LAYERS).T,
        film=column("film"),
        outdoor_share=column("outdoor_share"),
        surroundings=np.array([zones[str(row["zone"])] for row in tables], dtype=np.intp),
        fan_assisted=np.array([user.fan_assisted for user in users], dtype=bool),
        hole=np.array(
            [default_hole if user.test_hole is None else user.test_hole for user in users], dtype=float
        ),
    )


def fires_of(pipes: Pipes) -> Fires:
    """Return what the appliances of these pipes send into them when they burn."""
    table = load("appliances")["kind"]
    rows = []
    for appliance in pipes.appliances:
        usual = table[appliance.kind]
        gas = fuel(appliance.fuel)
        oxygen = usual["oxygen"] if appliance.oxygen is None else appliance.oxygen
        efficiency = usual["efficiency"] if appliance.efficiency is None else appliance.efficiency
        burnt = products(gas, excess_air_from_o2(gas, oxygen))
        flow = float(burnt.mass) * appliance.input
        sensible = max(1.0 - efficiency - burnt.latent, 0.01) * appliance.input
        rows.append(
            (
                flow,
                burnt.fuel_mass * appliance.input,
                sensible / (flow * SPECIFIC_HEAT),
                float(burnt.gas_constant),
                float(usual["lag"]),
            )
        )
    columns = np.array(rows, dtype=float).reshape(-1, 5).T
    return Fires(*(np.ascontiguousarray(column) for column in columns))


def _joint(dwelling: Dwelling, vent: Vent) -> float:
    """Return the height (m) of the junction: the lowest joint, raised where another outlet lies above it.

    Without that a connector would fall to a joint below its own hood; a tenth of its rise is kept at least.
    """
    least = [
        dwelling.outlet_height(user) + 0.1 * user.connector.rise
        for user in dwelling.users(vent)
        if user.connector is not None
    ]
    return max(dwelling.vent_base(vent), *least)


def _joint_loss(dwelling: Dwelling, user: Appliance, diameter: float) -> float:
    """Return the loss where a connector ends: in the side of a masonry flue, in a tee, or in the vent itself."""
    vent = dwelling.part("vents", str(user.vent))
    if vent.kind in ("masonry", "lined masonry"):
        return float(entry_loss(diameter**2, vent.diameter**2))
    mates = sum(1 for other in vented(dwelling) if other.vent == user.vent)
    return loss("tee") if mates > 1 else 0.0


def _connector(dwelling: Dwelling, user: Appliance, base: float) -> dict[str, Any]:
    connector = user.connector
    assert connector is not None  # a vented appliance has one: the file's checks see to it
    foot = dwelling.outlet_height(user)
    rise = base - foot
    inlet = loss("direct_inlet" if user.fan_assisted else "draft_hood")
    heads = inlet + connector.elbows * loss("elbow") + _joint_loss(dwelling, user, connector.diameter)
    material = wall(connector.kind)
    return {
        "foot": foot,
        "rise": rise,
        "length": rise + connector.lateral,
        "diameter": connector.diameter,
        "wall": material,
        "film": material.film,
        "heads": heads,
        "idle_heads": heads + (loss("idle_fan_assisted") if user.fan_assisted else 0.0),
        "inlet_heads": inlet,
        "outdoor_share": 0.0,
        "zone": user.zone,
    }


def _stack(dwelling: Dwelling, name: str, base: float) -> dict[str, Any]:
    vent = dwelling.part("vents", name)
    material = wall(vent.kind.replace(" ", "-"))
    heads = (
        vent.elbows * loss("elbow") + (loss("cap") if vent.cap else 0.0) + float(blockage_loss(vent.blockage))
    )
    share = vent.outdoor_share
    return {
        "foot": base,
        "rise": vent.top - base,
        "length": vent.top - base + vent.lateral,
        "diameter": vent.diameter,
        "wall": material,
        "film": material.film * (1.0 - share) + material.outdoor_film * share,
        "heads": heads,
        "idle_heads": heads,
        "inlet_heads": 0.0,
        "outdoor_share": share,
        "zone": dwelling.users(vent)[0].zone,
    }


def _layers(material: Wall) -> tuple[list[float], list[float]]:
    """Pad a wall to LAYERS with layers that hold nothing."""
    spare = LAYERS - material.resistance.size
    resistance = [*material.resistance.tolist(), *[_THIN] * spare]
    capacity = [*material.capacity.tolist(), *[_THIN] * spare]
    return resistance, capacity
