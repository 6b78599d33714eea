"""Tables of visits: reading them as the field writes them, and writing them."""

from __future__ import annotations

from hvaclib.visit.sheets.blank import blank_sheet
from hvaclib.visit.sheets.frames import from_frame, to_frame
from hvaclib.visit.sheets.pile import Pile, stream
from hvaclib.visit.sheets.read import read_content, read_sheets
from hvaclib.visit.sheets.understood import Heading, Note, Understood
from hvaclib.visit.sheets.writing import write_csv, write_xlsx

__all__ = [
    "Heading",
    "Note",
    "Pile",
    "Understood",
    "blank_sheet",
    "from_frame",
    "read_content",
    "read_sheets",
    "stream",
    "to_frame",
    "write_csv",
    "write_xlsx",
]
