"""A remark of a review, and the review of one visit."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from hvaclib.errors import InputError
from hvaclib.readings import nearest

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.rules import Findings
    from hvaclib.visit import Visit

Severity = Literal["stop and call", "fail", "look again", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop and call", "fail", "look again", "note")
"""Gravest first."""


@dataclass(frozen=True, slots=True)
class RemarkKind:
    """A sort of remark.

    Parameters
    ----------
    key, title : str
        Name in files, and for people.
    about : str
        "step", "rule", "plausibility" or "across".
    """

    key: str
    title: str
    about: str


@cache
def _kinds() -> Mapping[str, RemarkKind]:
    text = resources.files(__package__).joinpath("kinds.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)
    return MappingProxyType({key: RemarkKind(key, row["title"], row["about"]) for key, row in rows.items()})


KINDS: Mapping[str, RemarkKind] = _kinds()


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing that a person who reads a record should know.

    Parameters
    ----------
    kind : str
        Key of `KINDS`.
    severity : str
        "stop and call", "fail", "look again" or "note".
    sentence : str
        What it is, in words, with numbers in both unit systems where there are any.
    item : str, optional
        Key of the line of the record that it is about.
    where, when : str, optional
        Place, and stage of the test.
    suspects : tuple of str, optional
        For readings that cannot all be true: their item keys.
    likely : str, optional
        Item key of the one that is most likely wrong; empty when none stands out.
    acts : str, optional
        Who must act.
    do, cautions : tuple of str, optional
        What to do, and what can hurt.
    source : str, optional
        Where the demand, limit or law comes from.
    false_alarm : float, optional
        How often sound sheets would show the same, 0 to 1.
    rule : str, optional
        Id of the rule, for a remark of kind 'rule' or 'close-call'.
    """

    kind: str
    severity: Severity
    sentence: str
    item: str = ""
    where: str = ""
    when: str = ""
    suspects: tuple[str, ...] = ()
    likely: str = ""
    acts: str = "installer"
    do: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    source: str = ""
    false_alarm: float | None = None
    rule: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise InputError("no such kind of remark", given=self.kind, expected=nearest(self.kind, KINDS))
        if self.severity not in SEVERITIES:
            raise InputError(
                "no such severity", given=self.severity, expected=nearest(self.severity, SEVERITIES)
            )

    @property
    def title(self) -> str:
        """The sort of remark in words."""
        return KINDS[self.kind].title

    @property
    def gravity(self) -> int:
        """3 for what stops the work, 0 for a note."""
        return len(SEVERITIES) - 1 - SEVERITIES.index(self.severity)

    def to_record(self) -> dict[str, Any]:
        """Plain mapping for JSON and tables."""
        return {
            "kind": self.kind,
            "severity": self.severity,
            "sentence": self.sentence,
            "item": self.item,
            "where": self.where,
            "when": self.when,
            "suspects": list(self.suspects),
            "likely": self.likely,
            "acts": self.acts,
            "do": list(self.do),
            "cautions": list(self.cautions),
            "source": self.source,
            "false_alarm": self.false_alarm,
            "rule": self.rule,
        }


@dataclass(frozen=True, slots=True)
class Review:
    """What a review says about one visit.

    Parameters
    ----------
    visit : Visit
        The record.
    findings : Findings
        Of the rule set, one a rule and reading, passes among them.
    remarks : tuple of Remark
        Gravest first, then in the order of the work.
    """

    visit: Visit
    findings: Findings
    remarks: tuple[Remark, ...]

    @property
    def severity(self) -> Severity | Literal["pass"]:
        """The gravest severity, or 'pass' where nothing graver than a note was found."""
        grave = [remark for remark in self.remarks if remark.severity != "note"]
        return max(grave, key=lambda remark: remark.gravity).severity if grave else "pass"

    @property
    def stops(self) -> tuple[Remark, ...]:
        """What ends the work until the program office has been called."""
        return tuple(remark for remark in self.remarks if remark.severity == "stop and call")

    def of(self, kind: str) -> tuple[Remark, ...]:
        """Remarks of one kind."""
        return tuple(remark for remark in self.remarks if remark.kind == kind)

    def to_record(self) -> dict[str, Any]:
        """Plain mapping for JSON: the job, the rule set, the severity and every remark."""
        return {
            "job": self.visit.job.model_dump(mode="json", exclude_defaults=True),
            "rule_set": self.findings.rule_set,
            "version": self.findings.version,
            "digest": self.findings.digest,
            "severity": self.severity,
            "remarks": [remark.to_record() for remark in self.remarks],
        }
