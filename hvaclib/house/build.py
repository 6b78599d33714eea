"""From a dwelling and S setups to one network: static rows once, then arrays over all setups at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from hvaclib.house.blowers import Blowers, FixedFlow, blowers
from hvaclib.house.columns import SetupColumns, setup_columns
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.network.arrays import FloatArray, Network, Solution
from hvaclib.house.paths import house_rows
from hvaclib.house.rows import Rows, RowTable
from hvaclib.house.setup import Setup
from hvaclib.house.wind import face_pressure
from hvaclib.physics import air
from hvaclib.physics.air import GRAVITY, STANDARD_DENSITY


@dataclass(frozen=True, slots=True)
class Built:
    """A network and what its rows mean.

    Parameters
    ----------
    network : Network
        P rows, Z zones (junctions of vents last), S scenarios.
    rows : Rows
        Static part: zone names, paths, heights.
    blowers : Blowers
        Fans and ducts.
    columns : SetupColumns
        The setups.
    density : ndarray, shape (Z + 1, S)
        Air density of each zone, kg/m³; the last row is outdoors.
    fixed_flow : ndarray, shape (K, S)
        Mass flow of each fixed flow, kg/s.
    curve_fan : tuple of int
        Index of the fan in the dwelling of each fan curve of the network.
    """

    network: Network
    rows: Rows
    blowers: Blowers
    columns: SetupColumns
    density: FloatArray
    fixed_flow: FloatArray
    curve_fan: tuple[int, ...]

    @property
    def fixed(self) -> tuple[FixedFlow, ...]:
        """What the rows of ``fixed_flow`` are."""
        return self.blowers.fixed

    def path_flows(self, solution: Solution) -> tuple[FloatArray, FloatArray]:
        """Flow of each path in its two directions; in a doorway both can be above zero.

        Parameters
        ----------
        solution : Solution
            Of this network.

        Returns
        -------
        forward, backward : ndarray, shape (paths, S)
            kg/s, zero or more: start to end, and end to start.
        """
        first = [path.first for path in self.rows.paths]
        flow = solution.flow
        forward = np.add.reduceat(np.maximum(flow, 0.0), first, axis=0)
        backward = np.add.reduceat(np.maximum(-flow, 0.0), first, axis=0)
        return forward, backward

    def fan_flows(self, solution: Solution) -> FloatArray:
        """Mass flow of each fan of the dwelling, fixed or with a curve, kg/s, shape (F, S)."""
        found = np.zeros((self.columns.fans.shape[0], self.columns.scenarios))
        for row, flow in enumerate(self.fixed):
            if flow.fan >= 0:
                found[flow.fan] += self.fixed_flow[row]
        for row, fan in enumerate(self.curve_fan):
            found[fan] += solution.curve_flow[row]
        return found

    def zone_pressure(self, solution: Solution, height: float | FloatArray) -> FloatArray:
        """Pressure of each zone with reference to outdoors at a height above outdoor ground.

        Parameters
        ----------
        solution : Solution
            Of this network.
        height : float or ndarray, shape (Z,)
            m above outdoor ground.

        Returns
        -------
        ndarray, shape (Z, S)
            Pa.

        Notes
        -----
        A hose led outdoors carries the column of the air inside it: a manometer in a basement whose hose leaves
        the house at ground level reads the value at height 0 when the hose is as warm as the basement.
        """
        z = np.broadcast_to(np.asarray(height, dtype=np.float64), (self.network.zones,))[:, None]
        return np.asarray(
            solution.pressure + GRAVITY * z * (self.density[-1] - self.density[:-1]), dtype=np.float64
        )


@dataclass(frozen=True, slots=True)
class Prepared:
    """A dwelling ready for many setups: topology, heights, coefficients in standard air.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    rows : Rows
        Rows of the network.
    blowers : Blowers
        Fans and ducts.
    temperature : ndarray, shape (Z,)
        Temperature of each zone, K; NaN where it follows outdoors, as in junctions.
    """

    dwelling: Dwelling
    rows: Rows
    blowers: Blowers
    temperature: FloatArray

    def build(self, setups: Sequence[Setup] | SetupColumns) -> Built:
        """The network of S setups.

        Parameters
        ----------
        setups : sequence of Setup, or SetupColumns
            What is on and open, and the weather.

        Returns
        -------
        Built
        """
        columns = setups if isinstance(setups, SetupColumns) else setup_columns(self.dwelling, setups)
        density = self._density(columns.outdoor_temperature)
        fixed_flow = self.blowers.mass_flows(columns, density)
        curves, owners = self.blowers.fan_curves(columns, density)
        coefficient = self._coefficient(columns, density)
        network = Network(
            zones=len(self.rows.zone_names),
            start=self.rows.start,
            end=self.rows.end,
            exponent=self.rows.exponent,
            coefficient=coefficient,
            drive=self._drive(columns, density),
            supply=self.blowers.incidence @ fixed_flow,
            curves=curves,
            names=self.rows.zone_names,
        )
        wide = np.broadcast_to(density, (density.shape[0], columns.scenarios))
        return Built(network, self.rows, self.blowers, columns, wide, fixed_flow, owners)

    def _density(self, outdoor: FloatArray) -> FloatArray:
        """Density of zones and outdoors, shape (Z + 1, S), or (Z + 1, 1) when all setups share one weather."""
        if (outdoor == outdoor[0]).all():
            outdoor = outdoor[:1]
        temperature = np.vstack([np.repeat(self.temperature[:, None], outdoor.size, axis=1), outdoor])
        temperature = np.where(np.isnan(temperature), outdoor, temperature)
        return np.asarray(
            air.density.si(temperature=temperature, altitude=self.dwelling.site.altitude), dtype=np.float64
        )

    def _coefficient(self, columns: SetupColumns, density: FloatArray) -> FloatArray:
        """Coefficients of mass flow: a volume flow of ``C0 (rho0/rho)**(1-n) x**n`` carries ``rho**n``.

        The density is the mean of both sides, because the direction of the flow is not known beforehand; between
        outdoors at 0 °F and a house at 70 °F that is within 4 % of the side the air really comes from.
        """
        rows = self.rows
        fixed = np.zeros((1, columns.scenarios))
        position = np.concatenate([fixed, columns.doors, columns.windows])[rows.control]
        coefficient = rows.closed[:, None] + (rows.opened - rows.closed)[:, None] * position
        mean = 0.5 * (density[rows.start] + density[rows.end]) / STANDARD_DENSITY
        return np.asarray(coefficient * mean ** rows.exponent[:, None], dtype=np.float64)

    def _drive(self, columns: SetupColumns, density: FloatArray) -> FloatArray:
        """Columns of air in both zones at the row's height, and the wind where one end is outdoors."""
        rows = self.rows
        stack = GRAVITY * rows.height[:, None] * (density[rows.end] - density[rows.start])
        outside = np.broadcast_to(density[-1], (columns.scenarios,))
        wind = face_pressure(
            columns.wind_speed, columns.wind_direction, outside, self.dwelling.site.shielding
        )
        drive = stack + rows.sign[:, None] * wind[rows.face]
        drive[rows.free == 1] = 0.0
        return np.asarray(drive, dtype=np.float64)


