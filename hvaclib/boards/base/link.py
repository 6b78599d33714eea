"""The settings of a board as a query string, and back: readable, only what differs, never a crash."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import parse_qsl, quote, urlencode

from hvaclib.boards.base.guard import sentence_of
from hvaclib.boards.base.inputs import Choice, Input, MemberChoice, Number, Switch, Switches
from hvaclib.errors import HvacError, InputError
from hvaclib.units import parse_si, shown

if TYPE_CHECKING:
    from hvaclib.boards.base.model import BoardModel
    from hvaclib.units import Kind

MOST_FIELDS = 200
SWITCH_WORDS = {
    "on": True,
    "off": False,
    "true": True,
    "false": False,
    "yes": True,
    "no": False,
    "1": True,
    "0": False,
}
SERVERS_OWN = ("token", "_xsrf")  # keys that the server puts into a link; those that begin with 'voila' too


def quantity_text(value: float, kind: Kind, system: str) -> str:
    """A quantity as short as it can be written without losing its value (to 12 digits)."""
    unit = kind.label(system)
    number = float(shown(value, kind, system))
    for digits in (4, 6, 9, 12):
        text = f"{number:.{digits}g} {unit}".strip()
        if abs(parse_si(text, kind) - value) <= 1e-12 * abs(value):
            return text
    return f"{number:.17g} {unit}".strip()


def to_link(model: BoardModel) -> str:
    """The query string of all inputs that differ from their defaults; empty when none does."""
    fields: list[tuple[str, str]] = []
    for name, trait in model.declared().items():
        value, default = getattr(model, name), model.default_of(name)
        if not trait.in_link or value == default:
            continue
        if isinstance(trait, Switches):
            fields += [
                (f"{name}.{member}", "on" if on else "off")
                for member, on in value.items()
                if on != default.get(member)
            ]
        elif isinstance(trait, Switch):
            fields.append((name, "on" if value else "off"))
        elif isinstance(trait, Number):
            fields.append((name, "" if value is None else quantity_text(value, trait.kind, model.system)))
        else:
            fields.append((name, str(value)))
    return urlencode(fields, quote_via=quote)


def from_link(model: BoardModel, query: str) -> list[str]:
    """Set a model from a query string.

    Parameters
    ----------
    model : BoardModel
        All inputs that the link does not name keep their value.
    query : str
        With or without the question mark.

    Returns
    -------
    list of str
        One sentence for each part that could not be followed; the others are in force.
    """
    try:
        fields = parse_qsl(
            query.lstrip("?"), keep_blank_values=True, errors="replace", max_num_fields=MOST_FIELDS
        )
    except ValueError:
        return [f"The link has more than {MOST_FIELDS} settings and was not read."]
    problems: list[str] = []
    declared = model.declared()
    with model.held():
        for key, text in fields:
            if key in SERVERS_OWN or key.startswith("voila"):
                continue
            try:
                _set(model, declared, key, text)
            except HvacError as error:
                problems.append(sentence_of(error))
    return problems


def _set(model: BoardModel, declared: dict[str, Input], key: str, text: str) -> None:
    name, _, member = key.partition(".")
    trait = declared.get(name)
    if trait is None or not trait.in_link or bool(member) != isinstance(trait, Switches):
        raise InputError(
            "this page has no such setting", where="link", given=key,
            expected="one of: " + ", ".join(n for n, t in declared.items() if t.in_link),
        )  # fmt: skip
    if isinstance(trait, Number):
        setattr(model, name, trait.read(text, model.system))
    elif isinstance(trait, Choice | MemberChoice):
        setattr(model, name, text)
    else:
        state = SWITCH_WORDS.get(text.strip().lower())
        if state is None:
            raise InputError(
                "a switch is on or off", where=f"link, {key}", given=text, expected='"on" or "off"'
            )
        setattr(model, name, {**getattr(model, name), member: state} if member else state)
