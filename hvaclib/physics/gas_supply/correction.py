"""What brings a burner to its rate, and when the manifold pressure is not to be touched."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from hvaclib.errors import InputError
from hvaclib.physics.gas_supply.arguments import ORIFICE
from hvaclib.physics.gas_supply.orifices import LICENSED, manifold_for
from hvaclib.reference import value
from hvaclib.units import calculation, checks, kinds, show

__all__ = ["FiringCorrection", "firing_correction"]

_WATER = 249.08891
_PLATE = value("gas_piping", "manifold", "natural_gas") * _WATER
_ADJUSTMENT = value("gas_piping", "manifold", "adjustment_natural_gas") * _WATER
_SUPPLY = value("gas_piping", "supply", "natural_gas_least") * _WATER
_TOLERANCE = value("gas_piping", "firing", "tolerance")


@dataclass(frozen=True, slots=True)
class FiringCorrection:
    """What brings a burner to its rate.

    Attributes
    ----------
    manifold_pressure : pressure above the surrounding air
        At which the present orifices would pass the rate.
    lowest, highest : pressure above the surrounding air
        Range in which the manufacturer allows the manifold to be set.
    off_rate : fraction
        Present rate over the wanted one, less one: above zero is overfired.
    permitted : bool
        Whether setting the manifold is the remedy.
    remedy : str
        "none needed", "manifold", "supply pressure" or "orifice".
    reason : str
        Why, in a sentence.
    orifice_diameter : size
        That would give the rate at the pressure on the plate; none where the present one is not given.
    """

    manifold_pressure: Annotated[float, kinds.GAUGE_PRESSURE]
    lowest: Annotated[float, kinds.GAUGE_PRESSURE]
    highest: Annotated[float, kinds.GAUGE_PRESSURE]
    off_rate: Annotated[float, kinds.FRACTION]
    permitted: bool
    remedy: str
    reason: str
    orifice_diameter: Annotated[float, kinds.SIZE] | None


@calculation(
    present_rate=kinds.POWER,
    wanted_rate=kinds.POWER,
    present_pressure=kinds.GAUGE_PRESSURE,
    plate_pressure=kinds.GAUGE_PRESSURE,
    adjustment=kinds.GAUGE_PRESSURE,
    supply_pressure=kinds.GAUGE_PRESSURE,
    least_supply=kinds.GAUGE_PRESSURE,
    orifice=ORIFICE,
    gives=FiringCorrection,
    notes=(LICENSED, "Smell of gas: leave, light nothing, switch nothing, call from outside."),
)
def firing_correction(
    *,
    present_rate: float,
    wanted_rate: float,
    present_pressure: float,
    plate_pressure: float = _PLATE,
    adjustment: float = _ADJUSTMENT,
    supply_pressure: float | None = None,
    least_supply: float = _SUPPLY,
    orifice: float | None = None,
) -> FiringCorrection:
    """Judge what brings a burner to its rate: nothing, the manifold pressure, the supply pressure or the orifices.

    Parameters
    ----------
    present_rate : heat or power
        Clocked, above zero.
    wanted_rate : heat or power
        On the nameplate, after the altitude rule; above zero.
    present_pressure : pressure above the surrounding air
        Manifold pressure while it was clocked, above zero.
    plate_pressure : pressure above the surrounding air, default 3.5 in. w.c.
        Manifold pressure on the nameplate, above zero.
    adjustment : pressure above the surrounding air, default 0.3 in. w.c.
        How far from the plate the manufacturer allows the manifold to be set, zero or more.
    supply_pressure : pressure above the surrounding air, optional
        At the appliance inlet with everything firing.
    least_supply : pressure above the surrounding air, default 5 in. w.c.
        That the appliance needs at its inlet.
    orifice : size, or a drill number, optional
        Present orifice, to name the one that would be right.

    Returns
    -------
    FiringCorrection
        The manifold pressure comes from the square-root law, permitted or not; in in. w.c. (Pa through ``.si``).

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    A rate within 2 % of the wanted one needs nothing, provided the manifold stands in its range (common practice). A
    supply pressure below what the regulator needs comes first: until it is right nothing else can be judged.

    References
    ----------
    .. [1] IFGC and IRC (2015), Appendix A, A.1: 3.5 in. w.c. at the burner, about 5 in. w.c. at the inlet.
    .. [2] Furnace manufacturers' instructions: manifold within 0.3 in. w.c. of the plate (from memory).

    Examples
    --------
    >>> told = firing_correction(
    ...     present_rate="84000 Btu/h", wanted_rate="80000 Btu/h", present_pressure="3.6 in. w.c.")
    >>> told.remedy, round(told.manifold_pressure, 2)
    ('manifold', <Quantity(3.27, 'inch_H2O')>)
    """
    checks.positive(present_rate, "present_rate", kinds.POWER)
    checks.positive(wanted_rate, "wanted_rate", kinds.POWER)
    checks.positive(plate_pressure, "plate_pressure", kinds.GAUGE_PRESSURE)
    checks.not_negative(adjustment, "adjustment", kinds.GAUGE_PRESSURE)
    if adjustment >= plate_pressure:
        raise InputError("the range of adjustment reaches down to no pressure at all", where="adjustment",
                         given=show(adjustment, kinds.GAUGE_PRESSURE), expected="less than the plate pressure")  # fmt: skip
    needed = float(
        manifold_for.si(present_pressure=present_pressure, present_rate=present_rate, wanted_rate=wanted_rate)
    )
    low, high = plate_pressure - adjustment, plate_pressure + adjustment
    off = present_rate / wanted_rate - 1.0
    right = None
    if orifice is not None:
        right = orifice * math.sqrt(math.sqrt(needed / plate_pressure))  # area goes with √(needed/plate)
    inside = low * (1 - 1e-9) <= present_pressure <= high * (1 + 1e-9)
    starved = supply_pressure is not None and supply_pressure < least_supply
    remedy, reason = _remedy(off, needed, (low, high), inside, starved)
    return FiringCorrection(needed, low, high, off, remedy == "manifold", remedy, reason, right)


def _remedy(
    off: float, needed: float, span: tuple[float, float], inside: bool, starved: bool
) -> tuple[str, str]:
    """The remedy and the sentence for it."""
    if starved:
        return "supply pressure", (
            "The supply pressure at the appliance is below what its regulator needs: correct the supply first, and "
            "leave manifold and orifices alone."
        )
    if abs(off) <= _TOLERANCE and inside:
        return (
            "none needed",
            "The rate is within 2 % of the wanted one, and the manifold stands in its range.",
        )
    low, high = (show(v, kinds.GAUGE_PRESSURE, digits=2) for v in span)
    wanted = show(needed, kinds.GAUGE_PRESSURE, digits=2)
    if span[0] <= needed <= span[1]:
        return "manifold", f"{wanted} lies within the range of {low} to {high} that the manufacturer allows."
    side = "above" if needed > span[1] else "below"
    return "orifice", (
        f"The square-root law asks for {wanted}, {side} the range of {low} to {high}: setting the manifold there is not "
        "permitted. The orifices are wrong for this gas or altitude, or the clocking is."
    )
