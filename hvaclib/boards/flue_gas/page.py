"""The flue-gas board's page: the answer in words, cautions, two pictures, numbers and sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.flue_gas.answer import carbon_dioxide_of
from hvaclib.boards.flue_gas.words import CAUTIONS, cautions, verdict, words
from hvaclib.physics.fuel import fuel, fuel_names
from hvaclib.plots.combustion_triangle import TriangleData, combustion_triangle
from hvaclib.plots.flue_loss import LossLines, flue_loss_chart
from hvaclib.reference import value
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.flue_gas.answer import FlueAnswer
    from hvaclib.physics.flue_gas.losses import FlueLosses

EXCESS_MARKS = (0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 4.0)
SOURCES = (
    "Losses: enthalpy of each gas by NASA polynomials after the JANAF tables, dry combustion air; 0.3 to 0.7 point above "
    "the table of the US Department of Energy, Steam Tip Sheet 4 (2006), an equilibrium code to 0.1.",
    "Combustion triangle and cross-check: US EPA, Method 3B (fuel factor); 0.6 points of CO2 as tolerance are common "
    "practice, no source.",
    "CO air-free: CO × 20.9 / (20.9 − O2), ANSI Z21 series; its uncertainty from both cells, EN 50379-2 (from memory), "
    "JCGM 100:2008, 5.1.2.",
    "Fuels: AGA Report No. 5 (2009) example gas; ISO 6976:2016 heating values; No. 2 oil by a typical analysis, ASHRAE "
    "Fundamentals (from memory). A local heating value is met by mixing ethane or nitrogen in.",
    "Dew point: saturation pressure of ASHRAE Fundamentals (Hyland and Wexler); dry air, so up to 3 °F low.",
)


def page_of(inputs: Inputs, answer: FlueAnswer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=CAUTIONS)
    pictures = [
        PagePicture(
            "The triangle of fuel, O2 and CO2",
            combustion_triangle(triangle_of(answer), inputs.width, inputs.system),
            "Shaded: where readings of this fuel may lie. Above it the fuel cannot be the one named, or a cell is wrong; "
            "below it fuel leaves unburned, or a cell is wrong.",
        )
    ]
    if answer.curves is not None:
        pictures.append(
            PagePicture(
                "Loss against excess air and stack temperature",
                flue_loss_chart(loss_lines(answer), inputs.width, inputs.system),
                "Curves fall below the dashed line where the stack is cold enough for water to condense.",
            )
        )
    rules = dict.fromkeys(f"{item.rule.title}: {item.source}" for item in answer.findings)
    return Page(
        answer=words(answer, inputs.system),
        verdict=verdict(answer),
        cautions=cautions(answer),
        pictures=pictures,
        tables=_tables(answer, inputs.system),
        sources=[*rules, *SOURCES],
    )


def triangle_of(answer: FlueAnswer) -> TriangleData:
    """What the triangle shows of an answer."""
    burning = answer.fuel
    others = [name for name in fuel_names() if name != burning.name]
    lines = [(burning.name, burning.maximum_carbon_dioxide)]
    lines += [(name, fuel(name).maximum_carbon_dioxide) for name in others]
    marks = tuple(
        (extra, burning.oxygen * extra / (burning.dry_products + burning.air * extra))
        for extra in EXCESS_MARKS
    )
    before = None
    if answer.before_sample is not None:
        o2 = answer.before_sample.o2
        before = (o2, carbon_dioxide_of(burning, o2))
    return TriangleData(
        fuels=tuple(lines),
        marks=marks,
        point=(max(answer.sample.o2, 0.0), max(answer.co2, 0.0)),
        possible=answer.checked.possible,
        tolerance=value("flue_gas", "reading_tolerance"),
        measured=answer.measured and answer.sample.o2 >= 0.0,
        before=before,
    )


def loss_lines(answer: FlueAnswer) -> LossLines:
    """What the chart of losses shows of an answer."""
    curves, losses, before = answer.curves, answer.losses, answer.before
    assert curves is not None  # the caller has looked
    assert losses is not None
    prior = None
    if before is not None and answer.before_sample is not None:
        prior = (float(before.excess_air), float(before.total), answer.before_sample.stack)
    burning = answer.fuel
    return LossLines(
        excess=curves.excess,
        stacks=curves.stacks,
        family=curves.family,
        now=curves.now,
        latent=1.0 - burning.net_heating_value / burning.gross_heating_value,
        stack=answer.sample.stack,
        point=(float(losses.excess_air), float(losses.total)),
        before=prior,
    )


def _tables(answer: FlueAnswer, system: str) -> list[PageTable]:
    tables = [PageTable("Readings and what follows from them", _reading_rows(answer, system))]
    if answer.losses is not None:
        tables.append(PageTable("Where the heat goes", _heat_rows(answer)))
    if answer.findings:
        rows: list[Mapping[str, Any]] = [
            {
                "rule": item.rule.title,
                "verdict": item.verdict,
                "what it says": item.sentence,
                "source": item.source,
            }
            for item in answer.findings
        ]
        tables.append(PageTable("What the rules say", rows))
    return tables


def _reading_rows(answer: FlueAnswer, system: str) -> list[Mapping[str, Any]]:
    def percent(share: float) -> str:
        return show(share, kinds.FRACTION, system, 1)

    rows: list[tuple[str, str, str]] = [
        ("O2, dry", percent(max(answer.sample.o2, 0.0)), ""),
        ("CO2, dry", percent(answer.co2), "measured" if answer.measured else "reckoned from the O2"),
        ("CO2 that goes with this O2", _or_none(answer.checked.expected_co2), ""),
        ("CO2 of this fuel at most", percent(answer.fuel.maximum_carbon_dioxide), "no excess air"),
        ("CO, as read", show(answer.sample.co, kinds.CONCENTRATION, system, 0), ""),
    ]
    if answer.losses is not None and answer.co_air_free is not None:
        losses = answer.losses
        rows += [
            (
                "CO air-free",
                show(answer.co_air_free, kinds.CONCENTRATION, system, 0),
                "as if without excess air",
            ),
            ("Excess air", percent(float(losses.excess_air)), ""),
            ("Dew point", show(float(losses.dew_point), kinds.TEMPERATURE, system, 0), "dry combustion air"),
            ("Condensate at this stack", show(answer.condensate, kinds.MASS_FLOW, system), "at most"),
        ]
    return [{"quantity": name, "value": text, "note": note} for name, text, note in rows]


def _or_none(share: float | None) -> str:
    return "none" if share is None else show(share, kinds.FRACTION, digits=1)


PARTS = {
    "hot dry gas": "dry_gas",
    "latent heat of the water that leaves as vapour": "latent",
    "warmth of the water": "water",
    "carbon monoxide": "carbon_monoxide",
    "lost together": "total",
    "efficiency, higher heating value": "efficiency_hhv",
    "efficiency, lower heating value": "efficiency_lhv",
}


def _heat_rows(answer: FlueAnswer) -> list[Mapping[str, Any]]:
    def share(losses: FlueLosses | None, name: str) -> str:
        return "" if losses is None else f"{100 * float(getattr(losses, name)):.2f} %"

    rows: list[Mapping[str, Any]] = []
    for title, name in PARTS.items():
        row = {"share of the higher heating value": title}
        if answer.before is not None:
            row["before"] = share(answer.before, name)
        row["now"] = share(answer.losses, name)
        rows.append(row)
    return rows
