"""The flue-gas board: what an analyser's readings mean for safety, air and heat."""

from hvaclib.boards.flue_gas.model import FlueGasBoard

__all__ = ["FlueGasBoard"]
