"""Calculations about one vent that people ask for by name: its theoretical draft and its capacity."""

from __future__ import annotations

from hvaclib.errors import InputError
from hvaclib.physics import air
from hvaclib.physics.vent.capacity import largest_input
from hvaclib.reference import load
from hvaclib.units import calculation, checks, kinds, show
from hvaclib.units.arguments import COUNT, FLAG, choice

_CAUTION = (
    "A vent that is too small or too cold spills flue gas with carbon monoxide into the room. Size by the adopted "
    "code's tables and the manufacturer's instructions; this figure teaches and checks, it does not replace them."
)


@calculation(
    height=kinds.LENGTH,
    vent_temperature=kinds.TEMPERATURE,
    outside=kinds.TEMPERATURE,
    altitude=kinds.LENGTH,
    gives=kinds.PRESSURE_DIFFERENCE,
)
def theoretical_draft(
    *, height: float, vent_temperature: float, outside: float, altitude: float = 0.0
) -> float:
    """Pressure by which a column of warm gas is lighter than the outdoor air beside it.

    Parameters
    ----------
    height : length
        From where the gas enters to the outlet.
    vent_temperature : temperature
        Mean of the gas along the column.
    outside : temperature
        Outdoor air.
    altitude : length, default 0 ft
        Above sea level; sets the barometric pressure (US Standard Atmosphere 1976).

    Returns
    -------
    pressure difference
        Pa, positive where the vent draws. No flow, no losses: what a manometer shows is less.

    Raises
    ------
    InputError
        If the height is not positive.

    Notes
    -----
    The gas is taken as air, as the handbook does. Undiluted products of natural gas are 3 to 4 % lighter.

    References
    ----------
    .. [1] ASHRAE Handbook, HVAC Systems and Equipment (2016), chimney chapter: Dt = 0.03413 B H (1/To - 1/Tm), SI.

    Examples
    --------
    >>> round(theoretical_draft(height="20 ft", vent_temperature="300 degF", outside="60 degF"), 1)
    <Quantity(23.1, 'pascal')>
    """
    if height <= 0:
        raise InputError(
            "the column has no height", where="height", given=f"{height:g} m", expected="more than 0"
        )
    outdoor = air.density.si(temperature=outside, altitude=altitude)
    inside = air.density.si(temperature=vent_temperature, altitude=altitude)
    return 9.80665 * height * float(outdoor - inside)


@calculation(
    diameter=kinds.SIZE,
    height=kinds.LENGTH,
    lateral=kinds.LENGTH,
    elbows=COUNT,
    kind=choice("double-wall", "single-wall"),
    fan_assisted=FLAG,
    altitude=kinds.LENGTH,
    gives=kinds.CAPACITY,
    notes=(_CAUTION,),
)
def capacity(
    *,
    diameter: float,
    height: float,
    lateral: float = 0.0,
    elbows: int | None = None,
    kind: str = "double-wall",
    fan_assisted: bool = False,
    altitude: float = 0.0,
) -> float:
    """Largest input of one appliance whose flue gas, diluted as it must be, this vent carries.

    Parameters
    ----------
    diameter : size
        Inside diameter of vent and connector.
    height : length
        From the draft hood or flue collar to the outlet.
    lateral : length, default 0 ft
        Horizontal run.
    elbows : int, optional
        90° elbows; when left out the code tables' assumption, two with a lateral and none without.
    kind : {"double-wall", "single-wall"}, default "double-wall"
        Wall of the vent, indoors.
    fan_assisted : bool, default false
        Whether the appliance is fan-assisted (no dilution) instead of having a draft hood.
    altitude : length, default 0 ft
        Above sea level.

    Returns
    -------
    capacity
        kBtu/h, by gross heating value of natural gas.

    Raises
    ------
    InputError
        If a size is out of range, or the vent cools the gas so far that it lifts nothing.

    Notes
    -----
    Lift of the column against losses, with the gas as ASHRAE rates it (60 °F ambient, 300 °F rise where it enters,
    5.3 % CO2 after a draft hood or 8 % without one). Friction follows Reynolds number and roughness, heat loss the
    film inside and the wall, along the lateral too. One set of published coefficients (reference/vents.toml) gives
    the code's natural-draft table within 2.8 % on average and 8 % at most over 80 rows of 3 to 8 in; where published
    values differ they were chosen with these rows in sight, so that this is no independent check. Straight
    vertical fan-assisted vents come out 13 % below the table on average, on the safe side; with laterals within 5 %.

    References
    ----------
    .. [1] ASHRAE Handbook, HVAC Systems and Equipment (2016), chimney chapter (method and coefficients).
    .. [2] IFGC (2018) Table 504.2(1) = NFPA 54 (2018) Table 13.1(a) (checked against).
    .. [3] EN 13384-1:2015, Chimneys, thermal and fluid dynamic calculation (roughness, wall, outside film).

    Examples
    --------
    >>> round(capacity(diameter="4 in", height="10 ft", lateral="0 ft"), -1)
    <Quantity(100.0, 'kilobritish_thermal_unit / hour')>
    """
    checks.within(diameter, 0.05, 0.8, "diameter", kinds.SIZE)
    checks.within(height, 0.5, 60.0, "height", kinds.LENGTH)
    checks.within(lateral, 0.0, 30.0, "lateral", kinds.LENGTH)
    turns = float(load("vents")["rating"]["elbows_with_lateral"]["value"]) if lateral > 0 else 0.0
    result = largest_input(
        diameter=diameter,
        height=height,
        lateral=lateral,
        elbows=turns if elbows is None else float(elbows),
        kind=kind,
        fan_assisted=fan_assisted,
        altitude=altitude,
    )
    if result <= 0:
        raise InputError(
            "this vent cools the gas so far that it lifts nothing at any input",
            where="vent",
            given=f"{show(lateral, kinds.LENGTH)} of lateral below {show(height, kinds.LENGTH)} of height",
            expected="a shorter lateral, or a taller or insulated vent",
        )
    return result
