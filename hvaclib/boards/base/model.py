"""The model of a board: inputs as traits, one pure calculation, and the sentences that say why there is no answer."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from types import MappingProxyType
from typing import Any, ClassVar

import traitlets

from hvaclib.boards.base import link
from hvaclib.boards.base.guard import sentence_of
from hvaclib.boards.base.html import csv_text
from hvaclib.boards.base.inputs import Choice, Input, Switch, Switches
from hvaclib.boards.base.page import Page, PageFile
from hvaclib.errors import FileError

SETTINGS_FORMAT = "hvaclib settings 1"


class Inputs(Mapping[str, Any]):
    """The inputs at one moment, read-only, by key or by attribute."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        self._values = MappingProxyType(dict(values))

    def __getitem__(self, name: str) -> Any:
        return self._values[name]

    def __getattr__(self, name: str) -> Any:
        try:
            return self._values[name]
        except KeyError:
            raise AttributeError(f"the board has no input {name!r}") from None

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)


class Upload:
    """A file that a board takes: words of its button, endings accepted, the largest size in bytes, one or several."""

    def __init__(self, name: str, label: str, accept: str, largest: int, *, several: bool = False) -> None:
        self.name, self.label, self.accept, self.largest = name, label, accept, largest
        self.several = several


class BoardModel(traitlets.HasTraits):
    """Base of every board's model. A board overrides `compute` and `present`, and the other hooks as it needs them.

    Attributes
    ----------
    title, question : str
        Heading of the page and the one question that it answers.
    name : str
        Short name, for file names.
    uploads : tuple of Upload
        Files that the board takes; `receive` gets them.
    kept_open : str
        Group of controls that stays open on a phone, where the others begin folded; none if empty.
    blockers : list of str
        Why there is no answer for the present inputs; empty when there is one.
    outputs : object
        What `compute` gave last; kept when the next inputs give none, so that the picture stays.
    later : object
        What `compute_later` gave last for the present inputs, else none.
    """

    title: ClassVar[str] = ""
    question: ClassVar[str] = ""
    name: ClassVar[str] = "board"
    uploads: ClassVar[tuple[Upload, ...]] = ()
    kept_open: ClassVar[str] = ""

    system = Choice(
        {"field": "field: °F, cfm, Btu/h", "si": "SI: °C, L/s, W"}, "field", label="Units", group="View"
    )
    large_type = Switch(False, label="Larger type in the pictures (phone)", group="View", in_link=False)

    blockers: traitlets.List[str] = traitlets.List(traitlets.Unicode())
    outputs = traitlets.Any(None, allow_none=True)
    later = traitlets.Any(None, allow_none=True)

    def __init__(self, **values: Any) -> None:
        self.members: dict[str, dict[str, bool]] = {}
        self.options: dict[str, dict[str, str]] = {}
        self._defaults: dict[str, Any] = {}
        self._holding = 0
        self._asked: list[Any] = []
        self._tell: list[Any] = []
        super().__init__(**values)

    # -- what a board overrides ---------------------------------------------------------------------------------

    def compute(self, inputs: Inputs) -> Any:
        """The quick answer for the main picture; pure. Keep it under about 30 ms."""
        raise NotImplementedError(f"{type(self).__name__} has no compute")

    def find_blockers(self, inputs: Inputs) -> list[str]:  # noqa: ARG002 - for boards that do
        """Sentences that say why these inputs have no answer; pure. `compute` is not called when there is one."""
        return []

    def compute_later(self, inputs: Inputs, outputs: Any) -> Iterator[Any]:  # noqa: ARG002 - for boards that do
        """Slow work, as a generator: yield none to let controls be heard (every 20 ms or so), then the result."""
        return iter(())

    def present(self, inputs: Inputs, outputs: Any, later: Any) -> Page:
        """Words, pictures and tables; pure. ``later`` is none until the slow work is done."""
        raise NotImplementedError(f"{type(self).__name__} has no present")

    def receive(self, upload: str, filename: str, content: bytes) -> str:  # noqa: ARG002 - for boards that do
        """Take an uploaded file and say in one sentence what was read; raise `FileError` for a wrong one."""
        raise FileError("this board takes no files", where=filename, given=upload, expected="no file")

    def extra_files(self) -> Sequence[PageFile]:
        """Files to keep besides pictures, tables and settings: papers, say; made when somebody asks for them."""
        return ()

    def saved_extra(self) -> dict[str, Any]:
        """What else a saved state must hold besides the inputs (the dwelling loaded, say); plain JSON."""
        return {}

    def restore_extra(self, extra: Mapping[str, Any]) -> None:
        """Bring back what `saved_extra` gave; called before the inputs are set."""

    # -- inputs -------------------------------------------------------------------------------------------------

    def declared(self) -> dict[str, Input]:
        """The input traits by name, in the order in which the class declares them (the board's own first)."""
        found = {n: t for n, t in self.traits().items() if isinstance(t, Input)}
        own_first = sorted(
            found.items(), key=lambda item: (item[0] in ("system", "large_type"), item[1].order)
        )
        return dict(own_first)

    def inputs(self) -> Inputs:
        """The inputs now, with ``system`` and ``width`` ("wide" or "narrow") for drawing."""
        values = {name: getattr(self, name) for name in self.declared()}
        return Inputs({**values, "width": "narrow" if self.large_type else "wide"})

    def default_of(self, name: str) -> Any:
        """Default of an input: what the class declares, or what `set_members` or `set_default` said since."""
        trait = self.declared()[name]
        if isinstance(trait, Switches):
            return dict(self.members.get(name, {}))
        return self._defaults.get(name, trait.default_value)

    def set_default(self, name: str, value: Any) -> None:
        """Give an input a new default and this value: the weather of the dwelling just loaded, say."""
        setattr(self, name, value)
        self._defaults[name] = getattr(self, name)

    def set_members(self, name: str, defaults: Mapping[str, bool]) -> None:
        """Name the members of a group of switches with their defaults, and set them to these."""
        self.members[name] = {str(member): bool(on) for member, on in defaults.items()}
        self._trait_values.pop(name, None)  # else traitlets sees equal values and tells nobody of new members
        setattr(self, name, dict(self.members[name]))

    def set_options(self, name: str, options: Mapping[str, str], value: str) -> None:
        """Name the options of a choice that comes from the data with their words, and choose one as the default."""
        self.options[name] = {str(key): str(words) for key, words in options.items()}
        self._trait_values.pop(name, None)  # what was chosen may not be among them
        self.set_default(name, value)

    def reset(self) -> None:
        """All inputs back to their defaults."""
        with self.held():
            for name, trait in self.declared().items():
                if trait.in_link:
                    setattr(self, name, self.default_of(name))

    @contextmanager
    def held(self) -> Iterator[None]:
        """Change several inputs and have one answer at the end."""
        self._holding += 1
        try:
            yield
        finally:
            self._holding -= 1
            if not self._holding and self._asked:
                self._asked.clear()
                for tell in list(self._listeners()):
                    tell()

    def on_inputs(self, tell: Any) -> None:
        """Call ``tell()`` after any input has changed; once at the end of a `held` block."""
        self._listeners().append(tell)

        def changed(change: Any) -> None:
            if self._holding:
                self._asked.append(change)
            else:
                tell()

        self.observe(changed, names=list(self.declared()))

    def _listeners(self) -> list[Any]:
        return self._tell

    # -- answer -------------------------------------------------------------------------------------------------

    def refresh(self) -> bool:
        """Work out the answer for the present inputs; false when there is none, and `blockers` says why."""
        inputs = self.inputs()
        try:
            sentences = list(self.find_blockers(inputs))
            outputs = None if sentences else self.compute(inputs)
        except Exception as error:  # noqa: BLE001 - becomes a sentence on the page
            sentences, outputs = [sentence_of(error)], None
        self.later = None
        if sentences:
            self.blockers = sentences
            return False
        self.outputs, self.blockers = outputs, []
        return True

    def page(self) -> Page:
        """What the board shows now; the pictures of the last answer stay while there is a blocker."""
        return self.present(self.inputs(), self.outputs, self.later)

    # -- in and out ---------------------------------------------------------------------------------------------

    def to_link(self) -> str:
        """The query string of all inputs that differ from their defaults."""
        return link.to_link(self)

    def from_link(self, query: str) -> list[str]:
        """Set the inputs from a query string; one sentence for each part that could not be followed."""
        return link.from_link(self, query)

    def export_table(self) -> str:
        """The first table of the page as CSV text; empty when the page has none."""
        tables = self.page().tables
        return csv_text(tables[0].rows) if tables else ""

    def to_settings(self) -> str:
        """The whole state as JSON text, to be saved and loaded again."""
        state = {
            "format": SETTINGS_FORMAT,
            "board": self.name,
            "settings": self.to_link(),
            "extra": self.saved_extra(),
        }
        return json.dumps(state, ensure_ascii=False, indent=1) + "\n"

    def from_settings(self, text: str) -> list[str]:
        """Bring a saved state back.

        Raises
        ------
        FileError
            When the text is no saved state, or one of another board.
        """
        try:
            state = json.loads(text)
        except ValueError as error:
            raise FileError(
                "this is not a settings file", given=str(error), expected="a file saved by this board"
            ) from error
        if (
            not isinstance(state, dict)
            or state.get("format") != SETTINGS_FORMAT
            or state.get("board") != self.name
        ):
            raise FileError(
                "this is not a settings file of this board", where=self.name,
                given=state.get("board", state.get("format")) if isinstance(state, dict) else type(state).__name__,
                expected=f'"{SETTINGS_FORMAT}" with board "{self.name}"',
            )  # fmt: skip
        with self.held():
            self.restore_extra(state.get("extra") or {})
            self.reset()
            return self.from_link(str(state.get("settings", "")))
