"""Readings: what instruments show or would show, with their words and their accuracy."""

from __future__ import annotations

from hvaclib.readings.collection import Readings
from hvaclib.readings.instruments import (
    Instrument,
    instrument_for,
    instruments,
    standard_uncertainty,
    uncertainty_of,
    usual_uncertainty,
)
from hvaclib.readings.reading import Reading
from hvaclib.readings.vocabulary import TEST_HOLES, VOCABULARY, Measurable, measurable, nearest

__all__ = [
    "TEST_HOLES",
    "VOCABULARY",
    "Instrument",
    "Measurable",
    "Reading",
    "Readings",
    "instrument_for",
    "instruments",
    "measurable",
    "nearest",
    "standard_uncertainty",
    "uncertainty_of",
    "usual_uncertainty",
]
