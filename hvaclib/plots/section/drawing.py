"""The drawing itself: the parts put together in order."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.section.flows import flows
from hvaclib.plots.section.layout import lay_out
from hvaclib.plots.section.numbered import key, key_height, numbered
from hvaclib.plots.section.shell import earth, shell, zone_words
from hvaclib.plots.section.venting import vent_columns, venting
from hvaclib.plots.section.words import section_words
from hvaclib.plots.style import SECTION_SHEETS
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.plots.section.data import Section
    from hvaclib.plots.style import Sheet, System, Width


def section_marks(section: Section, sheet: Sheet, system: System = "field") -> tuple[Marks, Sheet]:
    """Every shape and word of the drawing, without a figure, and the sheet as high as its key needs it."""
    marks = Marks()
    layout = lay_out(section, sheet)
    across = sorted(vent_columns(section, layout, sheet).values())
    numbers = numbered(section, layout, sheet, system, across)
    foot = key_height(numbers, sheet)
    sheet = replace(sheet, height=round(sheet.height + foot - sheet.foot), foot=foot)
    layout = lay_out(section, sheet)
    columns = vent_columns(section, layout, sheet)
    earth(marks, layout, sheet)
    shell(marks, section, layout)
    words = zone_words(marks, section, layout, sheet, system, across, numbers.signs)
    venting(marks, section, layout, sheet, system, columns, numbers.signs)
    key(marks, sheet, kinds.PRESSURE_DIFFERENCE.label(system), numbers)
    flows(marks, section, layout, sheet, system, (across, words), numbers.signs)
    return marks, sheet


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
    marks, sheet = section_marks(section, SECTION_SHEETS[width], system)
    return Picture(marks, sheet, section_words(section, system))
