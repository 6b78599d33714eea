"""The cap of a gas vent above the roof, and the run of a dryer duct to its terminal."""

from __future__ import annotations

from hvaclib.errors import InputError
from hvaclib.reference import figure, load, value
from hvaclib.units import COUNT, calculation, checks, kinds

__all__ = ["cap_height", "dryer_duct_length"]

INCH, FOOT = 0.0254, 0.3048
_LADDER = (
    "Roofs and ladders: two people, a tie-off, dry weather, clear of the service drop. The adopted code and the cap's "
    "listing decide."
)
_LINT = (
    "Lint burns and blocks: a dryer's duct is smooth metal, without screws into the air stream or a screen at its end, and is "
    "cleaned. The dryer's instructions come first."
)


@calculation(rise=kinds.SIZE, gives=kinds.LENGTH, notes=(_LADDER,))
def cap_height(*, rise: float) -> float:
    """Least height of a listed gas-vent cap above the roof.

    Parameters
    ----------
    rise : size
        Of the roof in 12 in (305 mm) of run; 0 for a flat roof, at most 21 in.

    Returns
    -------
    length
        In ft (m through ``.si``), from where the vent leaves the roof to the lowest opening of the cap.

    Raises
    ------
    InputError
        If the rise is negative or beyond the table.

    Notes
    -----
    For caps of 12 in and less that stand at least 8 ft from a vertical wall; others end 2 ft above the highest point
    within 10 ft.

    References
    ----------
    .. [1] IRC (2018), figure of gas-vent terminations; IFGC 503.6.5; NFPA 54 12.7.3.

    Examples
    --------
    >>> cap_height(rise="8 in")
    <Quantity(1.5, 'foot')>
    """
    checks.not_negative(rise, "rise", kinds.SIZE)
    heights = figure("roof_and_dryer", "cap_height").value
    assert isinstance(heights, tuple)  # a list in the table
    limits = load("roof_and_dryer")["cap_height"]["up_to"]
    for limit, height in zip(limits, heights, strict=True):
        if rise <= limit * INCH * (1.0 + 1e-9):
            return height * FOOT
    raise InputError(
        "the table ends before this roof",
        where="rise",
        given=f"{rise / INCH:.1f} in",
        expected=f"up to {limits[-1]} in",
    )


@calculation(
    mitered_90=COUNT, mitered_45=COUNT, smooth_90=COUNT, smooth_45=COUNT, gives=kinds.LENGTH, notes=(_LINT,)
)
def dryer_duct_length(
    *, mitered_90: int = 0, mitered_45: int = 0, smooth_90: int = 0, smooth_45: int = 0
) -> float:
    """Longest straight length of a dryer duct that its elbows leave.

    Parameters
    ----------
    mitered_90 : int, default 0
        Mitered 90° elbows of 4 in.
    mitered_45 : int, default 0
        Mitered 45° elbows of 4 in.
    smooth_90 : int, default 0
        90° elbows of 6 in radius.
    smooth_45 : int, default 0
        45° elbows of 6 in radius.

    Returns
    -------
    length
        In ft (m through ``.si``).

    Raises
    ------
    InputError
        If the elbows leave nothing.

    Notes
    -----
    35 ft less an allowance for each elbow, where the dryer's maker gives no length of his own (older codes: 25 ft).

    References
    ----------
    .. [1] IRC (2012) M1502.4.4.1; IRC Table M1502.4.5.1.

    Examples
    --------
    >>> round(dryer_duct_length(mitered_90="2", smooth_90="1"), 6)
    <Quantity(23.25, 'foot')>
    """
    taken = sum(
        count * value("roof_and_dryer", "dryer", name)
        for name, count in (
            ("mitered_90", mitered_90), ("mitered_45", mitered_45), ("smooth_90", smooth_90), ("smooth_45", smooth_45),
        )
    )  # fmt: skip
    left = value("roof_and_dryer", "dryer", "longest") - taken
    if left <= 0.0:
        raise InputError(
            "these elbows leave no length", where="dryer_duct_length", given=f"{taken:g} ft of elbows",
            expected="fewer elbows, smoother ones, or a length by the dryer's maker",
        )  # fmt: skip
    return left * FOOT
