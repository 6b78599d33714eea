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
    """One appliance in a sentence: firing or not, and what its vent does."""
    text = f"The {appliance.name} is {'firing' if appliance.firing else 'not firing'}"
    if appliance.draft is None:
        return text + "."
    doing = {"idle": "its vent is at rest", "drawing": "its vent draws", "spilling": "its vent spills into the room",
             "reversed": "its vent runs backwards"}[appliance.status]  # fmt: skip
    return f"{text}; {doing}, and the draft reads {pressure_text(appliance.draft, system)} at the test hole."


def section_words(section: Section, system: System = "field") -> str:
    """The text alternative, in sentences: what a person must know who does not see the drawing.

    Pressures from the lowest zone up, what burns and how its vent does, fans, doors, and which way the air moves
    through each door, opening and zone's leaks; a flow below 3 % of the largest is left out.
    """
    zones = sorted(section.zones, key=lambda z: z.floor)
    pressures = [f"{pressure_text(z.pressure, system)} in the {z.name}" for z in zones]
    parts = [f"Section through the dwelling. Against outdoors the pressure is {_listed(pressures)}."]
    parts += [appliance_words(a, system) for a in section.appliances]
    fans = [p for p in section.paths if p.kind == "fan"]
    running = [f"the {p.name} with {flow_text(p.forward + p.backward, system)}" for p in fans if p.active]
    still = [f"the {p.name}" for p in fans if not p.active]
    parts.append(f"Fans running: {_listed(running) or 'none'}.")
    if still:
        parts.append(f"Fans off: {_listed(still)}.")
    if section.air_handler_zone:
        parts.append(f"The air handler is {'on' if section.air_handler_on else 'off'}.")
    movable = [p for p in section.paths if p.kind in ("door", "window")]
    for word, active in (("Open", True), ("Shut", False)):
        if movable:
            names = [f"the {p.name}" for p in movable if p.active is active]
            parts.append(f"{word}: {_listed(names) or 'none'}.")
    return " ".join([*parts, *_flow_sentences(section, system)])


def _flow_sentences(section: Section, system: System) -> list[str]:
    """Which way the air moves, by door, opening and window, then by each zone's leaks to outdoors."""
    seen = [p for p in section.paths if p.kind not in ("fan", "duct")]
    least = max((0.03 * max(p.forward, p.backward) for p in seen), default=0.0)
    told = []
    leaks: dict[tuple[str, str], float] = {}
    for path in seen:
        ways = [(path.forward, path.start, path.end), (path.backward, path.end, path.start)]
        for flow, start, end in ways:
            if flow <= max(least, 2.4e-4):
                continue
            if path.kind == "leak":
                leaks[start, end] = leaks.get((start, end), 0.0) + flow
            else:
                told.append(f"{flow_text(flow, system)} {_way(start, end)} by the {path.name}")
    told += [
        f"{flow_text(flow, system)} {_way(start, end)} through leaks" for (start, end), flow in leaks.items()
    ]
    return [f"Air moves: {'; '.join(told)}."] if told else ["No air moves."]


def _way(start: str, end: str) -> str:
    if start == OUTDOORS:
        return f"from outdoors into the {end}"
    return f"from the {start} to outdoors" if end == OUTDOORS else f"from the {start} to the {end}"


def _listed(parts: list[str]) -> str:
    """Parts of a sentence with commas and an 'and'."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}" if parts else ""
