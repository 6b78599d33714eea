"""What the air passes between room and room: one loss law a component, from data or from its duct's size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hvaclib.errors import InputError
from hvaclib.house.dwelling import DuctComponent
from hvaclib.physics.air_delivery import duct_component, duct_loss, equivalent_diameter
from hvaclib.physics.air_delivery.fittings import fitting_coefficient
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, checks, kinds

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
SegmentName = Literal["return duct", "filter", "coil", "supply duct"]
SEGMENTS: tuple[SegmentName, ...] = ("return duct", "filter", "coil", "supply duct")
"""What pressures at four test holes can tell apart, in the air's order."""
SEGMENT_OF: Mapping[str, SegmentName] = MappingProxyType(
    {
        "grille": "return duct",
        "return drop": "return duct",
        "filter": "filter",
        "coil": "coil",
        "supply trunk": "supply duct",
        "registers": "supply duct",
    }
)
"""Segment of each kind of component, in the air's order."""
_LAW = {"return drop": "duct", "supply trunk": "duct", "filter": "filter", "coil": "coil"}
_ELBOW = float(fitting_coefficient("mitered elbow"))  # a square duct's: no file says in which plane it turns


@dataclass(frozen=True, slots=True)
class DuctSize:
    """Size of a rectangular duct.

    Parameters
    ----------
    width, height : float or ndarray
        Inside, m.
    length : float
        Straight length, m.
    elbows : int
        90-degree elbows.
    """

    width: FloatOrArray
    height: FloatOrArray
    length: float
    elbows: int = 0

    def loss(self, flow: FloatOrArray) -> FloatArray:
        """Loss in standard air, Pa, at a flow in m³/s: Darcy and Colebrook, and velocity heads for the elbows."""
        checks.positive(self.width, "width", kinds.SIZE)
        checks.positive(self.height, "height", kinds.SIZE)
        return duct_loss(
            flow,
            diameter=self.diameter,
            length=self.length,
            heads=_ELBOW * self.elbows,
            area=self.area,
        )

    @property
    def diameter(self) -> FloatOrArray:
        """Diameter of the round duct of equal friction, m."""
        return equivalent_diameter.si(width=self.width, height=self.height)

    @property
    def area(self) -> FloatOrArray:
        """Cross-section, m²."""
        return self.width * self.height


@dataclass(frozen=True, slots=True, eq=False)
class AirComponent:
    """One component with its loss law ``loss · (flow / at) ** exponent`` in standard air.

    Parameters
    ----------
    name, kind : str
        What people call it, and one of `SEGMENT_OF`.
    loss : float or ndarray, shape (S,)
        Pa, at the flow `at`; zero for a component that is not there.
    at : float
        m³/s.
    exponent : float
        1 to 2.
    size : DuctSize, optional
        Size of its duct, where that is known.
    """

    name: str
    kind: str
    loss: FloatOrArray
    at: float
    exponent: float
    size: DuctSize | None = None

    @property
    def segment(self) -> SegmentName:
        """Where it lies between the test holes."""
        return SEGMENT_OF[self.kind]

    @property
    def side(self) -> Literal["return", "supply"]:
        """Side of the blower."""
        return "return" if self.segment in ("return duct", "filter") else "supply"

    @property
    def coefficient(self) -> FloatOrArray:
        """Loss at 1 m³/s, Pa."""
        per_flow: float = self.at**self.exponent
        return self.loss / per_flow

    def scaled(self, factor: FloatOrArray) -> AirComponent:
        """Return it with another loss at every flow, as a multiple of the present one.

        Raises
        ------
        InputError
            If a factor is negative.
        """
        checks.not_negative(factor, f"factor of {self.name}", kinds.DIMENSIONLESS)
        return replace(self, loss=self.loss * factor)

    def with_loss(self, loss: FloatOrArray, at: float | None = None) -> AirComponent:
        """Return it with another loss, Pa, at a flow, m³/s (its own by default).

        Raises
        ------
        InputError
            If a loss is negative or the flow not above zero.
        """
        flow = self.at if at is None else at
        checks.not_negative(loss, f"loss of {self.name}", kinds.GAUGE_PRESSURE)
        checks.positive(flow, f"airflow of {self.name}", kinds.VOLUME_FLOW)
        return replace(self, loss=loss, at=flow)

    def with_size(self, width: FloatOrArray, height: FloatOrArray) -> AirComponent:
        """Return it with a duct of another cross-section; its loss changes as the two ducts' losses differ.

        Raises
        ------
        InputError
            If its present size is not known, or a side is not above zero.
        """
        if self.size is None:
            raise InputError(
                "the size of this duct is not known, so another size cannot be compared with it",
                where=self.name,
                expected="width, height and length in the dwelling file",
            )
        new = replace(self.size, width=width, height=height)
        factor = new.loss(self.at) / self.size.loss(self.at)
        return replace(self.scaled(factor), size=new)


def component_of(item: DuctComponent, design_flow: float) -> AirComponent:
    """A component of a dwelling file.

    Parameters
    ----------
    item : DuctComponent
        As the file describes it.
    design_flow : float
        m³/s, at which the loss of a duct that is known by its size alone is reckoned.

    Returns
    -------
    AirComponent
    """
    size = None
    if item.width is not None and item.height is not None and item.length is not None:
        size = DuctSize(item.width, item.height, item.length, item.elbows)
    usual = value("air_delivery", "exponent", _LAW.get(item.kind, "fitting"))
    if item.loss is not None and item.at is not None:
        exponent = usual if item.exponent is None else item.exponent
        return AirComponent(item.name, item.kind, item.loss, item.at, exponent, size)
    if size is None:
        raise InputError("neither loss nor size is known", where=item.name)
    law = duct_component(
        item.name, "supply", at=design_flow, diameter=float(size.diameter), length=size.length,
        heads=_ELBOW * size.elbows, area=float(size.area),
    )  # fmt: skip
    exponent = law.exponent if item.exponent is None else item.exponent
    return AirComponent(item.name, item.kind, law.loss, law.at, exponent, size)
