"""What a board shows for one state of its inputs: plain data, made by a pure function, shown by the view."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from hvaclib.plots import Picture

Verdict = Literal["pass", "fail", "unsure", ""]


@dataclass(frozen=True, slots=True)
class PagePicture:
    """A picture under its title, with a caption if it needs one."""

    title: str
    picture: Picture
    caption: str = ""


@dataclass(frozen=True, slots=True)
class PageTable:
    """A table under its title: rows as mappings of column heading to text or number; the first one is always open."""

    title: str
    rows: Sequence[Mapping[str, Any]]
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class PageLink:
    """Another board with settings that carry this answer on: its words, and its address from this page."""

    words: str
    address: str


@dataclass(frozen=True, slots=True)
class PageFile:
    """A file to keep that is no picture or table of the page: the words of its link, its name, content and MIME type."""

    words: str
    name: str
    content: bytes
    mime: str


@dataclass(frozen=True, slots=True)
class Page:
    """The answer in words first, then the cautions, the pictures, the numbers and the sources.

    Parameters
    ----------
    answer : sequence of str
        Sentences; the first one answers the board's question.
    verdict : {"pass", "fail", "unsure", ""}
        Bar beside the answer; the words must say it too.
    cautions : sequence of str
        What can hurt, beside the number that shows it.
    pictures : sequence of PagePicture
        In the order shown; the first is the main one.
    tables : sequence of PageTable
        Numbers; the first is what 'save the table' writes.
    sources : sequence of str
        The standard, section or handbook that each rule and figure rests on.
    links : sequence of PageLink
        Where the question goes on; below the answer.
    """

    answer: Sequence[str] = ()
    verdict: Verdict = ""
    cautions: Sequence[str] = ()
    pictures: Sequence[PagePicture] = ()
    tables: Sequence[PageTable] = ()
    sources: Sequence[str] = field(default=())
    links: Sequence[PageLink] = ()
