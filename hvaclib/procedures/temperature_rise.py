"""Temperature rise through the furnace, step by step, simulated or from what was read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.air_side import AirSide, AirState, air_side_of, solve_air_side
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.physics.air_delivery import airflow_from_rise
from hvaclib.procedures.air_readings import AirStep, take
from hvaclib.readings import Reading, Readings, standard_uncertainty
from hvaclib.units import kinds, show

QUANTITIES = ("temperature_rise",)
"""What rules may say about this test."""


@dataclass(frozen=True, slots=True)
class TemperatureRise:
    """A test of the temperature rise.

    Attributes
    ----------
    side : AirSide
        Furnace, plate, blower and ducts.
    state : AirState
        What the simulation gives, for comparison with what was read.
    steps : tuple of AirStep
    readings : Readings
        Return and supply temperature, rise, airflow.
    facts : dict
        What rules may ask about the plate.
    measured : bool
        Whether the rise comes from readings taken in the house.
    """

    side: AirSide
    state: AirState
    steps: tuple[AirStep, ...]
    readings: Readings
    facts: dict[str, object]
    measured: bool

    @property
    def rise(self) -> float:
        """The rise that is judged, K."""
        found = self.readings.get("temperature_rise")
        assert found is not None  # the test always gives one
        return found.value

    @property
    def trouble(self) -> str:
        """``"rise high"`` or ``"rise low"`` against the plate; empty within its range or without a plate."""
        if self.side.rise_range is None:
            return ""
        least, most = self.side.rise_range
        return "rise high" if self.rise > most else "rise low" if self.rise < least else ""


def temperature_rise(
    dwelling: Dwelling,
    setup: Setup | None = None,
    side: AirSide | None = None,
    measured: Readings | None = None,
) -> TemperatureRise:
    """Test the temperature rise of a dwelling's furnace against its plate.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, optional
        For the outdoor temperature that leaking returns draw in; the file's by default.
    side : AirSide, optional
        A changed air side, with plain numbers; the dwelling's own by default.
    measured : Readings, optional
        Readings taken in the house, which go before the simulated ones: supply and return temperature, or the rise.

    Returns
    -------
    TemperatureRise

    Raises
    ------
    InputError
        If there is no air handler or furnace, the supply is not warmer than the return, or only one of the two
        temperatures was read.

    Notes
    -----
    The airflow follows from output and rise; the output is taken as known. The rise's uncertainty is that of two
    thermometers (JCGM 100:2008, 5.1.2).
    """
    outdoors = None if setup is None else setup.outdoor_temperature
    here = air_side_of(dwelling, outdoors) if side is None else side
    state = solve_air_side(here)
    taken = Readings() if measured is None else measured
    rows, read = _thermometers(here, state, taken)
    rise = _rise(here, rows, taken)
    flow = _airflow(here, rise, take(taken, "return_temperature", here.furnace))
    readings = Readings([*rows, rise, flow])
    return TemperatureRise(
        side=here,
        state=state,
        steps=tuple(_steps(here, rows, rise, flow)),
        readings=readings,
        facts=here.facts(),
        measured=read or take(taken, "temperature_rise", here.furnace) is not None,
    )


def _thermometers(side: AirSide, state: AirState, taken: Readings) -> tuple[list[Reading], bool]:
    """Return and supply temperature, as read or as the simulation shows them; none where only the rise was read."""
    found = [take(taken, key, side.furnace) for key in ("return_temperature", "supply_temperature")]
    read = [item for item in found if item is not None]
    if len(read) == 2:
        return read, True
    if read:
        lacking = "supply" if found[1] is None else "return"
        raise InputError(
            f"the {lacking} temperature is missing", where="measured", expected="both supply and return"
        )
    if take(taken, "temperature_rise", side.furnace) is not None:
        return [], False
    shown = (state.return_temperature, state.shown_supply_temperature)
    keys = ("return_temperature", "supply_temperature")
    return [Reading(key, float(t[0]), side.furnace) for key, t in zip(keys, shown, strict=True)], False


def _rise(side: AirSide, rows: list[Reading], taken: Readings) -> Reading:
    if not rows:
        found = take(taken, "temperature_rise", side.furnace)
        assert found is not None  # the caller has seen it
        return found
    returned, supplied = rows
    rise = supplied.value - returned.value
    if not rise > 0.0:
        raise InputError(
            "the supply is not warmer than the return: the two thermometers may be exchanged, or the burner is off",
            where=side.furnace,
            given=f"supply {show(supplied.value, kinds.TEMPERATURE)}, return {show(returned.value, kinds.TEMPERATURE)}",
            expected="a supply warmer than the return, burner firing",
        )
    error = float(np.hypot(standard_uncertainty(returned), standard_uncertainty(supplied)))
    return Reading("temperature_rise", rise, side.furnace, standard_uncertainty=error)


def _airflow(side: AirSide, rise: Reading, returned: Reading | None) -> Reading:
    temperature = side.return_temperature if returned is None else returned.value
    flow = airflow_from_rise.si(
        output=side.output, rise=rise.value, altitude=side.altitude, temperature=temperature
    )
    error = float(flow) * standard_uncertainty(rise) / rise.value
    return Reading(
        "airflow", float(flow), side.furnace, computed=True, standard_uncertainty=error,
        note="from output and temperature rise",
    )  # fmt: skip


def _steps(side: AirSide, rows: list[Reading], rise: Reading, flow: Reading) -> Iterator[AirStep]:
    plate = side.rise_range
    ends = [show(end, kinds.TEMPERATURE_DIFFERENCE) for end in plate] if plate else []
    yield AirStep("Read the plate", f"rise {ends[0]} to {ends[1]}" if ends else "no rise on the plate")
    yield AirStep(
        "Leave the filter in, open the registers, shut the unit's doors", "as the house is lived in"
    )
    output = show(float(np.max(side.output)), kinds.CAPACITY)
    yield AirStep("Clock the input and take the efficiency", f"{output} to the air")
    yield AirStep("Burner and blower on until the readings stand still", "ten minutes or more")
    for reading, title in zip(
        rows,
        ("Read the return thermometer", "Read the supply thermometer, past the first turn"),
        strict=False,
    ):
        yield AirStep(title, show(reading.value, kinds.TEMPERATURE))
    if np.any(side.in_sight):
        yield AirStep(
            "Look along the probe",
            "it sees the heat exchanger and reads too high: move it past the first turn",
        )
    error = show(2.0 * standard_uncertainty(rise), kinds.TEMPERATURE_DIFFERENCE)
    yield AirStep(
        "Supply less return", f"{show(rise.value, kinds.TEMPERATURE_DIFFERENCE)}, give or take {error} (95 %)"
    )
    yield AirStep("Airflow from output and rise", show(flow.value, kinds.VOLUME_FLOW))
