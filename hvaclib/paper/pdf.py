"""A paper as a PDF file, set by ReportLab with letters that have every sign the trade writes."""

from __future__ import annotations

from functools import cache
from html import escape
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.errors import InputError
from hvaclib.paper import document as parts

if TYPE_CHECKING:
    from hvaclib.paper.document import Block, Document

SHEETS = ("letter", "A4")
MARGIN = 51.0  # 18 mm, in points
LETTERS, HEAVY, TYPED = "PaperSans", "PaperSansBold", "PaperMono"


def pdf_of(document: Document, sheet: str = "letter") -> bytes:
    """A paper as the content of a PDF file.

    Parameters
    ----------
    document : Document
    sheet : {"letter", "A4"}
        Size of the paper.

    Returns
    -------
    bytes
        The same for the same document: no date or random mark of its making is in it.

    Raises
    ------
    InputError
        If the size is another.
    """
    from reportlab.lib import pagesizes
    from reportlab.platypus import SimpleDocTemplate

    if sheet not in SHEETS:
        raise InputError("no such size of paper", given=sheet, expected=" or ".join(SHEETS))
    _fonts()
    size = pagesizes.letter if sheet == "letter" else pagesizes.A4
    content = BytesIO()
    page = SimpleDocTemplate(
        content,
        pagesize=size,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN + 14,
        title=document.title,
        author="",
        subject=document.below,
        creator="hvaclib",
        invariant=1,
    )
    width = size[0] - 2 * MARGIN
    story = [_text(document.title, "title"), _text(document.below, "below")]
    for block in document.blocks:
        story += _block(block, width)

    def foot(canvas: Any, template: Any) -> None:
        canvas.saveState()
        canvas.setFont(LETTERS, 7.5)
        for number, line in enumerate(reversed(_folded(document.foot, width - 60))):
            canvas.drawString(MARGIN, MARGIN - 12 + 9 * number, line)
        canvas.drawRightString(size[0] - MARGIN, MARGIN - 12, f"page {template.page}")
        canvas.restoreState()

    page.build(story, onFirstPage=foot, onLaterPages=foot)
    return content.getvalue()


def _block(block: Block, width: float) -> list[Any]:
    from reportlab.platypus import KeepTogether

    if isinstance(block, parts.Heading):
        return [_text(block.text, "heading")]
    if isinstance(block, parts.Paragraph):
        return [_text(block.text, "strong" if block.strong else "plain")]
    if isinstance(block, parts.Bullets):
        return [KeepTogether(_entry(entry, block.boxes)) for entry in block.entries]
    if isinstance(block, parts.Table):
        return [_table(block, width)]
    if isinstance(block, parts.Cautions):
        return [
            _frame([_text("Caution", "strong"), *(_text(line, "plain") for line in block.sentences)], width)
        ]
    if isinstance(block, parts.Lines):
        return [_frame([_text(line, "marker") for line in block.lines], width)]
    return [KeepTogether(_signature(who, width)) for who in block.who]


def _entry(lines: tuple[str, ...], box: bool) -> list[Any]:
    mark = "☐" if box else "•"
    first = _text(lines[0], "bullet", mark)
    return [first, *(_text(line, "below-bullet") for line in lines[1:])]


def _table(block: parts.Table, width: float) -> Any:
    from reportlab.lib import colors
    from reportlab.platypus import Table

    total = sum(block.widths)
    rows = [[_text(cell, "head") for cell in block.head]]
    rows += [[_text(cell, "cell") for cell in row] for row in block.rows]
    style: list[Any] = [
        ("GRID", (0, 0), (-1, -1), 0.5, colors.Color(0.4, 0.4, 0.4)),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("BACKGROUND", (0, 0), (-1, 0), colors.Color(0.92, 0.92, 0.92)),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ]
    widths = [width * share / total for share in block.widths]
    return Table(rows, colWidths=widths, repeatRows=1, style=style, spaceBefore=4, spaceAfter=4)


def _frame(content: list[Any], width: float) -> Any:
    from reportlab.lib import colors
    from reportlab.platypus import Table

    style: list[Any] = [("BOX", (0, 0), (-1, -1), 1.5, colors.black), ("LEFTPADDING", (0, 0), (-1, -1), 8)]
    return Table([[line] for line in content], colWidths=[width], style=style, spaceBefore=6, spaceAfter=6)


def _signature(who: str, width: float) -> list[Any]:
    from reportlab.lib import colors
    from reportlab.platypus import Spacer, Table

    style: list[Any] = [
        ("LINEABOVE", (0, 0), (0, 0), 0.7, colors.black),
        ("LINEABOVE", (2, 0), (2, 0), 0.7, colors.black),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
    ]
    row = [[_text(who, "cell"), "", _text("Date", "cell")]]
    return [Spacer(1, 34), Table(row, colWidths=[width * 0.58, width * 0.06, width * 0.36], style=style)]


def _text(text: str, style: str, bullet: str | None = None) -> Any:
    from reportlab.platypus import Paragraph

    return Paragraph(escape(text), _styles()[style], bulletText=bullet)


@cache
def _styles() -> dict[str, Any]:
    from reportlab.lib.styles import ParagraphStyle

    plain = ParagraphStyle("plain", fontName=LETTERS, fontSize=9.5, leading=13, spaceBefore=2, spaceAfter=3)

    def of(name: str, **changes: Any) -> Any:
        return ParagraphStyle(name, parent=plain, **changes)

    return {
        "plain": plain,
        "title": of("title", fontName=HEAVY, fontSize=17, leading=21, spaceAfter=1),
        "below": of("below", spaceAfter=8),
        "heading": of("heading", fontName=HEAVY, fontSize=12, leading=15, spaceBefore=10, keepWithNext=1),
        "strong": of("strong", fontName=HEAVY),
        "cell": of("cell", fontSize=8, leading=10, spaceBefore=0, spaceAfter=0),
        "head": of("head", fontName=HEAVY, fontSize=8, leading=10, spaceBefore=0, spaceAfter=0),
        "bullet": of("bullet", leftIndent=16, bulletIndent=2, bulletFontName=LETTERS, bulletFontSize=10),
        "below-bullet": of("below-bullet", leftIndent=16, spaceBefore=0, fontSize=8.5, leading=11),
        "marker": of("marker", fontName=TYPED, fontSize=17, leading=22),
    }


@cache
def _fonts() -> None:
    """The letters come with matplotlib, so that a paper looks alike on every machine and has ², °, − and ☐."""
    import matplotlib as mpl
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = Path(mpl.get_data_path()) / "fonts" / "ttf"
    names = ((LETTERS, "DejaVuSans"), (HEAVY, "DejaVuSans-Bold"), (TYPED, "DejaVuSansMono-Bold"))
    for name, file in names:
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{file}.ttf")))


def _folded(text: str, width: float) -> list[str]:
    from reportlab.lib.utils import simpleSplit

    lines: list[str] = simpleSplit(text, LETTERS, 7.5, width)
    return lines
