"""One dwelling with other factors on its unknowns in each scenario: the change is entered in the network's arrays.

The dwelling is prepared once. A thousand variants of it are then one batch, as a thousand set-ups of it are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hvaclib.house.columns import SetupColumns, setup_columns
from hvaclib.house.coupled import Moment, VentedHouse, moment, vented_house
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.setup import Setup
from hvaclib.house.vents.columns import Columns
from hvaclib.physics.vent.losses import blockage_loss
from hvaclib.review.fit.unknowns import exhaust_rows

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Factors = Mapping[str, FloatArray]

MOST_LEAKAGE = 0.9
"""Largest share of its air that an air handler can draw through leaks of the return."""


@dataclass(frozen=True, slots=True)
class VariedHouse:
    """A prepared dwelling, and which of its numbers each unknown multiplies.

    Attributes
    ----------
    house : VentedHouse
    zone : str
        The combustion appliance zone.
    zone_rows, house_rows : ndarray of bool
        Rows of leaks of the zone, and of the rest of the house.
    fans : list of int
        Fans whose airflow is scaled.
    """

    house: VentedHouse
    zone: str
    zone_rows: BoolArray
    house_rows: BoolArray
    fans: list[int]

    @property
    def dwelling(self) -> Dwelling:
        """The dwelling as it stands with every factor at 1."""
        return self.house.prepared.dwelling

    def columns(self, setups: Sequence[Setup], factors: Factors) -> SetupColumns:
        """K setups with V sets of factors as K·V scenarios, the factors running faster."""
        once = setup_columns(self.dwelling, setups)
        variants = count_of(factors)
        many = SetupColumns(
            *(np.repeat(getattr(once, name), variants, axis=-1) for name in SetupColumns.__slots__)
        )
        if "exhaust" in factors and self.fans:
            many.fans[self.fans] *= np.tile(factors["exhaust"], len(setups))
        return many

    def moment(self, setups: Sequence[Setup], factors: Factors, columns: Columns | None = None) -> Moment:
        """The network of K setups with V sets of factors, K·V scenarios; see `columns`.

        Parameters
        ----------
        setups : sequence of Setup
            K of them.
        factors : mapping of str to ndarray, shape (V,)
            Factor of each unknown; one that is left out stays at 1.
        columns : Columns, optional
            Gas columns to start from.

        Returns
        -------
        Moment
        """
        now = moment(self.house, self.columns(setups, factors), columns)
        network, times = now.built.network, len(setups)
        for key, rows in (("zone_leakage", self.zone_rows), ("house_leakage", self.house_rows)):
            if key in factors:
                network.coefficient[rows] *= np.tile(factors[key], times)
        if "return_leakage" in factors:
            self._returns(now, np.tile(factors["return_leakage"], times))
        if "vent" in factors:
            now.added_heads = self._heads(np.tile(factors["vent"], times))
        return now

    def _returns(self, now: Moment, factor: FloatArray) -> None:
        blowers, flow = now.built.blowers, now.built.fixed_flow
        leak = np.array([item.kind == "return leak" for item in blowers.fixed])
        grille = np.array([item.kind == "return" for item in blowers.fixed])
        flows = np.array([item.flow for item in blowers.fixed])
        share = flows[leak].sum() / flows[leak | grille].sum()
        wanted = np.minimum(share * factor, MOST_LEAKAGE)
        scaled = flow.copy()
        scaled[leak] *= wanted / share
        scaled[grille] *= (1.0 - wanted) / (1.0 - share)
        now.built.network.supply[...] += blowers.incidence @ (scaled - flow)

    def _heads(self, factor: FloatArray) -> FloatArray:
        pipes = self.house.pipes
        added = np.zeros((pipes.heads.size, factor.size))
        added[pipes.connectors :] = added_heads(pipes.heads[pipes.connectors :, None], factor)
        return added


def varied_house(dwelling: Dwelling, zone: str) -> VariedHouse:
    """Prepare a dwelling for many sets of factors.

    Parameters
    ----------
    dwelling : Dwelling
        With every factor at 1.
    zone : str
        The combustion appliance zone.

    Returns
    -------
    VariedHouse
    """
    house = vented_house(dwelling)
    rows = house.prepared.rows
    leaks = np.array([path.kind == "leak" for path in rows.paths])[rows.path]
    touching = np.array([zone in (path.start, path.end) for path in rows.paths])[rows.path]
    return VariedHouse(house, zone, leaks & touching, leaks & ~touching, exhaust_rows(dwelling))


def added_heads(heads: FloatArray, factor: FloatArray) -> FloatArray:
    """Velocity heads that a factor adds to those of a vent's fittings; a vent without any counts as having one."""
    return np.asarray(np.maximum((factor - 1.0) * np.maximum(heads, 1.0), -heads), dtype=np.float64)


