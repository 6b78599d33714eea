"""Papers as files beside each other: HTML, PDF, and the label as plain text."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from hvaclib.errors import InputError
from hvaclib.files import write_bytes, write_text
from hvaclib.paper.html import html_of
from hvaclib.paper.job_sheet import job_sheet
from hvaclib.paper.label import label, label_lines
from hvaclib.paper.letter import findings_letter
from hvaclib.paper.pdf import pdf_of
from hvaclib.paper.punch_list import punch_list

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from hvaclib.paper.document import Document
    from hvaclib.plots.style import System
    from hvaclib.review import Review

PAPERS: Mapping[str, Callable[[Review, System], Document]] = MappingProxyType(
    {
        "job sheet": lambda review, system: job_sheet(review.visit, system),
        "findings": findings_letter,
        "punch list": lambda review, _system: punch_list([review]),
        "label": lambda review, system: label(review.visit, system=system),
    }
)
"""The papers of one job by name."""


def write_paper(
    review: Review,
    folder: str | Path,
    papers: Iterable[str] = tuple(PAPERS),
    *,
    sheet: str = "letter",
    system: System = "field",
) -> tuple[Path, ...]:
    """Write papers of one job into a folder, each whole or not at all.

    Parameters
    ----------
    review : Review
    folder : str or Path
        It must exist.
    papers : iterable of str, optional
        Names out of `PAPERS`; all unless given.
    sheet : {"letter", "A4"}, optional
        Size of the paper.
    system : {"field", "si"}, optional
        Units.

    Returns
    -------
    tuple of Path
        The files: HTML and PDF of each, and the label as text too.

    Raises
    ------
    InputError
        If there is no such paper or size.
    FileError
        If a file cannot be written.
    """
    folder, written = Path(folder), []
    for name in papers:
        if name not in PAPERS:
            raise InputError("no such paper", given=name, expected=" or ".join(PAPERS))
        document = PAPERS[name](review, system)
        stem = folder / f"{safe_name(review.visit.job.id)} {name}"
        files = [stem.with_name(f"{stem.name}{ending}") for ending in (".html", ".pdf")]
        write_text(files[0], html_of(document))
        write_bytes(files[1], pdf_of(document, sheet))
        if name == "label":
            files.append(stem.with_name(f"{stem.name}.txt"))
            write_text(files[2], "\n".join(label_lines(review.visit, system=system)) + "\n")
        written += files
    return tuple(written)


def safe_name(text: str) -> str:
    """A job's id as part of a file name that every system takes.

    Examples
    --------
    >>> safe_name("A/1: ..")
    'A-1'
    """
    return re.sub(r"[^\w .()-]+", "-", text).strip(" .-")[:80] or "job"
