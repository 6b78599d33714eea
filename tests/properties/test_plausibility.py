"""Sheets made by the laws with instrument noise: how often sound ones are remarked on, how often slips are found.

The makers here have their own formulas: handbook air and flue gas, not those of the suite. Everything is invented.
"""

from __future__ import annotations

import datetime as dt
import math
import time
from collections import defaultdict

import numpy as np
import pytest

from hvaclib.readings import Readings
from hvaclib.review.plausibility import plausibility
from hvaclib.visit import Appliance, Entry, Job, Visit, reading_of
from hvaclib.visit.plate import VentNote

SHEETS = 2_000
INCH = 249.08891  # Pa of a conventional inch of water
TABLE = ((0.1, 1290.0), (0.3, 1210.0), (0.5, 1120.0), (0.7, 1010.0), (0.9, 860.0))


def density(kelvin: float, altitude: float) -> float:
    """U.S. Standard Atmosphere 1976 and the ideal gas."""
    return 101325.0 * (1.0 - 2.25577e-5 * altitude) ** 5.25588 / (287.055 * kelvin)


def dry_efficiency(oxygen: float, stack: float, air: float) -> float:
    """Higher basis, natural gas: Siegert's loss (1. BImSchV) brought from the lower heating value, ratio 1.108, latent 9.75 %."""
    lower_loss = (stack - air) * (0.66 / (21.0 - 100.0 * oxygen) + 0.009) / 100.0
    return (1.0 - lower_loss) / 1.108


def flow_of(static: float) -> float:
    """cfm of the invented blower at in. w.c."""
    return float(np.interp(static, [row[0] for row in TABLE], [row[1] for row in TABLE]))


def reading_noise(rng, half, resolution=0.0):
    """A bounded error as accuracy statements give it, then the display's rounding."""
    return lambda value: (
        round((value + rng.uniform(-half, half)) / resolution) * resolution if resolution
        else value + rng.uniform(-half, half)
    )  # fmt: skip


def truth(rng) -> dict[str, float]:
    """One sound furnace and its house: field numbers by item."""
    altitude = rng.choice([0.0, 0.0, 500.0])  # m
    oxygen, stack, air = rng.uniform(0.05, 0.10), rng.uniform(420.0, 500.0), rng.uniform(288.0, 298.0)
    efficiency = dry_efficiency(oxygen, stack, air)
    static = rng.uniform(0.35, 0.75)
    cfm = flow_of(static) * (1.0 + 0.03 * rng.standard_normal())
    manifold = rng.uniform(3.3, 3.7)
    clocked = 80_000.0 * math.sqrt(manifold / 3.5) * (1.0 + 0.02 * rng.standard_normal())
    flow = cfm * 4.719474e-4
    rise = (
        clocked
        * 0.293071
        * efficiency
        * (1 - rng.uniform(0, 0.04))
        / (density(294.0, altitude) * 1006 * flow)
    )
    co = rng.uniform(10.0, 120.0)
    outdoors, zone, pull = rng.uniform(258.0, 290.0), rng.uniform(-1.5, 0.5), rng.uniform(0.5, 5.0)
    height = rng.uniform(5.0, 8.0)
    lift = 9.80665 * height * (density(outdoors, altitude) - density(380.0, altitude))
    natural = -0.6 * lift - zone
    share = rng.uniform(0.35, 0.6)
    filter_drop = rng.uniform(0.3, 0.7) * share * static
    back = rng.uniform(20.0, 22.5) + 273.15
    return {
        "altitude": altitude, "height": height, "clocked-input": clocked, "manifold-pressure": manifold,
        "flue-oxygen": oxygen, "flue-carbon-dioxide": 0.119 * (1 - oxygen / 0.2095), "flue-co": co,
        "flue-co-air-free": co * 20.9 / (20.9 - 100 * oxygen), "stack-temperature": stack,
        "combustion-air-temperature": air, "steady-efficiency": efficiency, "airflow": cfm,
        "return-temperature": back, "supply-temperature": back + rise, "temperature-rise": rise,
        "static-hole-1": -static * share + filter_drop, "static-hole-2": -static * share,
        "static-hole-3": static * (1 - share), "static-hole-4": 0.5 * static * (1 - share), "external-static": static,
        "outdoor-temperature": outdoors, "draft-natural": natural, "draft-worst-case": natural + rng.uniform(0.5, 0.95) * pull,
        "baseline-pressure": zone, "worst-case-pressure": zone - pull, "ambient-co-worst-case": rng.uniform(0, 5),
    }  # fmt: skip


