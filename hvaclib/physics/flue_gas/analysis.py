"""What an analyser's oxygen or carbon dioxide says: excess air, the other of the two, carbon monoxide air-free."""

from __future__ import annotations

import numpy as np

from hvaclib.errors import InputError
from hvaclib.physics.fuel import FUEL, Fuel, excess_air_from_co2, excess_air_from_o2, products
from hvaclib.reference import value
from hvaclib.units import FloatOrArray, calculation, checks, kinds, show

__all__ = [
    "AMBIENT_OXYGEN", "check_oxygen", "check_probes", "co2_from_o2", "co_air_free", "excess_air", "excess_of",
]  # fmt: skip

AMBIENT_OXYGEN = value("flue_gas", "ambient_oxygen")


def plain(number: object) -> FloatOrArray:
    """A float for what is one number, else the array."""
    array = np.asarray(number, dtype=np.float64)
    return float(array) if array.ndim == 0 else array


def check_oxygen(o2: FloatOrArray) -> None:
    """Refuse oxygen that is no share of flue gas.

    Raises
    ------
    InputError
        If it is negative, or that of plain air.
    """
    array = np.asarray(o2, dtype=np.float64)
    if np.all((array >= 0.0) & (array < AMBIENT_OXYGEN)):
        return
    wrong = np.min(array) if np.min(array) < 0.0 else np.max(array)
    raise InputError(
        "O2 in flue gas out of range: at 20.9 % the probe is in plain air",
        where="o2",
        given=show(float(wrong), kinds.FRACTION),
        expected=f"from 0 to below {show(AMBIENT_OXYGEN, kinds.FRACTION, digits=1)}",
    )


def check_probes(stack: FloatOrArray, air: FloatOrArray) -> None:
    """Refuse flue gas that is colder than the air it was made from.

    Raises
    ------
    InputError
        With both temperatures.
    """
    if np.any(np.asarray(stack) < np.asarray(air)):
        raise InputError(
            "the flue gas is colder than the air: the two temperature probes may be swapped",
            where="stack_temperature",
            given=show(float(np.min(stack)), kinds.TEMPERATURE),
            expected="at least the temperature of the air, " + show(float(np.max(air)), kinds.TEMPERATURE),
        )


def excess_of(fuel: Fuel, o2: FloatOrArray | None, co2: FloatOrArray | None) -> FloatOrArray:
    """Excess air from the one of the two readings that is given, as a fraction.

    Raises
    ------
    InputError
        If both or neither are given, or the fuel cannot give the reading.
    """
    if (o2 is None) == (co2 is None):
        raise InputError(
            "one reading is needed: o2 or co2",
            where="o2",
            given="neither" if o2 is None else "both",
            expected='one of them, such as o2="5 %"; both together go to flue_gas.consistency',
        )
    if o2 is not None:
        check_oxygen(o2)
        return plain(excess_air_from_o2(fuel, o2))
    assert co2 is not None  # looked at above
    return plain(excess_air_from_co2(fuel, co2))


@calculation(fuel=FUEL, o2=kinds.FRACTION, co2=kinds.FRACTION, gives=kinds.FRACTION)
def excess_air(
    *, fuel: Fuel, o2: FloatOrArray | None = None, co2: FloatOrArray | None = None
) -> FloatOrArray:
    """Excess air of a burner from the oxygen or the carbon dioxide of its dry flue gas.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    o2 : fraction, optional
        Oxygen of the dry flue gas, by volume; from 0 to below 20.9 %.
    co2 : fraction, optional
        Carbon dioxide of the dry flue gas instead; above 0, and at most what the fuel gives.

    Returns
    -------
    fraction
        Air beyond what the fuel needs, in %; broadcast shape.

    Raises
    ------
    InputError
        If not exactly one reading is given, or the fuel cannot give it.

    Notes
    -----
    Complete combustion in dry air of 20.9476 % oxygen. Below 2 % of O2 the CO2 tells more exactly, above it the O2.
    Dilution air counts as excess air: take the sample ahead of a draft hood.

    References
    ----------
    .. [1] US Department of Energy, Steam Tip Sheet 4 (2006), table of natural gas.
    .. [2] Handbook of Energy Engineering Calculations: 90 O2 / (21 - O2) for natural gas.

    Examples
    --------
    >>> round(excess_air(fuel="methane", o2="5 %"), 1)
    <Quantity(28.1, 'percent')>
    """
    return excess_of(fuel, o2, co2)


