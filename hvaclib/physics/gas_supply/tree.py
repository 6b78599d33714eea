"""A small tree of gas pipes: flow and pressure with everything firing, and sizes by the longest length."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hvaclib.errors import InputError
from hvaclib.physics.gas_supply.piping import NATURAL_GAS, nominal_for, pipe_capacity, pipe_drop

__all__ = ["Pipe", "PipeState", "PipeTree"]

METER = "meter"


@dataclass(frozen=True, slots=True)
class Pipe:
    """One piece of pipe.

    Parameters
    ----------
    name : str
        Of the piece, and of the tee or outlet at its far end.
    after : str
        Name of the piece that feeds it, or "meter".
    length : float
        m, with the equivalent length of its fittings; above zero.
    diameter : float
        m inside, above zero.
    load : float
        m³/s that an appliance at its far end takes when it fires; 0 at a tee.
    """

    name: str
    after: str
    length: float
    diameter: float
    load: float = 0.0


@dataclass(frozen=True, slots=True)
class PipeState:
    """One piece of pipe with gas flowing.

    Attributes
    ----------
    pipe : Pipe
        The piece.
    flow : float
        m³/s, all that burns beyond it.
    drop : float
        Pa along it.
    pressure : float
        Pa at its far end.
    run : float
        m from the meter to its far end.
    longest_capacity : float
        m³/s that the longest-length method allows it.
    longest_size : str
        Smallest nominal size by that method; empty where the table's largest is too small.
    enough : bool
        Whether it carries its flow by that method.
    """

    pipe: Pipe
    flow: float
    drop: float
    pressure: float
    run: float
    longest_capacity: float
    longest_size: str
    enough: bool


class PipeTree:
    """Pipes from the meter to the appliances.

    Parameters
    ----------
    pipes : sequence of Pipe
        In any order.
    relative_density : float
        Of the gas.

    Raises
    ------
    InputError
        If a name is used twice, a piece hangs on nothing or on itself, an end has no appliance, or a number is out
        of range.

    Notes
    -----
    Longest-length method: every piece is sized with the length from the meter to the farthest outlet (IFGC 402.4.1).
    The pressures come from the true flows and lengths: the method is on the safe side of them.
    """

    def __init__(self, pipes: Sequence[Pipe], relative_density: float = NATURAL_GAS) -> None:
        self.pipes = {pipe.name: pipe for pipe in pipes}
        self.relative_density = relative_density
        if not pipes or len(self.pipes) != len(pipes):
            raise InputError("pipes need names, each its own", where="pipes", given=[p.name for p in pipes])
        for pipe in pipes:
            if pipe.name == METER or (pipe.after != METER and pipe.after not in self.pipes):
                expected = " or ".join([METER, *self.pipes])
                raise InputError(
                    "a pipe that hangs on nothing", where=pipe.name, given=pipe.after, expected=expected
                )
            if not (pipe.length > 0 and pipe.diameter > 0 and pipe.load >= 0):
                raise InputError(
                    "length and diameter must be above zero, the load not negative", where=pipe.name
                )
        feeding = {pipe.after for pipe in pipes}
        for pipe in pipes:
            self._way(pipe.name)
            if pipe.name not in feeding and pipe.load == 0:
                raise InputError(
                    "a pipe that ends at no appliance", where=pipe.name, expected="a load at its end"
                )

    def _way(self, name: str) -> list[Pipe]:
        """Pieces from the meter to the far end of this one."""
        way: list[Pipe] = []
        while name != METER:
            if any(pipe.name == name for pipe in way):
                raise InputError(
                    "these pipes feed each other in a ring", where=name, expected="a way to the meter"
                )
            way.append(self.pipes[name])
            name = self.pipes[name].after
        return way[::-1]

    def longest(self) -> float:
        """Length (m) from the meter to the farthest outlet."""
        return max(sum(pipe.length for pipe in self._way(name)) for name in self.pipes)

    def flows(self, firing: Mapping[str, bool] | None = None) -> dict[str, float]:
        """Flow (m³/s) in each piece; what ``firing`` leaves out fires."""
        flows = dict.fromkeys(self.pipes, 0.0)
        for pipe in self.pipes.values():
            if pipe.load and (firing is None or firing.get(pipe.name, True)):
                for piece in self._way(pipe.name):
                    flows[piece.name] += pipe.load
        return flows

    def solve(
        self, supply: float, allowed_drop: float, firing: Mapping[str, bool] | None = None
    ) -> dict[str, PipeState]:
        """Pressures and longest-length sizes.

        Parameters
        ----------
        supply : float
            Pa after the meter, above zero.
        allowed_drop : float
            Pa, for which the pipes are sized; above zero.
        firing : mapping of str to bool, optional
            Which appliances fire, for the pressures; sizes always count all of them.

        Returns
        -------
        dict of str to PipeState
            By name of the piece; a pressure may come out below zero, which says that the pipe cannot carry the flow.

        Raises
        ------
        InputError
            If supply or allowed drop is not above zero.
        """
        if not (supply > 0 and allowed_drop > 0):
            raise InputError("supply pressure and allowed drop must be above zero", where="pipe tree")
        flows, design = self.flows(firing), self.flows()
        drops = {
            name: float(
                pipe_drop.si(flow=flows[name], diameter=pipe.diameter, length=pipe.length,
                             relative_density=self.relative_density)
            )
            for name, pipe in self.pipes.items()
        }  # fmt: skip
        longest, found = self.longest(), {}
        for name, pipe in self.pipes.items():
            way = self._way(name)
            capacity = float(
                pipe_capacity.si(diameter=pipe.diameter, length=longest, drop=allowed_drop,
                                 relative_density=self.relative_density)
            )  # fmt: skip
            size = nominal_for(design[name], longest, allowed_drop, self.relative_density)
            pressure = supply - sum(drops[piece.name] for piece in way)
            run = sum(piece.length for piece in way)
            found[name] = PipeState(
                pipe, flows[name], drops[name], pressure, run, capacity, size, capacity >= design[name]
            )
        return found
