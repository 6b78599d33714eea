"""The condensate-and-controls board's page: words, cautions, three pictures, numbers and sources."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.controls.answer import VOLTAGE
from hvaclib.boards.controls.words import (
    ACID,
    CIRCUIT,
    ELECTRICITY,
    FREEZING,
    LOADS,
    PARTS,
    WARMTH,
    WATER,
    cautions,
    points,
    verdict,
    words,
)
from hvaclib.plots.condensate_path import CondensatePath, condensate_path_picture
from hvaclib.plots.recovery import RecoveryCurve, recovery_chart
from hvaclib.plots.thermostat_circuit import ThermostatCircuit, thermostat_circuit_picture
from hvaclib.reference import figure
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.controls.answer import ControlsAnswer

FLOW, LENGTH, SIZE, CURRENT, VA = (
    kinds.MASS_FLOW,
    kinds.LENGTH,
    kinds.SIZE,
    kinds.CURRENT,
    kinds.APPARENT_POWER,
)
SOURCES = {
    WATER: (
        "Condensate: water formed less the vapor that saturated flue gas carries off (equilibrium); upper bound about 1.1 gal for "
        "100,000 Btu, furnace-condensate article by a technical trainer (2012); condensing begins near 135 °F with natural "
        "gas, US Department of Energy, Steam Tip Sheet 26A.",
        "Line: Darcy friction with S. W. Churchill's factor, Chemical Engineering 84(24), 1977; the pump's curve as a straight "
        "line between the two figures of its plate.",
        "Trap: hydrostatics, p = ρ g h.",
    ),
    CIRCUIT: (
        "Anticipator set to the current of the control circuit, read after 1 to 2 minutes: service practice; no standard text "
        "is known.",
    ),
    LOADS: (
        "Transformer: volts times amperes; NEC (NFPA 70), article 725, class 2 circuits (recalled, not verified).",
    ),
    WARMTH: (
        "Recovery: energy balance of one heat capacity, and Newton's law of cooling for that capacity. Walls lag behind the air, "
        "so that the thermostat is satisfied earlier than this says.",
    ),
}
PASSPORTS = {
    WATER: {
        "Pump's reserve": ("condensate", "pump", "reserve"),
        "Margin of the trap": ("condensate", "trap", "margin"),
    },
    CIRCUIT: {
        "Anticipator within": ("controls", "anticipator", "tolerance"),
        "Anticipator's scale": ("controls", "anticipator", "lowest"),
        "Ten turns": ("controls", "anticipator", "turns"),
    },
}


def page_of(inputs: Inputs, answer: ControlsAnswer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=[ELECTRICITY, ACID, FREEZING])
    return replace(words_page(inputs, answer), pictures=_pictures(inputs, answer))


def words_page(inputs: Inputs, answer: ControlsAnswer, parts: Collection[str] = PARTS) -> Page:
    """The page without its pictures, of some parts or of all."""
    found = points(inputs, answer, parts)
    return Page(
        answer=words(found),
        verdict=verdict(found),
        cautions=cautions(inputs, answer, parts),
        tables=[table for part, table in _tables(inputs, answer).items() if part in parts],
        sources=[*(text for part in PARTS if part in parts for text in SOURCES[part]), *_passports(parts)],
    )


def _pictures(inputs: Inputs, answer: ControlsAnswer) -> list[PagePicture]:
    system, width = inputs.system, inputs.width
    return [
        PagePicture(
            "Where the water goes", condensate_path_picture(_path(inputs, answer), width, system),
            "Heights of the line to scale; the trap is enlarged, furnace and lengths are not to scale.",
        ),
        PagePicture(
            "The thermostat's circuit", thermostat_circuit_picture(_circuit(inputs, answer), width, system),
            "24 V side only. Terminals by their usual letters: R supply, W heat, C common.",
        ),
        PagePicture(
            "The way back from the setback", recovery_chart(_curve(inputs, answer), width, system),
            "The furnace burns without pause; the house is one heat capacity.",
        ),
    ]  # fmt: skip


def _path(inputs: Inputs, answer: ControlsAnswer) -> CondensatePath:
    return CondensatePath(
        lift=inputs.lift, run=inputs.run, shutoff_head=inputs.shutoff_head, head=answer.duty.head,
        delivered=answer.duty.delivered, water=answer.water, pressure=inputs.static, seal=inputs.seal,
        needed_seal=answer.trap, neutralizer=inputs.neutralizer, freezing=inputs.freezing,
    )  # fmt: skip


def _circuit(inputs: Inputs, answer: ControlsAnswer) -> ThermostatCircuit:
    return ThermostatCircuit(
        reading=inputs.reading, turns=round(inputs.turns), current=answer.current, pointer=inputs.pointer,
        voltage=VOLTAGE, loads=answer.loads, rating=inputs.rating,
    )  # fmt: skip


def _curve(inputs: Inputs, answer: ControlsAnswer) -> RecoveryCurve:
    told = answer.recovery
    return RecoveryCurve(
        setback=inputs.setback, occupied=inputs.occupied, final=told.final, constant=told.constant, time=told.time,
        available=inputs.available,
    )  # fmt: skip


def _tables(inputs: Inputs, answer: ControlsAnswer) -> dict[str, PageTable]:
    return {
        WATER: PageTable("Condensate", _pairs(_water_rows(inputs, answer))),
        CIRCUIT: PageTable("Control circuit", _pairs(_circuit_rows(inputs, answer))),
        LOADS: PageTable("Loads on the transformer", _load_rows(inputs, answer)),
        WARMTH: PageTable("Recovery", _pairs(_recovery_rows(inputs, answer))),
    }


def _pairs(rows: list[tuple[str, str]]) -> list[Mapping[str, Any]]:
    return [{"quantity": key, "value": text} for key, text in rows]


def _water_rows(inputs: Inputs, answer: ControlsAnswer) -> list[tuple[str, str]]:
    system, duty = inputs.system, answer.duty
    running = "never ends" if math.isinf(duty.running) else f"{100 * duty.running:.1f} %"
    return [
        ("condensate, by mass", show(answer.water, FLOW, system)),
        ("condensate, by volume", show(answer.water_volume, kinds.DRAIN_FLOW, system)),
        ("flow of the pump in this line", show(duty.delivered, FLOW, system, 1)),
        ("head at that flow", show(duty.head, LENGTH, system, 2)),
        ("of which friction and velocity", show(max(duty.head - inputs.lift, 0.0), LENGTH, system, 2)),
        ("pump runs, share of the burner's time", running),
        ("seal that the trap needs", show(answer.trap, SIZE, system, 2)),
        ("seal as built", show(inputs.seal, SIZE, system, 2)),
    ]


def _circuit_rows(inputs: Inputs, answer: ControlsAnswer) -> list[tuple[str, str]]:
    system = inputs.system
    return [
        ("clamp or meter reads", show(inputs.reading, CURRENT, system)),
        ("turns", f"{round(inputs.turns)}"),
        ("current of the circuit: anticipator setting", show(answer.current, CURRENT, system)),
        ("anticipator stands at", show(inputs.pointer, CURRENT, system)),
        (f"that current at {VOLTAGE:g} V", show(answer.circuit_load, VA, system)),
    ]


def _load_rows(inputs: Inputs, answer: ControlsAnswer) -> list[Mapping[str, Any]]:
    system, told = inputs.system, answer.transformer
    rows = [
        *answer.loads.items(),
        ("all together", told.load),
        ("rating", inputs.rating),
        ("left", told.spare),
    ]
    return [
        {
            "load": words,
            "apparent power": show(load, VA, system),
            "current": show(load / VOLTAGE, CURRENT, system, 2),
        }
        for words, load in rows
    ]


def _recovery_rows(inputs: Inputs, answer: ControlsAnswer) -> list[tuple[str, str]]:
    system, told = inputs.system, answer.recovery
    degree = 5.0 / 9.0 if system == "field" else 1.0
    return [
        ("recovery takes", "never" if math.isinf(told.time) else show(told.time, kinds.HOURS, system, 2)),
        ("furnace would reach in the end", show(told.final, kinds.TEMPERATURE, system, 0)),
        ("time constant of the house", show(told.constant, kinds.HOURS, system, 1)),
        (f"capacity of the house, each {'°F' if system == 'field' else 'K'}",
         show(told.capacity * degree, kinds.ENERGY, system)),
        ("lowest setback that is back in time", show(told.least_setback, kinds.TEMPERATURE, system, 1)),
    ]  # fmt: skip


def _passports(parts: Collection[str]) -> list[str]:
    """Where the figures come from that these parts are judged by."""
    keys = {title: path for part, keys in PASSPORTS.items() if part in parts for title, path in keys.items()}
    return [f"{title}: {figure(*path).source}." for title, path in keys.items()]
