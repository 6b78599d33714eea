"""The answer to a what-if in words, and as a plain mapping."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from hvaclib.review.fit.unknowns import table
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.review.what_if import Band, Changes, WhatIf

PRESSURE = kinds.PRESSURE_DIFFERENCE
CAUTIONS = (
    "A calculation does not replace the test: after the change run the worst-case test again, with a carbon monoxide "
    "meter that alarms. If it rises or a hood keeps spilling: stop the burner, ventilate, shut the appliance down, call.",
    "Local code, the manufacturer's instructions and a licensed technician go before this answer. The band holds what "
    "the readings leave open about the house, not wind, nor what the model itself may be off.",
)


def verdict_words(probability: float) -> str:
    """A probability in words."""
    limits = table()["words"]
    if probability >= limits["very_likely"]:
        return "Very likely yes"
    if probability >= limits["likely"]:
        return "Likely yes"
    if probability <= limits["very_unlikely"]:
        return "Very likely no"
    if probability <= limits["unlikely"]:
        return "Likely no"
    return "Too close to call"


def percent(share: float) -> str:
    """A share of the houses as a probability that never claims certainty."""
    if share > 0.985:
        return "more than 98 %"
    return "less than 2 %" if share < 0.015 else f"{100 * share:.0f} %"


def answer(found: WhatIf, system: str = "field") -> list[str]:
    """The answer in words, the verdict first."""
    said = [
        f"{verdict_words(found.probability)}: the rules of draft and spillage are met with {percent(found.probability)} "
        f"probability{_asked(found.changes, system)}."
    ]
    for row, name in enumerate(found.appliances):
        said.append(
            f"Draft of the {name} at worst case: {band_text(found.draft[row], system)}. {spills(found, row)}"
        )
    said.append(f"Pressure of the appliance zone at worst case: {band_text(found.pressure, system)}.")
    for rule, share in found.broken[:2]:
        said.append(f'With {percent(share)} probability the rule "{rule.title}" is not met ({rule.source}).')
    return said


def _asked(changes: Changes, system: str) -> str:
    parts = changed_words(changes, system)
    return f" with {', '.join(parts)}" if parts else " in the house as it was read"


def changed_words(changes: Changes, system: str = "field") -> list[str]:
    """What is changed, in words."""
    parts = []
    if changes.outdoor is not None:
        parts.append(f"{show(changes.outdoor, kinds.TEMPERATURE, system)} outdoors")
    if changes.exhaust is not None:
        parts.append(f"the largest exhaust fan at {show(changes.exhaust, kinds.VOLUME_FLOW, system)}")
    parts += [f"the {name} {'open' if is_open else 'shut'}" for name, is_open in changes.doors.items()]
    if changes.liner is not None:
        parts.append(f"a new liner of {show(changes.liner, kinds.SIZE, system)}")
    if changes.opening:
        parts.append(f"a combustion-air opening of {show(changes.opening, kinds.AREA, system)}")
    return parts


def band_text(values: Any, system: str) -> str:
    """Median and 90 % interval."""
    from hvaclib.review.what_if import band_of

    band: Band = band_of(np.asarray(values))
    middle, low, high = (show(v, PRESSURE, system, 1) for v in (band.median, band.low, band.high))
    return f"{middle} (90 %: {low} to {high})"


def spills(found: WhatIf, row: int) -> str:
    """How likely a hood still spills after its five minutes; nothing for an appliance without a hood."""
    if not found.hoods[row]:
        return ""
    share = float(np.isinf(found.seconds[row]).mean())
    if not (found.spilt[row] > 0).any():
        return "It does not spill after five minutes in any of the houses that fit the readings."
    return f"It still spills after five minutes with {percent(share)} probability."


def record(found: WhatIf) -> dict[str, Any]:
    """Plain mapping for JSON."""
    asked = found.changes
    return {
        "answer": verdict_words(found.probability),
        "probability": found.probability,
        "changes": {
            key: value
            for key, value in {
                "outdoor_k": asked.outdoor,
                "exhaust_m3_s": asked.exhaust,
                "doors": dict(asked.doors) or None,
                "liner_m": asked.liner,
                "opening_m2": asked.opening,
            }.items()
            if value is not None
        },
        "zone_pressure_pa": _band(found.pressure),
        "baseline_pressure_pa": _band(found.baseline),
        "appliances": [_appliance(found, row, name) for row, name in enumerate(found.appliances)],
        "rules_not_met": [
            {
                "rule": rule.id,
                "title": rule.title,
                "probability": share,
                "severity": rule.severity,
                "source": rule.source,
            }
            for rule, share in found.broken
        ],
        "cautions": list(CAUTIONS),
    }


def _appliance(found: WhatIf, row: int, name: str) -> dict[str, Any]:
    return {
        "name": name,
        "draft_pa": _band(found.draft[row]),
        "natural_draft_pa": _band(found.natural[row]),
        "spills_probability": float(np.isinf(found.seconds[row]).mean()),
        "spillage_s": {
            key: "inf" if math.isinf(value) else value for key, value in _band(found.seconds[row]).items()
        },
    }


def _band(values: Any) -> dict[str, float]:
    from hvaclib.review.what_if import band_of

    each = band_of(np.asarray(values))
    return {"median": each.median, "low": each.low, "high": each.high}
