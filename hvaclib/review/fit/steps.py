"""The test as it is run on a dwelling in a fit: its set-ups, and the search for the worst of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.house.setup import Setup, Switches
from hvaclib.house.warm_up import natural
from hvaclib.procedures.worst_case import NOTICEABLE
from hvaclib.review.fit.batch import pressures

if TYPE_CHECKING:
    from hvaclib.house.dwelling import Dwelling
    from hvaclib.review.fit.varied import Factors, VariedHouse


def quiet_setup(dwelling: Dwelling, weather: Setup) -> Setup:
    """The baseline: every fan and burner off, inner doors open, outer doors and windows shut."""
    still = natural(weather)
    return Setup(
        outdoor_temperature=still.outdoor_temperature,
        wind_speed=still.wind_speed,
        wind_direction=still.wind_direction,
        fans=still.fans,
        doors=Switches({door.name: not door.outer for door in dwelling.doors}),
        windows=Switches(dict.fromkeys(still.windows, False)),
        air_handler=still.air_handler,
        firing=Switches(dict.fromkeys(still.firing, False)),
    )


def worst_setup(house: VariedHouse, quiet: Setup, factors: Factors) -> Setup:
    """The set-up that the worst-case test ends in, for one set of factors.

    Parameters
    ----------
    house : VariedHouse
    quiet : Setup
        The baseline.
    factors : mapping of str to ndarray, shape (1,)
        Factors of the unknowns.

    Returns
    -------
    Setup
        Nothing burning.

    Notes
    -----
    The steps of `hvaclib.procedures.worst_case`: exhaust fans on, each inner door where it pulls the zone lower, the
    air handler on and the doors once more; it stays on if the zone then lies lower.
    """
    row = house.dwelling.zone_names.index(house.zone)

    def read(*setups: Setup) -> list[float]:
        return [float(value) for value in pressures(house, setups, factors)[row, :, 0]]

    def doors(setup: Setup, lowest: float) -> tuple[Setup, float]:
        left = [door.name for door in house.dwelling.doors if not door.outer]
        while left:  # each door in turn; those up to the first that pulls the zone lower are read in one call
            others = [setup.with_door(name, open=not setup.doors[name]) for name in left]
            moved = read(*others)
            lower = [number for number, value in enumerate(moved) if value < lowest - NOTICEABLE]
            if not lower:
                break
            setup, lowest, left = others[lower[0]], moved[lower[0]], left[lower[0] + 1 :]
        return setup, lowest

    setup = quiet
    for fan in house.dwelling.fans:
        if fan.to == "outdoors" and fan.direction == "exhaust":
            setup = setup.with_fan(fan.name, 1.0)
    setup, lowest = doors(setup, *read(setup))
    if setup.air_handler is None:
        return setup
    running = setup.with_air_handler(on=True)
    running, with_it = doors(running, *read(running))
    return running if with_it < lowest - NOTICEABLE else setup
