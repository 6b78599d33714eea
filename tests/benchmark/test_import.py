"""What an import costs: nothing heavy above numpy and pint."""

import statistics
import subprocess
import sys
import time

import pytest

HEAVY = ("scipy", "pandas", "matplotlib", "pydantic", "ipywidgets", "IPython", "voila")
STATEMENTS = [
    "import hvaclib",
    "import hvaclib.units",
    "import hvaclib.physics.air, hvaclib.physics.openings",
]


@pytest.mark.parametrize("statement", STATEMENTS)
def test_import_loads_nothing_heavy(statement):
    # pint itself touches the scipy package, where it is installed, to know its arrays; what counts is what comes on top
    code = "; ".join(
        [
            "import sys, numpy, pint",
            "before = set(sys.modules)",
            statement,
            f"print(sorted(name for name in set(sys.modules) - before if name.split('.')[0] in {HEAVY!r}))",
        ]
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def seconds(statement):
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", statement], check=True)
    return time.perf_counter() - start


@pytest.mark.parametrize("statement", STATEMENTS)
def test_import_costs_little_more_than_numpy_and_pint(statement, benchmark):
    """At most 1.3 times the two libraries alone: medians of processes that take turns, so that both see the same machine."""
    if not benchmark.enabled:
        pytest.skip("measured only with --benchmark-enable")
    for text in ("import numpy, pint", statement):
        seconds(text)
    turns = [(seconds("import numpy, pint"), seconds(statement)) for _ in range(15)]
    alone, ours = (statistics.median(column) for column in zip(*turns, strict=True))
    benchmark.extra_info["ratio"] = ours / alone
    benchmark.pedantic(seconds, args=(statement,), rounds=3)
    assert ours <= 1.3 * alone
