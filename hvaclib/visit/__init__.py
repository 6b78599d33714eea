"""The record of one replacement job: what was done, what was read, with what and by whom."""

from __future__ import annotations

from hvaclib.visit.answers import Answer, answer_of, reading_of, readings_of
from hvaclib.visit.checklist import Item, Step, item, items, steps
from hvaclib.visit.demands import Demand, demands, job_tags, tags
from hvaclib.visit.explain import VisitFileError
from hvaclib.visit.facts import facts_of
from hvaclib.visit.file import from_document, from_text, read_visit, to_text, write_visit
from hvaclib.visit.model import Entry, InstrumentNote, Job, Visit
from hvaclib.visit.plate import Appliance

__all__ = [
    "Answer",
    "Appliance",
    "Demand",
    "Entry",
    "InstrumentNote",
    "Item",
    "Job",
    "Step",
    "Visit",
    "VisitFileError",
    "answer_of",
    "demands",
    "facts_of",
    "from_document",
    "from_text",
    "item",
    "items",
    "job_tags",
    "read_visit",
    "reading_of",
    "readings_of",
    "steps",
    "tags",
    "to_text",
    "write_visit",
]
