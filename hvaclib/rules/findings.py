"""What the judge found: one finding a rule and reading, and the collection with its overall answer."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from hvaclib.readings import Reading
from hvaclib.rules import wording
from hvaclib.rules.conformity import Bounds
from hvaclib.rules.model import Rule, Severity

if TYPE_CHECKING:
    import pandas as pd

Verdict = Literal["pass", "fail", "too close to call", "not measured", "noted"]
_SEVERITIES: tuple[Severity, ...] = ("note", "look again", "fail", "stop and call")


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says about one reading, or that the reading is missing.

    Parameters
    ----------
    rule : Rule
        The rule.
    where, when : str
        Place, and stage of the test.
    verdict : str
        "pass", "fail", "too close to call", "not measured", or "noted" for a rule that only informs.
    words : callable
        Gives the finding in words. Most findings of many visits are never read, so that the sentence is not written
        before somebody asks for it.
    reading : Reading or None
        ``None`` when there is none.
    bounds : Bounds or None
        Limits that were applied, SI; ``None`` for an answer with yes or no, and where nothing was judged.
    margin : float or None
        Distance to the limit, SI, negative when outside; infinite for an endless reading.
    probability : float or None
        That the true value conforms, 0 to 1.
    """

    rule: Rule
    where: str
    when: str
    verdict: Verdict
    words: Callable[[], str] = field(repr=False, compare=False)
    reading: Reading | None = None
    bounds: Bounds | None = None
    margin: float | None = None
    probability: float | None = None

    @property
    def sentence(self) -> str:
        """The finding in words, in both unit systems."""
        return self.words()

    @property
    def margin_shown(self) -> str:
        """The margin in both unit systems; empty where there is none or it is endless."""
        kind = self.rule.measurable.kind
        if self.margin is None or kind is None or math.isinf(self.margin):
            return ""
        return wording.difference(self.margin, kind)

    @property
    def severity(self) -> Severity:
        """How grave it is when the rule is not met."""
        return self.rule.severity

    @property
    def source(self) -> str:
        """Where the rule comes from."""
        return self.rule.source

    @property
    def actions(self) -> tuple[str, ...]:
        """What to do; empty when the rule is met."""
        if self.verdict == "pass":
            return ()
        return ("Take the missing reading.",) if self.verdict == "not measured" else self.rule.do

    @property
    def cautions(self) -> tuple[str, ...]:
        """What can hurt: of the rule, and of taking the reading."""
        own = self.rule.measurable.caution
        return (*self.rule.cautions, *([own] if own else []))

    @property
    def stops(self) -> bool:
        """Whether the work must stop and someone be called."""
        return self.severity == "stop and call" and self.verdict in ("fail", "too close to call")

    @property
    def gravity(self) -> tuple[int, int]:
        """Order of importance, greater is graver: a failure before what is unsure, missing, noted or met."""
        level = _SEVERITIES.index(self.severity)
        if self.verdict in ("fail", "too close to call"):
            return level + 2, int(self.verdict == "fail")
        if self.verdict == "not measured":
            # What could have shown a failure goes before what only asks for another look.
            return (3, 2) if level >= 2 else (2, 0)
        return (1, 0) if self.verdict == "noted" else (0, 0)

    def to_record(self) -> dict[str, object]:
        """Plain mapping for JSON and tables; endless numbers become the text 'inf' or '-inf'.

        Returns
        -------
        dict
        """
        return {
            "rule": self.rule.id,
            "title": self.rule.title,
            "where": self.where,
            "when": self.when,
            "verdict": self.verdict,
            "severity": self.severity,
            "sentence": self.sentence,
            "quantity": self.rule.quantity,
            "value": _plain(self.reading.value if self.reading else None),
            "margin": _plain(self.margin),
            "margin_shown": self.margin_shown,
            "probability": self.probability,
            "source": self.source,
            "do": list(self.actions),
            "cautions": list(self.cautions),
        }


def _overall(ranked: Iterable[Finding]) -> Verdict:
    """Verdict of the first of the ranked findings, a mere note giving way to a pass."""
    verdicts = [finding.verdict for finding in ranked]
    if not verdicts:
        return "not measured"
    return "pass" if verdicts[0] == "noted" and "pass" in verdicts else verdicts[0]


