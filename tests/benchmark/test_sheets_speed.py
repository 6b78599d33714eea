"""How long a wide table of very many visits takes, and that memory does not grow with their number.

Bounds, set by the project for itself. Reading a visit from a wide CSV costs at most 3.5 times what pydantic alone takes to
check the same visits as records, measured by turns in one run (aim: 10 000 visits in 8 s of one quiet core, some 60 cells a visit).
The objects of no more than a few visits are alive at any time, and what 5 000 rows hold at most is below 1.6 times what 1 000
hold, the text of the file apart. Left out unless benchmarks are switched on:
``pytest tests/benchmark/test_sheets_speed.py -n 0 --benchmark-enable -s``.
"""

import datetime as dt
import gc
import random
import time
import tracemalloc

import pytest

from hvaclib.visit import Appliance, Entry, Job, Visit, demands
from hvaclib.visit.file import from_document, to_document
from hvaclib.visit.sheets import stream
from hvaclib.visit.sheets.draft import Draft
from hvaclib.visit.sheets.writing import csv_text, table_written

# What instruments show, from least to most, with their digits behind the point; common practice, no source.
SHOWN = {
    "pressure difference": ("Pa", -8, 2, 1), "pressure above the surrounding air": ("in. w.c.", 0.1, 7, 2), "concentration": ("ppm", 0, 60, 0),
    "fraction": ("%", 4, 9, 1), "temperature": ("°F", 60, 350, 0), "temperature difference": ("°F", 40, 60, 0), "time": ("s", 5, 60, 0),
    "heat or power": ("Btu/h", 40_000, 80_000, -2), "air flow": ("cfm", 800, 1_300, -1), "electric current": ("A", 0.2, 0.6, 2),
}  # fmt: skip
MANY = 10_000


def visits(count: int):
    """Invented visits whose readings differ as readings do."""
    rng = random.Random(1)
    furnace = Appliance(name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement")
    heater = Appliance(
        name="water heater", kind="draft-hood water heater", fuel="natural gas", zone="basement"
    )
    job = Job(id="A", contractor="Invented Heating", date=dt.date(2026, 3, 4), invented=True)
    asked = demands(Visit(job=job, appliance=(furnace, heater)))
    for number in range(count):
        entries = []
        for each in asked:
            thing = each.item.measurable
            value = "yes"
            if thing is not None and thing.kind is not None:
                unit, least, most, digits = SHOWN[thing.kind.title]
                value = f"{round(rng.uniform(least, most), digits):.{max(digits, 0)}f} {unit}"
            entries.append(Entry(item=each.item.key, where=each.where, value=value))
        named = job.model_copy(update={"id": f"A-{number}"})
        yield Visit(job=named, appliance=(furnace, heater), entry=tuple(entries))


@pytest.fixture(scope="module")
def table(request):
    if not request.config.getoption("benchmark_enable"):
        pytest.skip("benchmarks are switched off: pytest --benchmark-enable")
    made = list(visits(1_000))
    rows, _ = table_written(made, "wide")
    return made, rows


def written(path, rows, count):
    """A wide table of so many visits: the rows of the table again and again, each with a job of its own."""
    again = [
        [f"B-{number}", *rows[1 + number % (len(rows) - 1)][1:]]
        for number in range(count)
    ]  # fmt: skip
    path.write_text(csv_text([rows[0], *again]), encoding="utf-8")
    return path


def seconds_of(work) -> float:
    """Of the processor, so that others on the machine count for little."""
    gc.collect()
    begin = time.process_time()
    work()
    return time.process_time() - begin


def test_a_visit_in_a_row_costs_little_more_than_its_check(benchmark, tmp_path, table):
    made, rows = table
    path = written(tmp_path / "wide.csv", rows, 1_000)
    documents = [to_document(each) for each in made]

    def read():
        assert sum(isinstance(each, Visit) for each in stream(path)) == 1_000

    def check():
        assert all(from_document(each).entry for each in documents)

    read()
    pairs = [(seconds_of(read), seconds_of(check)) for _ in range(5)]
    reading, checking = min(pair[0] for pair in pairs), min(pair[1] for pair in pairs)
    benchmark.pedantic(read, rounds=1)
    print(
        f"\n{reading:.3f} ms a visit from a wide CSV, {checking:.3f} ms to check its record: {reading / checking:.2f} times"
    )
    assert reading <= 3.5 * checking


def test_ten_thousand_visits(benchmark, tmp_path, table):
    _, rows = table
    path = written(tmp_path / "wide.csv", rows, MANY)
    count = 0

    def read():
        nonlocal count
        count = sum(isinstance(each, Visit) for each in stream(path))

    seconds = seconds_of(lambda: benchmark.pedantic(read, rounds=1))
    print(f"\n{MANY:,} visits, {path.stat().st_size / 1e6:.1f} MB: {seconds:.1f} s of one core")
    assert count == MANY


def test_no_more_than_a_few_visits_are_held(tmp_path, table):
    _, rows = table
    held = {}
    for count in (1_000, 5_000):
        path = written(tmp_path / f"{count}.csv", rows, count)
        gc.collect()
        tracemalloc.start()
        for number, each in enumerate(stream(path)):
            assert isinstance(each, Visit)
            if number % 1_000 == 999:
                alive = [one for one in gc.get_objects() if isinstance(one, Draft | Visit)]
                assert sum(isinstance(one, Draft) for one in alive) <= 3
                assert sum(isinstance(one, Visit) and one.name.startswith("B-") for one in alive) <= 3
                del alive
        held[count] = tracemalloc.get_traced_memory()[1] - 3 * path.stat().st_size
        tracemalloc.stop()
    print(
        f"\nheld at most beside the text: {held[1_000] / 1e6:.1f} MB of 1 000 rows, {held[5_000] / 1e6:.1f} MB of 5 000"
    )
    assert held[5_000] <= 1.6 * held[1_000]
