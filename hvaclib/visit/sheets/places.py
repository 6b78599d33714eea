"""The places of one visit, and which of them an answer without a place belongs to."""

from __future__ import annotations

from typing import NamedTuple

from hvaclib.errors import InputError
from hvaclib.file_models import choice
from hvaclib.readings import TEST_HOLES
from hvaclib.visit.checklist import Item
from hvaclib.visit.demands import tags
from hvaclib.visit.plate import Appliance
from hvaclib.visit.sheets.words import fold


class Placed(NamedTuple):
    """A place, and words for the report where it had to be found."""

    name: str
    why: str = ""


class Places:
    """Names of the places of a visit by their sort.

    Parameters
    ----------
    appliances : tuple of Appliance
    rooms, scope : tuple of str
        Of the job.
    """

    def __init__(
        self, appliances: tuple[Appliance, ...], rooms: tuple[str, ...], scope: tuple[str, ...]
    ) -> None:
        self.appliances = appliances
        self._tagged = [(each.name, each.zone, tags(each) | set(scope)) for each in appliances]
        self._names = {
            "house": ("house",),
            "appliance": tuple(each.name for each in appliances),
            "zone": tuple(dict.fromkeys(each.zone for each in appliances)),
            "room": rooms,
            "test hole": TEST_HOLES,
        }
        self._known: dict[tuple[str, str | None], Placed] = {}

    def of(self, line: Item, where: str | None) -> Placed:
        """The place of an answer.

        Parameters
        ----------
        line : Item
            What is answered.
        where : str or None
            The place as the table names it; ``None`` where it names none.

        Returns
        -------
        Placed

        Raises
        ------
        InputError
            If the visit has no such place, or several that the item is asked of.
        """
        key = (line.key, where)
        if key not in self._known:
            self._known[key] = self._asked(line) if where is None else self._named(line, where)
        return self._known[key]

    def _named(self, line: Item, where: str) -> Placed:
        names = self._names[line.place]
        if where in names:
            return Placed(where)
        near = [name for name in names if fold(name) == fold(where)]
        if len(near) == 1:
            return Placed(near[0], "the same place in other letters")
        if not names:
            raise InputError(
                f"this visit names no {line.place}", given=where[:80],
                expected=f"its name among the {line.place}s of the job as well",
            )  # fmt: skip
        raise InputError(
            f"this visit has no {line.place} of that name",
            given=where[:80],
            expected=choice(where[:80], names),
        )

    def _asked(self, line: Item) -> Placed:
        if line.place == "house":
            return Placed("house")
        if line.place == "test hole" and line.where:
            return Placed(line.where)
        names = self._names[line.place]
        if line.place in ("appliance", "zone"):
            wanted = [
                name if line.place == "appliance" else zone
                for name, zone, known in self._tagged
                if all(choice & known for choice in line.needs)
            ]
            asked = tuple(dict.fromkeys(wanted)) or names
        else:
            asked = names
        if len(asked) == 1:
            return Placed(
                asked[0], "" if len(names) == 1 else f"no place is named; only {asked[0]} is asked for it"
            )
        raise InputError(
            f"no place is named, and the visit has {'several' if asked else 'none'} that this is asked of",
            expected=" or ".join(repr(name) for name in asked) or f"the name of a {line.place}",
        )
