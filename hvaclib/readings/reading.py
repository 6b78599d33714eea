"""A reading: one value, what it is of, and where it comes from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from numbers import Real
from typing import Any

import numpy as np

from hvaclib.errors import HvacError, InputError
from hvaclib.readings.vocabulary import Measurable, measurable, nearest
from hvaclib.units import parse_si

_YES = {"yes": 1.0, "true": 1.0, "no": 0.0, "false": 0.0}


@dataclass(frozen=True, slots=True)
class Reading:
    """One value, what it is of, and where it comes from.

    Parameters
    ----------
    quantity : str
        Key of the vocabulary, such as "draft".
    value : float
        SI value; 1 or 0 (or a bool) for an item answered with yes or no. May be ``inf`` only where the
        vocabulary has words for it, as for a spillage that never stopped.
    where : str
        Name of the appliance, zone or house that it belongs to.
    when : str, optional
        Stage of the test, such as "baseline" or "worst case".
    instrument : str, optional
        Name in the table of instruments; empty for the usual one of the quantity.
    computed : bool, optional
        Whether a calculation gave it, and no instrument.
    note : str, optional
        Anything a person wants to add.
    standard_uncertainty : float, optional
        Declared standard uncertainty, SI, in place of the instrument's.

    Raises
    ------
    InputError
        If the quantity is unknown, or the value is no number, endless without a meaning, or beyond what
        the quantity can be.
    """

    quantity: str
    value: float
    where: str
    when: str = ""
    instrument: str = ""
    computed: bool = False
    note: str = ""
    standard_uncertainty: float | None = None

    def __post_init__(self) -> None:
        thing = measurable(self.quantity)
        if not self.where:
            raise InputError(
                "a reading must say where it was taken",
                where=thing.title,
                expected=f"the name of the {thing.place}",
            )
        object.__setattr__(self, "value", _checked(thing, self.value, self.place))
        uncertainty = self.standard_uncertainty
        if uncertainty is not None and not (math.isfinite(uncertainty) and uncertainty >= 0.0):
            raise InputError(
                "the declared standard uncertainty cannot be used",
                where=self.place,
                given=uncertainty,
                expected="a finite number, zero or above",
            )

    @property
    def measurable(self) -> Measurable:
        """Entry of the vocabulary that the reading is of."""
        return measurable(self.quantity)

    @property
    def place(self) -> str:
        """Quantity, place and stage, as an error or a table heading names them."""
        stage = f", {self.when}" if self.when else ""
        return f"{self.measurable.title} ({self.where}{stage})"

    @property
    def yes(self) -> bool:
        """Answer of a yes-or-no item."""
        if not self.measurable.yes_or_no:
            raise InputError("this is a number, not a yes or no", where=self.place, given=self.value)
        return self.value == 1.0

    def to_record(self) -> dict[str, object]:
        """Plain mapping that JSON and TOML can hold; an endless value becomes the text 'inf'.

        Returns
        -------
        dict
        """
        record = asdict(self)
        if math.isinf(self.value):
            record["value"] = "inf" if self.value > 0 else "-inf"
        if self.standard_uncertainty is None:
            del record["standard_uncertainty"]
        return record

    @classmethod
    def from_record(cls, record: Mapping[str, Any]) -> Reading:
        """Reading from a plain mapping, with the value as SI number or as text with its unit.

        Parameters
        ----------
        record : mapping
            Keys as the fields of the class; 'value' may be ``-2.5``, ``"-0.01 in. w.c."``, ``"yes"``
            or ``"inf"``, 'standard_uncertainty' an SI number.

        Returns
        -------
        Reading

        Raises
        ------
        InputError, UnitError
            If a key is unknown or missing, or a value is not what its quantity needs.
        """
        known = [field.name for field in fields(cls)]
        for key in record:
            if key not in known:
                raise InputError("unknown key", where=str(key), expected=nearest(str(key), known))
        for key in ("quantity", "value", "where"):
            if key not in record:
                raise InputError(
                    "missing key", where=key, expected="quantity, value and where in each reading"
                )
        for key in set(record) - {"value", "computed", "standard_uncertainty"}:
            if not isinstance(record[key], str):
                raise InputError("must be text", where=key, given=record[key])
        if not isinstance(record.get("computed", False), bool):
            raise InputError("must be true or false", where="computed", given=record["computed"])
        value = _number(measurable(record["quantity"]), record["value"])
        return cls(**{**record, "value": value})


def _number(thing: Measurable, value: object) -> float:
    if not isinstance(value, str):
        return value  # type: ignore[return-value]  # the reading itself refuses what is no number
    text = value.strip()
    if thing.kind is None:
        if text.lower() not in _YES:
            raise InputError("not an answer", where=thing.title, given=value, expected="yes or no")
        return _YES[text.lower()]
    if text in ("inf", "-inf", "nan"):
        return float(text)
    try:
        return parse_si(text, thing.kind)
    except HvacError as error:
        where = f"{thing.title}, value"
        raise type(error)(error.what, where=where, given=error.given, expected=error.expected) from None


def _checked(thing: Measurable, value: object, place: str) -> float:
    """Value as a float that the quantity can have; minus zero becomes zero."""
    if type(value) is not float and not isinstance(value, (Real, np.bool_)):
        raise InputError(
            "the value is not a number", where=place, given=value, expected="a number in SI units"
        )
    number = float(value) + 0.0
    if thing.kind is None:
        if number not in (0.0, 1.0):
            raise InputError("not an answer", where=place, given=number, expected="yes or no")
        return number
    if type(value) is not float and isinstance(value, (bool, np.bool_)):
        raise InputError("a yes or no was given for a number", where=place, given=value, expected="a number")
    if math.isnan(number):
        raise InputError(
            "the value is not a number (NaN)",
            where=place,
            expected="a reading; leave out what was not measured",
        )
    if math.isinf(number) and not (number > 0 and thing.infinite):
        raise InputError("the value has no end", where=place, given=number, expected="a finite number")
    if not thing.least <= number <= thing.most:
        raise InputError(
            "no true value can be there",
            where=place,
            given=number,
            expected=f"{thing.least:g} to {thing.most:g} in SI units",
        )
    return number
