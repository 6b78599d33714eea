"""What the pictures of the what-if board show: bands along a control, and readings beside the fitted house."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hvaclib.boards.what_if.work import KINDS, TITLES, grid
from hvaclib.review.what_if import band_of
from hvaclib.units import kinds, label

if TYPE_CHECKING:
    from hvaclib.boards.what_if.model import Known
    from hvaclib.review.fit import Explained, Fit
    from hvaclib.review.what_if import Band, WhatIf
    from hvaclib.units import Kind

FloatArray = NDArray[np.float64]
PRESSURE = kinds.PRESSURE_DIFFERENCE
COVERAGE = 1.96
"""Half width of a 95 % interval of a normal distribution, in standard deviations (JCGM 100:2008, table G.1)."""


@dataclass(frozen=True, slots=True)
class Series:
    """One band along the control.

    Parameters
    ----------
    words : str
        Whose it is.
    low, middle, high : ndarray, shape (K,)
        Pa; empty while they are being worked out.
    here : Band or None
        At the present value.
    read : tuple of float or None
        Control's value, reading, and half width of its 95 % interval, SI.
    """

    words: str
    low: FloatArray
    middle: FloatArray
    high: FloatArray
    here: Band | None
    read: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True)
class Lines:
    """Bands of pressures along one control.

    Parameters
    ----------
    title : str
        Of the vertical axis, without unit.
    control, control_title : Kind, str
        Kind and words of the horizontal axis.
    values : ndarray, shape (K,)
        Of the control, SI; empty while they are being worked out.
    span : tuple of float
        Ends of the horizontal axis, SI; known from the beginning, so that the axis does not jump.
    here : float
        Present value.
    series : tuple of Series
    limit : float or None
        Pa that the rule draws.
    limit_words : str
        What the limit is.
    """

    title: str
    control: Kind
    control_title: str
    values: FloatArray
    span: tuple[float, float]
    here: float
    series: tuple[Series, ...]
    limit: float | None
    limit_words: str


@dataclass(frozen=True, slots=True)
class ReadRow:
    """One reading beside the fitted house: values and half widths of 95 %, Pa."""

    words: str
    read: float
    read_half: float
    fitted: float
    fitted_half: float
    off: bool


def draft_lines(known: Known, system: str) -> Lines:
    """Bands of the draft of each appliance."""
    fit = known.fit
    assert fit is not None  # nothing is drawn before there is a fit
    series = tuple(
        _series(known, name, [item.draft[row] for item in _answers(known)],
                None if known.answer is None else known.answer.draft[row], _reading(fit, "draft", name))
        for row, name in enumerate(fit.sheet.order)
    )  # fmt: skip
    return _lines(known, "draft at the test hole", series, _limit(known.answer, "draft"), system)


def pressure_lines(known: Known, system: str) -> Lines:
    """Band of the pressure of the appliance zone."""
    fit = known.fit
    assert fit is not None  # nothing is drawn before there is a fit
    zone = fit.sheet.house.zone
    here = None if known.answer is None else known.answer.pressure
    series = (
        _series(
            known,
            zone,
            [item.pressure for item in _answers(known)],
            here,
            _reading(fit, "caz_pressure", zone),
        ),
    )
    return _lines(known, "zone against outdoors", series, _limit(known.answer, "caz_pressure"), system)


def _answers(known: Known) -> tuple[WhatIf, ...]:
    return () if known.curve is None else known.curve.answers


def _series(
    known: Known,
    words: str,
    values: list[FloatArray],
    here: FloatArray | None,
    read: tuple[float, float] | None,
) -> Series:
    bands = [band_of(each) for each in values]
    return Series(
        words,
        np.array([each.low for each in bands]),
        np.array([each.median for each in bands]),
        np.array([each.high for each in bands]),
        None if here is None else band_of(here),
        None if read is None else (known.start, *read),
    )


def _reading(fit: Fit, quantity: str, where: str) -> tuple[float, float] | None:
    for item in fit.explained:
        if (item.reading.quantity, item.reading.where, item.reading.when) == (quantity, where, "worst case"):
            return item.reading.value, COVERAGE * item.read_error
    return None


def _lines(
    known: Known, title: str, series: tuple[Series, ...], limit: tuple[float | None, str], system: str
) -> Lines:
    kind = KINDS[known.control]
    values = np.array([] if known.curve is None else known.curve.values)
    words = f"{TITLES[known.control]}, {label(kind, system)}"
    ends = grid(known.control, known.here)
    return Lines(title, kind, words, values, (ends[0], ends[-1]), known.here, series, *limit)


def _limit(answer: WhatIf | None, quantity: str) -> tuple[float | None, str]:
    """The limit that the rules set for a quantity at worst case, Pa, and its title."""
    for item in () if answer is None else answer.findings:
        if item.rule.quantity == quantity and item.when == "worst case" and item.bounds is not None:
            for end in (item.bounds.upper, item.bounds.lower):
                if math.isfinite(end):
                    return end, "limit of the rule"
    return None, ""


def fit_rows(fit: Fit, system: str) -> tuple[ReadRow, ...]:
    """The pressures and drafts that were read, beside the fitted house; times stand in the table."""
    del system  # the chart converts
    return tuple(
        ReadRow(
            _row_words(item),
            item.reading.value,
            COVERAGE * item.read_error,
            item.fitted,
            COVERAGE * item.fitted_error,
            item in fit.unexplained,
        )
        for item in fit.explained
        if item.reading.quantity != "spillage_time"
    )


def _row_words(item: Explained) -> str:
    names = {
        "draft": "draft",
        "room_pressure": "room",
        "caz_pressure": "zone",
        "caz_pressure_change": "zone, change",
    }
    when = f", {item.reading.when}" if item.reading.when else ""
    return f"{names.get(item.reading.quantity, '')} {item.reading.where}{when}".strip()
