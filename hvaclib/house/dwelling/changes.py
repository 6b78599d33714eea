"""Pure changes of a dwelling: a fault, a repair, a remedy. Each returns a new dwelling, checked like a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar, cast

from pydantic import BaseModel, ValidationError

from hvaclib.errors import InputError
from hvaclib.house.dwelling.quantities import SI_CONTEXT
from hvaclib.house.dwelling.sentences import file_error

if TYPE_CHECKING:
    from hvaclib.house.dwelling.model import Dwelling

T = TypeVar("T", bound=BaseModel)


def changed(part: T, **values: Any) -> T:
    """A part with other values (SI floats or texts with unit), validated as when read.

    Raises
    ------
    DwellingFileError
        If a value cannot be; the sentence is the one that a file with it would get.
    """
    data: dict[str, Any] = {**{name: getattr(part, name) for name in type(part).model_fields}, **values}
    try:
        return type(part).model_validate(data, context=SI_CONTEXT)
    except ValidationError as error:
        name = str(getattr(part, "name", type(part).__name__))
        raise file_error(error, data, name, type(part)) from error


class Changes:
    """The changes that a dwelling offers; mixed into ``Dwelling``. Quantities are SI floats."""

    def changed(self, **values: Any) -> Dwelling:
        """The same dwelling with other attributes."""
        return changed(cast("Dwelling", self), **values)

    def with_part(self, table: str, name: str, **values: Any) -> Dwelling:
        """One part of a table (``"doors"``) with other values.

        Raises
        ------
        InputError
            If there is no such part, or a value cannot be.
        """
        dwelling = cast("Dwelling", self)
        dwelling.part(table, name)
        parts = tuple(changed(item, **values) if item.name == name else item for item in getattr(self, table))
        return self.changed(**{table: parts})

    def with_opening(
        self, name: str, between: tuple[str, str], area: float, height: float, purpose: str = "combustion air"
    ) -> Dwelling:
        """One more opening, or another area for the one of that name.

        Parameters
        ----------
        name : str
            Name of the opening.
        between : tuple of str
            Names of the two zones; "outdoors" is allowed.
        area : float
            Free area, m²; 0 leaves the opening out.
        height : float
            Height above outdoor ground, m.
        purpose : str
            What it is for.
        """
        from hvaclib.house.dwelling.parts import Opening

        dwelling = cast("Dwelling", self)
        kept = tuple(opening for opening in dwelling.openings if opening.name != name)
        if area == 0.0:
            return self.changed(openings=kept)
        values = {"name": name, "between": between, "area": area, "height": height, "purpose": purpose}
        try:
            opening = Opening.model_validate(values, context=SI_CONTEXT)
        except ValidationError as error:
            raise file_error(error, values, f'opening "{name}"', Opening) from error
        return self.changed(openings=(*kept, opening))

    def with_fan_flow(self, name: str, flow: float) -> Dwelling:
        """A fan with another airflow, m³/s; its curve is scaled by the fan laws (flow as speed, pressure as its square)."""
        fan = cast("Dwelling", self).part("fans", name)
        if fan.curve is None:
            return self.with_part("fans", name, flow=flow)
        ratio = flow / fan.curve[0][1]
        return self.with_part("fans", name, curve=tuple((p * ratio**2, q * ratio) for p, q in fan.curve))

    def with_door_undercut(self, name: str, undercut: float) -> Dwelling:
        """A door with another undercut, m."""
        return self.with_part("doors", name, undercut=undercut)

    def with_door_relief(self, name: str, area: float) -> Dwelling:
        """A door with a grille or more crack: free area added to its crack area, m²."""
        door = cast("Dwelling", self).part("doors", name)
        return self.with_part("doors", name, crack_area=door.crack_area + area)

    def with_blockage(self, name: str, blockage: float) -> Dwelling:
        """A vent of whose area another share is blocked."""
        return self.with_part("vents", name, blockage=blockage)

    def with_leak_flow(self, name: str, flow_at_50: float) -> Dwelling:
        """A leak that passes another airflow at 50 Pa, m³/s."""
        return self.with_part("leaks", name, flow_at_50=flow_at_50)

    def with_leakage(self, flow_at_50: float) -> Dwelling:
        """Every leak to outdoors scaled alike, so that together they pass this airflow at 50 Pa, m³/s."""
        from hvaclib.house.dwelling.parts import OUTDOORS

        dwelling = cast("Dwelling", self)
        outer = [leak for leak in dwelling.leaks if OUTDOORS in leak.between]
        if not outer:
            raise InputError("no leak leads outdoors", where=dwelling.name)
        ratio = flow_at_50 / sum(leak.flow_at_50 for leak in outer)
        leaks = tuple(
            changed(leak, flow_at_50=leak.flow_at_50 * ratio) if OUTDOORS in leak.between else leak
            for leak in dwelling.leaks
        )
        return self.changed(leaks=leaks)

    def without(self, table: str, name: str) -> Dwelling:
        """The dwelling without one part."""
        cast("Dwelling", self).part(table, name)
        return self.changed(**{table: tuple(item for item in getattr(self, table) if item.name != name)})
