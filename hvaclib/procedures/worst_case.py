"""The worst-case draft test, step by step, on a simulated dwelling: set-ups in, readings out.

The technician sees one pressure at a time and keeps what pulls the zone down further. So does this procedure: it
takes the readings a manometer would show and decides by nothing else. What it may miss, `ranking` finds.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from typing import TypeAlias, TypeVar

from hvaclib.errors import InputError
from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.scenarios import Control, controls
from hvaclib.house.setup import Setup
from hvaclib.house.steady import Start, steady
from hvaclib.house.warm_up import WarmUp, natural, warm_up
from hvaclib.procedures.firing import BURN, hoods_seen, read_appliance
from hvaclib.procedures.parts import last
from hvaclib.procedures.preconditions import (
    appliance_zones,
    facts_of,
    firing_order,
    preconditions,
    refuse_solid_fuel,
    taken,
    with_fires,
)
from hvaclib.readings import Reading, Readings

__all__ = ["BURN", "Step", "WorstCase", "facts_of", "taken", "worst_case"]

NOTICEABLE = 0.1
"""Pa: a change that a manometer of 0.1 Pa resolution shows; a smaller one decides nothing."""


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


def worst_case(
    dwelling: Dwelling, setup: Setup | None = None, start: Start = "cold", zone: str | None = None
) -> WorstCase:
    """Run the worst-case draft test.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, optional
        Weather and, for solid fuel, what burns; the file's by default. Fans, doors and windows are set by the test.
    start : {"cold", "warm"}
        Whether the vents are cold when the first burner is lit.
    zone : str, optional
        The combustion appliance zone to test; the file's first by default.

    Returns
    -------
    WorstCase

    Raises
    ------
    InputError
        If solid fuel burns, or the dwelling (the zone) has no vented appliance.

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
    return last(worst_case_parts(dwelling, setup, start, zone))


def worst_case_parts(
    dwelling: Dwelling, setup: Setup | None = None, start: Start = "cold", zone: str | None = None
) -> Iterator[WorstCase | None]:
    """Do what `worst_case` does with a pause (None) after each step; the test comes last."""
    here = dwelling.default_setup() if setup is None else setup
    refuse_solid_fuel(dwelling, here)
    zones = appliance_zones(dwelling)
    if not zones:
        raise InputError(
            "there is no appliance whose draft could be tested",
            where=dwelling.name,
            expected="a draft-hood or fan-assisted appliance on a vent; sealed appliances are run, not judged",
        )
    if zone is not None and zone not in zones:
        raise InputError(
            "no vented appliance stands in this zone", where="zone", given=zone, expected=" or ".join(zones)
        )
    log = _Log(dwelling, zones[0] if zone is None else zone, start)
    worst = yield from log.set_up(_baseline_setup(dwelling, here))
    yield from log.fire(worst)


def _baseline_setup(dwelling: Dwelling, here: Setup) -> Setup:
    quiet = natural(here)
    for door in dwelling.doors:
        quiet = quiet.with_door(door.name, open=not door.outer)
    for window in dwelling.windows:
        quiet = quiet.with_window(window.name, open=False)
    for item in dwelling.appliances:
        quiet = quiet.with_firing(item.name, on=False)
    return quiet


Result = TypeVar("Result")
Pauses: TypeAlias = Generator[None, None, Result]


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

    def set_up(self, quiet: Setup) -> Pauses[Setup]:
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
        yield None
        setup, pressure = self._exhaust_on(quiet, baseline)
        setup, pressure = yield from self._each_door(setup, pressure, "Inner doors")
        if setup.air_handler is not None:
            setup, pressure = yield from self._air_handler(setup, pressure)
        self.readings.append(Reading("caz_pressure", pressure, self.zone, "worst case"))
        self.readings.append(Reading("caz_pressure_change", pressure - baseline, self.zone, "worst case"))
        return setup

    def _exhaust_on(self, setup: Setup, before: float) -> tuple[Setup, float]:
        fans = [fan.name for fan in self.dwelling.fans if fan.to == "outdoors" and fan.direction == "exhaust"]
        for name in fans:
            setup = setup.with_fan(name, 1.0)
        pressure = self.pressure(setup)
        names = ", ".join(fans) or "none in the house"
        self.note("Exhaust fans on", f"{names}: {_moved(before, pressure)}.", setup, pressure)
        return setup, pressure

    def _each_door(self, setup: Setup, pressure: float, title: str) -> Pauses[tuple[Setup, float]]:
        closed = []
        for control in _doors(self.dwelling):
            now = setup.doors[control.name]
            other = setup.with_door(control.name, open=not now)
            moved = self.pressure(other)
            yield None
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

    def _air_handler(self, still: Setup, before: float) -> Pauses[tuple[Setup, float]]:
        """Run it, try the doors with it, and keep it running if the zone then lies lower than without it."""
        running = still.with_air_handler(on=True)
        pressure = self.pressure(running)
        self.note("Air handler on", f"{_moved(before, pressure).capitalize()}.", running, pressure)
        running, pressure = yield from self._each_door(running, pressure, "Inner doors, once more")
        if pressure < before - NOTICEABLE:
            return running, pressure
        finding = "The zone lay lower, or as low, without it: the doors go back to where they were."
        self.note("Air handler off again", finding, still, before)
        return still, before

    def fire(self, worst: Setup) -> Iterator[WorstCase | None]:
        """Fire in order in the worst-case set-up, with every fan off, and with a window open."""
        order = firing_order(self.dwelling, self.zone)
        hot = self._run(worst, order, "worst case", self.start)
        yield None
        quiet = _inner_doors_open(self.dwelling, natural(worst))
        alone = self._run(quiet, order, "natural", "cold")
        yield None
        window = self._window()
        retest = None
        if window:
            open_setup = _with_window(self.dwelling, worst, window)
            retest = self._run(open_setup, order, "retest", self.start)
            pressure = self.pressure(open_setup)
            self.readings.append(Reading("caz_pressure", pressure, self.zone, "retest"))
            self.note("Retest", f"The worst-case set-up with {window} open.", open_setup, pressure)
        yield WorstCase(
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
            self.readings += read_appliance(
                run, item, BURN * count, [BURN * (n + 1) for n in range(len(order))], stage
            )
        if stage == "worst case":
            names = ", then ".join(item.name for item in order)
            pressure = float(run.zone_pressure[self.dwelling.zone_names.index(self.zone), -1])
            finding = f"{names}; five minutes each from a {start} vent. {hoods_seen(run, order)}"
            self.note("Fire the appliances", finding.strip(), events[-1][1], pressure)
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
