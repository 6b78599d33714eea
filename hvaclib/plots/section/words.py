"""What the section shows, in words: figures with sign and unit, and the text alternative of the picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.section.data import OUTDOORS
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.plots.section.data import Section, SectionAppliance
    from hvaclib.plots.style import System

SMALLEST_PRESSURE = 0.05  # Pa: shown as 0.0, without a sign


def pressure_text(pressure: float, system: System = "field") -> str:
    """A pressure difference with its sign, to a tenth of a pascal (a field gauge shows no more)."""
    value = 0.0 if abs(pressure) < SMALLEST_PRESSURE else pressure
    text = show(value, kinds.PRESSURE_DIFFERENCE, system, 1)
    return f"+{text}" if value > 0 else text.replace("-", "−")


def flow_text(flow: float, system: System = "field") -> str:
    """A volume flow to the whole cfm, or litre a second."""
    return show(flow, kinds.VOLUME_FLOW, system, 0)


def appliance_words(appliance: SectionAppliance, system: System) -> str:
    """One appliance in words: firing or not, and what its vent does."""
    text = f"{appliance.name} {'firing' if appliance.firing else 'not firing'}"
    if appliance.draft is None:
        return text
    doing = {"idle": "vent at rest", "drawing": "vent drawing", "spilling": "vent spilling into the room",
             "reversed": "vent reversed"}[appliance.status]  # fmt: skip
    return f"{text}, draft {pressure_text(appliance.draft, system)}, {doing}"


def section_words(section: Section, system: System = "field") -> str:
    """The text alternative: zones from the lowest up, what runs, what is open, what each vent does."""
    zones = sorted(section.zones, key=lambda z: z.floor)
    parts = ["Section through the dwelling. Pressure to outdoors: "
             + ", ".join(f"{z.name} {pressure_text(z.pressure, system)}" for z in zones)]  # fmt: skip
    parts += [
        appliance_words(a, system)[0].upper() + appliance_words(a, system)[1:] for a in section.appliances
    ]
    running = [
        f"{p.name} {flow_text(p.forward + p.backward, system)}"
        for p in section.paths
        if p.kind == "fan" and p.active
    ]
    parts.append("Fans running: " + (", ".join(running) or "none"))
    if section.air_handler_zone:
        parts.append(f"Air handler {'on' if section.air_handler_on else 'off'}")
    movable = [p for p in section.paths if p.kind in ("door", "window")]
    opened = [p.name for p in movable if p.active]
    shut = [p.name for p in movable if not p.active]
    if movable:
        parts.append("Open: " + (", ".join(opened) or "none") + "; shut: " + (", ".join(shut) or "none"))
    leaks_in = sum(
        p.backward if p.end == OUTDOORS else p.forward for p in section.paths if _leak(p.start, p.end, p.kind)
    )
    parts.append(f"Air entering through leaks {flow_text(leaks_in, system)}")
    return ". ".join(parts) + "."


def _leak(start: str, end: str, kind: str) -> bool:
    return kind == "leak" and OUTDOORS in (start, end)
