"""The static board's page: the answer in words, cautions, two pictures, numbers and sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.boards.air_side import CAUTIONS
from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.static.answer import BEFORE, NOW
from hvaclib.boards.static.pictures import curves_of, path_of
from hvaclib.boards.static.words import cautions, checks, pressure, verdict, words
from hvaclib.plots.air_path import air_path_chart
from hvaclib.plots.operating_point import operating_chart
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.static.answer import StaticAnswer

FLOW, RISE = kinds.VOLUME_FLOW, kinds.TEMPERATURE_DIFFERENCE
SOURCES = (
    "Blower: the table in the dwelling file (standard air), straight between its rows; a motor that holds its airflow "
    "has a curve of its own. In thinner air its pressures and those of the ducts fall by the same ratio.",
    "Loss of a part: its loss at a stated airflow, and its own exponent; ducts of known size by Darcy and Colebrook "
    "(ASHRAE Handbook, Fundamentals, chapter on duct design).",
    "Which part is out of line: airflow from the blower's table, loss of each stretch against its design, with the "
    "manometer's accuracy; JCGM 100:2008, 5.1.2; verdict by JCGM 106:2012.",
    "Order of checks: common practice, no source, unless its row says otherwise.",
)


def page_of(inputs: Inputs, answer: StaticAnswer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    system, width = inputs.system, inputs.width
    pictures = [
        PagePicture("Blower against ducts", operating_chart(curves_of(answer), width, system)),
        PagePicture(
            "Static pressure along the air's way",
            air_path_chart(path_of(answer), width, system),
            "Numbered discs: test holes. The zero line is the room.",
        ),
    ]
    rules = [f"{item.rule.title}: {item.source}" for item in answer.findings]
    return Page(
        answer=words(answer, system),
        verdict=verdict(answer),
        cautions=cautions(answer),
        pictures=pictures,
        tables=_tables(answer, system),
        sources=[*dict.fromkeys(rules), *SOURCES],
    )


def _tables(answer: StaticAnswer, system: str) -> list[PageTable]:
    tables = [
        PageTable("Before, now, and each change alone", _variant_rows(answer, system)),
        PageTable("Readings and what the rules say", _reading_rows(answer, system)),
        PageTable("What each part takes", _part_rows(answer, system)),
    ]
    if answer.identification is not None:
        tables.insert(
            0, PageTable("Measured against design, stretch by stretch", _stretch_rows(answer, system))
        )
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


def _variant_rows(answer: StaticAnswer, system: str) -> list[Mapping[str, Any]]:
    state = answer.state
    names = {BEFORE: "before (the file)", NOW: "now"}
    names |= {NOW + 1 + i: f"{change.words} alone" for i, change in enumerate(answer.changes)}
    if not answer.changed:
        del names[BEFORE]
    return [
        {
            "variant": name,
            "airflow": show(float(state.flow[column]), FLOW, system, 0),
            "total external static": pressure(float(state.external_static[column]), system),
            "temperature rise": show(float(state.rise[column]), RISE, system, 1),
        }
        for column, name in names.items()
    ]


def _reading_rows(answer: StaticAnswer, system: str) -> list[Mapping[str, Any]]:
    by_quantity = {item.rule.quantity: item for item in answer.findings}
    rows: list[Mapping[str, Any]] = []
    for reading in answer.readings:
        thing, judged = reading.measurable, by_quantity.get(reading.quantity)
        assert thing.kind is not None  # all are quantities
        digits = {"field": 2, "si": 0}[system] if thing.kind is kinds.GAUGE_PRESSURE else 0
        rows.append(
            {
                "reading": thing.title,
                "where": reading.where,
                "value": show(reading.value, thing.kind, system, digits),
                "how": "computed" if reading.computed else "measured",
                "verdict": "" if judged is None else judged.verdict,
                "rule": "" if judged is None else judged.rule.title,
            }
        )
    return rows


def _part_rows(answer: StaticAnswer, system: str) -> list[Mapping[str, Any]]:
    losses = answer.state.losses
    return [
        {
            "part": item.name,
            "side": item.side,
            "before": pressure(float(losses[row, BEFORE]), system),
            "now": pressure(float(losses[row, NOW]), system),
            "share of the total now": f"{100 * float(losses[row, NOW]) / float(losses[:, NOW].sum()):.0f} %",
            "exponent": f"{item.exponent:.2f}",
        }
        for row, item in enumerate(answer.now.components)
    ]


def _stretch_rows(answer: StaticAnswer, system: str) -> list[Mapping[str, Any]]:
    found = answer.identification
    assert found is not None  # the caller has looked
    return [
        {
            "stretch": item.name,
            "parts": ", ".join(item.components),
            "design at this airflow": pressure(item.design, system),
            "measured": pressure(item.measured, system),
            "times design": f"{item.ratio:.2f} ({item.low:.2f} to {item.high:.2f})",
            "verdict": "out of line" if item.name == found.named else item.verdict,
        }
        for item in found.segments
    ]
