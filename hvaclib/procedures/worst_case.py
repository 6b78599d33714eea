"""The worst-case draft test, step by step, on a simulated dwelling: set-ups in, readings out.

The technician sees one pressure at a time and keeps what pulls the zone down further. So does this procedure: it
takes the readings a manometer would show and decides by nothing else. What it may miss, `ranking` finds.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.scenarios import Control, controls
from hvaclib.house.setup import Setup
from hvaclib.house.state import State
from hvaclib.house.steady import Start, steady
from hvaclib.house.warm_up import WarmUp, natural, warm_up
from hvaclib.readings import Reading, Readings

BURN = 300.0
"""s of main-burner operation before the draft is read (IRC 2018 and IFGC, Appendix D: after five minutes)."""

NOTICEABLE = 0.1
"""Pa: a change that a manometer of 0.1 Pa resolution shows; a smaller one decides nothing."""

NOT_SIMULATED = frozenset({"co_ambient", "co_air_free", "oxygen_flue"})
"""Quantities that only an instrument in the house can give; the file's readings of them join the simulated ones."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the procedure.

    Attributes
    ----------
    title, finding : str
        What is done, and what it showed.
    setup : Setup
        How the dwelling stands after it.
    pressure : float
        Pa, appliance zone against outdoors after it.
    """

    title: str
    finding: str
    setup: Setup
    pressure: float


@dataclass(frozen=True, slots=True)
class WorstCase:
    """A worst-case draft test.

    Attributes
    ----------
    zone : str
        The combustion appliance zone.
    steps : tuple of Step
    readings : Readings
        Everything read, stage by stage.
    facts : dict
        What rules may ask about the appliances, in plain words.
    setup : Setup
        The worst-case set-up, nothing burning.
    warm_up : WarmUp
        The fires in their order, from a cold (or warm) vent.
    natural, retest : WarmUp or None
        The same with every fan off, and with a window of the zone opened; None where there is none to open.
    order : tuple of str
        Appliances in the order they were fired.
    """

    dwelling: Dwelling
    zone: str
    steps: tuple[Step, ...]
    readings: Readings
    facts: dict[str, object]
    setup: Setup
    warm_up: WarmUp
    natural: WarmUp
    retest: WarmUp | None
    order: tuple[str, ...]
    opened: str = ""


def appliance_zones(dwelling: Dwelling) -> tuple[str, ...]:
    """Return the zones with vented appliances, in the file's order."""
    return tuple(dict.fromkeys(item.zone for item in dwelling.appliances if item.vented))


def facts_of(dwelling: Dwelling, start: Start = "cold") -> dict[str, object]:
    """Return what rules may ask about a dwelling's appliances."""
    rows = {}
    for item in dwelling.appliances:
        mates = [other.kind for other in dwelling.appliances if other.vented and other.vent == item.vent]
        if item.vented:
            mates.remove(item.kind)
        shared = tuple(mates) if item.vented and mates else ("nothing",)
        rows[item.name] = {
            "appliance_kind": item.kind,
            "fuel": item.fuel,
            "zone": item.zone,
            "vent_shared_with": shared,
        }
    return {"start": start, "appliances": rows, "house": dwelling.name}


def preconditions(dwelling: Dwelling, setup: Setup) -> Readings:
    """Return what must be known before a fan is switched on: solid fuel, sealed appliances, outdoor temperature."""
    readings = [
        Reading("outdoor_temperature", setup.outdoor_temperature, dwelling.name, "baseline"),
        Reading("wind_speed", setup.wind_speed, dwelling.name, "baseline"),
    ]
    burning = any(item.solid_fuel and setup.firing[item.name] for item in dwelling.appliances)
    readings.append(Reading("solid_fuel_operating", float(burning), dwelling.name, "baseline"))
    readings += [
        Reading("appliance_sealed", 1.0, item.name, "baseline") for item in dwelling.appliances if item.sealed
    ]
    return Readings([*readings, *taken(dwelling)])


def taken(dwelling: Dwelling) -> list[Reading]:
    """Return the readings of the dwelling's file that no simulation gives, such as carbon monoxide."""
    records = [
        {
            "quantity": item.quantity,
            "value": item.value,
            "where": item.where or dwelling.name,
            "when": item.when,
        }
        for item in dwelling.readings
        if item.quantity in NOT_SIMULATED
    ]
    return [Reading.from_record(record) for record in records]


def refuse_solid_fuel(dwelling: Dwelling, setup: Setup) -> None:
    """Refuse the test while a solid fuel burns.

    Raises
    ------
    InputError
        Naming the appliance and the reason.
    """
    for item in dwelling.appliances:
        if item.solid_fuel and setup.firing[item.name]:
            raise InputError(
                f'the worst-case test is not allowed while "{item.name}" burns solid fuel, because depressurizing the '
                "house can pull its smoke and carbon monoxide into the rooms",
                where=dwelling.name,
                expected="the fire out and the ashes cold",
            )


