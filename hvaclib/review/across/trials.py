"""The three questions to a contractor's visits, each with how often chance alone does as much."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hvaclib.review.across.chances import padded, scatter_p, shown_p, steps_p, tie_chance
from hvaclib.review.across.figures import compared, figure

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from hvaclib.review.across.stock import Digits, Raw, Repeat, Spread, Stock, Values
    from hvaclib.review.across.taken import Place


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing that was looked at.

    Parameters
    ----------
    chance : float
        How often chance alone does as much, for this one thing.
    clause : str
        What was seen, as the rest of a sentence.
    items : tuple of str
        Readings that it is about.
    jobs : tuple of str
        Where they stand; empty for all.
    """

    chance: float
    clause: str
    items: tuple[str, ...]
    jobs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """One question to one contractor.

    Parameters
    ----------
    contractor, kind : str
        Of whom, and the kind of the remark that it may lead to.
    seen : tuple of Seen
        Everything that was looked at, the least likely first.
    looked : int
        How many things could have been seen.
    """

    contractor: str
    kind: str
    seen: tuple[Seen, ...]
    looked: int

    @property
    def chance(self) -> float:
        """How often chance alone makes any of it as unlikely: the least times their number (Bonferroni)."""
        return min(1.0, self.looked * self.seen[0].chance) if self.seen else 1.0


def trials_of(stock: Stock, everyone: Values) -> tuple[Trial, ...]:
    """Every question that a contractor's visits are enough for.

    Parameters
    ----------
    stock : Stock
        Of the contractor.
    everyone : Values
        Of the program.

    Returns
    -------
    tuple of Trial
        Empty below the least number of visits.
    """
    if stock.visits < figure("family", "least_visits"):
        return ()
    found = (
        _trial(stock, "repeated-set", repeats(stock, everyone), sum(n > 1 for n in stock.sets.values())),
        _trial(stock, "last-digit", digits(stock)),
        _trial(stock, "little-scatter", (*raw(stock.raw.items()), *residuals(stock.laws.items()))),
    )
    return tuple(trial for trial in found if trial.looked)


def repeats(stock: Stock, everyone: Values) -> tuple[Seen, ...]:
    """Sets of readings on the sheets of several homes.

    Notes
    -----
    The chance that two given visits share a set is at most the chance that any one of its readings ties. Of each group of
    readings that follow from one cause only the least counts, which holds however they depend on one another; between the
    groups the chances are multiplied, and the product is raised to a power below one for what homes have in common. Each
    chance is the largest of three stocks: the program, the program within homes of one model, and the contractor's own.
    Times the number of pairs of visits, it bounds the chance of any such pair.
    """
    found = []
    for repeat in _largest(stock.repeats.values()):
        number = stock.sets[repeat.name]
        together = _product(repeat.places, stock.values, everyone) ** figure("repeats", "exponent")
        chance = min(1.0, number * (number - 1) / 2.0 * together)
        names = tuple(dict.fromkeys(place.item for place in repeat.places))
        clause = f"{len(repeat.places)} readings ({repeat.name}) agree on the jobs {_listed(repeat.jobs)}"
        found.append(Seen(chance, clause, names, tuple(repeat.jobs)))
    return tuple(found)


def digits(stock: Stock) -> tuple[Seen, ...]:
    """Last digits of each source, and of all sources that show every digit together."""
    found, together, items = [], [0] * 10, []
    for source, one in stock.digits.items():
        if not _free(one):
            continue
        row = padded(one.by_decimals)
        if _every_digit(row):
            together = [sum(pair) for pair in zip(together, row, strict=True)]
            items.append((one, steps_p(row) <= shown_p(one.by_decimals)))
        number = sum(row)
        if number >= figure("digits", "least_readings"):
            tool = f" on {source.instrument}" if source.instrument else ""
            said = f"{_favoured(row)} among {number} readings in {source.unit}{tool}"
            found.append(Seen(shown_p(one.by_decimals), said, tuple(sorted(one.items))))
    # A source whose digits two instruments or dropped zeros explain would carry that into the sum.
    if (
        len(items) > 1
        and all(plain for _, plain in items)
        and sum(together) >= figure("digits", "least_readings")
    ):
        names = tuple(sorted({name for one, _ in items for name in one.items}))
        said = f"{_favoured(together)} among all {sum(together)} readings that show every digit"
        found.append(Seen(steps_p(together), said, names))
    return tuple(found)


