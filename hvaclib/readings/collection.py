"""An ordered, unchanging collection of readings: where a simulated house and a real visit meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, fields
from typing import TYPE_CHECKING, Any, overload

from hvaclib.errors import HvacError, InputError
from hvaclib.readings.reading import Reading
from hvaclib.readings.vocabulary import measurable

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings in the order they were taken; adding gives a new collection.

    Parameters
    ----------
    items : iterable of Reading
        The readings.
    """

    items: tuple[Reading, ...] = ()

    def __init__(self, items: Iterable[Reading] = ()) -> None:
        kept = tuple(items)
        for item in kept:
            if not isinstance(item, Reading):
                raise InputError("not a reading", where="readings", given=item, expected="Reading objects")
        object.__setattr__(self, "items", kept)

    def __iter__(self) -> Iterator[Reading]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    @overload
    def __getitem__(self, index: int) -> Reading: ...
    @overload
    def __getitem__(self, index: slice) -> Readings: ...
    def __getitem__(self, index: int | slice) -> Reading | Readings:
        return Readings(self.items[index]) if isinstance(index, slice) else self.items[index]

    def __add__(self, other: Readings | Iterable[Reading]) -> Readings:
        return Readings((*self.items, *other))

    def of(self, quantity: str, where: str | None = None, when: str | None = None) -> Readings:
        """Readings of one quantity, in order.

        Parameters
        ----------
        quantity : str
            Key of the vocabulary.
        where, when : str, optional
            Only those of this place, of this stage.

        Returns
        -------
        Readings
            Empty when there is none.
        """
        measurable(quantity)
        return Readings(
            item
            for item in self.items
            if item.quantity == quantity
            and (where is None or item.where == where)
            and (when is None or item.when == when)
        )

    def get(self, quantity: str, where: str | None = None, when: str | None = None) -> Reading | None:
        """Latest reading of one quantity, or ``None`` when it was not taken.

        Parameters
        ----------
        quantity : str
            Key of the vocabulary.
        where, when : str, optional
            Only those of this place, of this stage.

        Returns
        -------
        Reading or None
        """
        found = self.of(quantity, where, when).items
        return found[-1] if found else None

    def to_records(self) -> list[dict[str, object]]:
        """Plain mappings, one a reading, that JSON and TOML can hold.

        Returns
        -------
        list of dict
        """
        return [item.to_record() for item in self.items]

    @classmethod
    def from_records(cls, records: Iterable[Mapping[str, Any]]) -> Readings:
        """Readings from plain mappings; see `Reading.from_record`.

        Parameters
        ----------
        records : iterable of mapping
            One mapping a reading.

        Returns
        -------
        Readings

        Raises
        ------
        InputError, UnitError
            Naming the number of the reading, counted from one, and its key.
        """
        items: list[Reading] = []
        for number, record in enumerate(records, start=1):
            try:
                items.append(Reading.from_record(record))
            except HvacError as error:
                where = ", ".join(part for part in (f"reading {number}", error.where) if part)
                raise type(error)(
                    error.what, where=where, given=error.given, expected=error.expected
                ) from None
        return cls(items)

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a reading and the SI value as a number.

        Returns
        -------
        pandas.DataFrame
            Columns as the fields of `Reading`, and 'title'.
        """
        import pandas as pd

        columns = [
            "quantity",
            "title",
            *(field.name for field in fields(Reading) if field.name != "quantity"),
        ]
        rows = [{**asdict(item), "title": item.measurable.title} for item in self.items]
        return pd.DataFrame(rows, columns=columns)
