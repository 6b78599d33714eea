"""What every board about a dwelling needs: choose a demo, load a file, keep the file with the settings.

class Rise(DwellingBoard):
    house = house_choice("passes", {"passes": "demo: rise within the nameplate band"})

    def furnish(self, dwelling): ...   # bring the controls to what the dwelling has
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, ClassVar

from hvaclib.boards.base import BoardModel, Choice, Upload
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import dwelling_text, parse_dwelling, read_dwelling

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.house.dwelling import Dwelling

LOADED = "loaded"
OWN_FILE = "HVACLIB_DWELLING"
"""Environment variable with which the server hands over a dwelling file."""


def house_choice(default: str, words: Mapping[str, str] | None = None) -> Choice:
    """The choice among the demo dwellings and the loaded file.

    Parameters
    ----------
    default : str
        Demo dwelling shown first.
    words : mapping of str to str, optional
        What a board says of a demo dwelling, in the order shown; demos that it leaves out follow with their names.

    Returns
    -------
    Choice
        To be declared as ``house`` in the class of the board.
    """
    said = dict(words or {})
    demos = {name: said.get(name, f"demo: {name.replace('_', ' ')}") for name in demo_dwellings()}
    ordered = {name: demos[name] for name in (*said, *demos) if name in demos}
    options = {**ordered, LOADED: "the dwelling file that you load"}
    return Choice(options, default, label="Dwelling", group="Dwelling")


class DwellingBoard(BoardModel):
    """Base of the boards about a dwelling. A board overrides `furnish`, and ``house`` with words of its own.

    Attributes
    ----------
    loaded : Dwelling or None
        The dwelling of the file that was loaded.
    dwelling : Dwelling or None
        The dwelling chosen, as its file has it; None where none is loaded yet.
    """

    uploads: ClassVar[tuple[Upload, ...]] = (Upload("dwelling", "Load a dwelling file", ".toml", 1_000_000),)

    house = house_choice("closed_door_fails")

    def __init__(self, **values: Any) -> None:
        self.loaded: Dwelling | None = None
        self._read: dict[str, Dwelling] = {}
        super().__init__(**values)
        path = os.environ.get(OWN_FILE)
        if path:
            self.loaded = read_dwelling(path)
            self.house = LOADED
        self._furnish()
        self.observe(lambda _: self._furnish(), names="house")

    @property
    def dwelling(self) -> Dwelling | None:
        """The dwelling chosen, as its file has it; None where none is loaded yet."""
        if self.house == LOADED:
            return self.loaded
        if self.house not in self._read:
            self._read[self.house] = read_dwelling(demo_dwellings()[self.house])
        return self._read[self.house]

    def furnish(self, dwelling: Dwelling) -> None:
        """Bring the controls to what the dwelling chosen has; called inside a `held` block."""

    def no_dwelling(self) -> list[str]:
        """The blocker while no file is loaded; empty when a dwelling is there."""
        if self.dwelling is None:
            return ["No dwelling file is loaded yet: load one, or choose a demo dwelling."]
        return []

    def _furnish(self) -> None:
        dwelling = self.dwelling
        if dwelling is not None:
            with self.held():
                self.furnish(dwelling)

    def receive(self, upload: str, filename: str, content: bytes) -> str:
        """Take a dwelling file."""
        del upload  # there is one
        self.loaded = parse_dwelling(content, filename)
        if self.house == LOADED:
            self._furnish()
        else:
            self.house = LOADED
        return f"Loaded: {self.loaded.name} ({len(self.loaded.zones)} zones, {len(self.loaded.appliances)} appliances)."

    def saved_extra(self) -> dict[str, Any]:
        """Keep the loaded dwelling with the settings, so that they open without its file."""
        return {} if self.loaded is None or self.house != LOADED else {"dwelling": dwelling_text(self.loaded)}

    def restore_extra(self, extra: Mapping[str, Any]) -> None:
        """Bring a saved dwelling back."""
        if "dwelling" in extra:
            self.loaded = parse_dwelling(str(extra["dwelling"]), "saved settings")
            if self.house == LOADED:
                self._furnish()
