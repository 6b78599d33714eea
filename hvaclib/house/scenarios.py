"""Every combination of fans, inner doors and air handler as one batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from hvaclib.errors import InputError
from hvaclib.house.columns import SetupColumns, setup_columns, setup_of
from hvaclib.house.dwelling import Dwelling
from hvaclib.house.network.arrays import BoolArray, FloatArray
from hvaclib.house.setup import Setup

MAXIMUM_CONTROLS = 16
"""Most controls that are combined: 65 536 states, beyond which the arrays no longer fit a small machine."""


@dataclass(frozen=True, slots=True)
class Control:
    """Something that a technician turns on or off, opens or closes.

    Parameters
    ----------
    kind : str
        ``"fan"``, ``"door"`` or ``"air handler"``.
    name : str
        Its name in the dwelling file.
    """

    kind: Literal["fan", "door", "air handler"]
    name: str

    @property
    def words(self) -> tuple[str, str]:
        """What bit 0 and bit 1 are called."""
        return ("open", "closed") if self.kind == "door" else ("off", "on")


@dataclass(frozen=True, slots=True)
class Combinations:
    """All states of n controls, S = 2**n.

    Parameters
    ----------
    dwelling : Dwelling
        Whose controls they are.
    controls : tuple of Control
        The controls; control k is bit k of a state's index.
    bits : ndarray of bool, shape (n, S)
        True where a fan or the air handler is on, or a door is closed.
    columns : SetupColumns
        The setups as arrays, for the network.
    """

    dwelling: Dwelling
    controls: tuple[Control, ...]
    bits: BoolArray
    columns: SetupColumns

    def setup(self, index: int) -> Setup:
        """The setup of one state."""
        return setup_of(self.dwelling, self.columns, index)

    def setups(self) -> tuple[Setup, ...]:
        """All setups."""
        return tuple(self.setup(index) for index in range(self.columns.scenarios))

    def describe(self, index: int) -> str:
        """One state in words: what is on and which doors are closed."""
        parts = [
            f"{control.name} {control.words[1]}"
            for control, bit in zip(self.controls, self.bits[:, index], strict=True)
            if bit
        ]
        return ", ".join(parts) or "everything off, all inner doors open"

    def index(self, moved: Sequence[str]) -> int:
        """The state in which exactly these controls are on or closed, by name."""
        names = [control.name for control in self.controls]
        unknown = [name for name in moved if name not in names]
        if unknown:
            raise InputError(
                "no control has this name", where="state", given=unknown[0], expected=", ".join(names)
            )
        return sum(1 << names.index(name) for name in set(moved))


def controls(dwelling: Dwelling) -> tuple[Control, ...]:
    """Fans, inner doors and the air handler of a dwelling, in the file's order."""
    found = [Control("fan", fan.name) for fan in dwelling.fans]
    found += [Control("door", door.name) for door in dwelling.doors if not door.outer]
    if dwelling.air_handler is not None:
        found.append(Control("air handler", "air handler"))
    return tuple(found)


def combinations(
    dwelling: Dwelling, base: Setup | None = None, chosen: Sequence[Control] | None = None
) -> Combinations:
    """Every combination of controls.

    Parameters
    ----------
    dwelling : Dwelling
        What is there.
    base : Setup, optional
        Weather, windows, outer doors, burners and the controls that are not chosen; the file's setup by default.
    chosen : sequence of Control, optional
        Controls to combine; all by default.

    Returns
    -------
    Combinations

    Raises
    ------
    InputError
        If there are more than ``MAXIMUM_CONTROLS`` controls.
    """
    moved = controls(dwelling) if chosen is None else tuple(chosen)
    if len(moved) > MAXIMUM_CONTROLS:
        raise InputError(
            "too many fans and doors to combine",
            where=dwelling.name,
            given=len(moved),
            expected=f"at most {MAXIMUM_CONTROLS} chosen controls",
        )
    count = 1 << len(moved)
    bits = (np.arange(count) >> np.arange(len(moved))[:, None] & 1).astype(np.bool_)
    one = setup_columns(dwelling, [dwelling.default_setup() if base is None else base])
    columns = SetupColumns(*(_repeated(getattr(one, name), count) for name in SetupColumns.__slots__))
    fans = {fan.name: row for row, fan in enumerate(dwelling.fans)}
    doors = {door.name: row for row, door in enumerate(dwelling.doors)}
    for control, bit in zip(moved, bits, strict=True):
        if control.kind == "fan":
            columns.fans[fans[control.name]] = bit
        elif control.kind == "door":
            columns.doors[doors[control.name]] = ~bit
        else:
            columns = replace(columns, air_handler=bit.astype(np.float64))
    return Combinations(dwelling, moved, bits, columns)


def _repeated(column: FloatArray, count: int) -> FloatArray:
    return np.repeat(column, count, axis=-1)


def main_effects(bits: BoolArray, values: FloatArray) -> FloatArray:
    """How much each control moves a value, averaged over all states of the others.

    Parameters
    ----------
    bits : ndarray of bool, shape (n, S)
        States of the controls; every combination once.
    values : ndarray, shape (S,)
        A finite value for each state.

    Returns
    -------
    ndarray, shape (n,)
        Mean with the control on (door closed) minus mean with it off, in the unit of ``values``.

    References
    ----------
    .. [1] Main effect in a full factorial design. Box, Hunter and Hunter, Statistics for Experimenters, 2nd ed., ch. 5.
    """
    half = values.size / 2.0
    return np.asarray((bits @ values - ~bits @ values) / half, dtype=np.float64)