def count_of(factors: Factors) -> int:
    """Number of sets of factors."""
    return next((int(np.size(row)) for row in factors.values()), 1)


def scaled_dwelling(dwelling: Dwelling, zone: str, factors: Mapping[str, float]) -> Dwelling:
    """The dwelling with its unknowns at these factors, as a dwelling of its own.

    Parameters
    ----------
    dwelling : Dwelling
        With every factor at 1.
    zone : str
        The combustion appliance zone.
    factors : mapping of str to float

    Returns
    -------
    Dwelling

    Notes
    -----
    What a factor above 1 adds to the vent becomes a blocked share of its area. A factor below 1 can only take away
    what the file calls blocked.
    """
    for leak in dwelling.leaks:
        key = "zone_leakage" if zone in leak.between else "house_leakage"
        dwelling = dwelling.with_leak_flow(leak.name, leak.flow_at_50 * factors.get(key, 1.0))
    for row in exhaust_rows(dwelling):
        fan = dwelling.fans[row]
        dwelling = dwelling.with_fan_flow(fan.name, float(fan.flow or 0.0) * factors.get("exhaust", 1.0))
    if factors.get("return_leakage", 1.0) != 1.0:
        dwelling = _with_returns(dwelling, factors["return_leakage"])
    if factors.get("vent", 1.0) != 1.0:
        dwelling = _with_vents(dwelling, factors["vent"])
    return dwelling


def _with_returns(dwelling: Dwelling, factor: float) -> Dwelling:
    from hvaclib.house.dwelling.changes import changed

    handler = dwelling.air_handler
    assert handler is not None  # only a return with leaks has this unknown
    leaks = sum(item.share for item in handler.return_leakage)
    total = leaks + sum(item.share for item in handler.returns)
    wanted = min(leaks * factor, MOST_LEAKAGE * total)
    one, other = wanted / leaks, (total - wanted) / (total - leaks)
    return dwelling.changed(
        air_handler=changed(
            handler,
            return_leakage=tuple(changed(item, share=item.share * one) for item in handler.return_leakage),
            returns=tuple(changed(item, share=item.share * other) for item in handler.returns),
        )
    )


def _with_vents(dwelling: Dwelling, factor: float) -> Dwelling:
    pipes = vented_house(dwelling).pipes
    for name, heads in zip(pipes.vents, pipes.heads[pipes.connectors :], strict=True):
        blocked = dwelling.part("vents", name).blockage
        wanted = float(blockage_loss(blocked)) + float(added_heads(heads, np.array(factor)))
        dwelling = dwelling.with_blockage(name, blocked_share(wanted))
    return dwelling


def blocked_share(heads: float) -> float:
    """Share of a vent's area whose blocking costs so many velocity heads; 0 where they are none.

    Examples
    --------
    >>> from hvaclib.physics.vent.losses import blockage_loss
    >>> round(blocked_share(float(blockage_loss(0.6))), 6)
    0.6
    """
    low, high = 0.0, 0.99
    if heads <= 0.0:
        return low
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if float(blockage_loss(middle)) < heads else (low, middle)
    return 0.5 * (low + high)
