#!/usr/bin/env -S uv run --script
# /// script
# dependencies = ["nox>=2025.2"]
# ///
"""Tasks for contributors: ``nox`` runs everything that must pass, ``nox -s bench`` the benchmarks."""

import nox

nox.needs_version = ">=2025.2"
nox.options.default_venv_backend = "uv|virtualenv"


@nox.session
def tests(session: nox.Session) -> None:
    """Run everything that must pass: ruff, mypy, layers, pytest, nbval, browser."""
    session.install("-c", "constraints.txt", "-e", ".[test]")
    session.run("python", "-m", "pytest", *session.posargs)


@nox.session(default=False)
def bench(session: nox.Session) -> None:
    """Measure speed; ratios are taken within one run."""
    session.install("-c", "constraints.txt", "-e", ".[test]")
    session.run("python", "-m", "pytest", "tests/benchmark", "--benchmark-enable", "-s", *session.posargs)


if __name__ == "__main__":
    nox.main()
