"""What is left of a sea-level rating at altitude, by a named rule."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hvaclib.errors import InputError
from hvaclib.reference import figure, value
from hvaclib.units import FloatOrArray, calculation, checks, choice, kinds, show

__all__ = ["ALTITUDE_RULES", "AltitudeRule", "altitude_derate", "altitude_rule"]

_FOOT = 0.3048
_UNCHANGED = value("gas_supply", "altitude", "unchanged_up_to") * _FOOT
_CANADA_LIMIT = value("gas_supply", "altitude", "canada_up_to") * _FOOT
_HIGHEST = 6000.0


@dataclass(frozen=True, slots=True)
class AltitudeRule:
    """One rule with its passport.

    Attributes
    ----------
    name : str
        As typed.
    share : float
        Taken off for each 1000 ft, or once.
    words, source, certainty : str
        What it says, where it stands, how sure.
    """

    name: str
    share: float
    words: str
    source: str
    certainty: str


#: Name of each rule and its key in the reference table.
ALTITUDE_RULES = {
    "4 % from sea level": "code",
    "4 % above 2000 ft": "above_2000",
    "2 % maker": "maker",
    "Canada 10 %": "canada",
}
_CODE, _ABOVE, _MAKER, _CANADA = ALTITUDE_RULES


def altitude_rule(name: str) -> AltitudeRule:
    """The rule of this name, with its passport."""
    found = figure("gas_supply", "altitude", ALTITUDE_RULES[name])
    return AltitudeRule(name, float(np.asarray(found.value)), found.condition, found.source, found.certainty)


@calculation(
    input_rate=kinds.POWER,
    altitude=kinds.LENGTH,
    rule=choice(_CODE, _ABOVE, _MAKER, _CANADA),
    gives=kinds.POWER,
    notes=(
        "Two readings of the 4 % rule are in use and differ by 8 points: the code counts from sea level once an altitude "
        "is above 2000 ft; counting only the part above 2000 ft leaves the burner larger. The appliance's own "
        "instructions and the authority having jurisdiction come before both.",
    ),
)
def altitude_derate(
    *, input_rate: FloatOrArray, altitude: FloatOrArray, rule: str = "4 % from sea level"
) -> FloatOrArray:
    """Rating that is left of a sea-level input rate at an altitude.

    Parameters
    ----------
    input_rate : heat or power
        On the nameplate, for sea level; zero or more.
    altitude : length
        Above sea level, up to 6000 m (19 685 ft).
    rule : {"4 % from sea level", "4 % above 2000 ft", "2 % maker", "Canada 10 %"}, default "4 % from sea level"
        The code's rule; the other reading of it; that of some manufacturers; that of Canadian rating plates.

    Returns
    -------
    heat or power
        In Btu/h (W through ``.si``), broadcast shape; unchanged up to 2000 ft.

    Raises
    ------
    InputError
        If a value is out of range; above 4500 ft for the Canadian rule, which has no figure there.

    Notes
    -----
    In proportion to the altitude, as the sentence of the code reads; charts for the field go in steps of 1000 ft. A
    natural-draft burner at the same pressure and orifice loses only 1.8 % for each 1000 ft by itself: the rule asks for
    more than that because draft and air weaken too.

    References
    ----------
    .. [1] NFPA 54 (2002), 11.1.2, as reprinted in the Uniform Mechanical Code (2009), Appendix B, B.1.2.
    .. [2] Trade articles and manufacturers' instructions for the other three rules: common practice, no code section.

    Examples
    --------
    >>> round(altitude_derate(input_rate="100000 Btu/h", altitude="5000 ft"))
    <Quantity(80000, 'british_thermal_unit / hour')>
    >>> round(altitude_derate(input_rate="100000 Btu/h", altitude="5000 ft", rule="4 % above 2000 ft"))
    <Quantity(88000, 'british_thermal_unit / hour')>
    """
    checks.not_negative(input_rate, "input_rate", kinds.POWER)
    checks.within(altitude, -500.0, _HIGHEST, "altitude", kinds.LENGTH)
    height = np.asarray(altitude, dtype=np.float64)
    share = value("gas_supply", "altitude", ALTITUDE_RULES[rule])
    if rule == _CANADA:
        if (height > _CANADA_LIMIT * (1 + 1e-9)).any():
            given = show(float(np.max(height)), kinds.LENGTH)
            expected = f"up to {show(_CANADA_LIMIT, kinds.LENGTH)}; above it the authority having jurisdiction decides"
            raise InputError("the rule has no figure", where="altitude", given=given, expected=expected)
        lost = np.full(height.shape, share)
    else:
        counted = height - _UNCHANGED if rule == _ABOVE else height
        lost = share * counted / (1000.0 * _FOOT)
    left = input_rate * np.where(height > _UNCHANGED, np.maximum(1.0 - lost, 0.0), 1.0)
    return float(left) if left.ndim == 0 else left
