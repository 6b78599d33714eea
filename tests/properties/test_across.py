"""Programs of invented contractors: how often sound ones are remarked on, how often planted patterns are found.

The makers draw houses, models and instruments with numpy alone. Everything is invented.
"""

from __future__ import annotations

import datetime as dt
import math
import tracemalloc

import numpy as np
import pytest
from scipy import stats

from hvaclib.review.across import Tally, across, across_one
from hvaclib.review.across.figures import figure
from hvaclib.review.across.taken import Brought, Place, Shown, Taken
from hvaclib.visit import Appliance, Entry, Job, Visit

INCH = 249.08891  # Pa of a conventional inch of water
KIND = "fan-assisted furnace"
# item: unit, SI of the unit, offset, decimals, standard uncertainty in SI, spread within a model, spread of the models
READINGS = {
    "gas-supply-pressure": ("in. w.c.", INCH, 0.0, 1, 1.5, 0.5, 0.0),
    "manifold-pressure": ("in. w.c.", INCH, 0.0, 2, 1.5, 0.06, 0.05),
    "flue-oxygen": ("%", 0.01, 0.0, 1, 0.0017, 1.1, 1.0),
    "flue-co": ("ppm", 1e-6, 0.0, 0, 6e-6, 18.0, 10.0),
    "stack-temperature": ("°F", 5 / 9, 255.372, 0, 1.5, 22.0, 30.0),
    "combustion-air-temperature": ("°F", 5 / 9, 255.372, 0, 0.25, 3.5, 0.0),
    "outdoor-temperature": ("°F", 5 / 9, 255.372, 0, 0.25, 13.0, 0.0),
    "draft-natural": ("Pa", 1.0, 0.0, 1, 0.1, 1.4, 0.3),
    "worst-case-pressure": ("Pa", 1.0, 0.0, 1, 0.1, 1.2, 0.0),
    "draft-worst-case": ("Pa", 1.0, 0.0, 1, 0.1, 1.3, 0.3),
    "return-temperature": ("°F", 5 / 9, 255.372, 0, 0.3, 2.6, 0.0),
    "supply-temperature": ("°F", 5 / 9, 255.372, 0, 0.4, 10.0, 5.0),
    "airflow": ("cfm", 4.719474e-4, 0.0, 0, 0.02, 95.0, 80.0),
    "static-hole-2": ("in. w.c.", INCH, 0.0, 2, 0.4, 0.06, 0.03),
    "static-hole-3": ("in. w.c.", INCH, 0.0, 2, 0.6, 0.07, 0.03),
}
CENTRE = (
    7.0, 3.5, 7.5, 70.0, 390.0, 64.0, 35.0, -5.0, -3.0, -3.5, 67.0, 125.0, 1100.0, -0.25, 0.3,
)  # fmt: skip
DECIMALS = np.array([row[3] for row in READINGS.values()])
WITHIN = np.array([row[5] for row in READINGS.values()])
BETWEEN = np.array([row[6] for row in READINGS.values()])
CONTRACTORS, VISITS, PROGRAMS = 5, 12, 200


def numbers_of(rng, contractors=CONTRACTORS, visits=VISITS):
    """Shown numbers, counted in last digits: contractor, visit, reading; and the model of each home.

    Three models differ in what a model sets; oxygen moves stack temperature, the weather both drafts. The second contractor's
    manometer shows steps of 0.5 Pa, the third's thermometers 5 °F, the fourth's analyser steps of 0.2 % and 2 ppm.
    """
    size = (contractors, visits)
    model = rng.integers(0, 3, size)
    truth = np.array(CENTRE) + (BETWEEN * rng.standard_normal((3, len(READINGS))))[model]
    noise = rng.standard_normal((*size, len(READINGS)))
    noise[..., 4] = 0.8 * noise[..., 2] + 0.6 * noise[..., 4]
    noise[..., 7] = 0.5 * noise[..., 6] + math.sqrt(0.75) * noise[..., 7]
    noise[..., 9] = 0.7 * noise[..., 7] + math.sqrt(0.51) * noise[..., 9]
    shown = (truth + WITHIN * noise) * 10.0**DECIMALS
    steps = np.ones((contractors, len(READINGS)))
    for contractor, places, step in ((1, (7, 8, 9), 5), (2, (4, 5, 6, 10, 11), 5), (3, (2, 3), 2)):
        if contractor < contractors:
            steps[contractor, list(places)] = step
    steps = steps[:, None, :]
    return (np.round(shown / steps) * steps).astype(int), model