def worst_case(dwelling: Dwelling, setup: Setup | None = None, start: Start = "cold") -> WorstCase:
    """Run the worst-case draft test.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, optional
        Weather and, for solid fuel, what burns; the file's by default. Fans, doors and windows are set by the test.
    start : {"cold", "warm"}
        Whether the vents are cold when the first burner is lit.

    Returns
    -------
    WorstCase

    Raises
    ------
    InputError
        If solid fuel burns, or the dwelling has no vented appliance.

    Notes
    -----
    Outer doors and windows shut, inner doors open, everything off: baseline. Exhaust fans on. Each inner door in the
    position that pulls the zone down further. Then the air handler on and each inner door once more, because the air
    handler can turn a door's effect; it stays on if the zone then lies lower than without it. Then the appliances,
    the smallest input first, each five minutes before its draft is read, the earlier ones burning on. Then again
    with every fan off, and with a window of the zone open.

    References
    ----------
    The order of steps follows the depressurization and spillage tests of IFGC and IRC (2018), Appendix D, and of
    ANSI/BPI-1200-S (from memory).
    """
    here = dwelling.default_setup() if setup is None else setup
    refuse_solid_fuel(dwelling, here)
    zones = appliance_zones(dwelling)
    if not zones:
        raise InputError(
            "there is no appliance whose draft could be tested",
            where=dwelling.name,
            expected="a draft-hood or fan-assisted appliance on a vent; sealed appliances are run, not judged",
        )
    log = _Log(dwelling, zones[0], start)
    worst = log.set_up(_baseline_setup(dwelling, here))
    return log.fire(worst)


def _baseline_setup(dwelling: Dwelling, here: Setup) -> Setup:
    quiet = natural(here)
    for door in dwelling.doors:
        quiet = quiet.with_door(door.name, open=not door.outer)
    for window in dwelling.windows:
        quiet = quiet.with_window(window.name, open=False)
    for item in dwelling.appliances:
        quiet = quiet.with_firing(item.name, on=False)
    return quiet


def with_fires(dwelling: Dwelling, setup: Setup, names: Iterable[str]) -> Setup:
    """Return the setup with exactly these appliances burning, and sealed ones running beside them."""
    burning = set(names)
    for item in dwelling.appliances:
        setup = setup.with_firing(item.name, on=item.name in burning or (item.sealed and bool(burning)))
    return setup


def firing_order(dwelling: Dwelling, zone: str | None = None) -> tuple[Appliance, ...]:
    """Return the vented appliances (of a zone), the smallest input first, as the test fires them."""
    vented = [item for item in dwelling.appliances if item.vented and zone in (None, item.zone)]
    return tuple(sorted(vented, key=lambda item: item.input))


