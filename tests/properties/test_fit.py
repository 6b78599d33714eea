"""From readings back to the house: known houses are found again, the bands hold what they promise."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from hvaclib.errors import ConvergenceError, InputError
from hvaclib.house.demo import demo_dwellings
from hvaclib.house.file import read_dwelling
from hvaclib.house.warm_up import natural
from hvaclib.procedures.room_pressure import ALONE, room_pressures
from hvaclib.procedures.worst_case import worst_case
from hvaclib.readings import Reading, Readings
from hvaclib.review.fit import batch, fit
from hvaclib.review.fit.batch import burn, pressures
from hvaclib.review.fit.sheet import sheet_of
from hvaclib.review.fit.steps import quiet_setup, worst_setup
from hvaclib.review.fit.unknowns import unknowns
from hvaclib.review.fit.varied import scaled_dwelling, varied_house
from hvaclib.review.what_if import Changes, band_of, changed_house, what_if
from hvaclib.units import kinds, parse_si

DEMOS = {name: read_dwelling(path) for name, path in demo_dwellings().items()}
CASES = 40
STAGES = ("baseline", "worst case", "natural")


def zone_of(dwelling):
    return next(item.zone for item in dwelling.appliances if item.vented)


def drawn(dwelling, count, seed):
    """Factors drawn from what is assumed, most of them between a half and the double."""
    rng = np.random.default_rng(seed)
    return {
        item.key: np.exp(item.spread * rng.standard_normal(count))
        for item in unknowns(dwelling, zone_of(dwelling))
    }


@pytest.mark.parametrize("name", DEMOS)
def test_a_batch_of_variants_reads_what_each_variant_reads_as_a_dwelling_of_its_own(name):
    """Against `worst_case` on the dwelling written out with these factors: other steps, one house at a time."""
    dwelling = DEMOS[name]
    zone = zone_of(dwelling)
    factors = {"house_leakage": 1.4, "zone_leakage": 0.7, "exhaust": 1.2, "vent": 1.5}
    if dwelling.air_handler is not None and dwelling.air_handler.return_leakage:
        factors["return_leakage"] = 0.8
    test = worst_case(scaled_dwelling(dwelling, zone, factors))
    house, arrays = varied_house(dwelling, zone), {key: np.array([value]) for key, value in factors.items()}
    quiet = natural(test.setup)
    for door in dwelling.doors:
        if not door.outer:
            quiet = quiet.with_door(door.name, open=True)
    at_rest = pressures(house, [quiet, test.setup], arrays)[dwelling.zone_names.index(zone), :, 0]
    lit = burn(house, [test.setup, quiet], arrays, test.order)
    names = [item.name for item in house.house.pipes.appliances]
    for item in test.readings:
        if item.quantity == "caz_pressure" and item.when in STAGES:
            assert at_rest[STAGES.index(item.when)] == pytest.approx(item.value, abs=0.03), item
        if item.quantity == "draft" and item.when in STAGES[1:]:
            fitted = lit.draft[names.index(item.where), STAGES.index(item.when) - 1, 0]
            assert fitted == pytest.approx(item.value, abs=0.15), item
        if item.quantity == "spillage_time" and item.when in STAGES[1:]:
            fitted = lit.seconds[names.index(item.where), STAGES.index(item.when) - 1, 0]
            assert np.isinf(fitted) == np.isinf(item.value), item
            if np.isfinite(fitted):
                assert fitted == pytest.approx(item.value, abs=8.0), item


@pytest.mark.parametrize("name", DEMOS)
def test_the_worst_case_is_the_one_that_the_test_finds(name):
    dwelling = DEMOS[name]
    house = varied_house(dwelling, zone_of(dwelling))
    assert (
        worst_setup(house, quiet_setup(dwelling, dwelling.default_setup()), {}) == worst_case(dwelling).setup
    )


def test_a_vent_that_swings_for_ever_does_not_stop_the_others(monkeypatch):
    """Where the steady solver gives up, small shares of the way lead to the pressures that it finds elsewhere."""
    dwelling = DEMOS["closed_door_fails"]
    house, setup = varied_house(dwelling, "basement"), worst_case(dwelling).setup
    factors = {"zone_leakage": np.array([0.7, 1.0, 1.4])}
    settled = pressures(house, [setup], factors)

    def gives_up(*_, **__):
        raise ConvergenceError("the vents did not settle")

    monkeypatch.setattr(batch, "settle_moment", gives_up)
    assert pressures(house, [setup], factors) == pytest.approx(settled, abs=0.05)


def pressure_sheet(dwelling):
    """A sheet of the zone's pressures, and of the rooms where there are any."""
    readings = [Reading("caz_pressure", 0.0, zone_of(dwelling), stage) for stage in STAGES[:2]]
    readings += [
        Reading("room_pressure", 0.0, room.zone, ALONE) for room in room_pressures(dwelling).rooms[1:3]
    ]
    return sheet_of(dwelling, Readings(readings), "cold", zone_of(dwelling))