def brought_of(numbers, model, residuals=None, drop=False):
    """What a visit with these shown numbers brings; ``drop`` loses zeros at the end as a table does."""
    taken = {}
    for digits, (item, (unit, scale, offset, decimals, width, _, _)) in zip(
        numbers, READINGS.items(), strict=True
    ):
        number, places = int(digits), decimals
        value = number * 10.0**-decimals * scale + offset
        while drop and places and number % 10 == 0:
            number, places = number // 10, places - 1
        zone = item == "worst-case-pressure"
        hole = item.startswith("static")
        place = Place(item, "" if zone or hole or item == "outdoor-temperature" else KIND)
        shown = Shown(number, places, unit, scale * 10.0**-places)
        taken[place] = Taken(place, value, width, shown, "", False)
    return Brought(taken, residuals or {}, f"model {model}")


def job(contractor, visit):
    name = f"invented contractor {contractor}"
    return Job(
        id=f"{contractor}-{visit}", contractor=name, address=f"{contractor}-{visit} street", date=dt.date(2024, 3, 1)
    )  # fmt: skip


JOBS = {(c, v): job(c, v) for c in range(CONTRACTORS) for v in range(60)}


def tally_of(numbers, model, rng, residual_share=0.5, dropping=4):
    tally = Tally()
    for contractor, rows in enumerate(numbers):
        off = rng.normal(0.0, 0.8, 2)  # calibration stays with the contractor
        for visit, row in enumerate(rows):
            heat, rise = off + residual_share * rng.standard_normal(2)
            what = brought_of(
                row,
                model[contractor, visit],
                {"heat-measured": heat, "rise-difference": rise},
                contractor == dropping,
            )
            tally.take(JOBS[contractor, visit], what)
    return tally


@pytest.fixture(scope="module")
def sound():
    """Chances and remarks of five hundred sound programs."""
    rng = np.random.default_rng(2024)
    chances = {"repeated-set": [], "last-digit": [], "little-scatter": []}
    seen = {"last-digit": [], "little-scatter": []}
    programs = []
    for _ in range(PROGRAMS):
        tally = tally_of(*numbers_of(rng), rng)
        for trial in tally.trials():
            chances[trial.kind].append(trial.chance)
            if trial.kind in seen:
                seen[trial.kind].extend(one.chance for one in trial.seen)
        programs.append(tally.remarks())
    return chances, seen, programs


def test_sound_programs_keep_the_stated_rate(sound):
    """No more than 1 % of programs with a remark: upper 99.9 % point of the binomial distribution."""
    rate = figure("family", "false_alarm")
    shown = sum(bool(remarks) for remarks in sound[2])
    assert shown <= stats.binom.ppf(0.999, PROGRAMS, rate)


def test_chances_of_sound_programs_are_never_too_small(sound):
    """A chance of a or less comes at most with probability a, for each kind: 4 standard errors."""
    for kind, values in sound[0].items():
        assert len(values) == PROGRAMS * CONTRACTORS, kind
        for level in (0.002, 0.01, 0.05, 0.2):
            share = float(np.mean(np.array(values) <= level))
            assert share <= level + 4 * math.sqrt(level * (1 - level) / len(values)), (kind, level)


