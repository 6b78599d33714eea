"""An invented dwelling for tests of the drawings: eight zones, doors of every kind, a common vent."""

from __future__ import annotations

from hvaclib.plots.section import OUTDOORS, Section, SectionAppliance, SectionPath, SectionVent, SectionZone

CFM = 0.3048**3 / 60  # m³/s, exact


def zone(name: str, floor: float, area: float, pressure: float, *, attic: bool = False) -> SectionZone:
    return SectionZone(name, floor, 2.4, area, pressure, attic)


def path(
    name: str,
    start: str,
    end: str,
    kind: str,
    forward: float = 0.0,
    backward: float = 0.0,
    active: bool = True,
) -> SectionPath:
    return SectionPath(name, start, end, kind, forward * CFM, backward * CFM, active)  # type: ignore[arg-type]


ZONES = (
    zone("basement", -2.1, 75, -6.2),
    zone("living room", 0.3, 30, -1.4),
    zone("kitchen", 0.3, 18, -3.1),
    zone("hall", 0.3, 8, -1.9),
    zone("bedroom", 2.9, 20, 2.1),
    zone("bath", 2.9, 7, -1.2),
    zone("landing", 2.9, 6, 0.3),
    zone("attic", 5.5, 70, -0.1, attic=True),
)
PATHS = (
    path("range hood", "kitchen", OUTDOORS, "fan", 250),
    path("dryer", "basement", OUTDOORS, "fan", 120),
    path("bath fan", "bath", OUTDOORS, "fan", 50, 0, False),
    path("basement leak", "basement", OUTDOORS, "leak", 0, 95),
    path("hall leak", "hall", OUTDOORS, "leak", 2, 60),
    path("attic vents", "attic", OUTDOORS, "opening", 60, 20),
    path("basement door", "basement", "hall", "door", 0, 40, False),
    path("kitchen arch", "kitchen", "hall", "door", 30, 160),
    path("stair", "hall", "landing", "opening", 70, 10),
    path("bath door", "bath", "bedroom", "door", 0, 12),
    path("ceiling", "bedroom", "attic", "leak", 22),
    path("duct", "basement", "bedroom", "duct", 90),
    path("duct", "living room", "basement", "duct", 350),
    path("window", "living room", OUTDOORS, "window", 0, 0, False),
)


def example(status: str = "reversed", draft: float = 1.2) -> Section:
    heater = SectionAppliance(
        "water heater", "draft-hood water heater", "basement", True, "chimney", draft, status
    )  # type: ignore[arg-type]
    furnace = SectionAppliance("furnace", "two-pipe sealed furnace", "basement", False)
    return Section(
        ZONES, PATHS, (heater, furnace), (SectionVent("chimney", "basement", 8.4),), "basement", True
    )
