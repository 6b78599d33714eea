"""Paper: the label on the return drop, the job sheet, the findings letter and the punch list, as HTML and PDF.

What a paper says is put together once, as a `Document`; `html_of` and `pdf_of` only set it.
"""

from __future__ import annotations

from hvaclib.paper.document import Document
from hvaclib.paper.html import html_of
from hvaclib.paper.job_sheet import job_sheet
from hvaclib.paper.label import label, label_lines
from hvaclib.paper.letter import findings_letter
from hvaclib.paper.pdf import pdf_of
from hvaclib.paper.punch_list import punch_list
from hvaclib.paper.write import PAPERS, write_paper

__all__ = [
    "PAPERS",
    "Document",
    "findings_letter",
    "html_of",
    "job_sheet",
    "label",
    "label_lines",
    "pdf_of",
    "punch_list",
    "write_paper",
]
