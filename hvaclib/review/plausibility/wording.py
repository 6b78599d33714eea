"""A group of checks that fail, as a remark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.review.plausibility.figures import sheet_figures
from hvaclib.review.remark import Remark, Severity
from hvaclib.rules.wording import both
from hvaclib.visit.checklist import item

if TYPE_CHECKING:
    from hvaclib.review.plausibility.diagnosis import Group
    from hvaclib.review.plausibility.hypotheses import Hypothesis
    from hvaclib.review.plausibility.sheet import Name

_DRAFTS = ("draft-natural", "draft-worst-case")


def remark_of(group: Group) -> Remark:
    """A remark that says which readings cannot all be true, and which is most likely wrong.

    Parameters
    ----------
    group : Group

    Returns
    -------
    Remark
    """
    likely = group.likely
    laws = list(dict.fromkeys(check.law for check, _ in group.checks))
    about = likely.names[0] if likely else group.checks[0][0].names[0]
    line = item(about.item)
    slipped = likely is not None and likely.slip not in ("", "exchanged")
    names = likely.names if likely else group.names
    cautions = [item(name.item).measurable.caution for name in names]  # type: ignore[union-attr]
    return Remark(
        "unit-slip" if slipped else laws[0].kind,
        _severity(group),
        _sentence(group),
        item=about.item,
        where=about.where,
        when=line.stage,
        suspects=tuple(
            dict.fromkeys(name.item for name in (*group.names, *(likely.names if likely else ())))
        ),
        likely=about.item if likely else "",
        acts=line.acts,
        do=(_what_to_do(likely),),
        cautions=tuple(dict.fromkeys(text for text in cautions if text)),
        source="; ".join(dict.fromkeys(law.source for law in laws)),
        false_alarm=sheet_figures().false_alarm,
    )


def _severity(group: Group) -> Severity:
    """An impossible draft is grave: nobody knows then whether the vent carries its gas away."""
    impossible = group.checks[0][0].law.kind == "draft-physics"
    likely = group.likely
    if impossible and likely is not None and likely.slip == "" and likely.names[0].item in _DRAFTS:
        return "fail"
    return "look again"


def _sentence(group: Group) -> str:
    shown = [f"{_title(name)} {_written(name, group.values[name].x)}" for name in group.names]
    laws = "; ".join(dict.fromkeys(check.law.words for check, _ in group.checks[:3]))
    verb = "cannot all be true" if len(shown) > 1 else "cannot be true"
    return f"{_capital(_listed(shown))} {verb}: {laws}. {_capital(_likely_words(group))}"


def _likely_words(group: Group) -> str:
    likely = group.likely
    if likely is None:
        return "No single one stands out as wrong." if len(group.names) > 1 else "Read it again."
    name, value = likely.changes[0]
    if likely.slip == "exchanged":
        other = _title(likely.names[1])
        return f"Most likely {_title(name)} and {other} stand in each other's place."
    meant = _written(name, value.x)
    if len(likely.changes) > 1:
        titles, meant = (
            _listed([_title(each) for each in likely.names]),
            _listed([_written(each, other.x) for each, other in likely.changes]),
        )
        return f"{titles} look as if all were written {likely.slip}: they would be {meant}, and the readings agree."
    if likely.slip:
        return (
            f"{_title(name)} looks as if written {likely.slip}: it would be {meant}, and the readings agree."
        )
    return f"Most likely wrong is {_title(name)}: about {meant} would agree with the others."


def _what_to_do(likely: Hypothesis | None) -> str:
    if likely is None:
        return "Take these readings again, at the same time and at steady operation."
    titles = " and ".join(_title(name) for name in likely.names)
    return f"Take {titles} again, and write it down with unit and sign."


def _listed(texts: list[str]) -> str:
    return " and ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _title(name: Name) -> str:
    line = item(name.item)
    place = f" ({name.where})" if line.place in ("appliance", "zone") else ""
    return line.title[:1].lower() + line.title[1:] + place


def _written(name: Name, x: float) -> str:
    thing = item(name.item).measurable
    assert thing is not None
    assert thing.kind is not None
    return both(x, thing.kind)
