"""A section through the dwelling: pressures, flows, fans, doors and vents in one picture."""

from hvaclib.plots.section.data import (
    OUTDOORS,
    Section,
    SectionAppliance,
    SectionPath,
    SectionVent,
    SectionZone,
)
from hvaclib.plots.section.drawing import dwelling_section
from hvaclib.plots.section.from_state import section_of
from hvaclib.plots.section.words import section_words

__all__ = [
    "OUTDOORS",
    "Section",
    "SectionAppliance",
    "SectionPath",
    "SectionVent",
    "SectionZone",
    "dwelling_section",
    "section_of",
    "section_words",
]