@dataclass(slots=True)
class _Log:
    """The test as it goes: what was done, what was read."""

    dwelling: Dwelling
    zone: str
    start: Start
    steps: list[Step] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=list)

    def pressure(self, setup: Setup) -> float:
        return float(steady(self.dwelling, [setup]).pressure(self.zone)[0])

    def note(self, title: str, finding: str, setup: Setup, pressure: float) -> None:
        self.steps.append(Step(title, finding, setup, pressure))

    def set_up(self, quiet: Setup) -> Setup:
        """Baseline, fans, doors, air handler, doors again; returns the worst-case set-up."""
        self.readings += list(preconditions(self.dwelling, quiet))
        baseline = self.pressure(quiet)
        self.readings.append(Reading("caz_pressure", baseline, self.zone, "baseline"))
        self.note(
            "Baseline",
            "Outer doors and windows shut, inner doors open, every fan and burner off.",
            quiet,
            baseline,
        )
        setup, pressure = self._exhaust_on(quiet, baseline)
        setup, pressure = self._each_door(setup, pressure, "Inner doors")
        if setup.air_handler is not None:
            setup, pressure = self._air_handler(setup, pressure)
        self.readings.append(Reading("caz_pressure", pressure, self.zone, "worst case"))
        self.readings.append(Reading("caz_pressure_change", pressure - baseline, self.zone, "worst case"))
        return setup

    def _exhaust_on(self, setup: Setup, before: float) -> tuple[Setup, float]:
        for fan in self.dwelling.fans:
            if fan.to == "outdoors":
                setup = setup.with_fan(fan.name, 1.0)
        pressure = self.pressure(setup)
        names = (
            ", ".join(fan.name for fan in self.dwelling.fans if fan.to == "outdoors") or "none in the house"
        )
        self.note("Exhaust fans on", f"{names}: {_moved(before, pressure)}.", setup, pressure)
        return setup, pressure

    def _each_door(self, setup: Setup, pressure: float, title: str) -> tuple[Setup, float]:
        closed = []
        for control in _doors(self.dwelling):
            now = setup.doors[control.name]
            other = setup.with_door(control.name, open=not now)
            moved = self.pressure(other)
            if moved < pressure - NOTICEABLE:
                setup, pressure = other, moved
            if not setup.doors[control.name]:
                closed.append(control.name)
        shut = ", ".join(closed)
        finding = (
            f"Closed because the zone went lower: {shut}."
            if shut
            else "Left open: none of them pulls the zone lower."
        )
        self.note(title, finding, setup, pressure)
        return setup, pressure

    def _air_handler(self, still: Setup, before: float) -> tuple[Setup, float]:
        """Run it, try the doors with it, and keep it running if the zone then lies lower than without it."""
        running = still.with_air_handler(on=True)
        pressure = self.pressure(running)
        self.note("Air handler on", f"{_moved(before, pressure).capitalize()}.", running, pressure)
        running, pressure = self._each_door(running, pressure, "Inner doors, once more")
        if pressure < before - NOTICEABLE:
            return running, pressure
        finding = "The zone lay lower, or as low, without it: the doors go back to where they were."
        self.note("Air handler off again", finding, still, before)
        return still, before

    def fire(self, worst: Setup) -> WorstCase:
        """Fire in order in the worst-case set-up, with every fan off, and with a window open."""
        order = firing_order(self.dwelling, self.zone)
        hot = self._run(worst, order, "worst case", self.start)
        quiet = _inner_doors_open(self.dwelling, natural(worst))
        alone = self._run(quiet, order, "natural", "cold")
        window = self._window()
        retest = None
        if window:
            open_setup = _with_window(self.dwelling, worst, window)
            retest = self._run(open_setup, order, "retest", self.start)
            pressure = self.pressure(open_setup)
            self.readings.append(Reading("caz_pressure", pressure, self.zone, "retest"))
            self.note("Retest", f"The worst-case set-up with {window} open.", open_setup, pressure)
        return WorstCase(
            dwelling=self.dwelling,
            zone=self.zone,
            steps=tuple(self.steps),
            readings=Readings(self.readings),
            facts=facts_of(self.dwelling, self.start),
            setup=worst,
            warm_up=hot,
            natural=alone,
            retest=retest,
            order=tuple(item.name for item in order),
            opened=window,
        )

    def _run(self, setup: Setup, order: tuple[Appliance, ...], stage: str, start: Start) -> WarmUp:
        """Fire one after the other, five minutes apart, and read each as the test does."""
        events = [
            (BURN * count, with_fires(self.dwelling, setup, [item.name for item in order[: count + 1]]))
            for count in range(len(order))
        ]
        run = warm_up(self.dwelling, events, start, BURN * len(order))
        for count, item in enumerate(order):
            row = run.appliances.index(item.name)
            moment = run.at(BURN * (count + 1))
            self.readings.append(Reading("draft", float(run.draft[row, moment]), item.name, stage))
            if item.draft_hood:
                seconds = _spillage_time(run, row, BURN * count, BURN * (count + 1))
                self.readings.append(Reading("spillage_time", seconds, item.name, stage))
                share = float(run.spillage[row, moment])
                self.readings.append(Reading("spillage_fraction", share, item.name, stage, computed=True))
        if stage == "worst case":
            names = ", then ".join(f"{item.name}" for item in order)
            pressure = float(run.zone_pressure[self.dwelling.zone_names.index(self.zone), -1])
            self.note(
                "Fire the appliances",
                f"{names}; five minutes each from a {start} vent.",
                events[-1][1],
                pressure,
            )
        return run

    def _window(self) -> str:
        """Name a window of the zone, else any window, else an outer door; empty where there is none."""
        windows = sorted(self.dwelling.windows, key=lambda window: window.zone != self.zone)
        if windows:
            return windows[0].name
        outer = [door.name for door in self.dwelling.doors if door.outer]
        return outer[0] if outer else ""


def _doors(dwelling: Dwelling) -> tuple[Control, ...]:
    return tuple(control for control in controls(dwelling) if control.kind == "door")


def _inner_doors_open(dwelling: Dwelling, setup: Setup) -> Setup:
    for control in _doors(dwelling):
        setup = setup.with_door(control.name, open=True)
    return setup


def _with_window(dwelling: Dwelling, setup: Setup, name: str) -> Setup:
    if any(window.name == name for window in dwelling.windows):
        return setup.with_window(name, open=True)
    return setup.with_door(name, open=True)


def _moved(before: float, after: float) -> str:
    change = after - before
    if abs(change) < NOTICEABLE:
        return "the zone stays where it was"
    return f"the zone goes {'lower' if change < 0 else 'higher'} by {abs(change):.1f} Pa"


def _spillage_time(run: WarmUp, row: int, begin: float, end: float) -> float:
    """Seconds from lighting until the hood stopped spilling; endless where it still spilled when the draft was read."""
    window = (run.time >= begin - 1e-9) & (run.time <= end + 1e-9)
    times, spilling = run.time[window], run.spillage[row, window] > 0.0
    if not spilling.any():
        return 0.0
    last = int(np.flatnonzero(spilling)[-1])
    return float("inf") if last == times.size - 1 else float(times[last + 1] - begin)


def state_at(dwelling: Dwelling, setup: Setup) -> State:
    """Return the dwelling in one setup with its vents as they settle from cold."""
    return steady(dwelling, [setup])