def raw(rows: Iterable[tuple[Place, Raw]]) -> tuple[Seen, ...]:
    """Readings that must differ from house to house by more than the instrument's noise."""
    found = []
    for place, one in rows:
        spread = one.spread
        width = spread.least_width
        if spread.number < figure("scatter", "least_readings") or not width > 0.0:
            continue
        if one.step > figure("scatter", "coarse") * width:
            continue
        chance = scatter_p(spread.squares / width**2, spread.number - 1)
        share = spread.deviation / width
        said = f"{spread.number} readings scatter by {share:.2f} of the instrument's standard uncertainty"
        found.append(Seen(chance, said, (place.item,)))
    return tuple(found)


def residuals(rows: Iterable[tuple[str, Spread]]) -> tuple[Seen, ...]:
    """Residuals of laws between readings that were taken separately."""
    found = []
    share = figure("scatter", "law_share")
    for law, spread in rows:
        if spread.number < figure("scatter", "least_readings"):
            continue
        chance = scatter_p(spread.squares / share**2, spread.number - 1)
        said = f"the law '{_words_of(law)}' holds on {spread.number} jobs within {spread.deviation:.2f} of its readings' standard uncertainty"
        found.append(Seen(chance, said, _items_of(law)))
    return tuple(found)


def _trial(stock: Stock, kind: str, seen: Sequence[Seen], looked: int | None = None) -> Trial:
    ordered = tuple(sorted(seen, key=lambda one: one.chance))
    return Trial(stock.name, kind, ordered, len(ordered) if looked is None else looked)


def _product(places: Iterable[Place], own: Values, everyone: Values) -> float:
    least: dict[str, float] = {}
    for place in places:
        tied = compared()[place.item].tied
        least[tied] = min(least.get(tied, 1.0), _tie(place, own, everyone))
    made = 1.0
    for chance in least.values():
        made *= chance
    return made


def _tie(place: Place, own: Values, everyone: Values) -> float:
    """Largest chance of a tie among the program, homes of one model, and the contractor's own homes."""
    whole = everyone.counts.get(("", place))
    models = [
        list(row.values()) for (model, where), row in everyone.counts.items() if where == place and model
    ]
    mine = own.counts.get(("", place))
    chances = [tie_chance(list(whole.values())) if whole else 1.0, _within(models)]
    if mine:
        number = sum(mine.values())
        ties = sum(count * (count - 1) for count in mine.values())
        chances.append(ties / (number * (number - 1)) if number > 1 else 0.0)
    return max(chances)


def _within(models: Sequence[Sequence[int]]) -> float:
    """As `tie_chance`, of pairs within one model, all models together; zero where such pairs are too few to tell."""
    ties = sum(count * (count - 1) for row in models for count in row) / 2.0
    pairs = sum(sum(row) * (sum(row) - 1) for row in models) / 2.0
    return (ties + 1.0) / (pairs + 1.0) if pairs >= figure("repeats", "least_pairs") else 0.0


def _largest(all_of: Iterable[Repeat]) -> list[Repeat]:
    """Sets without those that are part of a larger one on the same jobs."""
    kept: list[Repeat] = []
    for one in sorted(all_of, key=lambda repeat: -len(repeat.places)):
        if not any(set(one.jobs) <= set(big.jobs) and set(one.places) <= set(big.places) for big in kept):
            kept.append(one)
    return kept


def _free(one: Digits) -> bool:
    last = 10.0 ** -max(one.by_decimals)
    return one.spread.deviation >= figure("digits", "least_spread") * last


def _every_digit(row: Sequence[int]) -> bool:
    return sum(row[::2]) < sum(row) and sum(row[::5]) < sum(row)


def _favoured(row: Sequence[int]) -> str:
    """The digits that stand last more often than their share by most, and how often."""
    share = sum(row) / 10.0
    best = sorted(range(10), key=lambda digit: -row[digit])[:2]
    named = sorted(digit for digit in best if row[digit] > share)
    if not named:
        return "no digit stands last more often than the others"
    times = sum(row[digit] for digit in named)
    words = " or ".join(str(digit) for digit in named)
    return f"{words} stands last {times} times (expected {len(named) * share:.0f})"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + f" and {names[-1]}"


def _words_of(law: str) -> str:
    from hvaclib.review.plausibility.figures import laws

    return laws()[law].words


def _items_of(law: str) -> tuple[str, ...]:
    return {
        "rise-difference": ("temperature-rise", "supply-temperature", "return-temperature"),
        "static-difference": ("external-static", "static-hole-2", "static-hole-3"),
        "heat-measured": ("clocked-input", "airflow", "supply-temperature", "return-temperature"),
        "co-air-free": ("flue-co-air-free", "flue-co", "flue-oxygen"),
    }[law]
