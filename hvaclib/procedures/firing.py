"""What is read while the appliances of a worst-case test burn: drafts, and every hood at every round."""

from __future__ import annotations

from hvaclib.house.dwelling import Appliance
from hvaclib.house.warm_up import WarmUp
from hvaclib.readings import Reading
from hvaclib.reference import value

BURN = value("field_test", "main_burner_operation")
"""s of main-burner operation before the draft is read (IRC 2018 and IFGC, Appendix D: after five minutes)."""


def read_appliance(
    run: WarmUp, item: Appliance, begin: float, rounds: list[float], stage: str
) -> list[Reading]:
    """Read one appliance five minutes after it was lit, and its hood whenever a draft is read, of whichever fire.

    A hood that has stopped spilling by its own five minutes but gives off flue gas at a later (or an earlier) round,
    because another burner pushes it out, has not passed: its spillage counts as never having stopped.
    """
    row = run.appliances.index(item.name)
    readings = [Reading("draft", float(run.draft[row, run.at(begin + BURN)]), item.name, stage)]
    if item.draft_hood:
        seconds = run.spillage_between(row, begin, begin + BURN)
        looks = [run.at(moment) for moment in rounds]
        if any(run.spilling[row, look] for look in looks):
            seconds = float("inf")
        share = float(max(run.spillage[row, look] for look in looks))
        readings.append(Reading("spillage_time", seconds, item.name, stage))
        readings.append(Reading("spillage_fraction", share, item.name, stage, computed=True))
    return readings


def hoods_seen(run: WarmUp, order: tuple[Appliance, ...]) -> str:
    """Say at which hoods flue gas came out although the burner below was not the one being tested."""
    sentences = []
    for count, burning in enumerate(order):
        look = run.at(BURN * (count + 1))
        others = [
            item.name
            for item in order
            if item is not burning and run.spilling[run.appliances.index(item.name), look]
        ]
        if others:
            sentences.append(
                f"With the {burning.name} tested, flue gas comes out at the {', '.join(others)}."
            )
    return " ".join(sentences)
