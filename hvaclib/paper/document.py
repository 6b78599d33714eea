"""What a paper says, apart from how it is set: headings, sentences, lists, tables, cautions and lines to sign on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within the paper."""

    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One or more sentences; a strong one is what must not be overlooked."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list; each entry may have lines of its own below it, and a box to tick before it."""

    entries: tuple[tuple[str, ...], ...]
    boxes: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a heading row; widths are shares of the page."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]

    def __post_init__(self) -> None:
        for row in (self.head, self.widths, *self.rows):
            if len(row) != len(self.head):
                raise ValueError("every row of a table has as many cells as its heading")


@dataclass(frozen=True, slots=True)
class Cautions:
    """What can hurt, in a frame."""

    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Short lines in large letters, to be copied by marker."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on, each with who signs and a date."""

    who: tuple[str, ...]


Block = Heading | Paragraph | Bullets | Table | Cautions | Lines | Signatures


@dataclass(frozen=True, slots=True)
class Document:
    """A paper.

    Parameters
    ----------
    title : str
        Stands on top.
    below : str
        One line under the title: job, date, contractor.
    blocks : tuple
        What it says, in order.
    foot : str
        Stands at the foot of every page, before the page number.
    """

    title: str
    below: str
    blocks: tuple[Block, ...]
    foot: str

    def words(self) -> tuple[str, ...]:
        """Every piece of text in order, whatever the setting."""
        found: list[str] = [self.title, self.below]
        for block in self.blocks:
            found += _words(block)
        return (*found, self.foot)


def _words(block: Block) -> Sequence[str]:
    if isinstance(block, Heading | Paragraph):
        return [block.text]
    if isinstance(block, Bullets):
        return [line for entry in block.entries for line in entry]
    if isinstance(block, Table):
        return [cell for row in (block.head, *block.rows) for cell in row if cell]
    if isinstance(block, Cautions):
        return block.sentences
    return block.lines if isinstance(block, Lines) else block.who
