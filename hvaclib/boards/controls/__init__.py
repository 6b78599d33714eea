"""The condensate-and-controls board: whether the water gets out, and whether the thermostat switches right."""

from hvaclib.boards.controls.model import ControlsBoard

__all__ = ["ControlsBoard"]
