"""The pile board's page: what comes first in words, cautions, a mark a sheet, and tables."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from hvaclib.boards.base import Inputs, Page, PageLink, PagePicture
from hvaclib.boards.finished_sheets import CAUTIONS, DEMO, WORDS, cautions_of, counted
from hvaclib.boards.pile.tables import tables_of
from hvaclib.plots.pile import PileMark, PileRow, pile_chart
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from hvaclib.boards.base.page import Verdict
    from hvaclib.boards.pile.rows import Pile, Row

CAUTIONED = 8
"""Sheets, gravest first, whose cautions stand on the page; the others have theirs in their own review."""
SOURCES = (
    "Each remark names the rule, standard or demand that it rests on; open the sheet by itself to read them.",
    "Probability that a reading conforms, and 'too close to call': JCGM 106:2012.",
    "Across visits: one false-alarm rate for all comparisons of the pile: S. Holm, 'A simple sequentially rejective "
    "multiple test procedure', Scandinavian Journal of Statistics 6 (1979), 65–70.",
    "Order: gravest remark, then how many of each severity, then the older date: program decision.",
)


def page_of(inputs: Inputs, pile: Pile | None) -> Page:
    """What the board shows; an empty page before anything was read."""
    if pile is None:
        return Page(cautions=CAUTIONS)
    pictures = []
    if pile.total:
        caption = (
            f"In the order: {_order(inputs.order)}. Pale outlines: left out by the filter."
            if len(pile.shown) < len(pile.rows)
            else ""
        )
        pictures.append(
            PagePicture("Sheets by contractor", pile_chart(chart_rows(pile), inputs.width), caption)
        )
    return Page(
        answer=words(pile),
        verdict=verdict(pile),
        cautions=cautions_of(row.review for row in pile.shown[:CAUTIONED]),
        pictures=pictures,
        tables=tables_of(pile),
        sources=(f"Rule set: {pile.rules.name} {pile.rules.version}.", *SOURCES),
        links=_links(pile, inputs.rule_set),
    )


def _order(key: str) -> str:
    from hvaclib.boards.pile.rows import ORDERS

    return ORDERS[key]


def _links(pile: Pile, rule_set: str) -> tuple[PageLink, ...]:
    """The first sheet at the step of its first remark; the sheets of other piles are not known to another page."""
    if not pile.shown:
        return ()
    if pile.demo != "demo":
        words = (
            "Walk through one sheet, step by step: load its file there "
            f"({pile.shown[0].sheet} is among the files of this view)"
        )
        return (PageLink(words, f"one_visit.ipynb?rule_set={quote(rule_set)}"),)
    first = pile.shown[0]
    step = item(first.first.item).step.number if first.first is not None and first.first.item else 1
    address = f"one_visit.ipynb?sheet={quote(first.sheet)}&step={step}&rule_set={quote(rule_set)}"
    return (PageLink(f"Walk through {first.sheet}, step by step", address),)


def verdict(pile: Pile) -> Verdict:
    """The bar beside the answer: of the gravest sheet that the filters let through."""
    found = {row.severity for row in pile.shown}
    if found & {"stop and call", "fail"}:
        return "fail"
    if "look again" in found or pile.waiting or pile.unread:
        return "unsure"
    return "pass" if found else ""


def words(pile: Pile) -> list[str]:
    """The answer: what comes first and what to do, what there is time for, what was read, what the visits say together."""
    if pile.unread:
        return ["The files of this pile are being read; the sheets follow.", DEMO]
    said = [*_first(pile)]
    if pile.waiting:
        said.append(
            f"Reviewed so far: {len(pile.rows):,} of {counted(pile.total, 'sheet')}; the rest follows."
        )
    if pile.rows:
        said.append(f"In the pile: {counted(len(pile.rows), 'sheet')}: {_counts(pile.rows)}.")
    if len(pile.shown) < len(pile.rows):
        said.append(f"The filters let {len(pile.shown):,} of them through: {_counts(pile.shown) or 'none'}.")
    if pile.shown:
        said.append(_time(pile))
    said += [_read(pile), _across(pile)]
    return [*said, DEMO] if pile.demo else said


def _first(pile: Pile) -> list[str]:
    """The sheet that comes first, and what is to be done there."""
    if not pile.shown:
        return [
            "The sheets are being reviewed." if pile.waiting else "No sheet has what the filters ask for."
        ]
    row, remark = pile.shown[0], pile.shown[0].first
    start = f"First: {row.sheet} ({row.contractor}, {row.date.isoformat()})"
    if row.severity == "pass" or remark is None:
        return [f"{start}; nothing graver than a note was found."]
    other = "" if remark.severity == row.severity else f" The remark that you ask for ({remark.severity}):"
    doing = [f"To do there ({remark.acts}): {' '.join(remark.do)}"] if remark.do else []
    return [f"{start}: {row.severity}.{other} {remark.sentence}", *doing]


def _counts(rows: tuple[Row, ...]) -> str:
    counts = Counter(row.severity for row in rows)
    return ", ".join(
        f"{counts[key]:,} {'with ' * (key == 'pass')}{said}" for key, said in WORDS.items() if counts[key]
    )


def _time(pile: Pile) -> str:
    number = len(pile.chosen)
    told = []
    for key in ("stop and call", "fail", "look again"):
        total = sum(row.severity == key for row in pile.shown)
        if total:
            told.append(f"{sum(row.severity == key for row in pile.chosen)} of {total} '{key}'")
    covered = f" you reach {', '.join(told)}" if told else " nothing graver than a note is left out"
    return f"With time for {counted(number, 'sheet')}{covered}."


def _read(pile: Pile) -> str:
    notes = sum(len(each.notes) + each.more_notes for each in pile.files)
    refused = sum(len(each.refusals) + each.more_refusals for each in pile.files)
    told = (
        f"Read before anything was judged: {counted(len(pile.files), 'file')}, {counted(pile.total, 'sheet')}, "
        f"{counted(notes, 'interpretation')}, {counted(refused, 'refusal')}"
    )
    return f"{told} (listed below)." if notes or refused else f"{told}."


def _across(pile: Pile) -> str:
    if pile.across is None:
        return "Visits side by side: being worked out."
    if not pile.across:
        return "Visits side by side: nothing that chance would not bring."
    return (
        f"Visits side by side: {counted(len(pile.across), 'thing')} to look at again, with the false-alarm rate of each "
        "in the table below; chance or one instrument may be the reason, and no sheet proves a fault by it."
    )


def chart_rows(pile: Pile) -> tuple[PileRow, ...]:
    """The picture's rows: contractors by the gravest of their sheets, sheets in the order of the pile."""
    shown = {id(row.review) for row in pile.shown}
    chosen = {id(row.review) for row in pile.chosen}
    waiting = Counter(pile.waiting)
    by_name: dict[str, list[Row]] = {name: [] for name in waiting}
    for row in pile.rows:
        by_name.setdefault(row.contractor, []).append(row)
    rank = list(WORDS)

    def gravest(name: str) -> Any:
        counts = Counter(row.severity for row in by_name[name])
        return tuple(-counts[key] for key in rank), name.casefold()

    return tuple(
        PileRow(
            name,
            (
                *(
                    PileMark(row.severity, id(row.review) in chosen, id(row.review) in shown)
                    for row in by_name[name]
                ),
                *(PileMark("not reviewed"),) * waiting[name],
            ),
        )
        for name in sorted(by_name, key=gravest)
    )


__all__ = ["chart_rows", "page_of", "verdict", "words"]
