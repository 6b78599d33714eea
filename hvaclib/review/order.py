"""Steps in an order that cannot be right, and work that went on after a stop-and-call point."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from hvaclib.review.remark import Remark
from hvaclib.visit.checklist import item
from hvaclib.visit.clock import clock

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from hvaclib.review.derived import Record
    from hvaclib.visit import Entry, Visit

IN_ORDER = 0.8
"""Share of neighbouring lines in the order of the work, from which a sheet counts as written while working."""
_HELD = frozenset({"appliance", "zone"})
"""Places of which the one may hold the other."""
_AFTER_A_STOP = frozenset({"set-up", "client", "paper"})
"""Steps that may, or must, still be written down when the work has been stopped."""


def out_of_order(record: Record) -> Iterator[Remark]:
    """Remarks about an item that was done before another that it rests on.

    Parameters
    ----------
    record : Record

    Yields
    ------
    Remark
        By the clock where both have a time. A sheet without any time is judged by its lines, and only where the others
        stand in the order of the work.
    """
    visit = record.visit
    timed = any(entry.at for entry in visit.entry)
    if not timed and not _as_worked(visit):
        return
    rank = {id(entry): clock(entry.at) if timed else number for number, entry in enumerate(visit.entry)}
    if _in_order(visit, rank):
        return
    groups: dict[tuple[str, str], list[Entry]] = {}
    for entry in visit.entry:
        if entry.line.after and entry.taken:
            groups.setdefault((entry.item, entry.where), []).append(entry)
    for members in groups.values():
        last = _pick(members, rank, latest=True)
        near = _near(members[0], visit)
        for key in members[0].line.after:
            first = _pick(_beside(members[0], key, near, visit), rank, latest=False)
            if last and first and (rank[id(last)] or 0) < (rank[id(first)] or 0):
                yield _remark(last, first, timed)


def _in_order(visit: Visit, rank: dict[int, int | None]) -> bool:
    """Whether everything was done in the order of the work: what an item rests on stands before it there."""
    known = [(entry.line.number, at) for entry in visit.entry if (at := rank[id(entry)]) is not None]
    known.sort()
    return all(before[1] <= after[1] for before, after in pairwise(known))


def _as_worked(visit: Visit) -> bool:
    numbers = [entry.line.number for entry in visit.entry if entry.taken]
    steps = list(pairwise(numbers))
    return len(steps) >= 10 and sum(a <= b for a, b in steps) >= IN_ORDER * len(steps)


def _pick(entries: Iterable[Entry], rank: dict[int, int | None], *, latest: bool) -> Entry | None:
    """The last or first of entries that have a rank: a test that was repeated later was done in time."""
    known = [(number, entry) for entry in entries if (number := rank.get(id(entry))) is not None]
    if not known:
        return None
    return (max if latest else min)(known, key=lambda row: row[0])[1]


def _near(entry: Entry, visit: Visit) -> set[str]:
    """The place of an entry, the zone of that appliance, the appliances of that zone."""
    zones = {each.name: each.zone for each in visit.appliance}
    return {entry.where, zones.get(entry.where, "")} | {a for a, zone in zones.items() if zone == entry.where}


def _beside(entry: Entry, key: str, here: set[str], visit: Visit) -> list[Entry]:
    """Entries of an item that bear on the place of another entry."""
    both = entry.line.place in _HELD and item(key).place in _HELD
    return [each for each in visit.entries(key) if each.taken and (not both or each.where in here)]


def _remark(last: Entry, first: Entry, timed: bool) -> Remark:
    if timed:
        said = f"{last.place} was done at {last.at}, before {_lower(first.place)} at {first.at}"
    else:
        said = f"{last.place} stands on the sheet before {_lower(first.place)}, and the sheet has no times"
    line = last.line
    return Remark(
        "out-of-order",
        "look again",
        f"{said}; it rests on it and must come after.",
        item=line.key,
        where=last.where,
        when=last.stage,
        acts=line.acts,
        do=(f"Repeat it now that {_lower(first.line.title)} is settled.",),
        cautions=tuple(text for text in (line.caution, first.line.caution) if text),
        source=line.source,
    )


def worked_on(record: Record, remarks: Iterable[Remark]) -> Iterator[Remark]:
    """Remarks about work that went on after a stop-and-call point.

    Parameters
    ----------
    record : Record
    remarks : iterable of Remark
        What was found; those of severity 'stop and call' are the points.
    """
    visit, seen = record.visit, set()
    for remark in remarks:
        place = (remark.item, remark.where)
        if remark.severity != "stop and call" or not remark.item or place in seen:
            continue
        seen.add(place)
        times = [clock(each.at) for each in visit.entries(remark.item, remark.where) if each.at]
        known = [time for time in times if time is not None]
        later = _later(visit, remark.item, max(known) if known else None)
        if later:
            yield _went_on(remark, later, bool(known))


def _later(visit: Visit, key: str, stopped: int | None) -> list[Entry]:
    number = item(key).step.number
    found = []
    for entry in visit.entry:
        line, at = entry.line, clock(entry.at) if entry.at else None
        if not entry.taken or line.step.key in _AFTER_A_STOP or line.key == key:
            continue
        if line.step.number > number if stopped is None else at is not None and at > stopped:
            found.append(entry)
    return found


def _went_on(remark: Remark, later: list[Entry], timed: bool) -> Remark:
    point = item(remark.item)
    first = min(later, key=lambda entry: (clock(entry.at) or 0, entry.line.number, entry.where))
    when = f" at {first.at}" if timed else ""
    said = f"'{point.title}' was a point to stop and call; {len(later)} later entries follow, first"
    doubt = "" if timed else " The sheet has no time there, so that the order is not sure."
    return Remark(
        "worked-on",
        "fail" if timed else "look again",
        f"{said} {_lower(first.place)}{when}.{doubt}",
        item=remark.item,
        where=remark.where,
        acts="program office",
        do=("Ask who was called, when, and who let the work go on.",),
        cautions=remark.cautions,
        source="program decision",
    )


def _lower(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"
