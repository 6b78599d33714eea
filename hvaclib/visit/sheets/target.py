"""Where the cells under a heading belong."""

from __future__ import annotations

from dataclasses import dataclass

from hvaclib.units import kinds
from hvaclib.visit.checklist import Item, item
from hvaclib.visit.sheets.words import fields


@dataclass(frozen=True, slots=True)
class Target:
    """Where the cells under a heading belong.

    Parameters
    ----------
    sort : str
        "job", "appliance", "instrument", "entry" (a column of the long form) or "item".
    key : str
        Name of the field or item.
    where : str or None
        Name of the appliance or place, number of the instrument; ``None`` where the heading names none.
    exact : bool
        Whether the place stands in quotation marks, to be taken letter by letter.
    when : str
        Stage, where it is not the item's own.
    number : int
        Counts the answers to one item at one place.
    part : str
        "value", or another part of the entry: "note", "photo" and so on.
    unit : str
        Unit in the heading, or the order of its dates.
    """

    sort: str
    key: str
    where: str | None = None
    exact: bool = False
    when: str = ""
    number: int = 1
    part: str = "value"
    unit: str = ""

    @property
    def item(self) -> Item:
        """The line of the record, for the sort "item"."""
        return item(self.key)

    @property
    def kind(self) -> kinds.Kind | None:
        """Kind of the number in its cells; ``None`` for text."""
        if self.sort == "item":
            thing = self.item.measurable if self.part == "value" else None
            return None if thing is None else thing.kind
        return fields(self.sort)[self.key].kind

    @property
    def words(self) -> str:
        """What it was taken for, in words."""
        if self.sort == "item":
            place = f" at {self.where}" if self.where else ""
            stage = f", {self.when}" if self.when else ""
            part = "" if self.part == "value" else f" ({self.part.replace('_', ' ')})"
            return f"{self.item.title}{place}{stage}{part}"
        heading = fields(self.sort)[self.key].heading
        return heading if self.where is None else f"{heading} of {self._owner}"

    @property
    def _owner(self) -> str:
        return f"instrument {self.where}" if self.sort == "instrument" else str(self.where)
