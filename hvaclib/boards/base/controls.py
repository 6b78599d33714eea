"""Widgets bound to inputs: each has its label above, its own place for a refusal, and follows the model both ways."""

from __future__ import annotations

from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any, Protocol

import ipywidgets as widgets
import traitlets

from hvaclib.boards.base.guard import guarded
from hvaclib.boards.base.html import paragraphs
from hvaclib.boards.base.inputs import Choice, Input, MemberChoice, Number, Switch, Switches, Typed
from hvaclib.units import show, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.boards.base.model import BoardModel


_CLOSE = 1e-6
"""Steps of a slider within which two numbers are the same place of it."""


class Control(Protocol):
    """What the view needs of a control."""

    box: widgets.Box

    def follow(self) -> None:
        """Show the model's value, units and options again."""


class _Bound:
    """One input, its box, and the sentence beside it."""

    def __init__(self, model: BoardModel, name: str, trait: Input) -> None:
        self.model, self.name = model, name
        self.message = made(widgets.HTML, "board-message", "suite-live")
        self._following = False
        self.safe = guarded(self.say)
        self.help = (
            [made(widgets.HTML, "board-help", value=paragraphs([trait.explanation]))]
            if trait.explanation
            else []
        )

    def say(self, sentence: str = "") -> None:
        """Put one sentence beside the control, or take it away."""
        text = paragraphs([sentence]) if sentence else ""
        if self.message.value != text:
            self.message.value = text

    @contextmanager
    def following(self) -> Iterator[None]:
        """While the widgets follow the model, what they tell is not a person's move."""
        before, self._following = self._following, True
        try:
            yield
        finally:
            self._following = before

    def move(self, value: Any) -> None:
        """A person has moved the control."""
        if self._following:
            return
        setattr(self.model, self.name, value)
        self.say()


class _Slider(widgets.FloatSlider):
    """A slider that tells the page its limits before its value, and does not repeat what the page has told it.

    The page takes the entries of a message one by one. A value that came before its limits would be pushed to the old
    limit, and sent back as a move. And a repeated value would come while the hand is further on already, and pull the
    slider back.
    """

    value = traitlets.CFloat(0.0).tag(sync=True, echo_update=False)

    def get_state(self, key: Any = None, drop_defaults: bool = False) -> dict[str, Any]:
        """The state to send, the value last."""
        state = super().get_state(key=key, drop_defaults=drop_defaults)
        return dict(sorted(state.items(), key=lambda entry: entry[0] == "value"))


class NumberControl(_Bound):
    """A text box that takes typed units, over a slider."""

    def __init__(self, model: BoardModel, name: str, trait: Number) -> None:
        super().__init__(model, name, trait)
        self.trait = trait
        self.text = made(widgets.Text, "board-field", description=trait.words, continuous_update=False)
        self.slider = made(_Slider, "board-slider", readout=False, tooltip=f"{trait.words}, slider")
        self.box = made(
            widgets.VBox, "board-control", children=[self.text, *self.help, self.slider, self.message]
        )
        self.follow()
        self.text.observe(self.safe(self._typed), names="value")
        self.slider.observe(self.safe(self._slid), names="value")

    def follow(self) -> None:
        """Show the value, limits and unit of the model."""
        system, value = self.model.system, getattr(self.model, self.name)
        low, high, step = self.trait.slider(system)
        with self.following():
            words = show(value, self.trait.kind, system)
            if self.text.value != words:
                self.text.value = words
                self.say()
            # In one message: between two the page's slider would push a value of the old unit to the new limit, and
            # send that back as a move.
            with self.slider.hold_sync():
                if (self.slider.min, self.slider.max, self.slider.step) != (low, high, step):
                    self.slider.min = min(low, self.slider.min)
                    self.slider.max = max(high, self.slider.max)
                    self.slider.min, self.slider.max, self.slider.step = low, high, step
                stands = self._on_slider(value, low, high, step)
                # The page reckons 0.31250000000000006 where this has 0.3125: put right, it would pull the slider back.
                if abs(self.slider.value - stands) > _CLOSE * step:
                    self.slider.value = stands

    def _typed(self, change: Any) -> None:
        if not self._following:
            self.move(self.trait.read(change["new"], self.model.system))
            self.follow()

    def _on_slider(self, value: float, low: float, high: float, step: float) -> float:
        """The whole step nearest to a value.

        The page's slider moves only by whole steps and sends back where it stands: given 253 it would answer 250 and
        overwrite what was typed. So it is given 250, and 250 is not taken as a move.
        """
        number = float(shown(value, self.trait.kind, self.model.system))
        return min(max(low + round((number - low) / step) * step, low), high)

    def _slid(self, change: Any) -> None:
        system = self.model.system
        stands = self._on_slider(getattr(self.model, self.name), *self.trait.slider(system))
        if abs(change["new"] - stands) > _CLOSE * self.slider.step:
            self.move(self.trait.from_slider(change["new"], system))


