"""What a job needs and its sheet does not have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.remark import Remark, Severity
from hvaclib.visit import demands

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.derived import Record
    from hvaclib.visit import Demand, Entry, Item

INSTEAD = {
    "temperature-rise": (("supply-temperature", "return-temperature"),),
    "supply-temperature": (("temperature-rise",),),
    "return-temperature": (("temperature-rise",),),
    "external-static": (("static-hole-2", "static-hole-3"),),
    "static-hole-2": (("external-static",),),
    "static-hole-3": (("external-static",),),
    "flue-co-air-free": (("flue-co", "flue-oxygen"),),
}
"""What counts in place of an item: any of these sets of items, whole."""


def missing(record: Record) -> Iterator[Remark]:
    """Remarks about what a job needs and its sheet does not have.

    Parameters
    ----------
    record : Record

    Yields
    ------
    Remark
        Of kind 'missing-item', or 'not-taken' where the sheet itself says that it was not.
    """
    taken = {(entry.item, entry.where) for entry in record.visit.entry if entry.taken}
    keys = {key for key, _ in taken}
    blank: dict[tuple[str, str], Entry] = {}
    for entry in record.visit.entry:
        if not entry.taken:
            blank.setdefault((entry.item, entry.where), entry)
    for demand in demands(record.visit):
        place = (demand.item.key, demand.where)
        if place in taken or _instead(demand, taken, keys):
            continue
        yield _not_taken(demand, blank[place]) if place in blank else _missing(demand)


def _instead(demand: Demand, taken: set[tuple[str, str]], keys: set[str]) -> bool:
    """Whether other items of the same place say it; a test hole belongs to the job's furnace."""
    for group in INSTEAD.get(demand.item.key, ()):
        holes = demand.item.place == "test hole" or any(key.startswith("static-hole") for key in group)
        if all(key in keys if holes else (key, demand.where) in taken for key in group):
            return True
    return False


def gravity_of_missing(item: Item) -> Severity:
    """How grave it is that an item is missing: a stop-and-call point fails, what is only noted is noted."""
    if item.stop:
        return "fail"
    return "note" if item.wrong == "note" else "look again"


def _missing(demand: Demand) -> Remark:
    item = demand.item
    verb = "was not recorded" if item.kind == "reading" else "has no answer"
    return _remark("missing-item", demand, f"{demand.words}: {verb}.")


def _not_taken(demand: Demand, entry: Entry) -> Remark:
    why = f" ({entry.note})" if entry.note else ""
    return _remark("not-taken", demand, f"{demand.words}: the sheet says that it was not taken{why}.")


def _remark(kind: str, demand: Demand, sentence: str) -> Remark:
    item = demand.item
    thing = item.measurable
    hurts = (item.caution, thing.caution if thing is not None else "")
    return Remark(
        kind,
        gravity_of_missing(item),
        sentence,
        item=item.key,
        where=demand.where,
        when=item.stage,
        acts=item.acts,
        do=("Do it and record it, or write down why it could not be done.",),
        cautions=tuple(text for text in hurts if text),
        source=item.source,
    )