def measured(rng, t) -> dict[str, float]:
    """What instruments of the usual accuracy show (the classes that the readings' table states)."""
    s = dict(t)
    for key in ("draft-natural", "draft-worst-case", "baseline-pressure", "worst-case-pressure"):
        s[key] = reading_noise(rng, max(0.15, 0.01 * abs(t[key])), 0.1)(t[key])
    for key in [key for key in t if key.startswith("static-hole") or key == "manifold-pressure"]:
        s[key] = reading_noise(rng, max(0.5 / INCH, 0.015 * abs(t[key])), 0.001)(t[key])
    s["external-static"] = s["static-hole-3"] - s["static-hole-2"] + rng.normal(0.0, 0.002)
    for key in ("flue-oxygen", "flue-carbon-dioxide"):
        s[key] = reading_noise(rng, 0.003, 0.001)(t[key])
    s["flue-co"] = max(reading_noise(rng, max(10.0, 0.05 * t["flue-co"]), 1.0)(t["flue-co"]), 0.0)
    s["flue-co-air-free"] = round(s["flue-co"] * 20.9 / (20.9 - 100 * s["flue-oxygen"]))
    s["ambient-co-worst-case"] = max(reading_noise(rng, 3.0, 1.0)(t["ambient-co-worst-case"]), 0.0)
    s["stack-temperature"] = reading_noise(rng, 2.5, 0.1)(t["stack-temperature"])
    for key in (
        "combustion-air-temperature",
        "outdoor-temperature",
        "return-temperature",
        "supply-temperature",
    ):
        s[key] = reading_noise(rng, 0.4, 0.1)(t[key])
    s["temperature-rise"] = s["supply-temperature"] - s["return-temperature"] + rng.normal(0.0, 0.2)
    s["steady-efficiency"] = reading_noise(rng, 0.01, 0.001)(t["steady-efficiency"])
    s["airflow"] = t["airflow"] * (1 + rng.uniform(-0.07, 0.07))
    s["clocked-input"] = t["clocked-input"] * (1 + rng.uniform(-0.03, 0.03))
    return s


UNITS = {
    "clocked-input": "Btu/h", "manifold-pressure": "in. w.c.", "external-static": "in. w.c.", "airflow": "cfm",
    "flue-co": "ppm", "flue-co-air-free": "ppm", "ambient-co-worst-case": "ppm", "temperature-rise": "°C",
}  # fmt: skip


def written(key: str, value: float) -> str:
    if key.startswith("static-hole"):
        return f"{value:.5f} in. w.c."
    if key in ("flue-oxygen", "flue-carbon-dioxide", "steady-efficiency"):
        return f"{100 * value:.4f} %"
    if key.endswith("temperature") and key != "temperature-rise":
        return f"{value - 273.15:.3f} °C"
    return f"{value:.5f} {UNITS.get(key, 'Pa')}"


def visit_of(sheet: dict[str, float]) -> Visit:
    furnace = Appliance(
        name="furnace", kind="draft-hood furnace", fuel="natural gas", zone="basement", input="80000 Btu/h",
        efficiency="80 %", manifold_pressure="3.5 in. w.c.", blower=tuple((f"{a} in. w.c.", f"{b} cfm") for a, b in TABLE),
        vent=VentNote(height=f"{sheet['height']:.3f} m"),
    )  # fmt: skip
    where = {
        "outdoor-temperature": "house", "baseline-pressure": "basement", "worst-case-pressure": "basement",
        "ambient-co-worst-case": "basement",
    }  # fmt: skip
    entries = tuple(
        Entry(item=key, value=written(key, value),
              where=f"hole {key[-1]}" if key.startswith("static-hole") else where.get(key, "furnace"))
        for key, value in sheet.items() if key not in ("altitude", "height")
    )  # fmt: skip
    job = Job(
        id="P-1",
        contractor="Invented Heating",
        date=dt.date(2026, 3, 4),
        altitude=f"{sheet['altitude']} m",
        invented=True,
    )
    return Visit(job=job, appliance=(furnace,), entry=entries)


def read(visit: Visit) -> Readings:
    return Readings(reading for entry in visit.entry if (reading := reading_of(entry, visit)) is not None)


def remarks_of(sheet):
    visit = visit_of(sheet)
    return plausibility(visit, read(visit))


def exchanged(one, other):
    return lambda s: {**s, one: s[other], other: s[one]}


def scaled(key, factor):
    return lambda s: {**s, key: factor * s[key]}


def celsius(key):
    """The number in °C stands where °F is expected."""
    return lambda s: {**s, key: (s[key] - 273.15 - 32.0) / 1.8 + 273.15}


