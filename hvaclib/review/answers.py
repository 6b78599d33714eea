"""Answers that no rule set judges, values that cannot be read, items answered twice, and dates that cannot be."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from hvaclib.readings import standard_uncertainty
from hvaclib.review.remark import Remark, Severity
from hvaclib.visit.answers import yes_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.derived import Record
    from hvaclib.visit import Entry

EARLIEST = dt.date(2000, 1, 1)
"""Sheets of an earlier date are slips of the pen (program decision)."""


def unreadable(record: Record) -> Iterator[Remark]:
    """Remarks about values that cannot be what their item asks for, and about places that the job does not have."""
    refused = {id(entry) for entry, _ in record.refused}
    for entry, error in record.refused:
        yield _of_entry(
            "unreadable", entry, "look again", error.sentence, "Read it off again, with its unit."
        )
    for entry in record.visit.entry:
        line = entry.line
        names = (line.where,) if line.where else record.visit.places[line.place]
        if entry.taken and id(entry) not in refused and entry.where not in names and (names or entry.where):
            said = f"found {entry.where!r}" if entry.where else "no place is given"
            told = f"{line.title}: which {line.place} it belongs to cannot be told; {said}"
            sentence = f"{told}, expected {', '.join(names) or 'a name that the job lists'}."
            yield _of_entry("unreadable", entry, "look again", sentence, "Write down where it was taken.")


def wrong_answers(record: Record) -> Iterator[Remark]:
    """Remarks about a yes or no that is not as it must be and that no rule set judges."""
    refused = {id(entry) for entry, _ in record.refused}
    for entry in record.visit.entry:
        line = entry.line
        if line.kind != "yes or no" or not line.good or not entry.taken or id(entry) in refused:
            continue
        if yes_of(entry.value) != (line.good == "yes"):
            sentence = f"{entry.place}: the sheet says {entry.value}; it must be {line.good}."
            yield _of_entry("wrong-answer", entry, line.wrong, sentence, line.do)


def contradictory(record: Record) -> Iterator[Remark]:
    """Remarks about one item with two answers that cannot both be; taken at two times, it is a repeated test."""
    values = {id(entry): reading for entry, reading in record.pairs}
    alike: dict[tuple[str, str], list[Entry]] = {}
    for entry in record.visit.entry:
        alike.setdefault((entry.item, entry.where), []).append(entry)
    groups: dict[tuple[str, str, str, str], list[Entry]] = {}
    for entry in (each for members in alike.values() if len(members) > 1 for each in members):
        if entry.taken and entry.line.kind in ("reading", "yes or no"):
            groups.setdefault((entry.item, entry.where, entry.stage, entry.at), []).append(entry)
    refused = {id(entry) for entry, _ in record.refused}
    for members in groups.values():
        sound = [entry for entry in members if id(entry) not in refused]
        if len(sound) < 2:
            continue
        if sound[0].line.yes_or_no:
            apart = len({yes_of(entry.value) for entry in sound}) > 1
        else:
            found = [values[id(entry)] for entry in sound]
            low, high = (pick(found, key=lambda each: each.value) for pick in (min, max))
            # Two readings of one thing may differ by what the instrument allows (95 %).
            apart = high.value - low.value > 2.0 * 2.0**0.5 * standard_uncertainty(high)
        if apart:
            both = " and ".join(sorted({entry.value for entry in sound}))
            sentence = f"{sound[0].place} has two answers: {both}. At most one can be right."
            yield _of_entry("contradictory", sound[0], "look again", sentence, "Find out which one holds.")


def dates(record: Record, today: dt.date) -> Iterator[Remark]:
    """Remark about the date of a job that cannot be."""
    date = record.visit.job.date
    late = date > today
    if late or date < EARLIEST:
        than = f"later than today, {today:%Y-%m-%d}" if late else f"before {EARLIEST:%Y-%m-%d}"
        yield Remark(
            "date",
            "look again",
            f"The sheet is dated {date:%Y-%m-%d}, which is {than}.",
            acts="program office",
            do=("Ask when the work was done; day and month may be exchanged.",),
            source="program decision",
        )


def _of_entry(kind: str, entry: Entry, severity: Severity, sentence: str, do: str) -> Remark:
    line = entry.line
    return Remark(
        kind,
        severity,
        sentence,
        item=line.key,
        where=entry.where,
        when=entry.stage,
        acts=line.acts,
        do=(do,) if do else (),
        cautions=(line.caution,) if line.caution else (),
        source=line.source,
    )
