"""Every combination of fans, inner doors and air handler, ranked: the true worst case and what each control does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.columns import SetupColumns
from hvaclib.house.dwelling import Appliance, Dwelling
from hvaclib.house.scenarios import Combinations, Control, combinations, controls, main_effects
from hvaclib.house.setup import Setup
from hvaclib.house.steady import Start, steady_vents
from hvaclib.procedures.parts import last
from hvaclib.procedures.preconditions import appliance_zones, firing_order, refuse_solid_fuel, with_fires

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Ranking:
    """All S = 2**n states of n controls with one appliance burning from a cold (or warm) vent.

    Attributes
    ----------
    combinations : Combinations
        What each state means.
    appliance, zone : str
        What burns, and where it stands.
    draft, spillage, pressure : ndarray, shape (S,)
        Pa at the test hole; share of flue gas that enters the room; Pa of the zone against outdoors.
    order : ndarray of int, shape (S,)
        States from worst to best: spillage first, then the weaker draft.
    """

    combinations: Combinations
    appliance: str
    zone: str
    draft: FloatArray
    spillage: FloatArray
    pressure: FloatArray
    order: IntArray

    @property
    def worst(self) -> int:
        """Index of the worst state."""
        return int(self.order[0])

    @property
    def controls(self) -> tuple[Control, ...]:
        """The n controls."""
        return self.combinations.controls

    def worst_setup(self) -> Setup:
        """The setup of the worst state."""
        return self.combinations.setup(self.worst)

    def effects(self, quantity: str = "draft") -> FloatArray:
        """How much each control moves draft or pressure (Pa) when it is switched on or closed, shape (n,)."""
        return main_effects(self.combinations.bits, self.pressure if quantity == "pressure" else self.draft)

    def place(self, index: int) -> int:
        """Rank of a state, 1 = worst."""
        return int(np.flatnonzero(self.order == index)[0]) + 1


def ranking(
    dwelling: Dwelling,
    setup: Setup | None = None,
    appliance: str | None = None,
    start: Start = "cold",
    chosen: tuple[Control, ...] | None = None,
) -> Ranking:
    """Solve every combination and rank it.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setup : Setup, optional
        Weather, windows and outer doors; the file's by default.
    appliance : str, optional
        The one that burns, alone; by default the smallest, which the test fires first.
    start : {"cold", "warm"}
        Whether its vent is cold.
    chosen : tuple of Control, optional
        Controls to combine; all by default.

    Returns
    -------
    Ranking

    Raises
    ------
    InputError
        If solid fuel burns, there is no such vented appliance, or there are too many controls to combine.
    """
    return last(ranking_parts(dwelling, setup, appliance, start, chosen, block=1 << 16))


def ranking_parts(
    dwelling: Dwelling,
    setup: Setup | None = None,
    appliance: str | None = None,
    start: Start = "cold",
    chosen: tuple[Control, ...] | None = None,
    block: int = 192,
) -> Iterator[Ranking | None]:
    """Do what `ranking` does, `block` states at a time, with a pause (None) after each block."""
    here = dwelling.default_setup() if setup is None else setup
    refuse_solid_fuel(dwelling, here)
    burning = _burning(dwelling, appliance)
    moved = controls(dwelling) if chosen is None else chosen
    states = combinations(dwelling, with_fires(dwelling, here, [burning.name]), moved)
    drafts, shares, pressures = [], [], []
    for begin in range(0, states.columns.scenarios, block):
        vents, pressure = steady_vents(dwelling, _some(states.columns, slice(begin, begin + block)), start)
        row = vents.names.index(burning.name)
        drafts.append(vents.draft[row])
        shares.append(vents.spillage[row])
        pressures.append(pressure[dwelling.zone_names.index(burning.zone)])
        yield None
    draft, spillage = np.concatenate(drafts), np.concatenate(shares)
    # Rounded, so that states that differ by less than any instrument shows keep the order of their controls; the
    # least spillage still counts as some.
    share = np.ceil(np.round(spillage * 1e4, 3)) / 1e4
    worst_first = np.lexsort((np.arange(draft.size), -np.round(draft, 3), -share))
    yield Ranking(
        combinations=states,
        appliance=burning.name,
        zone=burning.zone,
        draft=draft,
        spillage=spillage,
        pressure=np.concatenate(pressures),
        order=worst_first.astype(np.intp),
    )


def _burning(dwelling: Dwelling, appliance: str | None) -> Appliance:
    order = firing_order(dwelling)
    if not order:
        raise InputError("there is no appliance whose draft could be ranked", where=dwelling.name)
    if appliance is None:
        return order[0]
    for item in order:
        if item.name == appliance:
            return item
    names = " or ".join(item.name for item in order)
    raise InputError("no vented appliance has this name", where="appliance", given=appliance, expected=names)


def _some(columns: SetupColumns, scenarios: slice) -> SetupColumns:
    return SetupColumns(*(getattr(columns, name)[..., scenarios] for name in SetupColumns.__slots__))


__all__ = ["Ranking", "appliance_zones", "ranking", "ranking_parts"]
