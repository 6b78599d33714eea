"""The firing board's page: words, cautions, three pictures, numbers, checklist and sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hvaclib.boards.base import Inputs, Page, PagePicture, PageTable
from hvaclib.boards.firing.answer import TOLERANCE
from hvaclib.boards.firing.words import LEAK, LICENSED, cautions, verdict, words
from hvaclib.physics.gas_supply import ALTITUDE_RULES, altitude_rule
from hvaclib.plots.firing_rate import ClockedRate, RateBar, firing_rate_picture
from hvaclib.plots.manifold import DIGITS, ManifoldPoint, manifold_chart
from hvaclib.plots.pipe_tree import PipePressures, pipe_tree_picture
from hvaclib.reference import figure, load
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from hvaclib.boards.firing.answer import FiringAnswer

RATE, PRESSURE, FLOW = kinds.CAPACITY, kinds.GAUGE_PRESSURE, kinds.GAS_FLOW
SOURCES = (
    "Clocking: 3600 × dial × turns / seconds × heating value; correction to base conditions by the ideal gas law (AGA Report "
    "No. 5, 2009, for the base; U.S. Standard Atmosphere, 1976, for the altitude).",
    "Square-root law and orifice flow: 1658.5 A Cd √(h/g); Block E: Fuel Gas Systems (BCcampus, 2023), Appendix 2.",
    "Pipes: IFGC (2018), 402.4, equation 4-1, and 402.4.1, longest length.",
)
HOW_SURE = {
    "found": "read in the source",
    "found in a secondary quotation": "read in a quotation of the source",
    "from memory": "recalled, not verified",
}


def page_of(inputs: Inputs, answer: FiringAnswer | None) -> Page:
    """What the board shows for one answer; an empty page before there is one."""
    if answer is None:
        return Page(cautions=[LEAK, LICENSED])
    system, width = inputs.system, inputs.width
    told = answer.correction
    point = ManifoldPoint(
        inputs.manifold, answer.rate, told.manifold_pressure, answer.wanted, (told.lowest, told.highest)
    )
    pipes = PipePressures(answer.pipes, inputs.supply, answer.gas.least)
    return Page(
        answer=words(inputs, answer),
        verdict=verdict(answer),
        cautions=cautions(answer),
        pictures=[
            PagePicture("The meter, and the rates", firing_rate_picture(_clocked(inputs, answer), width, system)),
            PagePicture(
                "What the manifold pressure would do", manifold_chart(point, width, system),
                "Blue: the same orifices at another pressure. Crossed: not permitted.",
            ),
            PagePicture(
                "Pressure with everything burning that is switched on", pipe_tree_picture(pipes, width, system),
                "An invented house; lengths with fittings as equivalent length.",
            ),
        ],
        tables=_tables(inputs, answer),
        sources=[*SOURCES, *_passports(inputs.gas)],
    )  # fmt: skip


def _clocked(inputs: Inputs, answer: FiringAnswer) -> ClockedRate:
    bars = [
        RateBar("clocked", answer.rate, "clocked", answer.share * answer.rate),
        RateBar("plate, at sea level", inputs.plate),
    ]
    for name, rate in answer.allowed.items():
        chosen = name == inputs.rule
        bars.append(RateBar(f"{name}{' (chosen)' if chosen else ''}", rate, "chosen" if chosen else "other"))
    bars.append(RateBar("by the orifices", answer.by_orifices))
    band = ((1 - TOLERANCE) * answer.wanted, (1 + TOLERANCE) * answer.wanted)
    return ClockedRate(inputs.dial, inputs.turns, inputs.time, tuple(bars), band)


def _tables(inputs: Inputs, answer: FiringAnswer) -> list[PageTable]:
    system = inputs.system
    return [
        PageTable("Clocking", _clocking(inputs, answer)),
        PageTable("What each altitude rule leaves", _rules(inputs, answer)),
        PageTable("Pipes", _pipes(answer, system)),
        PageTable("Checklist: sediment trap and pressure test", _checklist()),
    ]


def _clocking(inputs: Inputs, answer: FiringAnswer) -> list[Mapping[str, Any]]:
    system, told = inputs.system, answer.correction
    pairs = [
        ("flow through the meter", show(answer.flow, FLOW, system)),
        ("factor to base conditions", f"{answer.factor:.4f}"),
        ("heating value", show(inputs.heating_value, kinds.HEATING_VALUE, system)),
        ("input rate", show(answer.rate, RATE, system, 1)),
        ("uncertainty by the watch", f"± {100 * answer.share:.1f} %"),
        ("wanted by the rule chosen", show(answer.wanted, RATE, system, 1)),
        ("off rate", f"{100 * told.off_rate:+.1f} %".replace("-", "−")),
        ("manifold pressure that would give it", show(told.manifold_pressure, PRESSURE, system, DIGITS[system])),
        ("range in which it may be set",
         f"{show(told.lowest, PRESSURE, system, DIGITS[system])} to {show(told.highest, PRESSURE, system, DIGITS[system])}"),
        ("remedy", told.remedy if answer.agrees else "first: why do meter and orifices disagree?"),
        ("supply at the furnace", show(answer.supply, PRESSURE, system, DIGITS[system])),
    ]  # fmt: skip
    return [{"quantity": key, "value": text} for key, text in pairs]


def _rules(inputs: Inputs, answer: FiringAnswer) -> list[Mapping[str, Any]]:
    found: list[Mapping[str, Any]] = []
    for name in ALTITUDE_RULES:
        rule, rate = altitude_rule(name), answer.allowed[name]
        found.append(
            {
                "rule": name,
                "left": "no figure" if rate is None else show(rate, RATE, inputs.system, 1),
                "means": rule.words,
                "source": rule.source,
                "how sure": HOW_SURE.get(rule.certainty, rule.certainty),
            }
        )
    return found


def _pipes(answer: FiringAnswer, system: str) -> list[Mapping[str, Any]]:
    return [
        {
            "piece": name,
            "flow": show(state.flow, FLOW, system),
            "drop": show(state.drop, PRESSURE, system, 3 if system == "field" else 1),
            "pressure at its end": show(state.pressure, PRESSURE, system, DIGITS[system]),
            "carries, by the longest length": show(state.longest_capacity, FLOW, system),
            "size by the longest length": f"{state.longest_size} in"
            if state.longest_size
            else "beyond the table",
            "enough": "yes" if state.enough else "no",
        }
        for name, state in answer.pipes.items()
    ]


def _checklist() -> list[Mapping[str, Any]]:
    return [
        {
            "item": row["item"],
            "rule": row["rule"],
            "source": row["source"],
            "how sure": HOW_SURE.get(row["certainty"], row["certainty"]),
        }
        for row in load("gas_piping")["checklist"]
    ]


def _passports(gas: str) -> list[str]:
    """Where the figures come from that the board judges by."""
    name = "propane" if gas == "propane" else "natural_gas"
    keys = {
        "On rate": ("firing", "tolerance"),
        "Timing by hand": ("firing", "watch"),
        "Agreement of meter and orifices": ("firing", "cross_check"),
        "Range of the manifold": ("manifold", f"adjustment_{name}"),
        "Least supply pressure": ("supply", f"{name}_least"),
    }
    found = {title: figure("gas_piping", *path) for title, path in keys.items()}
    told = {title: f"{title}: {item.source}" for title, item in found.items()}
    return [
        f"{told[title]} (recalled, not verified)."
        if item.certainty.startswith("from memory")
        else f"{told[title]}."
        for title, item in found.items()
    ]
