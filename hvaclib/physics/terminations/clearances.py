"""Every distance that a terminal must keep from one kind of neighbour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from hvaclib.errors import InputError
from hvaclib.physics.terminations.rules import COLUMNS, NEIGHBOURS, TERMINALS, Rule, rules_for
from hvaclib.units import calculation, checks, choice, kinds

__all__ = ["CAUTION", "Clearance", "Clearances", "clearances"]

CAUTION = (
    "The adopted code, the gas supplier and the manufacturer's instructions decide, and often ask for more; snow, corners, "
    "soffits and decks have rules of their own. Flue gas holds carbon monoxide."
)


@dataclass(frozen=True, slots=True)
class Clearance:
    """One distance with its direction, rule and source.

    Attributes
    ----------
    distance : size
        To keep, between nearest edges.
    direction : str
        "any direction", "beside", "below", "above", or words that say more.
    rule : str
        Title of the rule.
    column : str
        "US" or "Canada".
    source, certainty : str
        Where it stands, and how sure that is.
    condition : str
        What else to know; empty where there is nothing.
    """

    distance: Annotated[float, kinds.SIZE]
    direction: str
    rule: str
    column: str
    source: str
    certainty: str
    condition: str


@dataclass(frozen=True, slots=True)
class Clearances:
    """All distances that apply between a terminal and a neighbour.

    Attributes
    ----------
    distance : size
        The largest of them.
    all_that_apply : tuple of Clearance
        Each of them. Of "beside", "below" and "above" of one rule, one is enough.
    """

    distance: Annotated[float, kinds.SIZE]
    all_that_apply: tuple[Clearance, ...]


@calculation(
    terminal=choice(*TERMINALS),
    neighbour=choice(*NEIGHBOURS),
    input_rate=kinds.POWER,
    column=choice(*COLUMNS),
    gives=Clearances,
    notes=(CAUTION,),
)
def clearances(
    *, terminal: str, neighbour: str, input_rate: float = 29307.107, column: str = "US"
) -> Clearances:
    """Distances that a terminal in an outside wall must keep from a neighbour.

    Parameters
    ----------
    terminal : {"mechanical draft", "direct vent", "dryer terminal", "regulator vent"}
        Mechanical draft is any fan-powered vent that is no direct vent.
    neighbour : {"door", "window", "gravity inlet", "forced inlet", "appliance inlet", "grade", "public walkway", "meter", "regulator vent", "dryer terminal", "mechanical draft", "direct vent"}
        A window is one that opens; an appliance inlet takes another appliance's combustion air.
    input_rate : heat or power, default 100 kBtu/h
        Of the terminal's appliance; zero or more.
    column : {"US", "Canada"}, default "US"
        Which code's column.

    Returns
    -------
    Clearances
        In inches (m through ``.si``); the main result is the largest distance.

    Raises
    ------
    InputError
        If the input is negative, or the column knows no distance for this pair.

    Notes
    -----
    Where a published table says "by local rules", common practice stands here and says so.

    References
    ----------
    .. [1] IFGC (2018) 503.8; NFPA 54 12.9; IRC M1502.3.
    .. [2] CSA B149.1, and the Canadian column of gas appliance manuals' tables.

    Examples
    --------
    >>> found = clearances(terminal="mechanical draft", neighbour="window")
    >>> [(round(item.distance.magnitude), item.direction) for item in found.all_that_apply]
    [(48, 'beside'), (48, 'below'), (12, 'above')]
    """
    checks.not_negative(input_rate, "input_rate", kinds.POWER)
    found = [item for rule in rules_for(terminal, neighbour, input_rate, column) for item in _distances(rule)]
    if not found:
        raise InputError(
            f"the {column} column has no distance between these two", where="neighbour",
            given=f"{terminal} and {neighbour}", expected="a pair of the table; else local rules and the manufacturer",
        )  # fmt: skip
    return Clearances(max(item.distance for item in found), tuple(found))


def _distances(rule: Rule) -> list[Clearance]:
    directions = {
        "around": [(rule.distance, "any direction")],
        "beside": [(rule.distance, "beside"), (rule.below, "below"), (rule.above, "above")],
        "over": [(rule.distance, f"above, where within {rule.within / 0.3048:.0f} ft to the side")],
        "column": [
            (rule.distance, f"to each side of its centre line, up to {rule.height / 0.3048:.0f} ft above")
        ],
        "height": [(rule.distance, "above")],
    }[rule.shape]
    return [
        Clearance(distance, direction, rule.title, rule.column, rule.source, rule.certainty, rule.condition)
        for distance, direction in directions
    ]