class TypedControl(_Bound):
    """A text box that takes typed units, and may be empty."""

    def __init__(self, model: BoardModel, name: str, trait: Typed) -> None:
        super().__init__(model, name, trait)
        self.trait = trait
        self.text = made(widgets.Text, "board-field", description=trait.words, continuous_update=False)
        self.box = made(widgets.VBox, "board-control", children=[self.text, *self.help, self.message])
        self.follow()
        self.text.observe(self.safe(self._typed), names="value")

    def follow(self) -> None:
        """Show the value in the unit of the model."""
        value = getattr(self.model, self.name)
        words = "" if value is None else show(value, self.trait.kind, self.model.system)
        with self.following():
            if self.text.value != words:
                self.text.value = words
                self.say()

    def _typed(self, change: Any) -> None:
        if not self._following:
            self.move(self.trait.read(change["new"], self.model.system))
            self.follow()


class SwitchControl(_Bound):
    """A box to tick."""

    def __init__(self, model: BoardModel, name: str, trait: Switch) -> None:
        super().__init__(model, name, trait)
        self.tick = made(
            widgets.Checkbox, "board-switch", f"board-input-{name}", description=trait.words, indent=False
        )
        self.box = made(widgets.VBox, "board-control", children=[self.tick, *self.help, self.message])
        self.follow()
        self.tick.observe(self.safe(lambda change: self.move(change["new"])), names="value")

    def follow(self) -> None:
        """Show the value of the model."""
        with self.following():
            self.tick.value = getattr(self.model, self.name)


class ChoiceControl(_Bound):
    """A list to choose from."""

    def __init__(self, model: BoardModel, name: str, trait: Choice | MemberChoice) -> None:
        super().__init__(model, name, trait)
        self.trait = trait
        self.list = made(widgets.Dropdown, "board-field", description=trait.words, options=self._options())
        self.follow()
        self.box = made(widgets.VBox, "board-control", children=[self.list, *self.help, self.message])
        self.list.observe(self.safe(lambda change: self.move(change["new"])), names="value")

    def _options(self) -> tuple[tuple[str, str], ...]:
        trait, model = self.trait, self.model
        known = trait.options if isinstance(trait, Choice) else model.options.get(self.name, {})
        return tuple((words, key) for key, words in known.items())

    def follow(self) -> None:
        """Show the options and the value of the model."""
        options = self._options()
        with self.following():
            if self.list.options != options:
                self.list.options = options
            if options:
                self.list.value = getattr(self.model, self.name)


class SwitchesControl(_Bound):
    """Boxes to tick, one for each member; they are built anew when the members change."""

    def __init__(self, model: BoardModel, name: str, trait: Switches) -> None:
        super().__init__(model, name, trait)
        self.ticks: dict[str, widgets.Checkbox] = {}
        self.box = made(widgets.VBox, "board-control", children=[])
        self.follow()

    def follow(self) -> None:
        """Show the members and values of the model."""
        value: dict[str, bool] = getattr(self.model, self.name)
        with self.following():
            if list(value) != list(self.ticks):
                for old in self.ticks.values():
                    old.close()
                self.ticks = {member: self._tick(member) for member in value}
                self.box.children = [*self.help, *self.ticks.values(), self.message]
            for member, on in value.items():
                self.ticks[member].value = on

    def _tick(self, member: str) -> widgets.Checkbox:
        tick = made(widgets.Checkbox, "board-switch", description=member, indent=False)
        tick.observe(
            self.safe(lambda change: self.move({**getattr(self.model, self.name), member: change["new"]})),
            names="value",
        )
        return tick


def control_for(model: BoardModel, name: str, trait: Input) -> Control:
    """The control that fits an input."""
    if isinstance(trait, Typed):
        return TypedControl(model, name, trait)
    if isinstance(trait, Number):
        return NumberControl(model, name, trait)
    if isinstance(trait, Switch):
        return SwitchControl(model, name, trait)
    if isinstance(trait, Choice | MemberChoice):
        return ChoiceControl(model, name, trait)
    return SwitchesControl(model, name, trait)


def made(kind: type[Any], *classes: str, **values: Any) -> Any:
    """A widget with style classes, for a page that starts quickly.

    Every widget has a layout and most have a style, each a model of its own that the page must build. The looks of a
    board are in its style sheet, so that all its widgets share one of each: a third of the models is left.
    """
    style = kind.class_traits().get("style")
    if style is not None:
        values["style"] = _shared(style.klass)
    return kind(layout=_shared(widgets.Layout), _dom_classes=classes, **values)


@cache
def _shared(kind: type[Any]) -> Any:
    return kind()