def test_the_digit_chances_are_not_needlessly_large(sound):
    """Of a test that never speaks nothing would be learned: below one tenth lie at least three in a hundred."""
    assert np.mean(np.array(sound[1]["last-digit"]) <= 0.1) > 0.03


def coarse(rng, levels, alike):
    """Pages of six readings in so few steps that whole pages agree by chance; some readings follow one hidden cause."""
    model = rng.integers(0, 2, (3, VISITS))
    numbers = np.tile((np.array(CENTRE) * 10.0**DECIMALS).astype(int), (3, VISITS, 1))
    hidden = rng.integers(0, levels, (3, VISITS, 1))
    free = rng.integers(0, levels, numbers.shape)
    numbers += 100 * model[..., None] + 10 * np.where(rng.random(numbers.shape) < alike, hidden, free)
    numbers[..., 6:] = 1000 + np.arange(3 * VISITS * 9).reshape(
        3, VISITS, 9
    )  # only the page of the burner can agree
    return numbers, model


@pytest.mark.parametrize(("levels", "alike", "seed"), [(4, 0.3, 78), (8, 0.5, 79)])
def test_coarse_alike_sheets_tie_no_more_often_than_the_chance_says(levels, alike, seed):
    """Pages that agree by chance do occur here; a chance of a or less comes at most with probability a: 3 standard errors."""
    rng, chances, ties = np.random.default_rng(seed), [], 0
    for _ in range(200):
        trials = [t for t in tally_of(*coarse(rng, levels, alike), rng).trials() if t.kind == "repeated-set"]
        chances += [trial.chance for trial in trials]
        ties += sum(bool(trial.seen) for trial in trials)
    values = np.array(chances)
    print(f"levels {levels}, alike {alike}: {ties} ties of {len(values)}, least chance {values.min():.3g}")
    assert len(values) == 600
    assert ties >= 3
    for level in (0.01, 0.05, 0.2, 0.5):
        assert (values <= level).mean() <= level + 3 * math.sqrt(level * (1 - level) / len(values)), level


def test_law_residuals_at_the_edge_of_the_claim_are_as_frequent_as_their_chance():
    """Residuals of laws with just the scatter that is claimed as least: their chance is then uniform (Kolmogorov-Smirnov)."""
    rng, chances = np.random.default_rng(12), []
    for _ in range(250):
        numbers = np.tile((np.array(CENTRE) * 10.0**DECIMALS).astype(int), (1, VISITS, 1))
        tally = tally_of(numbers + rng.integers(-400, 400, numbers.shape), np.zeros((1, VISITS), int), rng)
        law = next(trial for trial in tally.trials() if trial.kind == "little-scatter")
        chances += [one.chance for one in law.seen if one.clause.startswith("the law")]
    assert len(chances) == 500
    assert stats.kstest(chances, "uniform").pvalue > 0.01


def remarks_with(plant, programs, seed, visits=VISITS):
    """Kinds remarked on of the planted contractor (the first), and how many remarks fell on others."""
    rng, kinds, others = np.random.default_rng(seed), [], 0
    for _ in range(programs):
        numbers, model = numbers_of(rng, visits=visits)
        plant(numbers, rng)
        remarks = tally_of(numbers, model, rng).remarks()
        mine = [remark for remark in remarks if remark.where.endswith("0")]
        kinds.append({remark.kind for remark in mine})
        others += len(remarks) - len(mine)
    return kinds, others


def share_of(kinds, kind):
    return float(np.mean([kind in each for each in kinds]))


def test_one_copied_sheet_in_twelve_is_found():
    def copy(numbers, rng):
        one, other = rng.choice(VISITS, 2, replace=False)
        numbers[0, other] = numbers[0, one]

    kinds, others = remarks_with(copy, 40, 31)
    assert share_of(kinds, "repeated-set") >= 0.98
    assert others <= 3


