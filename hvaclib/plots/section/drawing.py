"""The drawing itself: the parts put together in order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.section.flows import flows
from hvaclib.plots.section.layout import lay_out
from hvaclib.plots.section.shell import earth, key, shell, zone_words
from hvaclib.plots.section.venting import vent_columns, venting
from hvaclib.plots.section.words import section_words
from hvaclib.plots.style import SECTION_SHEETS
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.plots.section.data import Section
    from hvaclib.plots.style import Sheet, System, Width


def section_marks(section: Section, sheet: Sheet, system: System = "field") -> Marks:
    """Every shape and word of the drawing, without a figure."""
    marks = Marks()
    layout = lay_out(section, sheet)
    columns = vent_columns(section, layout, sheet)
    across = sorted(columns.values())
    earth(marks, layout, sheet)
    shell(marks, section, layout)
    zone_words(marks, section, layout, sheet, system, across)
    venting(marks, section, layout, sheet, system, columns)
    flows(marks, section, layout, sheet, system, across)
    key(marks, sheet, kinds.PRESSURE_DIFFERENCE.label(system))
    return marks


def dwelling_section(section: Section, width: Width = "wide", system: System = "field") -> Picture:
    """A section through the dwelling: storeys, pressures, flows, fans, doors and vents.

    Parameters
    ----------
    section : Section
        Zones, paths, appliances and vents at one moment, SI.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone; the type is at least 11 px on both at the shown size.
    system : {"field", "si"}
        Units of the figures in the drawing.

    Returns
    -------
    Picture
        With the text alternative from `section_words`.

    Raises
    ------
    InputError
        From `Section`, when a number is not finite or a name is unknown.
    """
    sheet = SECTION_SHEETS[width]
    return Picture(section_marks(section, sheet, system), sheet, section_words(section, system))