def read_in(sheet, factors, rng):
    """What a technician writes down in a house with these factors, instrument and model error added."""
    there = sheet.searched(factors)
    true = replace(there, used=tuple(
        replace(item, value=float(value)) for item, value in zip(there.used, there.predicted(factors)[:, 0], strict=True)
    ))  # fmt: skip
    noise = true.errors() * rng.standard_normal(len(true.used))
    return Readings(
        replace(item, value=float(item.value + error)) for item, error in zip(true.used, noise, strict=True)
    )


def test_known_houses_are_found_again_and_their_other_days_foretold():
    """90 % intervals of forty houses hold the truth about as often as they say (binomial, 0.1 % on either side)."""
    dwelling, rng = DEMOS["closed_door_fails"], np.random.default_rng(5)
    zone, truths, sheet = (
        zone_of(dwelling),
        drawn(dwelling, CASES, 2),
        pressure_sheet(DEMOS["closed_door_fails"]),
    )
    hood = Changes(
        exhaust=parse_si("250 cfm", kinds.VOLUME_FLOW), outdoor=parse_si("10 °F", kinds.TEMPERATURE)
    )
    held, foretold = dict.fromkeys(truths, 0), 0
    for case in range(CASES):
        truth = {key: row[case : case + 1] for key, row in truths.items()}
        found = fit(dwelling, read_in(sheet, truth, rng))
        for key in truths:
            low, high = found.interval(key)
            held[key] += low <= truth[key][0] <= high
        house, quiet, factors = changed_house(found, hood, found.sample(64))
        worst = found.sheet.worst.with_outdoor_temperature(quiet.outdoor_temperature)
        row = dwelling.zone_names.index(zone)
        band = band_of(pressures(house, [worst], factors)[row, 0])
        true = pressures(house, [worst], truth)[row, 0, 0]
        foretold += band.low <= true <= band.high
    least, most = binom.ppf([0.001, 0.999], CASES, 0.9)
    for key, count in held.items():
        assert count >= least, (key, count)
    assert least <= foretold <= most + 1
    assert 0.84 < sum(held.values()) / (CASES * len(held)) < 0.97


def test_drafts_and_spillage_lead_to_the_vent():
    """Factor on the vent's resistance between a half and the double: named within its 90 % interval, most of the time."""
    dwelling, rng = DEMOS["closed_bedrooms"], np.random.default_rng(8)
    zone, truths = zone_of(dwelling), drawn(dwelling, 8, 4)
    first = worst_case(dwelling)
    wanted = [r for r in first.readings if r.quantity in ("caz_pressure", "draft") and r.when in STAGES]
    sheet = sheet_of(dwelling, Readings(wanted), "cold", zone)
    held, told = 0, []
    for case in range(8):
        truth = {key: row[case : case + 1] for key, row in truths.items()}
        found = fit(dwelling, read_in(sheet, truth, rng))
        low, high = found.interval("vent")
        held += low <= truth["vent"][0] <= high
        told.append(found.left("vent"))
    assert held >= binom.ppf(0.001, 8, 0.9)
    assert np.median(told) < 0.8


def test_readings_too_few_leave_the_intervals_as_wide_as_assumed():
    dwelling = DEMOS["passes"]
    zone = zone_of(dwelling)
    found = fit(dwelling, Readings([Reading("caz_pressure", -0.7, zone, "baseline")]))
    for item in found.unknowns:
        if item.key in ("exhaust", "return_leakage", "vent"):
            low, high = found.interval(item.key)
            assert np.log(high / low) == pytest.approx(2 * 1.645 * item.spread, rel=0.12), item.key
            assert not found.determined(item.key)
    said = " ".join(found.sentences())
    assert "do not tell" in said
    assert "resistance of the vent's fittings" in said


def test_exact_readings_are_explained_and_a_false_one_is_named():
    dwelling = DEMOS["closed_door_fails"]
    exact = worst_case(dwelling).readings
    assert fit(dwelling, exact).explains
    wrong = Readings(
        replace(item, value=item.value - 3.0)
        if (item.quantity, item.where, item.when) == ("draft", "water heater", "natural")
        else item
        for item in exact
    )
    found = fit(dwelling, wrong)
    assert not found.explains
    worst = found.unexplained[0].reading
    assert (worst.quantity, worst.where, worst.when) == ("draft", "water heater", "natural")
    assert "cannot explain Draft at the test hole (water heater, natural)" in found.sentences()[0]


