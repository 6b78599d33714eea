"""Terminations: what must keep its distance on an outside wall, which pairs do not, where a new terminal may stand."""

from hvaclib.physics.terminations.clearances import Clearance, Clearances, clearances
from hvaclib.physics.terminations.placing import Judged, judge_wall
from hvaclib.physics.terminations.region import Region, allowed_region, is_allowed
from hvaclib.physics.terminations.roof_and_dryer import cap_height, dryer_duct_length
from hvaclib.physics.terminations.rules import COLUMNS, NEIGHBOURS, TERMINALS, Rule, rules_for
from hvaclib.physics.terminations.wall import Item, TooClose, Wall, first_cover, pairs_too_close

__all__ = [
    "COLUMNS", "NEIGHBOURS", "TERMINALS", "Clearance", "Clearances", "Item", "Judged", "Region", "Rule", "TooClose", "Wall",
    "allowed_region", "cap_height", "clearances", "dryer_duct_length", "first_cover",
    "is_allowed", "judge_wall", "pairs_too_close", "rules_for",
]  # fmt: skip
