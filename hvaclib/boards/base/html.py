"""Pieces of HTML from plain text: every word from outside is escaped here and nowhere else."""

from __future__ import annotations

import base64
import csv
from html import escape
from io import StringIO
from typing import TYPE_CHECKING, Any

__all__ = [
    "bullet_list",
    "caution",
    "csv_text",
    "download_link",
    "escape",
    "figure",
    "fold",
    "group_heading",
    "link",
    "paragraphs",
    "table",
]

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


SHORT, LONG = 11, 45  # letters


def paragraphs(sentences: Sequence[str]) -> str:
    """One paragraph a sentence."""
    return "".join(f"<p>{escape(str(sentence))}</p>" for sentence in sentences)


def bullet_list(entries: Sequence[str]) -> str:
    """A list; empty for no entries."""
    items = "".join(f"<li>{escape(str(entry))}</li>" for entry in entries)
    return f"<ul>{items}</ul>" if items else ""


def fold(title: str, content: str, *, is_open: bool = False) -> str:
    """Content under a heading that opens and shuts it; empty for no content.

    A real ``details`` element: keyboard and screen reader know it. The page's script keeps what a person opened when the
    content is replaced, by the title, which is therefore to be the only one of its kind on the page.
    """
    if not content:
        return ""
    key = escape(title, quote=True)
    return (
        f'<details class="board-fold" data-fold="{key}"{" open" if is_open else ""}>'
        f"<summary>{escape(title)}</summary>{content}</details>"
    )


def group_heading(title: str, *, kept: bool = False) -> str:
    """Heading of a group of controls, as a button that folds the group; a phone begins with it folded unless kept."""
    stays = ' data-kept="yes"' if kept else ""
    return f'<h2><button type="button" class="board-fold-button"{stays} aria-expanded="true">{escape(title)}</button></h2>'


def caution(sentences: Sequence[str], *, strong: bool = False) -> str:
    """One box: the two gravest sentences at once, the others folded below them; empty for no sentences."""
    if not sentences:
        return ""
    more = fold("More cautions", paragraphs(sentences[2:]))
    kind = "board-caution board-caution-strong" if strong else "board-caution"
    return f'<div class="{kind}"><h2>Caution</h2>{paragraphs(sentences[:2])}{more}</div>'


def figure(title: str, svg: str, caption: str = "") -> str:
    """A picture (an ``svg`` element that names itself) under its title."""
    below = f"<figcaption>{escape(caption)}</figcaption>" if caption else ""
    return f'<figure class="board-figure"><h3>{escape(title)}</h3>{svg}{below}</figure>'


def table(title: str, rows: Sequence[Mapping[str, Any]]) -> str:
    """A real table with a caption and column headers; the first column heads its row. It scrolls in its own box.

    A table of sentences would scroll far on a phone: there each row stands by itself, a line a column, and the column's
    words stand before each cell. The roles keep it a table for a screen reader. The caption is for a screen reader as
    well: on the page the heading of the fold says the same.
    """
    columns = _columns(rows)
    if not columns:
        return ""
    head = "".join(f'<th scope="col" role="columnheader">{escape(column)}</th>' for column in columns)
    body = "".join(
        '<tr role="row">'
        + "".join(_told(column, row.get(column), head=number == 0) for number, column in enumerate(columns))
        + "</tr>"
        for row in rows
    )
    cards = " board-cards" if _is_of_sentences(columns, rows) else ""
    return (
        f'<div class="board-table{cards}" tabindex="0" role="region" aria-label="{escape(title, quote=True)}">'
        f'<table role="table"><caption>{escape(title)}</caption><thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{body}</tbody></table></div>'
    )


def _told(column: str, value: Any, *, head: bool) -> str:
    """One cell, with its column's words for a phone."""
    words = f'data-column="{escape(column, quote=True)}"{_width(value)}'
    if head:
        return f'<th scope="row" role="rowheader" {words}>{_cell(value)}</th>'
    return f'<td role="cell" {words}>{_cell(value)}</td>'


def _is_of_sentences(columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> bool:
    """Whether a table is too wide for a phone: many columns, or some and a sentence among them."""
    if len(columns) <= 3:
        return False
    return len(columns) > 6 or any(len(str(value)) >= LONG for row in rows for value in row.values())


def link(words: str, address: str) -> str:
    """A paragraph that leads to another board, in a tab of its own: what was set here is not lost."""
    return (
        f'<p><a href="{escape(address, quote=True)}" target="_blank" rel="noopener">{escape(words)}</a></p>'
    )


def download_link(words: str, name: str, content: bytes, mime: str) -> str:
    """A link that holds its file: nothing is written on the server and no visitor sees another's."""
    data = base64.b64encode(content).decode("ascii")
    return (
        f'<a class="board-download" download="{escape(name, quote=True)}" '
        f'href="data:{escape(mime, quote=True)};base64,{data}">{escape(words)}</a>'
    )


def csv_text(rows: Sequence[Mapping[str, Any]] | Any) -> str:
    """A table as CSV text for a spreadsheet.

    Parameters
    ----------
    rows : sequence of mapping, or pandas.DataFrame
        Rows; the columns are those of all rows in the order in which they first appear.

    Returns
    -------
    str
        With a heading line; text that a spreadsheet would run as a formula is kept as text.
    """
    if hasattr(rows, "to_dict"):
        rows = rows.to_dict("records")
    out = StringIO()
    columns = _columns(rows)
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([_harmless(column) for column in columns])
    for row in rows:
        writer.writerow([_harmless(row.get(column, "")) for column in columns])
    return out.getvalue()


def _columns(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    return list(dict.fromkeys(str(key) for row in rows for key in row))


def _cell(value: Any) -> str:
    return "" if value is None else escape(str(value))


def _width(value: Any) -> str:
    """A class for what must not be broken (a number with its unit) and for what needs room (a sentence)."""
    length = len(str(value))
    if length <= SHORT:
        return ' class="board-short"'
    return ' class="board-long"' if length >= LONG else ' class="board-middle"'


def _harmless(value: Any) -> Any:
    """A name such as ``=cmd()`` from a file must not run in the reader's spreadsheet; numbers stay numbers."""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        try:
            float(value)
        except ValueError:
            return "'" + value
    return value