def test_one_copied_page_in_twelve_is_found_in_half_the_programs():
    """Only the six readings of the burner, on sheets that differ elsewhere: found in about half of such programs, no more.

    53 of 100 with another seed; the bound leaves three standard errors of 60 programs.
    """

    def copy(numbers, rng):
        one, other = rng.choice(VISITS, 2, replace=False)
        numbers[0, other, :6] = numbers[0, one, :6]

    kinds, _ = remarks_with(copy, 60, 32)
    assert share_of(kinds, "repeated-set") >= 0.33


def test_seventy_in_a_hundred_on_nought_or_five_are_found():
    def round_to_five(numbers, rng):
        picked = rng.random(numbers[0].shape) < 0.625  # and two in ten of the rest end so by chance: 70 %
        numbers[0] = np.where(picked, 5 * np.round(numbers[0] / 5).astype(int), numbers[0])

    kinds, _ = remarks_with(round_to_five, 40, 33)
    assert share_of(kinds, "last-digit") >= 0.98


@pytest.mark.parametrize(("visits", "power"), [(12, 0.5), (24, 0.95)])
def test_a_third_of_the_instruments_scatter_is_found(visits, power):
    """Drafts and the zone's pressure about one value with a third of the standard uncertainty, then rounded to 0.1 Pa.

    Rounding adds 0.03 Pa, as much again: together 0.45 of the uncertainty. Found in 76 and 100 of 100 programs of 12 and 24
    visits a contractor (another seed: 70 of 100); the bounds leave three standard errors of 60 programs.
    """

    def settle(numbers, rng):
        for place, width in ((7, 1.0), (8, 1.0), (9, 1.0)):
            noise = np.round(rng.normal(0.0, width / 3.0, visits)).astype(int)
            numbers[0, :, place] = round(CENTRE[place] * 10) + noise

    kinds, _ = remarks_with(settle, 60, 34, visits)
    assert share_of(kinds, "little-scatter") >= power


def test_a_fresh_display_in_steps_stays_silent():
    """All readings of one contractor in steps of five, those of another in steps of two, of a third rounded to ten."""

    def step(numbers, rng):
        for contractor, size in ((0, 5), (2, 2), (4, 10)):
            numbers[contractor] = size * np.round(numbers[contractor] / size).astype(int)

    kinds, others = remarks_with(step, 40, 35)
    assert not any(kinds)
    assert others <= 2


# Whole visits, as files hold them


def visit_of(numbers, contractor, visit, home=None):
    entries = []
    for number, (item, (unit, _, _, decimals, *_)) in zip(numbers, READINGS.items(), strict=True):
        hole = item.startswith("static-hole")
        where = item.replace("static-hole-", "hole ") if hole else "furnace"
        where = {"outdoor-temperature": "house", "worst-case-pressure": "basement"}.get(item, where)
        entries.append(Entry(item=item, value=f"{number * 10.0**-decimals:.{decimals}f} {unit}", where=where))
    furnace = Appliance(name="furnace", kind=KIND, fuel="natural gas", zone="basement", input="80000 Btu/h")
    about = (
        JOBS[contractor, visit]
        if home is None
        else job(contractor, visit).model_copy(update={"address": home})
    )
    return Visit(job=about, appliance=[furnace], entry=entries)


def program(seed, copied=()):
    numbers, _ = numbers_of(np.random.default_rng(seed))
    for one, other in copied:
        numbers[0, other] = numbers[0, one]
    return [[visit_of(row, c, v) for v, row in enumerate(rows)] for c, rows in enumerate(numbers)]


def test_whole_visits_of_a_sound_program_show_nothing():
    assert across(visit for rows in program(5) for visit in rows) == ()