@calculation(fuel=FUEL, o2=kinds.FRACTION, gives=kinds.FRACTION)
def co2_from_o2(*, fuel: Fuel, o2: FloatOrArray) -> FloatOrArray:
    """Carbon dioxide that goes with an oxygen reading when the fuel burns completely.

    Parameters
    ----------
    fuel : name of a fuel or a composition
        What burns; see ``fuel.stoichiometry``.
    o2 : fraction
        Oxygen of the dry flue gas, by volume; from 0 to below 20.9 %.

    Returns
    -------
    fraction
        Carbon dioxide of the dry flue gas, in %; broadcast shape.

    Raises
    ------
    InputError
        If the oxygen is out of range.

    Notes
    -----
    The straight line ``CO2 = CO2max (1 - O2 / 20.95 %)``: one side of the combustion triangle.

    References
    ----------
    .. [1] US EPA, Method 3B (fuel factor).

    Examples
    --------
    >>> round(co2_from_o2(fuel="methane", o2="5 %"), 2)
    <Quantity(8.91, 'percent')>
    """
    check_oxygen(o2)
    return plain(products(fuel, excess_air_from_o2(fuel, o2)).carbon_dioxide)


@calculation(
    co=kinds.CONCENTRATION,
    o2=kinds.FRACTION,
    co2=kinds.FRACTION,
    fuel=FUEL,
    gives=kinds.CONCENTRATION,
)
def co_air_free(
    *,
    co: FloatOrArray,
    o2: FloatOrArray | None = None,
    co2: FloatOrArray | None = None,
    fuel: Fuel | None = None,
) -> FloatOrArray:
    """Carbon monoxide as if the flue gas held no excess air, so that readings can be compared.

    Parameters
    ----------
    co : concentration
        Carbon monoxide of the dry flue gas.
    o2 : fraction, optional
        Oxygen of the same gas, by volume; below 20.9 %.
    co2 : fraction, optional
        Carbon dioxide of the same gas instead; then the fuel too.
    fuel : name of a fuel or a composition, optional
        What burns, where the CO2 is given.

    Returns
    -------
    concentration
        In ppm air-free; broadcast shape.

    Raises
    ------
    InputError
        If a reading is missing or out of range.

    Notes
    -----
    ``CO 20.9 / (20.9 - O2)``, with the 20.9 % that analysers show in air, or ``CO CO2max / CO2``. Near 20.9 % of O2 the
    factor grows without bound and the result means little.

    References
    ----------
    .. [1] ANSI Z21 series (limits stated air-free), convention as in trade articles on CO testing.

    Examples
    --------
    >>> round(co_air_free(co="87 ppm", o2="5 %"))
    <Quantity(114, 'ppm')>
    """
    checks.not_negative(co, "co", kinds.CONCENTRATION)
    if co2 is not None and o2 is None:
        if fuel is None:
            raise InputError(
                "with CO2 the fuel is needed", where="fuel", expected='a fuel, such as "natural gas"'
            )
        excess_air_from_co2(fuel, co2)  # refuses what the fuel cannot give
        return plain(co * fuel.maximum_carbon_dioxide / np.asarray(co2))
    if o2 is None or co2 is not None:
        given = "neither" if o2 is None else "both"
        raise InputError("one reading is needed: o2 or co2", where="o2", given=given, expected="one of them")
    check_oxygen(o2)
    return plain(co * AMBIENT_OXYGEN / (AMBIENT_OXYGEN - np.asarray(o2, dtype=np.float64)))