def test_a_warm_vent_is_fitted_and_asked_as_a_warm_one():
    """A vent that has run can hold a draft that it cannot win cold: the fit must start where the test started."""
    dwelling = DEMOS["closed_door_fails"]
    warm = worst_case(dwelling, start="warm")
    found = fit(dwelling, warm.readings, start="warm")
    assert found.explains, found.sentences()
    for item in found.explained:
        if (item.reading.quantity, item.reading.when) == ("draft", "worst case"):
            assert item.fitted == pytest.approx(item.reading.value, abs=0.2)
    now = what_if(found, samples=16, search=False)
    cold = what_if(replace(found, sheet=replace(found.sheet, start="cold")), samples=16, search=False)
    assert np.median(now.draft[0]) < np.median(cold.draft[0])


def test_a_change_of_pressure_stands_in_for_the_two_readings_that_it_is_of():
    dwelling = DEMOS["closed_bedrooms"]
    exact, zone = worst_case(dwelling).readings, zone_of(dwelling)
    change = exact.get("caz_pressure_change", zone, "worst case")
    alone = fit(dwelling, Readings([change]))
    assert alone.explained[0].fitted == pytest.approx(change.value, abs=0.05)
    both = fit(dwelling, exact)
    assert not [item for item in both.sheet.used if item.quantity == "caz_pressure_change"]


def test_the_same_readings_give_the_same_fit():
    dwelling = DEMOS["closed_bedrooms"]
    readings = worst_case(dwelling).readings
    one, two = fit(dwelling, readings), fit(dwelling, readings)
    assert one.factors == two.factors
    assert all((one.sample(32)[key] == two.sample(32)[key]).all() for key in one.factors)


@pytest.mark.parametrize(
    ("readings", "part"),
    [
        ([], "no reading tells anything about the house"),
        ([Reading("draft", -3.0, "furnace of the neighbour", "natural")], "no reading tells anything"),
        ([Reading("co_ambient", 0.0, "basement", "baseline")], "no reading tells anything"),
    ],
)
def test_what_cannot_be_fitted_is_told_in_a_sentence(readings, part):
    with pytest.raises(InputError, match=part):
        fit(DEMOS["passes"], Readings(readings))


def test_a_fit_without_a_dwelling_needs_a_whole_visit():
    with pytest.raises(InputError, match="no dwelling to start from"):
        fit(None, Readings([Reading("draft", -3.0, "water heater", "natural")]))


@pytest.fixture(scope="module")
def fitted():
    return fit(DEMOS["closed_door_fails"], worst_case(DEMOS["closed_door_fails"]).readings)


def test_what_ifs_go_the_way_that_physics_goes(fitted):
    """Stack effect grows with the temperature difference; an opening relieves the zone, a larger fan pulls it lower."""
    ask = {"samples": 16, "search": False}
    now = what_if(fitted, Changes(), **ask)
    cold = what_if(fitted, Changes(outdoor=parse_si("0 °F", kinds.TEMPERATURE)), **ask)
    hood = what_if(fitted, Changes(exhaust=parse_si("400 cfm", kinds.VOLUME_FLOW)), **ask)
    relieved = what_if(fitted, Changes(opening=parse_si("80 sq in", kinds.AREA)), **ask)
    assert (cold.baseline < now.baseline).all()
    assert np.median(cold.natural[0]) < np.median(now.natural[0])
    assert (hood.pressure < now.pressure).all()
    assert (relieved.pressure > now.pressure).all()
    assert relieved.probability > now.probability


def test_what_if_nothing_changed_is_the_house_as_it_was_read(fitted):
    now = what_if(fitted, Changes())
    for item in fitted.explained:
        if (item.reading.quantity, item.reading.when) == ("caz_pressure", "worst case"):
            band = band_of(now.pressure)
            assert band.low <= item.fitted <= band.high
            assert band.high - band.low < 2.5 * 2 * 1.645 * item.fitted_error


@pytest.mark.parametrize(
    ("changes", "part"),
    [
        (Changes(doors={"cellar door": False}), "no door has this name"),
        (Changes(outdoor=900.0), "outdoor temperature is out of range"),
        (Changes(liner=-1.0), "diameter"),
        (Changes(exhaust=1e6), "airflow"),
    ],
)
def test_changes_that_cannot_be_are_refused(fitted, changes, part):
    with pytest.raises(ValueError, match=part):
        what_if(fitted, changes, samples=16, search=False)
