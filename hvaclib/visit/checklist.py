"""What a replacement job records, in the order of the trade: one entry an item, from ``items.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal, get_args

from hvaclib.errors import InputError
from hvaclib.readings import Measurable, measurable, nearest

Kind = Literal["reading", "yes or no", "note", "photo"]
Place = Literal["house", "zone", "appliance", "room", "test hole"]
Severity = Literal["stop and call", "fail", "look again", "note"]
Acts = Literal["installer", "gas fitter", "electrician", "chimney trade", "program office"]


@dataclass(frozen=True, slots=True)
class Step:
    """A stretch of the job.

    Parameters
    ----------
    key, title : str
        Name in files, and for people.
    number : int
        Place in the order of the work, from one.
    """

    key: str
    title: str
    number: int


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the record.

    Parameters
    ----------
    key, title : str
        Name in files, and for people.
    step : Step
        The stretch of the job that it belongs to.
    number : int
        Place in the order of the work, from one.
    kind : str
        "reading", "yes or no", "note" or "photo".
    place : str
        What an answer belongs to: "house", "zone", "appliance", "room" or "test hole".
    quantity, stage : str
        Entry of the vocabulary and stage of the test, for a reading.
    where : str
        Name of the place where it is always the same, such as a test hole.
    needs : tuple of frozenset of str
        Required where each set has a tag in common with appliance and job; empty for always.
    optional : bool
        Welcome, and never missed.
    good : str
        The right answer of a yes or no that no rule set judges.
    wrong : str
        Severity of another answer.
    stop : bool
        Whether a wrong answer ends the work until the program office has been called.
    acts : str
        Who puts it right.
    after : tuple of str
        Items that must be done before it.
    do, caution, source : str
        What to do about a wrong answer, what can hurt, where the demand comes from.
    also : tuple of str
        Other headings under which it is known in a table, lower case.
    """

    key: str
    title: str
    step: Step
    number: int
    kind: Kind
    place: Place
    quantity: str = ""
    stage: str = ""
    where: str = ""
    needs: tuple[frozenset[str], ...] = ()
    optional: bool = False
    good: str = ""
    wrong: Severity = "fail"
    stop: bool = False
    acts: Acts = "installer"
    after: tuple[str, ...] = ()
    do: str = ""
    caution: str = ""
    also: tuple[str, ...] = ()
    source: str = ""

    @property
    def measurable(self) -> Measurable | None:
        """Entry of the vocabulary, for a reading."""
        return measurable(self.quantity) if self.quantity else None

    @property
    def yes_or_no(self) -> bool:
        """Whether it is answered with yes or no."""
        return self.kind == "yes or no" or (self.measurable is not None and self.measurable.yes_or_no)

    @property
    def numeric(self) -> bool:
        """Whether it is answered with a number."""
        return self.kind == "reading" and not self.yes_or_no


@cache
def steps() -> tuple[Step, ...]:
    """The stretches of the job in the order of the work.

    Returns
    -------
    tuple of Step
    """
    return tuple(
        Step(row["id"], row["title"], number) for number, row in enumerate(_document()["step"], start=1)
    )


@cache
def items() -> tuple[Item, ...]:
    """The lines of the record in the order of the work.

    Returns
    -------
    tuple of Item
    """
    by_key = {step.key: step for step in steps()}
    found = tuple(_item(row, by_key, number) for number, row in enumerate(_document()["item"], start=1))
    known = {each.key for each in found}
    for each in found:
        for before in each.after:
            if before not in known:
                raise InputError("no such item", where=f"items.toml, {each.key}, after", given=before)
    return found


def item(key: str) -> Item:
    """One line of the record.

    Parameters
    ----------
    key : str
        Its name in files.

    Returns
    -------
    Item

    Raises
    ------
    InputError
        If there is none of that name; the sentence names the nearest one.

    Examples
    --------
    >>> item("sediment-trap").step.title
    'Gas connection, sediment traps and leak test'
    """
    try:
        return _by_key()[key]
    except KeyError:
        raise InputError("no such item of the record", given=key, expected=nearest(key, _by_key())) from None


@cache
def _by_key() -> dict[str, Item]:
    return {each.key: each for each in items()}


@cache
def _document() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("items.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _item(row: dict[str, Any], by_key: dict[str, Step], number: int) -> Item:
    given = {key: value for key, value in row.items() if key not in ("id", "step", "needs", "after", "also")}
    for key, choices in (("kind", Kind), ("place", Place), ("wrong", Severity), ("acts", Acts)):
        if key in given and given[key] not in get_args(choices):
            raise InputError("no such choice", where=f"items.toml, {row['id']}, {key}", given=given[key])
    if given["kind"] == "reading":
        measurable(given["quantity"])  # a word that is not in the vocabulary is refused here
    return Item(
        key=row["id"],
        step=by_key[row["step"]],
        number=number,
        needs=tuple(frozenset(choice) for choice in row.get("needs", ())),
        after=tuple(row.get("after", ())),
        also=tuple(row.get("also", ())),
        **given,
    )
