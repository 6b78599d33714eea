"""Vents and the zone they stand in: draft, house pressure and carbon monoxide of the room."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import bound
from hvaclib.review.plausibility.law import Check, outside
from hvaclib.review.plausibility.sheet import Name, plate
from hvaclib.units import kinds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.review.plausibility.figures import LawFigures
    from hvaclib.review.plausibility.sheet import Sheet
    from hvaclib.visit import Appliance

_ZONE = {"draft-natural": "baseline-pressure", "draft-worst-case": "worst-case-pressure"}


def natural(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Draft with all fans off against what the column can pull."""
    return _bounded(sheet, law, "draft-natural")


def worst_case(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Draft at worst case against what the column can pull and the house can push."""
    return _bounded(sheet, law, "draft-worst-case")


def worst_below_baseline(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Zone pressure at worst case against the baseline."""
    for zone in dict.fromkeys(each.zone for each in sheet.appliances):
        names = _pressures(zone)
        if sheet.has(*names):
            yield Check(law, names, lambda base, worst: max(worst - base, 0.0), law.model)


def follows_zone(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Change of the draft against the change of the zone's pressure."""
    for each in sheet.appliances:
        names = (
            Name("draft-natural", each.name),
            Name("draft-worst-case", each.name),
            *_pressures(each.zone),
        )
        if sheet.has(*names):
            yield Check(law, names, _follows, law.model)


def room_and_flue(sheet: Sheet, law: LawFigures) -> Iterator[Check]:
    """Carbon monoxide of the room against that of the strongest flue gas in it."""
    for zone in dict.fromkeys(each.zone for each in sheet.appliances):
        room = Name("ambient-co-worst-case", zone)
        burners = [each.name for each in sheet.appliances if each.zone == zone]
        flues = [_flue_co(sheet, name) for name in burners]
        if sheet.has(room) and flues and all(flues):
            names = tuple(name for name in flues if name is not None)
            yield Check(
                law, (room, *names), lambda here, *there: max(here - max(there), 0.0), law.model * 1e-6
            )


def _flue_co(sheet: Sheet, appliance: str) -> Name | None:
    for item in ("flue-co", "flue-co-air-free"):
        if sheet.has(Name(item, appliance)):
            return Name(item, appliance)
    return None


def _bounded(sheet: Sheet, law: LawFigures, item: str) -> Iterator[Check]:
    for each in sheet.appliances:
        outdoors = Name("outdoor-temperature", "house")
        draft = Name(item, each.name)
        if each.vent is None or not each.vent.height or not sheet.has(draft, outdoors):
            continue
        stack, zone = Name("stack-temperature", each.name), Name(_ZONE[item], each.zone)
        given = [name for name in (stack, zone) if sheet.has(name)]
        model = law.model if zone in given else math.hypot(law.model, bound("unread_zone"))
        yield Check(law, (draft, outdoors, *given), _Draft(sheet, each, stack in given, zone in given), model)


class _Draft:
    """Distance of a draft from what is possible, Pa; negative beyond what any column pulls."""

    __slots__ = ("_hot", "_lift", "_stack", "_zone")

    def __init__(self, sheet: Sheet, appliance: Appliance, stack: bool, zone: bool) -> None:
        assert appliance.vent is not None
        self._lift = _column(sheet.altitude) * plate(appliance.vent.height, kinds.LENGTH)
        self._hot, self._stack, self._zone = bound("hottest_vent"), stack, zone

    def __call__(self, draft: float, outdoors: float, *rest: float) -> float:
        hot = max(rest[0], 1.0) if self._stack else self._hot
        house = rest[-1] if self._zone else 0.0
        lift = self._lift * (1.0 / max(outdoors, 1.0) - 1.0 / hot)
        # A vent that has gone cold pulls nothing; in summer its air may sink.
        return outside(draft, -max(lift, 0.0) - house, max(-lift, 0.0) - house)


def _follows(before: float, after: float, base: float, worst: float) -> float:
    pulled = max(base - worst, 0.0)
    if after > 0.0:  # turned round: what holds it then is the house pressure alone
        return min(after - before, 0.0)
    return outside(after - before, 0.0, pulled)


def _pressures(zone: str) -> tuple[Name, Name]:
    return Name("baseline-pressure", zone), Name("worst-case-pressure", zone)


@lru_cache(maxsize=256)
def _column(altitude: float) -> float:
    """Theoretical draft a metre of height over 1/T outdoors less 1/T inside, Pa·K/m."""
    from hvaclib.physics.vent.rated import theoretical_draft

    outside_air, inside = 280.0, 400.0
    found = theoretical_draft.si(height=1.0, vent_temperature=inside, outside=outside_air, altitude=altitude)
    return float(found) / (1.0 / outside_air - 1.0 / inside)
