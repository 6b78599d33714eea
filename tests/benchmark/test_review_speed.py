"""Ten thousand visits reviewed over two processes, and that memory does not grow with their number.

Bounds, set by the project for itself: 30 s on a quiet machine with two cores, the making of the visits included; memory
of all processes at 10 000 visits at most 15 % above that at 2 000. Left out unless benchmarks are switched on:
``pytest tests/benchmark/test_review_speed.py --benchmark-enable -s``.
"""

import datetime as dt
import time

import psutil
import pytest

from hvaclib.review import review_many
from hvaclib.rules import load
from hvaclib.visit import Appliance, Entry, Job, Visit, demands

TODAY = dt.date(2026, 6, 1)
VALUES = {"gas_leak_found": "no", "temperature_rise": "54 °F", "draft": "-5 Pa", "oxygen_flue": "6 %"}


def visits(count: int):
    furnace = Appliance(name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement")
    heater = Appliance(
        name="water heater", kind="draft-hood water heater", fuel="natural gas", zone="basement"
    )
    job = Job(id="A", contractor="Invented Heating", date=dt.date(2026, 3, 4), invented=True)
    bare = Visit(job=job, appliance=(furnace, heater))
    rows = [
        {"item": each.item.key, "where": each.where, "value": VALUES.get(each.item.quantity, "yes")}
        for each in demands(bare)
    ]
    for number in range(count):
        yield Visit(
            job=job.model_copy(update={"id": f"A-{number}"}),
            appliance=bare.appliance,
            entry=tuple(Entry(**row) for row in rows),
        )


def measured(count: int) -> tuple[float, int]:
    """Seconds, and the most memory of all processes together, bytes."""
    me, start, most = psutil.Process(), time.perf_counter(), 0
    done = 0
    for _ in review_many(visits(count), load("plain"), jobs=2, today=TODAY):
        done += 1
        if done % 250 == 0:
            most = max(most, sum(each.memory_info().rss for each in (me, *me.children(recursive=True))))
    assert done == count
    return time.perf_counter() - start, most


def test_ten_thousand_visits(benchmark) -> None:
    if benchmark.disabled:
        pytest.skip("only with --benchmark-enable")
    _, few = measured(2_000)
    seconds, many = benchmark.pedantic(measured, args=(10_000,), rounds=1)
    print(f"\n10 000 visits: {seconds:.1f} s, {many / 1e6:.0f} MB; 2 000 visits: {few / 1e6:.0f} MB")
    assert many <= 1.15 * few
    assert seconds <= 30.0