PLANTED = {  # name: (change, items that 'likely' may name, more than one law covers it)
    "supply and return exchanged": (exchanged("supply-temperature", "return-temperature"), {"supply-temperature", "return-temperature"}, False),
    "holes 2 and 3 exchanged": (exchanged("static-hole-2", "static-hole-3"), {"static-hole-2", "static-hole-3"}, True),
    "oxygen and CO2 exchanged": (
        exchanged("flue-oxygen", "flue-carbon-dioxide"),
        {"flue-oxygen", "flue-carbon-dioxide"},
        True,
    ),
    "external static in Pa for in. w.c.": (scaled("external-static", INCH), {"external-static"}, True),
    "hole 3 with the other sign": (scaled("static-hole-3", -1.0), {"static-hole-3"}, True),
    "hole 2 with the other sign": (scaled("static-hole-2", -1.0), {"static-hole-2"}, True),
    "natural draft with the other sign": (scaled("draft-natural", -1.0), {"draft-natural"}, True),
    "worst-case draft with the other sign": (scaled("draft-worst-case", -1.0), {"draft-worst-case"}, True),
    "input in kBtu/h for Btu/h": (scaled("clocked-input", 1e-3), {"clocked-input"}, True),
    "input half as much": (scaled("clocked-input", 0.5), {"clocked-input"}, True),
    "airflow 60 % more": (scaled("airflow", 1.6), {"airflow"}, True),
    "rise in °C for °F": (scaled("temperature-rise", 1 / 1.8), {"temperature-rise"}, True),
    "supply in °C for °F": (celsius("supply-temperature"), {"supply-temperature"}, False),
    "stack in °C for °F": (celsius("stack-temperature"), {"stack-temperature"}, True),
    "oxygen as a fraction for percent": (scaled("flue-oxygen", 0.01), {"flue-oxygen"}, True),
    "oxygen 5 points more": (lambda s: {**s, "flue-oxygen": s["flue-oxygen"] + 0.05}, {"flue-oxygen"}, True),
    "efficiency 12 points more": (lambda s: {**s, "steady-efficiency": s["steady-efficiency"] + 0.12}, {"steady-efficiency"}, False),
    "air-free CO ten times": (lambda s: scaled("flue-co-air-free", 10.0)({**s, "flue-co-air-free": max(s["flue-co-air-free"], 30.0)}), {"flue-co-air-free", "flue-co"}, False),
    "worst-case zone with the other sign": (lambda s: scaled("worst-case-pressure", -1.0)({**s, "worst-case-pressure": min(s["worst-case-pressure"], s["baseline-pressure"] - 3.0, -3.0), "draft-worst-case": s["draft-natural"] + 2.0}), {"worst-case-pressure"}, True),
    "room CO above the flue's": (lambda s: {**s, "ambient-co-worst-case": s["flue-co"] + 60.0}, {"ambient-co-worst-case", "flue-co"}, False),
}  # fmt: skip


LARGE_ENOUGH = {
    "oxygen and CO2 exchanged": lambda s: abs(s["flue-oxygen"] - s["flue-carbon-dioxide"]) >= 0.03,
    # A push that the house could give is a vent that has turned round, and no slip.
    "worst-case draft with the other sign": lambda s: (
        -s["draft-worst-case"] >= 8.0 - s["worst-case-pressure"]
    ),
    "natural draft with the other sign": lambda s: -s["draft-natural"] >= 8.0 - s["baseline-pressure"],
}
"""Sheets on which the slip is large enough to be told from an honest reading."""


def sheet_for(slip, rng):
    while True:
        sheet = measured(rng, truth(rng))
        if slip not in LARGE_ENOUGH or LARGE_ENOUGH[slip](sheet):
            return sheet


def test_sound_sheets_keep_the_stated_rate() -> None:
    """At most the stated 1 % of sheets, three standard deviations of the binomial allowed for."""
    rng = np.random.default_rng(20260)
    said = defaultdict(int)
    wrong = 0
    for _ in range(SHEETS):
        found = remarks_of(measured(rng, truth(rng)))
        wrong += bool(found)
        for each in found:
            said[each.kind] += 1
    print(f"\nsound sheets with a remark: {wrong} of {SHEETS}; {dict(said)}")
    assert wrong <= SHEETS * 0.01 + 3.0 * math.sqrt(SHEETS * 0.01 * 0.99)


@pytest.mark.parametrize("slip", PLANTED)
def test_a_planted_slip_is_found_and_named(slip) -> None:
    change, right, covered = PLANTED[slip]
    rng = np.random.default_rng(sum(slip.encode()))
    cases, found, named, remarks, read_again = 100, 0, 0, 0, 0
    other: dict[str, int] = defaultdict(int)
    for _ in range(cases):
        said = remarks_of(change(sheet_for(slip, rng)))
        hit = [each for each in said if right & set(each.suspects)]
        found += bool(hit)
        named += any(each.likely in right for each in hit)
        remarks += len(said)
        read_again += any(each.kind == "unit-slip" and each.likely in right for each in hit)
        for each in said:
            if each.likely not in right:
                other[each.likely or "none"] += 1
    print(
        f"\n{slip}: found {found}, named {named}, as a slip {read_again}, remarks a sheet {remarks / cases:.2f}, others {dict(other)}"
    )
    assert found >= 0.95 * cases
    if covered:
        assert named >= 0.80 * cases
    assert remarks <= 1.3 * cases


def test_half_a_millisecond_a_sound_visit() -> None:
    """The target is 0.5 ms on a quiet machine; five times that is refused on a shared one."""
    rng = np.random.default_rng(1)
    sheets = [(visit, read(visit)) for visit in (visit_of(measured(rng, truth(rng))) for _ in range(100))]
    best = math.inf
    for _ in range(3):
        start = time.perf_counter()
        for visit, readings in sheets:
            plausibility(visit, readings)
        best = min(best, (time.perf_counter() - start) / len(sheets))
    print(f"\n{1e3 * best:.3f} ms a visit")
    assert best < 2.5e-3
