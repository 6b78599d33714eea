"""Every law that the readings of one visit are held against."""

from __future__ import annotations

from hvaclib.review.plausibility import drafts, firing, flue, heat, statics
from hvaclib.review.plausibility.law import Check, Law
from hvaclib.review.plausibility.sheet import Sheet

LAWS: tuple[Law, ...] = (
    Law("rise-difference", heat.rise_difference),
    Law("static-difference", heat.static_difference),
    Law("heat-measured", heat.heat_measured),
    Law("heat-table", heat.heat_table),
    Law("blower-table", heat.blower),
    Law("static-reach", heat.reach),
    Law("fuel-triangle", flue.triangle),
    Law("co-air-free", flue.air_free),
    Law("co-not-less", flue.not_less),
    Law("efficiency", flue.efficiency),
    Law("stack-over-air", flue.stack_over_air),
    Law("stack-over-return", flue.stack_over_return),
    Law("static-sign", statics.signs),
    Law("static-order", statics.order),
    Law("draft-natural", drafts.natural),
    Law("draft-worst-case", drafts.worst_case),
    Law("worst-below-baseline", drafts.worst_below_baseline),
    Law("draft-follows-zone", drafts.follows_zone),
    Law("co-room-flue", drafts.room_and_flue),
    Law("firing", firing.orifice),
)
"""In the order of the readings' kinds; figures of each stand in ``laws.toml`` under its key."""


def checks_of(sheet: Sheet) -> tuple[Check, ...]:
    """Every law as a sheet can be held against it.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    tuple of Check
        In the order of the laws.
    """
    return tuple(check for law in LAWS for check in law.checks(sheet))
