"""What the boards of the air side share: the air side of the dwelling chosen, its cautions, what it is judged by."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.boards.base import BoardModel, Number
from hvaclib.errors import InputError
from hvaclib.house.air_side import AirSide, air_side_of
from hvaclib.rules import Facts, RuleSet, judge, load

if TYPE_CHECKING:
    from collections.abc import Sequence

    from hvaclib.house.dwelling import Dwelling
    from hvaclib.readings import Reading
    from hvaclib.rules import Finding

CAUTIONS = (
    "Moving blower and live parts behind the door: switch the power off before the door comes off, and wait for the "
    "wheel to stop. Wiring and blower taps are work for a licensed technician.",
    "Heat exchanger, plenum and vent are hot enough to burn. Drill no hole where a coil, a wire or a gas pipe may lie "
    "behind the metal, and none into the heat exchanger.",
    "This is a simulation: it teaches and plans. In the house the readings decide, with the adopted code, the rating "
    "plate and the manufacturer's instructions.",
)
OVERHEATED = (
    "A rise this far above the plate overheats the heat exchanger. A cracked one lets carbon monoxide into the rooms, "
    "which has no smell: measure it, and shut the furnace down and call a licensed technician if it rises."
)
FAR = 1.15
"""Rise over the greatest on the plate from which the heat exchanger is warned of at once; common practice, no source."""
EXPANDED = 2.0
"""Standard uncertainties in the half width shown: about 95 % of a normal distribution (JCGM 100:2008, 6.3.3)."""


@lru_cache(maxsize=16)
def known_air_side(dwelling: Dwelling) -> tuple[AirSide | None, str]:
    """The air side of a dwelling, or none and the sentence that says why.

    Parameters
    ----------
    dwelling : Dwelling
        As its file has it.

    Returns
    -------
    tuple
        Air side, and an empty text; or none, and the sentence.
    """
    try:
        return air_side_of(dwelling), ""
    except InputError as error:
        return None, str(error)


@lru_cache(maxsize=8)
def rules_named(name: str) -> RuleSet:
    """A shipped rule set, read once."""
    return load(name)


def judged(
    readings: Sequence[Reading], side: AirSide, rules: RuleSet, quantities: Sequence[str]
) -> list[Finding]:
    """What the rules say of these quantities against the plate of a furnace, the gravest first; not what it lacks.

    Parameters
    ----------
    readings : sequence of Reading
        What was read, or would be.
    side : AirSide
        With the plate.
    rules : RuleSet
        To judge by.
    quantities : sequence of str
        Vocabulary keys; what the rules say of others is left out.
    """
    from hvaclib.readings import Readings

    found = judge(Readings(list(readings)), rules, Facts(common=side.facts()))
    return [item for item in found.ranked if item.rule.quantity in quantities and item.bounds is not None]


def within(model: BoardModel, name: str, value: float) -> float:
    """A value from a file, brought inside the limits of a control."""
    trait = model.declared()[name]
    assert isinstance(trait, Number)  # the callers name numbers
    return min(max(float(value), trait.low), trait.high)
