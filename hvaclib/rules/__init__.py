"""Rule sets and the judge: every limit comes from a file that names its source."""

from __future__ import annotations

from hvaclib.rules.acceptance import acceptance
from hvaclib.rules.conformity import Bounds, conformance_probability, guard_band
from hvaclib.rules.derived import completed
from hvaclib.rules.diff import Change, diff
from hvaclib.rules.explain import RuleFileError
from hvaclib.rules.facts import Facts
from hvaclib.rules.file import available, from_document, from_text, load, schema, write_schema
from hvaclib.rules.findings import Finding, Findings
from hvaclib.rules.judge import judge
from hvaclib.rules.model import Rule, RuleSet

__all__ = [
    "Bounds",
    "Change",
    "Facts",
    "Finding",
    "Findings",
    "Rule",
    "RuleFileError",
    "RuleSet",
    "acceptance",
    "available",
    "completed",
    "conformance_probability",
    "diff",
    "from_document",
    "from_text",
    "guard_band",
    "judge",
    "load",
    "schema",
    "write_schema",
]
