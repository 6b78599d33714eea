"""The rules of `reference/terminations.toml` in SI, and which of them hold for a pair."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from hvaclib.reference import load

__all__ = ["COLUMNS", "NEIGHBOURS", "TERMINALS", "Rule", "all_rules", "rules_for"]

INCH = 0.0254
BTUH = 1055.05585262 / 3600.0  # W, exact (international table)
ROUND = 1.0 + 1e-9  # an input at a limit, brought over from another unit, counts as the limit

Shape = Literal["around", "beside", "over", "column", "height"]

COLUMNS = ("US", "Canada")
TERMINALS = ("mechanical draft", "direct vent", "dryer terminal", "regulator vent")
"""What may ask for a distance from its neighbours."""
NEIGHBOURS = (
    "door", "window", "gravity inlet", "forced inlet", "appliance inlet", "grade", "public walkway", "meter",
    "regulator vent", "dryer terminal", "mechanical draft", "direct vent",
)  # fmt: skip
"""What a terminal may be too close to."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule; distances in m, inputs in W.

    Attributes
    ----------
    id, title : str
        For citing it.
    terminals, neighbours : tuple of str
        Kinds between which it holds.
    column : str
        "US" or "Canada".
    shape : str
        How the distance counts: see the head of the table.
    distance : float
        m.
    below, above, within, height : float
        m, what the shape needs besides; 0 where it needs nothing.
    over, up_to : float
        W; it holds for more than the first, up to and including the second.
    source, certainty, condition : str
        As in the table.
    """

    id: str
    title: str
    terminals: tuple[str, ...]
    neighbours: tuple[str, ...]
    column: str
    shape: Shape
    distance: float
    below: float
    above: float
    within: float
    height: float
    over: float
    up_to: float
    source: str
    certainty: str
    condition: str


def _rule(row: dict[str, Any]) -> Rule:
    side = {name: float(row.get(name, 0.0)) * INCH for name in ("below", "above", "within", "height")}
    return Rule(
        id=row["id"],
        title=row["title"],
        terminals=tuple(row["terminals"]),
        neighbours=tuple(row["neighbours"]),
        column=row["column"],
        shape=row["shape"],
        distance=float(row["value"]) * INCH,
        **side,
        over=float(row.get("over", -1.0)) * BTUH,
        up_to=float(row.get("up_to", math.inf)) * BTUH,
        source=row["source"],
        certainty=row["certainty"],
        condition=row.get("condition", ""),
    )


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule of the table, in its order."""
    return tuple(_rule(row) for row in load("terminations")["rule"])


@cache
def rules_for(terminal: str, neighbour: str, rate: float, column: str) -> tuple[Rule, ...]:
    """Rules that hold for a terminal of an input (W) and a neighbour, in one column; often none."""
    return tuple(
        rule
        for rule in all_rules()
        if terminal in rule.terminals
        and neighbour in rule.neighbours
        and rule.column == column
        and rule.over * ROUND < rate <= rule.up_to * ROUND
    )
