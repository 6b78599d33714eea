"""The what-if board's page: the answer in words first, then cautions, pictures, numbers and sources."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.base.page import Verdict
from hvaclib.boards.what_if.lines import draft_lines, fit_rows, pressure_lines
from hvaclib.boards.what_if.pictures import band_chart, read_chart
from hvaclib.boards.what_if.work import TITLES
from hvaclib.review.fit.unknowns import table
from hvaclib.review.fit.words import headline, shown
from hvaclib.review.what_if import band_of
from hvaclib.review.what_if_words import CAUTIONS, band_text, changed_words, percent
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.boards.what_if.model import Known
    from hvaclib.review.fit import Fit
    from hvaclib.review.what_if import WhatIf
    from hvaclib.rules import RuleSet

WAIT = "Being worked out for this combination: the answer follows in a moment."
METHOD = (
    "Least squares of the readings in their standard uncertainties (JCGM 100:2008, 4.3.7) and of the assumed spreads; "
    "the band is the middle 90 % of houses drawn from what the readings leave open. Fans and doors stand as at the worst "
    "case of the visit unless a door is chosen."
)


def page_of(inputs: Inputs, known: Known | None, rules: RuleSet) -> Page:
    """What the board shows; an empty page before anything is known."""
    if known is None:
        return Page(cautions=CAUTIONS)
    if known.fit is None:
        name = known.source.name
        return Page(
            answer=[f"The house is being fitted to its readings: {name}. The answer follows in a moment."],
            verdict="unsure",
            cautions=CAUTIONS,
        )
    return Page(
        answer=_answer(known, inputs.system),
        verdict=_verdict(known.answer),
        cautions=_cautions(known),
        pictures=_pictures(inputs, known),
        tables=_tables(known, known.fit, inputs.system),
        sources=_sources(known, known.fit, rules),
    )


def _verdict(answer: WhatIf | None) -> Verdict:
    if answer is None:
        return "unsure"
    limits = table()["words"]
    if answer.probability >= limits["very_likely"]:
        return "pass"
    return "fail" if answer.probability <= limits["unlikely"] else "unsure"


def _answer(known: Known, system: str) -> list[str]:
    assert known.fit is not None  # told by the caller
    said = [WAIT] if known.answer is None else known.answer.sentences(system)
    fitted = headline(known.fit, system)
    made = known.fit.assumptions[:1]
    invented = ["The readings are invented."] if known.source.invented else []
    return [*said, fitted, *made, *invented]


def _cautions(known: Known) -> list[str]:
    own = [] if known.answer is None else [text for rule, _ in known.answer.broken for text in rule.cautions]
    return list(dict.fromkeys([CAUTIONS[0], *own, *CAUTIONS[1:]]))


def _pictures(inputs: Inputs, known: Known) -> list[PagePicture]:
    assert known.fit is not None  # told by the caller
    against = f"against {TITLES[known.control]}"
    pictures = [
        PagePicture(
            f"Draft at worst case {against}",
            band_chart(draft_lines(known, inputs.system), inputs.width, inputs.system),
            "Band: the middle 90 % of the houses that explain the readings. Diamond: as read, with its 95 %. Below zero the "
            "vent draws.",
        ),
        PagePicture(
            f"Pressure of the {known.fit.sheet.house.zone} at worst case {against}",
            band_chart(pressure_lines(known, inputs.system), inputs.width, inputs.system),
        ),
        PagePicture(
            "What was read, and what the fitted house shows",
            read_chart(fit_rows(known.fit, inputs.system), inputs.width, inputs.system),
            "Bars: 95 %. Where the bars of a row stand apart, the house does not explain the reading.",
        ),
    ]
    return pictures


def _tables(known: Known, fit: Fit, system: str) -> list[PageTable]:
    tables = (
        [] if known.answer is None else [PageTable("The answer in numbers", _numbers(known.answer, system))]
    )
    tables.append(PageTable("What was fitted", [_factor(fit, item.key) for item in fit.unknowns]))
    tables.append(PageTable("Readings beside the fitted house", _readings(fit, system)))
    notes = [*fit.assumptions, *fit.sheet.left]
    if notes:
        tables.append(PageTable("Assumed, and left out", [{"note": text} for text in notes]))
    return tables


def _numbers(answer: WhatIf, system: str) -> list[Mapping[str, Any]]:
    rows: list[Mapping[str, Any]] = [
        {"what": "rules of draft and spillage met", "answer": percent(answer.probability)},
        {"what": "changed", "answer": ", ".join(changed_words(answer.changes, system)) or "nothing"},
        {"what": "zone, everything off", "answer": band_text(answer.baseline, system)},
        {"what": "zone at worst case", "answer": band_text(answer.pressure, system)},
    ]
    for row, name in enumerate(answer.appliances):
        rows.append(
            {"what": f"draft of the {name}, worst case", "answer": band_text(answer.draft[row], system)}
        )
        rows.append(
            {"what": f"draft of the {name}, fans off", "answer": band_text(answer.natural[row], system)}
        )
        if answer.hoods[row]:
            rows.append(
                {"what": f"spillage at the {name} stops after", "answer": _seconds(answer.seconds[row])}
            )
    return rows


def _seconds(values: Any) -> str:
    band = band_of(values)
    text = [
        "never" if math.isinf(each) else show(each, kinds.TIME, "field", 0)
        for each in (band.median, band.low, band.high)
    ]
    return f"{text[0]} (90 %: {text[1]} to {text[2]})"


def _factor(fit: Fit, key: str) -> Mapping[str, Any]:
    item = next(each for each in fit.unknowns if each.key == key)
    low, high = fit.interval(key)
    return {
        "factor on": item.title,
        "best": f"{fit.factors[key]:.2f}",
        "90 % from": f"{low:.2f}",
        "to": f"{high:.2f}",
        "told by the readings": "yes" if fit.determined(key) else "no: as assumed",
        "what it is": item.words,
    }


def _readings(fit: Fit, system: str) -> list[Mapping[str, Any]]:
    return [
        {
            "reading": item.reading.measurable.title,
            "where": item.reading.where,
            "when": item.reading.when,
            "read": shown(item.reading, item.reading.value, system),
            "fitted house": shown(item.reading, item.fitted, system),
            "off, in standard deviations": f"{item.deviation:+.1f}".replace("-", "−"),
        }
        for item in fit.explained
    ]


def _sources(known: Known, fit: Fit, rules: RuleSet) -> list[str]:
    found = [f"Rule set {rules.name} {rules.version}."]
    if known.answer is not None:
        found += [f"{item.rule.title}: {item.source}" for item in known.answer.findings]
    return list(dict.fromkeys([*found, METHOD, *(f"{item.title}: {item.source}" for item in fit.unknowns)]))
