"""A fit in words."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.readings import Reading
    from hvaclib.review.fit.result import Explained, Fit


def fit_sentences(fit: Fit, system: str) -> list[str]:
    """What was found, what stays open, what is not explained; the last first where there is any."""
    said = [headline(fit, system)]
    said += [factor_sentence(fit, item.key) for item in fit.unknowns if fit.determined(item.key)]
    open_ones = [item.title.lower() for item in fit.unknowns if not fit.determined(item.key)]
    if open_ones:
        said.append(
            "These readings do not tell, so that what was assumed stands: " + ", ".join(open_ones) + "."
        )
    return [*said, *fit.sheet.left]


def headline(fit: Fit, system: str) -> str:
    """Whether the dwelling explains the readings, in one sentence."""
    count = len(fit.sheet.used)
    if fit.explains:
        if count == 1:
            return "The fitted house explains the one reading."
        return f"The fitted house explains all {count} readings within their uncertainties."
    if fit.unexplained:
        return not_explained(fit.unexplained[0], system)
    return (
        f"The {count} readings do not go together: sound ones of such a house would miss it by this much once in "
        f"{1.0 / max(fit.chance, 1e-6):,.0f} times. No single one stands out; look at the dwelling and the set-up."
    )


def not_explained(item: Explained, system: str) -> str:
    """Which reading no house of this kind explains, and by how much it lies off."""
    return (
        f"The house cannot explain {item.reading.place}: read {shown(item.reading, item.reading.value, system)}, where "
        f"everything else leads to {shown(item.reading, item.fitted, system)} ({abs(item.deviation):.1f} standard "
        "deviations off). Measure it again, or look for what the dwelling lacks."
    )


def factor_sentence(fit: Fit, key: str) -> str:
    """One factor with its interval."""
    item = next(each for each in fit.unknowns if each.key == key)
    low, high = fit.interval(key)
    return (
        f"{item.title}: {fit.factors[key]:.2f} times what the dwelling file says, between {low:.2f} and {high:.2f} "
        "with 90 % probability."
    ).replace("the dwelling file says", "was assumed" if fit.assumptions else "the dwelling file says")


def shown(reading: Reading, value: float, system: str) -> str:
    """A value of a reading's kind; words for one without end."""
    thing = reading.measurable
    if math.isinf(value):
        return thing.infinite or "without end"
    kind = thing.kind
    assert kind is not None  # a fit looks at numbers only
    places = 0 if kind is kinds.TIME else 1
    return show(value, kind, system, places)
