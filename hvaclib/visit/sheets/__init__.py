"""Tables of visits: reading them as the field writes them, and writing them.

The forms
---------
wide
    CSV or XLSX, one visit a row: ``job``, ``contractor``, ``date``; the plate of each appliance behind its name,
    ``furnace: kind``, ``furnace: fuel``, ``furnace: zone``, ``furnace: input (Btu/h)``; and a column for each answer,
    ``temperature-rise @ furnace (°F)``, ``draft-worst-case @ water heater (Pa)``, ``remarks``. Behind a heading may stand a
    part of its answer: ``draft-worst-case @ water heater: at``, ``… : note``, ``… : instrument``, ``… : photo``.
long
    CSV or XLSX, one entry a row, under ``job``, ``item``, ``where``, ``when``, ``value``, ``unit`` and, if wanted, ``bound``,
    ``at``, ``instrument``, ``note``, ``photo``, ``found as``. Facts of the job and the plates are entries as well: their
    heading stands under ``item``. A blank ``job`` repeats the one above.
form
    headings down the first column and what they say beside them, for one visit.
JSON, TOML
    one visit, ``[...]`` or ``[[visit]]`` for several, as `hvaclib.visit.write_visit` writes them; JSON also as a list of
    flat records with the headings of the wide form.

`blank_sheet` writes the headings that a job of given appliances needs. Required are ``job``, ``contractor``, ``date`` and
of each appliance ``kind``, ``fuel`` and ``zone``; everything else may be missing, and a column that is not known is left
out with a sentence.

The headings
------------
An item goes by its id, its title or another name of ``../items.toml``, facts by the names of ``headings.toml``, in any
spelling of case, hyphens and spaces. Place, stage and unit stand behind it: ``draft @ furnace | natural (Pa)`` or
``Draft, furnace, natural (Pa)``. A unit in the heading, in a row below the headings or under ``unit`` holds for each
cell without one of its own; a number without any is refused, never guessed. Headings may stand on two rows, the
upper one merged, and below a title.

The cells
---------
Numbers as ``60000``, ``60,000``, ``60 000``, ``2,5``, ``<1``, ``> 2000``, ``2000+``, ``40 to 70``, ``5 1/2 in``; ``—``,
``n/a`` and ``not tested`` for what was not taken; ``yes``, ``no``, ``y``, ``n``, ``x``, ``✓``; dates as ``2026-03-14``, and
``14/03/2026`` or ``03/14/2026`` where the file itself, its heading (``date (dd/mm/yyyy)``) or the caller settles the order. An
apostrophe before a text takes it letter by letter. Whatever had to be interpreted stands in the notes of `Understood`,
whatever is left out in its refusals; the file is only read, and nothing in it is ever worked out.
"""

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
