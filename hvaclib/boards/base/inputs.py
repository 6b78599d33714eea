"""Inputs of a board as traits: each declares its kind, limits, step, label and help, and needs no widget.

class Hood(BoardModel):
    flow = Number(kinds.VOLUME_FLOW, "250 cfm", low="0 cfm", high="1200 cfm", step=10, label="Range hood")
    wind = Switch(False, label="Windy day")
    fans = Switches(label="Fans")
"""

from __future__ import annotations

import itertools
import math
import re
from typing import TYPE_CHECKING, Any

import traitlets

from hvaclib.errors import InputError, UnitError
from hvaclib.units import from_shown, parse_si, show, shown

if TYPE_CHECKING:
    from collections.abc import Mapping

    from hvaclib.units import Kind

_BARE = re.compile(r"[-+−–]?[\d.,/ ]*\d[\d., ]*(?:[eE][-+]?\d+)?")
"""A number without a unit; "950 Btu/ft³" and "0.3 in. w.c." have one, whatever they end in."""
_ORDER = itertools.count()  # traitlets lists traits by the alphabet; a board shows them as they are written


class _Declared:
    """What every input declares besides its value."""

    def declare(self, label: str, help: str, group: str, in_link: bool) -> None:
        """Keep the words of an input and its place among the others."""
        self.words, self.explanation, self.section, self.in_link = label, help, group, in_link
        self.order = next(_ORDER)


class Number(traitlets.Float, _Declared):
    """A quantity, kept in SI, shown and typed in the units of the board.

    Parameters
    ----------
    kind : Kind
        Kind of quantity.
    default, low, high : str
        Start value and limits with their units: ``"250 cfm"``.
    step : float
        Step of the slider in the field unit; in SI the nearest 1, 2 or 5 times a power of ten.
    label : str
        Label above the control.
    help : str, optional
        One sentence below the label.
    group : str, optional
        Heading under which the control stands.
    in_link : bool, optional
        Whether a link to the view carries the value.
    whole : bool, optional
        Whether it is a count: sheets, or the number of a step.
    """

    def __init__(
        self, kind: Kind, default: str, *, low: str, high: str, step: float, label: str, help: str = "",
        group: str = "", in_link: bool = True, whole: bool = False,
    ) -> None:  # fmt: skip
        self.kind, self.whole = kind, whole
        self.low, self.high = parse_si(low, kind), parse_si(high, kind)
        self.step = step
        self.declare(label, help, group, in_link)
        super().__init__(default_value=parse_si(default, kind))

    def validate(self, obj: Any, value: Any) -> float:
        """Refuse what is not a number within the limits, in one sentence."""
        number = float(super().validate(obj, value))
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        if not math.isfinite(number) or not self.low - slack <= number <= self.high + slack:
            system = getattr(obj, "system", "field")
            raise InputError(
                "this value is outside what the board covers",
                where=self.words,
                given=_brief(show(number, self.kind, system)),
                expected=f"{show(self.low, self.kind, system)} to {show(self.high, self.kind, system)}",
            )
        if self.whole and number != round(number):
            raise InputError(
                "only whole numbers count here", where=self.words, given=f"{number:g}", expected=self._count
            )
        return min(max(number, self.low), self.high)

    def read(self, text: str, system: str) -> float:
        """A typed text to SI; a bare number is in the unit on the label.

        Raises
        ------
        UnitError
            When the text is no quantity of this kind.
        """
        cleaned = text.strip()
        if _BARE.fullmatch(cleaned):
            cleaned = f"{cleaned} {self.kind.label(system)}".strip()
        try:
            return parse_si(cleaned, self.kind)
        except UnitError as error:
            wanted = self._count if self.whole else error.expected or self.kind.expected
            raise UnitError(error.what, where=self.words, given=text, expected=wanted) from None

    @property
    def _count(self) -> str:
        return f"a whole number from {self.low:g} to {self.high:g}"

    def slider(self, system: str) -> tuple[float, float, float]:
        """Least, most and step of the slider in the shown unit; the limits rounded inwards to whole steps."""
        step = self.step
        if system != "field":
            ratio = (shown(1.0, self.kind, system) - shown(0.0, self.kind, system)) / (
                shown(1.0, self.kind, "field") - shown(0.0, self.kind, "field")
            )
            step = _nearest_nice(self.step * float(ratio))
        low, high = (float(shown(v, self.kind, system)) for v in (self.low, self.high))
        return math.ceil(low / step - 1e-6) * step, math.floor(high / step + 1e-6) * step, step

    def from_slider(self, number: float, system: str) -> float:
        """A slider's number to SI, on a whole step: the page's slider adds steps up, and says 7.999999999999999 for 8."""
        step = self.slider(system)[2]
        return float(from_shown(float(f"{round(number / step) * step:.12g}"), self.kind, system))


