"""The rise board's page: the answer in words, cautions, one picture, numbers and sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.boards.air_side import CAUTIONS, EXPANDED
from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.rise.answer import STEP_WORDS
from hvaclib.boards.rise.words import cautions, checks, verdict, words
from hvaclib.plots.moves import Move
from hvaclib.plots.rise import RiseLines, rise_chart
from hvaclib.readings import instrument_for
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.rise.answer import RiseAnswer

RISE, FLOW = kinds.TEMPERATURE_DIFFERENCE, kinds.VOLUME_FLOW
SOURCES = (
    "Rise = output / (density × specific heat × airflow), density of the return air at its temperature and altitude: "
    "ASHRAE Handbook, Fundamentals, chapter on psychrometrics; U.S. Standard Atmosphere, 1976.",
    "The 1.08 rule: 0.075 lb/ft³ and 0.24 Btu/(lb·°F) at any altitude, a rule of thumb.",
    "Uncertainty: accuracy of two thermometers, half width of 95 %: JCGM 100:2008, 4.3.7 and 6.3.3; verdict by JCGM 106:2012.",
    "Supply thermometer in sight of the heat exchanger: radiation balance of a bare probe in a usual case, whose figures "
    "are common practice, no source.",
    "Order of checks: common practice, no source, unless its row says otherwise.",
)


def page_of(inputs: Inputs, answer: RiseAnswer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    caption = "Thin grey arrows: what a step would do that was not taken: " + "; ".join(
        STEP_WORDS[item.control] for item in answer.what_ifs if item.tried
    )
    tried = any(item.tried for item in answer.what_ifs)
    picture = PagePicture(
        "Temperature rise against airflow",
        rise_chart(lines_of(answer, inputs.system), inputs.width, inputs.system),
        f"{caption}." if tried else "",
    )
    rule = [] if answer.finding is None else [f"{answer.finding.rule.title}: {answer.finding.source}"]
    return Page(
        answer=words(answer, inputs.system),
        verdict=verdict(answer),
        cautions=cautions(answer),
        pictures=[picture],
        tables=_tables(answer, inputs.system),
        sources=[*rule, *SOURCES],
    )


def lines_of(answer: RiseAnswer, system: str) -> RiseLines:
    """What the chart shows of an answer."""
    off = answer.rule.error
    way = "low" if off < 0 else "high"
    moves = [Move(item.control, item.rise, item.tried) for item in answer.what_ifs]
    if not all(move.tried for move in moves):
        moves.append(Move("all", answer.rise))
    return RiseLines(
        flow=answer.flow,
        rise=answer.curve,
        rule=answer.curve * (1.0 + off),
        reference=answer.reference_curve,
        point=(answer.now.airflow, answer.rise),
        start=(answer.reference.airflow, answer.start),
        uncertainty=EXPANDED * answer.uncertainty,
        band=answer.side.rise_range,
        moves=tuple(moves),
        words=f"rise at {show(answer.now.altitude, kinds.LENGTH, system, 0)}",
        rule_words=f"1.08 rule, {abs(100 * off):.0f} % {way} here",
    )


def _tables(answer: RiseAnswer, system: str) -> list[PageTable]:
    tables = [
        PageTable("Readings and what the rule says", _reading_rows(answer, system)),
        PageTable("What each control does to the rise, alone", _what_if_rows(answer, system)),
    ]
    order = checks(answer)
    if order:
        rows: list[Mapping[str, Any]] = [
            {
                "order": i,
                "what": check.title,
                "do": check.do,
                "caution": check.caution,
                "source": check.source,
            }
            for i, check in enumerate(order, start=1)
        ]
        tables.append(PageTable("What to check, in this order", rows))
    return tables


def _reading_rows(answer: RiseAnswer, system: str) -> list[Mapping[str, Any]]:
    rows: list[Mapping[str, Any]] = []
    for reading in answer.readings:
        thing, judged = reading.measurable, answer.finding
        assert thing.kind is not None  # all four are quantities
        of_rise = reading.quantity == "temperature_rise" and judged is not None
        instrument = instrument_for(reading)
        tool = "computed" if instrument is None else instrument.title
        if reading.quantity == "airflow" and not answer.measured:
            tool = "taken as given"
        rows.append(
            {
                "reading": thing.title,
                "where": reading.where,
                "value": show(reading.value, thing.kind, system, 0 if thing.kind is FLOW else 1),
                "instrument": tool,
                "verdict": judged.verdict if of_rise and judged else "",
                "rule": judged.rule.title if of_rise and judged else "",
            }
        )
    return rows


def _what_if_rows(answer: RiseAnswer, system: str) -> list[Mapping[str, Any]]:
    before = show(answer.start, RISE, system, 1)
    rows: list[Mapping[str, Any]] = [
        {
            "control": item.control,
            "moved": f"tried: {STEP_WORDS[item.control]}" if item.tried else "as set on this page",
            "rise before": before,
            "rise then": show(item.rise, RISE, system, 1),
            "change": show(item.rise - answer.start, RISE, system, 1),
        }
        for item in answer.what_ifs
    ]
    rows.append(
        {
            "control": "all together",
            "moved": "as set on this page",
            "rise before": before,
            "rise then": show(answer.rise, RISE, system, 1),
            "change": show(answer.rise - answer.start, RISE, system, 1),
        }
    )
    return rows
