"""How well an instrument reads, and the standard uncertainty that follows from it."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from typing import Literal

from hvaclib.errors import InputError
from hvaclib.readings.reading import Reading
from hvaclib.readings.vocabulary import Measurable, kind_named, measurable, nearest
from hvaclib.units import kinds, parse_si

_RECTANGLE = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Instrument:
    """Accuracy statement of one instrument for one kind of quantity.

    Parameters
    ----------
    name, title : str
        Name in files, and for people.
    kind : hvaclib.units.Kind
        What it measures.
    floor : float
        Smallest half width of the accuracy statement, SI.
    of_reading : float
        Share of the reading, 0 to 1.
    reading_zero : float
        Where the reading that the share applies to counts from, SI (273.15 K for degrees Celsius).
    combine : str
        "greater" of floor and share, or their "sum".
    resolution : float
        Last digit of the display, SI.
    source, certainty : str
        Where the statement comes from, and how sure it is.
    """

    name: str
    title: str
    kind: kinds.Kind
    floor: float
    of_reading: float
    reading_zero: float
    combine: Literal["greater", "sum"]
    resolution: float
    source: str
    certainty: str

    def accuracy(self, value: float) -> float:
        """Half width of the accuracy statement at a reading.

        Parameters
        ----------
        value : float
            The reading, SI.

        Returns
        -------
        float
            SI, zero or above.
        """
        share = self.of_reading * abs(value - self.reading_zero)
        return self.floor + share if self.combine == "sum" else max(self.floor, share)

    def standard_uncertainty(self, value: float) -> float:
        """Standard uncertainty of a reading from accuracy and resolution.

        Parameters
        ----------
        value : float
            The reading, SI.

        Returns
        -------
        float
            SI; zero for an endless reading, which no instrument gave.
        """
        if math.isinf(value):
            return 0.0
        return uncertainty_of(accuracy=self.accuracy(value), resolution=self.resolution)


def uncertainty_of(*, accuracy: float, resolution: float = 0.0) -> float:
    """Standard uncertainty when only the bounds of an error are known.

    Parameters
    ----------
    accuracy : float
        Half width of the accuracy statement.
    resolution : float, optional
        Last digit of the display.

    Returns
    -------
    float
        In the unit of the arguments.

    Notes
    -----
    Both errors are taken as rectangular and independent: u² = a²/3 + r²/12.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7 (bounds only: a/√3) and F.2.2.1 (resolution: r/√12).

    Examples
    --------
    >>> round(uncertainty_of(accuracy=0.0, resolution=1.0), 3)
    0.289
    """
    return math.hypot(accuracy / _RECTANGLE, resolution / (2.0 * _RECTANGLE))


@cache
def instruments() -> tuple[Instrument, ...]:
    """Every accuracy statement of the shipped table.

    Returns
    -------
    tuple of Instrument
    """
    text = resources.files(__package__).joinpath("instruments.toml").read_text(encoding="utf-8")
    return tuple(_instrument(row) for row in tomllib.loads(text)["instrument"])


def _instrument(row: dict[str, str]) -> Instrument:
    kind = kind_named(row["kind"])
    if kind is None:
        raise InputError("an instrument measures a number", where=row["name"], given=row["kind"])
    width = kinds.TEMPERATURE_DIFFERENCE if kind is kinds.TEMPERATURE else kind
    return Instrument(
        name=row["name"],
        title=row["title"],
        kind=kind,
        floor=parse_si(row["floor"], width),
        of_reading=parse_si(row["of_reading"], kinds.FRACTION),
        reading_zero=parse_si(row["reading_zero"], kind) if "reading_zero" in row else 0.0,
        combine="sum" if row["combine"] == "sum" else "greater",
        resolution=parse_si(row["resolution"], width),
        source=row["source"],
        certainty=row["certainty"],
    )


def instrument_for(reading: Reading) -> Instrument | None:
    """Instrument that a reading was taken with, or the usual one where none is named.

    Parameters
    ----------
    reading : Reading

    Returns
    -------
    Instrument or None
        ``None`` for what is computed or judged by eye without a table entry.

    Raises
    ------
    InputError
        If the named instrument is unknown, or does not measure this kind of quantity.
    """
    thing = reading.measurable
    if reading.computed or thing.kind is None:
        return None
    name = reading.instrument or thing.instrument
    rows = [row for row in instruments() if row.name == name]
    for row in rows:
        if row.kind is thing.kind:
            return row
    if not reading.instrument:
        return None
    names = sorted({row.name for row in instruments() if row.kind is thing.kind})
    what = "this instrument does not measure that" if rows else "no such instrument"
    raise InputError(what, where=reading.place, given=name, expected=nearest(name, names))


def standard_uncertainty(reading: Reading) -> float:
    """Standard uncertainty of a reading.

    Parameters
    ----------
    reading : Reading

    Returns
    -------
    float
        SI: the declared one; else zero for a computed reading, an answer with yes or no and an endless
        value; else from the instrument's accuracy and resolution, times √2 for a quantity that is the
        difference of two readings.

    Raises
    ------
    InputError
        If the named instrument is unknown.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7, 5.1.2 and F.2.2.1.
    """
    if math.isinf(reading.value):
        return 0.0
    if reading.standard_uncertainty is not None:
        return reading.standard_uncertainty
    if not reading.computed and not reading.instrument:
        return usual_uncertainty(reading.quantity, reading.value)
    return _uncertainty(reading.measurable, instrument_for(reading), reading.value)


@lru_cache(maxsize=16_384)
def usual_uncertainty(quantity: str, value: float) -> float:
    """Standard uncertainty of a quantity's usual instrument.

    Displays have few digits, so that the same values come again and again: they are kept.

    Parameters
    ----------
    quantity : str
        Key of the vocabulary.
    value : float
        SI; need not be one that the quantity can have.

    Returns
    -------
    float
        SI; zero where no instrument reads it.
    """
    return _uncertainty(measurable(quantity), _usual_instrument(quantity), value)


@cache
def _usual_instrument(quantity: str) -> Instrument | None:
    return instrument_for(Reading(quantity, 1.0, "anywhere"))


def _uncertainty(thing: Measurable, instrument: Instrument | None, value: float) -> float:
    if instrument is None:
        return 0.0
    once = instrument.standard_uncertainty(value)
    return math.sqrt(2.0) * once if thing.difference else once
