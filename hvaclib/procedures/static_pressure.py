"""Static pressure at the test holes, step by step, simulated or from what was read; and what it says of the ducts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.air_side import HOLES, AirSide, AirState, air_side_of, solve_air_side
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.physics import air
from hvaclib.procedures.air_readings import AirStep, take
from hvaclib.procedures.identification import Identification, identify
from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.reference import value
from hvaclib.units import kinds, show

QUANTITIES = ("external_static",)
"""What rules may say about this test."""
_PLACES = (
    "in the return, ahead of the filter",
    "behind the filter",
    "behind the heat exchanger",
    "behind the coil",
)
_STANDARD = float(air.density.si(temperature=value("air_delivery", "default_temperature")))


@dataclass(frozen=True, slots=True)
class StaticPressure:
    """A test of the static pressures.

    Attributes
    ----------
    side : AirSide
        Furnace, plate, blower and ducts.
    state : AirState
        What the simulation gives, for comparison with what was read.
    steps : tuple of AirStep
    readings : Readings
        Static pressure at the holes, total external static pressure, airflow.
    facts : dict
        What rules may ask about the plate.
    identification : Identification or None
        Which stretch is out of line; None where not all four holes were read.
    measured : bool
        Whether the pressures were read in the house.
    """

    side: AirSide
    state: AirState
    steps: tuple[AirStep, ...]
    readings: Readings
    facts: dict[str, object]
    identification: Identification | None
    measured: bool

    @property
    def external_static(self) -> float:
        """Total external static pressure that is judged, Pa."""
        found = self.readings.get("external_static")
        assert found is not None  # the test always gives one
        return found.value

    @property
    def trouble(self) -> str:
        """``"static high"`` where the pressure is above the plate's; else empty."""
        limit = self.side.maximum_static
        return "static high" if limit is not None and self.external_static > limit else ""


def static_pressure(
    dwelling: Dwelling,
    setup: Setup | None = None,
    side: AirSide | None = None,
    measured: Readings | None = None,
    design: AirSide | None = None,
) -> StaticPressure:
    """Test the static pressures of a dwelling's air handler against the plate and the components' design losses.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, optional
        For the outdoor temperature that leaking returns draw in; the file's by default.
    side : AirSide, optional
        A changed air side, with plain numbers; the dwelling's own by default.
    measured : Readings, optional
        Readings at the test holes, which stand in the place of the simulated ones; two of them give the external
        static pressure, all four say where it is lost.
    design : AirSide, optional
        What the components should lose; the dwelling's own by default.

    Returns
    -------
    StaticPressure

    Raises
    ------
    InputError
        If there is no air handler or furnace, no blower table or component, the readings cannot be those of a running
        blower, or lie above the blower's shut-off.
    """
    outdoors = None if setup is None else setup.outdoor_temperature
    own = air_side_of(dwelling, outdoors)
    here = own if side is None else side
    if not here.tabulated or not here.components:
        lacking = "[[air_handler.component]]" if here.tabulated else "[air_handler.fan] with its taps"
        raise InputError(
            "the file does not say enough about blower and ducts for a static pressure",
            where=dwelling.name,
            expected=lacking,
        )
    state = solve_air_side(here)
    taken = Readings() if measured is None else measured
    holes = [item for item in (take(taken, "static_pressure", hole) for hole in HOLES) if item is not None]
    read = bool(holes) or take(taken, "external_static", here.furnace) is not None
    if not read:
        holes = [
            Reading("static_pressure", float(state.holes[row, 0]), hole) for row, hole in enumerate(HOLES)
        ]
    total = _total(here, holes, taken)
    flow = _airflow(here, total)
    found = None
    if len(holes) == len(HOLES):
        sigma = [standard_uncertainty(item) for item in holes]
        found = identify(
            [item.value for item in holes], _as_run(here, own if design is None else design), sigma
        )
    return StaticPressure(
        side=here,
        state=state,
        steps=tuple(_steps(here, holes, total, flow, found)),
        readings=Readings([*holes, total, flow]),
        facts=here.facts(),
        identification=found,
        measured=read,
    )


def _as_run(here: AirSide, design: AirSide) -> AirSide:
    """The components as designed, with the blower and the air of the day."""
    air_of_day = design.with_altitude(here.altitude).with_return_temperature(here.return_temperature)
    return air_of_day.with_tap(here.tap)


def _total(side: AirSide, holes: list[Reading], taken: Readings) -> Reading:
    """Total external static pressure from two readings, or as it was read."""
    ends = {item.where: item for item in holes}
    supply, suction = ends.get(HOLES[side.supply_hole - 1]), ends.get(HOLES[1])
    if supply is None or suction is None:
        found = take(taken, "external_static", side.furnace)
        if found is not None:
            return found
        raise InputError(
            "the external static pressure needs two readings", where="measured",
            expected=f"hole 2 and {HOLES[side.supply_hole - 1]}",
        )  # fmt: skip
    pressure = supply.value - suction.value
    if not pressure > 0.0:
        raise InputError(
            "the supply side is not above the return side: the two hoses may be exchanged, or the blower is off",
            where=side.furnace,
            given=f"{supply.where} {show(supply.value, kinds.GAUGE_PRESSURE)}, "
            f"{suction.where} {show(suction.value, kinds.GAUGE_PRESSURE)}",
            expected="supply above return",
        )
    error = float(np.hypot(standard_uncertainty(supply), standard_uncertainty(suction)))
    return Reading("external_static", pressure, side.furnace, standard_uncertainty=error)


def _airflow(side: AirSide, total: Reading) -> Reading:
    """Airflow from the blower's table, which holds for standard air."""
    density = air.density.si(temperature=side.return_temperature, altitude=side.altitude)
    static = total.value * _STANDARD / float(np.max(density))
    flow = float(side.fan.flow_at(static))
    beyond = "" if bool(side.fan.covers(static)) else "; beyond the rows of the table"
    return Reading(
        "airflow", flow, side.furnace, computed=True,
        standard_uncertainty=flow * value("air_side", "table_airflow"), note=f"from the blower's table{beyond}",
    )  # fmt: skip


def _steps(
    side: AirSide, holes: list[Reading], total: Reading, flow: Reading, found: Identification | None
) -> Iterator[AirStep]:
    limit = side.maximum_static
    plate = "none on the plate" if limit is None else f"at most {show(limit, kinds.GAUGE_PRESSURE)}"
    yield AirStep("Read the plate: maximum external static pressure", plate)
    yield AirStep("Filter in, registers open, unit's doors shut, blower on", f'at the tap "{side.tap}"')
    for item in holes:
        place = _PLACES[HOLES.index(item.where)]
        yield AirStep(f"{item.where.capitalize()}, {place}", show(item.value, kinds.GAUGE_PRESSURE))
    error = show(2.0 * standard_uncertainty(total), kinds.GAUGE_PRESSURE)
    yield AirStep(
        f"Hole {side.supply_hole} less hole 2: total external static pressure",
        f"{show(total.value, kinds.GAUGE_PRESSURE)}, give or take {error} (95 %)",
    )
    yield AirStep("Airflow " + flow.note, show(flow.value, kinds.VOLUME_FLOW))
    if found is not None:
        for stretch in found.segments:
            drop, should = (show(p, kinds.GAUGE_PRESSURE) for p in (stretch.measured, stretch.design))
            yield AirStep(f"Loss of the {stretch.name}", f"{drop}; {should} belongs there: {stretch.verdict}")
        yield AirStep("Compare with the design", found.sentence)