def _plain(value: float | None) -> float | str | None:
    return str(value) if value is not None and math.isinf(value) else value


@dataclass(frozen=True, slots=True)
class Findings:
    """All findings of one judgement, in the order of the rules, and which rule set gave them.

    Parameters
    ----------
    items : iterable of Finding
        The findings.
    rule_set, version, digest : str
        Name, version and SHA-256 of the rule set.
    """

    items: tuple[Finding, ...]
    rule_set: str
    version: str
    digest: str

    def __init__(self, items: Iterable[Finding], rule_set: str, version: str, digest: str) -> None:
        object.__setattr__(self, "items", tuple(items))
        object.__setattr__(self, "rule_set", rule_set)
        object.__setattr__(self, "version", version)
        object.__setattr__(self, "digest", digest)

    def __iter__(self) -> Iterator[Finding]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def __getitem__(self, index: int) -> Finding:
        return self.items[index]

    @property
    def ranked(self) -> tuple[Finding, ...]:
        """The findings, gravest first."""
        return tuple(sorted(self.items, key=lambda finding: finding.gravity, reverse=True))

    @property
    def gravest(self) -> Finding | None:
        """The finding to show first; ``None`` when no rule applied."""
        return self.ranked[0] if self.items else None

    @property
    def stops(self) -> bool:
        """Whether any finding says stop and call."""
        return any(finding.stops for finding in self.items)

    @property
    def missing(self) -> tuple[Finding, ...]:
        """What was not measured or cannot be judged."""
        return self.with_verdict("not measured")

    @property
    def verdict(self) -> Verdict:
        """Verdict of the gravest finding; 'not measured' when no rule applied at all.

        What is only noted counts as met beside a rule that is met.
        """
        return _overall(self.ranked)

    @property
    def verdict_of_measured(self) -> Verdict:
        """Verdict of the gravest finding that rests on a reading, as for a simulated house.

        Notes
        -----
        It says nothing of what is in ``missing``: show that beside it.
        """
        return _overall(finding for finding in self.ranked if finding.verdict != "not measured")

    @property
    def answer(self) -> str:
        """The whole judgement in words: how it ends, then the gravest finding."""
        gravest = self.gravest
        if gravest is None:
            return "Nothing was judged: no rule of the set applies to these readings."
        judged = [finding for finding in self.items if finding.verdict not in ("not measured", "noted")]
        met = [finding for finding in judged if finding.verdict == "pass"]
        lacking = len(self.missing)
        still = f" Still to be measured or told: {lacking}." if lacking else ""
        if gravest.verdict in ("pass", "noted"):
            return f"All rules that apply are met ({len(met)})." if met else gravest.sentence
        if gravest.verdict == "not measured":
            return f"Of {len(judged)} readings judged, {len(met)} meet their rules. {gravest.sentence}{still}"
        opening = {"stop and call": "Stop and call", "fail": "Not met", "look again": "Look again"}
        start = (
            opening.get(gravest.severity, "Note")
            if gravest.verdict == "fail" or gravest.stops
            else "Not decided"
        )
        return f"{start}: {gravest.sentence}{still}"

    def at(self, where: str) -> tuple[Finding, ...]:
        """Findings of one place.

        Parameters
        ----------
        where : str
            Name of the appliance, zone or house.

        Returns
        -------
        tuple of Finding
        """
        return tuple(finding for finding in self.items if finding.where == where)

    def about(self, *quantities: str) -> Findings:
        """Findings about these quantities alone, for a test that reads nothing else.

        Parameters
        ----------
        *quantities : str
            Keys of the vocabulary.

        Returns
        -------
        Findings
        """
        kept = tuple(finding for finding in self.items if finding.rule.quantity in quantities)
        return Findings(kept, self.rule_set, self.version, self.digest)

    def with_verdict(self, *verdicts: Verdict) -> tuple[Finding, ...]:
        """Findings with one of the verdicts, in the order of the rules."""
        return tuple(finding for finding in self.items if finding.verdict in verdicts)

    def to_records(self) -> list[dict[str, object]]:
        """Plain mappings, one a finding, that JSON can hold.

        Returns
        -------
        list of dict
        """
        return [finding.to_record() for finding in self.items]

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a finding.

        Returns
        -------
        pandas.DataFrame
        """
        import pandas as pd

        return pd.DataFrame(self.to_records())
