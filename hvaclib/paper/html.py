"""A paper as one HTML file: readable on a screen, clean when printed, with nothing fetched from elsewhere."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from hvaclib.paper import document as parts

if TYPE_CHECKING:
    from hvaclib.paper.document import Block, Document

STYLE = """
:root { color-scheme: light; }
body { font: 15px/1.4 system-ui, "DejaVu Sans", Arial, sans-serif; color: #111; background: #fff; margin: 0 auto;
  max-width: 46rem; padding: 1rem; }
h1 { font-size: 1.6rem; margin: 0 0 .2rem; } h2 { font-size: 1.15rem; margin: 1.4rem 0 .4rem; break-after: avoid; }
p { margin: .4rem 0; } p.below, footer { color: #333; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; overflow-wrap: break-word; }
th, td { border: 1px solid #666; padding: .25rem .4rem; text-align: left; vertical-align: top; font-size: .9rem; }
tr, li, .frame, .sign { break-inside: avoid; } thead { display: table-header-group; }
.frame { border: 3px double #111; padding: .5rem .8rem; margin: .8rem 0; }
.frame p:first-child { font-weight: 700; margin-top: 0; }
ul { padding-left: 1.4rem; } ul.boxes { list-style: "\\2610\\00a0\\00a0"; } li { margin: .35rem 0; }
li p { margin: .1rem 0; }
pre { font: 700 1.5rem/1.35 "DejaVu Sans Mono", Consolas, monospace; border: 2px solid #111; padding: .6rem .8rem;
  white-space: pre-wrap; }
.sign { display: grid; grid-template-columns: 3fr 2fr; gap: 0 1.5rem; margin-top: 2.4rem; }
.sign span { border-top: 1px solid #111; padding-top: .2rem; font-size: .85rem; }
footer { margin-top: 2rem; font-size: .8rem; border-top: 1px solid #999; padding-top: .3rem; }
@media (max-width: 30rem) { body { font-size: 14px; padding: .6rem; } th, td { padding: .15rem .25rem; } }
@media print { body { max-width: none; padding: 0; font-size: 10.5pt; } @page { margin: 18mm; } }
"""


def html_of(document: Document) -> str:
    """A paper as a whole HTML page.

    Parameters
    ----------
    document : Document

    Returns
    -------
    str
        With its own style and no script; every text is escaped.
    """
    body = "\n".join(_block(block) for block in document.blocks)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(document.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f'<h1>{escape(document.title)}</h1>\n<p class="below">{escape(document.below)}</p>\n{body}\n'
        f"<footer>{escape(document.foot)}</footer>\n</body>\n</html>\n"
    )


def _block(block: Block) -> str:
    if isinstance(block, parts.Heading):
        return f"<h2>{escape(block.text)}</h2>"
    if isinstance(block, parts.Paragraph):
        text = escape(block.text)
        return f"<p><strong>{text}</strong></p>" if block.strong else f"<p>{text}</p>"
    if isinstance(block, parts.Bullets):
        entries = "".join(f"<li>{_lines(entry)}</li>" for entry in block.entries)
        return f"<ul{' class=boxes' if block.boxes else ''}>{entries}</ul>"
    if isinstance(block, parts.Table):
        return _table(block)
    if isinstance(block, parts.Cautions):
        return f'<div class="frame" role="note"><p>Caution</p>{_lines(block.sentences)}</div>'
    if isinstance(block, parts.Lines):
        return f"<pre>{escape(chr(10).join(block.lines))}</pre>"
    return "".join(
        f'<div class="sign"><span>{escape(who)}</span><span>Date</span></div>' for who in block.who
    )


def _lines(lines: tuple[str, ...]) -> str:
    return "".join(f"<p>{escape(line)}</p>" for line in lines)


def _table(block: parts.Table) -> str:
    total = sum(block.widths)
    columns = "".join(f'<col style="width:{100 * width / total:.1f}%">' for width in block.widths)
    head = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in block.head)
    rows = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in block.rows
    )
    return f"<table><colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