def test_a_copied_sheet_is_shown_with_its_jobs_and_accuses_nobody():
    rows = program(5, copied=[(2, 7)])
    (remark,) = across(visit for visits in rows for visit in visits)
    assert (remark.kind, remark.severity, remark.acts) == ("repeated-set", "look again", "program office")
    assert remark.where == "invented contractor 0"
    assert "0-2 and 0-7" in remark.sentence
    assert figure("family", "least_stated") <= remark.false_alarm <= figure("family", "false_alarm")
    for word in ("fraud", "cheat", "fake", "false reading", "invent readings", "dishonest", "fabricat"):
        assert word not in (remark.sentence + " ".join(remark.do)).lower()
    assert remark.sentence.startswith("Look again")
    assert "template" in remark.sentence
    assert all(remark.do)
    assert "{" not in " ".join(remark.do)


def test_order_of_the_visits_changes_no_chance():
    rows = [visit for visits in program(6, copied=[(1, 9)]) for visit in visits]
    turned = across(reversed(rows))
    assert [(r.kind, r.where, r.false_alarm) for r in turned] == [
        (r.kind, r.where, r.false_alarm) for r in across(rows)
    ]


def test_the_same_home_or_the_same_sheet_twice_is_no_repeat():
    numbers, _ = numbers_of(np.random.default_rng(5))
    rows = [visit_of(row, c, v) for c, table in enumerate(numbers) for v, row in enumerate(table)]
    again = visit_of(numbers[0, 3], 0, 40, home=rows[3].job.address)
    assert across([*rows, again]) == ()
    assert across([*rows, *rows]) == ()


def test_what_cannot_be_read_takes_nothing_else_with_it():
    rows = program(5, copied=[(2, 7)])
    broken = [
        visit.model_copy(update={"entry": (*visit.entry, Entry(item="temperature-rise", value="warm", where="furnace"))})
        for visits in rows
        for visit in visits
    ]  # fmt: skip
    assert [remark.kind for remark in across(broken)] == ["repeated-set"]


def test_zero_and_less_than_are_no_readings_to_repeat():
    """Twelve sheets that agree on what a sound house shows by nature: no carbon monoxide, and 'less than'."""
    furnace = Appliance(name="furnace", kind=KIND, fuel="natural gas", zone="basement")
    entries = [
        Entry(item="ambient-co-arrival", value="0 ppm", where="basement"),
        Entry(item="ambient-co-worst-case", value="0 ppm", where="basement"),
        Entry(item="flue-co", value="5 ppm", where="furnace", bound="less than"),
        Entry(item="flue-co-air-free", value="0 ppm", where="furnace"),
        Entry(item="gas-supply-pressure", value="7.0 in. w.c.", where="furnace"),
        Entry(item="manifold-pressure", value="3.5 in. w.c.", where="furnace"),
    ]
    assert across(Visit(job=JOBS[0, v], appliance=[furnace], entry=entries) for v in range(VISITS)) == ()


def test_few_visits_and_one_contractor():
    rows = program(5, copied=[(0, 1)])
    few = int(figure("family", "least_visits")) - 1
    assert across(rows[0][:few]) == ()
    mixed = [visit for visits in rows for visit in visits]
    assert across_one("  Invented  CONTRACTOR 1 ", mixed) == ()
    assert across_one("nobody", mixed) == ()


def test_memory_grows_by_hashes_and_not_by_visits():
    """1 500 more visits of 15 readings cost less than 1 kB each; the visits themselves take some 20 kB."""
    rng = np.random.default_rng(9)
    numbers, model = numbers_of(rng, visits=400)
    tally, used = Tally(), []
    tracemalloc.start()
    for visit in range(400):
        for contractor in range(CONTRACTORS):
            about = JOBS[contractor, 0].model_copy(update={"id": f"{contractor}-{visit}", "address": ""})
            tally.take(about, brought_of(numbers[contractor, visit], model[contractor, visit]))
        used.append(tracemalloc.get_traced_memory()[0])
    tracemalloc.stop()
    assert (used[-1] - used[99]) / (300 * CONTRACTORS) < 1_000
    assert tally.remarks() == ()
