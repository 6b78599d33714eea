"""The label on the return drop: short lines, ready to be copied by marker."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.paper.document import Document, Lines, Paragraph
from hvaclib.paper.values import Values

if TYPE_CHECKING:
    from hvaclib.plots.style import System
    from hvaclib.visit import Visit

BLANK = "______"
WIDEST = 34
"""Letters a line may have, so that it fits on a return drop at the size of a marker."""


def label_lines(visit: Visit, appliance: str = "", system: System = "field") -> tuple[str, ...]:
    """Lines of the label of one furnace.

    Parameters
    ----------
    visit : Visit
    appliance : str, optional
        Its name; the first furnace or boiler of the job, or the first appliance, unless named.
    system : {"field", "si"}, optional
        Units.

    Returns
    -------
    tuple of str
        Date, flue-gas analysis, input, rise, static pressure, filter and arrow; a blank to fill in where the sheet has
        no value.
    """
    values = Values(visit, system)
    name = appliance or values.main_appliance
    plate = values.appliance(name)

    def of(item: str) -> str:
        return values.shown(item, name) or BLANK

    rise = " to ".join(plate.rise) if plate.rise else ""
    lines = [
        f"{visit.job.date.isoformat()}   {name.upper()}",
        f"O₂ {of('flue-oxygen')}   CO₂ {of('flue-carbon-dioxide')}",
        f"CO AIR-FREE {of('flue-co-air-free')}",
        f"FLUE GAS {of('stack-temperature')}",
        f"EFFICIENCY {of('steady-efficiency')}",
        f"INPUT {of('clocked-input')}",
        *([f"  PLATE {plate.input}"] if plate.input else []),
        f"RISE {of('temperature-rise')}",
        *([f"  PLATE {rise}"] if rise else []),
        f"STATIC {of('external-static')}",
        *([f"  MAXIMUM {plate.maximum_static}"] if plate.maximum_static else []),
        f"FILTER {of('filter-size')}",
        "AIR  ═══►  TO THE FURNACE",
        f"BY {visit.job.technician or BLANK}",
    ]
    return tuple(folded for line in lines for folded in _folded(line))


def label(visit: Visit, appliance: str = "", system: System = "field") -> Document:
    """The label as a paper to take to the basement; see `label_lines`."""
    values = Values(visit, system)
    name = appliance or values.main_appliance
    return Document(
        title="Label for the return drop",
        below=f"Job {visit.job.id}, {name}. Copy by marker where the next technician will look.",
        blocks=(
            Lines(label_lines(visit, name, system)),
            Paragraph(
                "The arrow on the filter points the way of the air: from the return to the furnace. Write beside no "
                "seam, latch or drilled hole, and leave the rating plate readable."
            ),
        ),
        foot=f"Job {visit.job.id}, {visit.job.date.isoformat()}",
    )


def _folded(line: str) -> list[str]:
    """A line cut at its spaces where it is wider than a marker writes."""
    found, rest = [], line
    while len(rest) > WIDEST:
        cut = rest.rfind(" ", 1, WIDEST + 1)
        cut = cut if rest[: max(cut, 0)].strip() else WIDEST
        found.append(rest[:cut].rstrip())
        rest = "  " + rest[cut:].strip()
    return [*found, rest]
