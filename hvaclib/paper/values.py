"""What a sheet says, as a paper shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.errors import HvacError
from hvaclib.review.derived import readings_with_derived
from hvaclib.units import show
from hvaclib.visit import demands, reading_of
from hvaclib.visit import item as line_of

if TYPE_CHECKING:
    from hvaclib.plots.style import System
    from hvaclib.readings import Reading
    from hvaclib.visit import Appliance, Entry, Item, Visit

HEATERS = ("furnace", "boiler", "water heater")


class Values:
    """Answers and readings of a visit in words.

    Parameters
    ----------
    visit : Visit
    system : {"field", "si"}, optional
        Units of the numbers.
    """

    def __init__(self, visit: Visit, system: System = "field") -> None:
        self._visit, self._system = visit, system
        self._readings = readings_with_derived(visit)

    @property
    def main_appliance(self) -> str:
        """Name of the first furnace, else boiler, else water heater of the job."""
        for sort in HEATERS:
            for each in self._visit.appliance:
                if each.kind.endswith(sort):
                    return each.name
        return self._visit.appliance[0].name

    def appliance(self, name: str) -> Appliance:
        """Plate and vent of an appliance by its name."""
        return next(each for each in self._visit.appliance if each.name == name)

    def shown(self, item: str, where: str = "") -> str:
        """Answer of an item at a place; empty when there is none.

        Parameters
        ----------
        item : str
            Key of the item.
        where : str, optional
            Name of the place; any unless given.

        Returns
        -------
        str
            As the sheet has it where it cannot be read as a number; a reading that follows from two others is marked.
        """
        entries = [each for each in self._visit.entries(item) if not where or each.where in ("", where)]
        if entries:
            return self.of_entry(entries[-1])
        line = line_of(item)
        if not line.numeric:
            return ""
        found = self._readings.of(line.quantity)
        at = [each for each in found if (not where or each.where == where) and each.when == line.stage]
        return f"{self.of_reading(at[-1])} (computed)" if at else ""

    def of_entry(self, entry: Entry) -> str:
        """One entry in words; empty when it was not taken."""
        if not entry.taken:
            return ""
        if entry.line.numeric:
            try:
                reading = reading_of(entry, self._visit)
            except HvacError:
                return entry.value  # as it stands on the sheet: the review says why it is no reading
            if reading is not None:
                return f"{entry.bound} {entry.value}".strip() if entry.bound else self.of_reading(reading)
        return entry.value or entry.photo

    def of_reading(self, reading: Reading) -> str:
        """A reading with its unit; yes or no."""
        kind = reading.measurable.kind
        if kind is None:
            return "yes" if reading.yes else "no"
        if reading.value == float("inf"):
            return reading.measurable.infinite
        return show(reading.value, kind, self._system)


def places(item: Item, visit: Visit) -> tuple[str, ...]:
    """Places of an item on a sheet, in order: those that are demanded, then those with an answer."""
    wanted = [each.where for each in demands(visit) if each.item.key == item.key]
    given = [entry.where or item.where or "house" for entry in visit.entries(item.key)]
    return tuple(dict.fromkeys([*wanted, *given]))
