"""Ten thousand visits from a file through the review over two processes, and that memory does not grow with their number.

Bounds, set by the project for itself: 30 s on a quiet machine with two cores, the reading of the file included; memory of
all processes at 10 000 visits at most 15 % above that at 2 000, beside the bytes of the file. Left out unless benchmarks
are switched on: ``pytest -n 0 tests/benchmark/test_review_speed.py --benchmark-enable -s``.
"""

import csv
import datetime as dt
import io
import time
from itertools import cycle, islice

import numpy as np
import psutil
import pytest

from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import read_dwelling
from hvaclib.review.across import Tally
from hvaclib.review.simulated import simulated_readings, visit_of
from hvaclib.review.stream import review_many
from hvaclib.rules import load
from hvaclib.visit.sheets import Pile, write_csv

TODAY = dt.date(2026, 6, 1)
EACH = 25
"""Visits of each demo dwelling that differ by the noise of the instruments."""


@pytest.fixture(scope="module")
def pile(tmp_path_factory, request):
    """A function that writes a wide CSV of so many visits."""
    if not request.config.getoption("benchmark_enable"):
        pytest.skip("only with --benchmark-enable")
    folder, visits = tmp_path_factory.mktemp("pile"), []
    for number, path in enumerate(demo_dwellings().values()):
        dwelling = read_dwelling(path)
        readings = simulated_readings(dwelling)
        visits += [
            visit_of(dwelling, readings=readings, noise=np.random.default_rng([number, seed]))
            for seed in range(EACH)
        ]
    write_csv(visits, folder / "some.csv", form="wide")
    head, *rows = csv.reader(io.StringIO((folder / "some.csv").read_text(encoding="utf-8-sig"), newline=""))
    place, crew = head.index("job"), head.index("contractor")

    def written(count: int):
        path = folder / f"{count}.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            table = csv.writer(file)
            table.writerow(head)
            for number, row in enumerate(islice(cycle(rows), count)):
                row[place], row[crew] = f"A-{number}", f"Invented crew {number % 5 + 1}"
                table.writerow(row)
        return path

    return written


def measured(path, count: int) -> tuple[float, int]:
    """Seconds, and the most memory of all processes together, bytes."""
    me, start, most = psutil.Process(), time.perf_counter(), 0
    before = me.memory_info().rss
    done, tally = 0, Tally()
    for _ in review_many(Pile(path), load("plain"), jobs=2, today=TODAY, tally=tally):  # type: ignore[arg-type]
        done += 1
        if done % 250 == 0:
            others = sum(each.memory_info().rss for each in me.children(recursive=True))
            most = max(most, me.memory_info().rss - before + others)
    assert done == count
    tally.remarks()
    return time.perf_counter() - start, most


def test_ten_thousand_visits(benchmark, pile) -> None:
    files = {count: pile(count) for count in (2_000, 10_000)}
    _, few = measured(files[2_000], 2_000)
    seconds, many = benchmark.pedantic(measured, args=(files[10_000], 10_000), rounds=1)
    sizes = {count: path.stat().st_size for count, path in files.items()}
    print(
        f"\n10 000 visits: {seconds:.1f} s, {many / 1e6:.0f} MB; 2 000 visits: {few / 1e6:.0f} MB; file {sizes[10_000] / 1e6:.1f} MB"
    )
    assert many - few <= 0.15 * few + 6 * (sizes[10_000] - sizes[2_000])
    assert seconds <= 30.0