def prepare(dwelling: Dwelling, extend: Callable[[RowTable], None] | None = None) -> Prepared:
    """What does not depend on the setup.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    extend : callable, optional
        Called with the row table before it is frozen; it may append junctions, paths and rows (the vents do).

    Returns
    -------
    Prepared
    """
    table = house_rows(dwelling)
    if extend is not None:
        extend(table)
    rows = table.freeze()
    names = {name: number for number, name in enumerate(rows.zone_names)}
    temperature = np.full(len(names), np.nan)
    for zone in dwelling.zones:
        if zone.temperature is not None:
            temperature[names[zone.name]] = zone.temperature
    return Prepared(dwelling, rows, blowers(dwelling, table.index, len(names)), temperature)


def build_network(
    dwelling: Dwelling,
    setups: Sequence[Setup] | SetupColumns,
    extend: Callable[[RowTable], None] | None = None,
) -> Built:
    """The network of a dwelling in S setups; ``prepare`` once and ``build`` often where speed matters.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    setups : sequence of Setup, or SetupColumns
        What is on and open, and the weather.
    extend : callable, optional
        As for ``prepare``.

    Returns
    -------
    Built

    Notes
    -----
    Heights are above outdoor ground. A zone's unknown is its pressure at height 0 in its own column of air, with
    reference to outdoors at height 0, so that a path at height z from a to b is driven by
    ``p_a - p_b - (rho_a - rho_b) g z`` and by the wind at an outdoor end.
    """
    return prepare(dwelling, extend).build(setups)