class Typed(Number):
    """A quantity that may be left empty, typed and never slid: a reading that somebody took, or none (``None``).

    Parameters
    ----------
    kind, low, high, label, help, group, in_link
        As for `Number`.
    """

    def __init__(
        self, kind: Kind, *, low: str, high: str, label: str, help: str = "", group: str = "", in_link: bool = True
    ) -> None:  # fmt: skip
        super().__init__(
            kind, low, low=low, high=high, step=1.0, label=label, help=help, group=group, in_link=in_link
        )
        self.allow_none, self.default_value = True, None  # type: ignore[assignment]  # an empty field is None

    def validate(self, obj: Any, value: Any) -> Any:
        """Refuse what is not a number within the limits; nothing is allowed."""
        return None if value is None else super().validate(obj, value)

    def read(self, text: str, system: str) -> Any:
        """A typed text to SI; an empty one is no reading."""
        return super().read(text, system) if text.strip() else None


class Switch(traitlets.Bool, _Declared):
    """Something that is on or off."""

    def __init__(
        self, default: bool = False, *, label: str, help: str = "", group: str = "", in_link: bool = True
    ) -> None:  # fmt: skip
        self.declare(label, help, group, in_link)
        super().__init__(default_value=default)


class Choice(traitlets.Enum, _Declared):
    """One of several, by key; ``options`` gives the words for each key and may be replaced on a model."""

    def __init__(
        self, options: Mapping[str, str], default: str, *, label: str, help: str = "", group: str = "",
        in_link: bool = True,
    ) -> None:  # fmt: skip
        self.options = dict(options)
        self.declare(label, help, group, in_link)
        super().__init__(list(self.options), default_value=default)

    def validate(self, obj: Any, value: Any) -> str:  # noqa: ARG002 - the signature is fixed
        """Refuse a key that is not among the options, in one sentence."""
        if value not in self.options:
            raise InputError(
                "there is no such choice",
                where=self.words,
                given=value,
                expected="one of: " + ", ".join(self.options),
            )
        return str(value)


class MemberChoice(traitlets.Unicode, _Declared):
    """One of several that come from the data: the speed taps of a furnace.

    `BoardModel.set_options` names them with their words; before that there is none, and the value is empty.
    """

    def __init__(self, *, label: str, help: str = "", group: str = "", in_link: bool = True) -> None:
        self.declare(label, help, group, in_link)
        super().__init__(default_value="")

    def validate(self, obj: Any, value: Any) -> str:
        """Refuse a key that is not among the options, in one sentence."""
        known = obj.options.get(self.name, {})
        if value not in known and not (value == "" and not known):
            raise InputError(
                "there is no such choice",
                where=self.words,
                given=value,
                expected="one of: " + ", ".join(known),
            )
        return str(value)


class Switches(traitlets.Dict, _Declared):
    """A group of switches whose members come from the data: the fans or doors of a dwelling.

    The value maps each member's name to on or off. `BoardModel.set_members` names the members and their defaults.
    """

    def __init__(self, *, label: str, help: str = "", in_link: bool = True) -> None:
        self.declare(label, help, label, in_link)
        super().__init__(default_value={})

    def validate(self, obj: Any, value: Any) -> dict[str, bool]:
        """Refuse a member that is not there; members left out keep their default."""
        known = obj.members.get(self.name, {})
        for name in value:
            if name not in known:
                raise InputError(
                    "there is no such switch",
                    where=self.words,
                    given=name,
                    expected="one of: " + ", ".join(known),
                )
        return {name: bool(value.get(name, default)) for name, default in known.items()}


Input = Number | Switch | Choice | MemberChoice | Switches


def _nearest_nice(step: float) -> float:
    power = 10.0 ** math.floor(math.log10(step))
    return min((m * power for m in (1.0, 2.0, 5.0, 10.0)), key=lambda nice: abs(math.log(nice / step)))


def _brief(text: str) -> str:
    """A number as it is shown; one of a hundred digits by its beginning."""
    return text if len(text) <= 24 else f"{text[:12]}…"
