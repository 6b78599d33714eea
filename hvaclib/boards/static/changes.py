"""What the controls of the static board do to an air side: each alone, and all together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hvaclib.units import kinds, show

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from hvaclib.house.air_side import AirSide, DuctSize

SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its words for a table, and what it does."""

    words: str
    apply: Callable[[AirSide], AirSide]


def drop_size(side: AirSide) -> DuctSize | None:
    """Size of the return drop; None where the file has none or does not know it."""
    return next((item.size for item in side.components if item.kind == "return drop"), None)


def changes(side: AirSide, inputs: Mapping[str, Any]) -> list[Change]:
    """The changes that the controls ask for, from what the file has.

    Parameters
    ----------
    side : AirSide
        As the file has it.
    inputs : mapping
        Of the board.

    Returns
    -------
    list of Change
        Only those that differ from the file.
    """
    loaded, area = float(inputs["filter_loaded"]), float(inputs["filter_area"])
    coil, registers = float(inputs["coil"]), float(inputs["registers"])
    found: list[Change] = []
    if _moved(loaded, 1.0):
        found.append(Change(f"filter loss {loaded:.3g} times", lambda s: s.with_factor("filter", loaded)))
    if _moved(area, 1.0):
        # the same medium at another speed: its loss follows its own exponent
        found.append(
            Change(
                f"filter of {area:.3g} times the area",
                lambda s: s.with_factor("filter", area ** -s.component("filter").exponent),
            )
        )
    if _moved(coil, 1.0):
        found.append(Change(f"coil loss {coil:.3g} times", lambda s: s.with_factor("coil", coil)))
    if _moved(registers, 1.0):
        words = f"registers open to {registers:.3g} times the area"
        found.append(Change(words, lambda s: s.with_factor("registers", registers**-2)))
    return [*found, *_drop(side, inputs), *_tap(side, inputs)]


def _drop(side: AirSide, inputs: Mapping[str, Any]) -> list[Change]:
    size, width, height = drop_size(side), float(inputs["drop_width"]), float(inputs["drop_height"])
    if size is None or not (_moved(width, float(size.width)) or _moved(height, float(size.height))):
        return []
    words = " × ".join(show(value, kinds.SIZE, inputs["system"]) for value in (width, height))
    return [Change(f"return drop {words}", lambda s: s.with_return_drop(width, height))]


def _tap(side: AirSide, inputs: Mapping[str, Any]) -> list[Change]:
    tap = inputs["tap"]
    return [] if tap in ("", side.tap) else [Change(f"tap {tap}", lambda s: s.with_tap(tap))]


def _moved(value: float, from_file: float) -> bool:
    return abs(value - from_file) > SAME * max(abs(from_file), SAME)
