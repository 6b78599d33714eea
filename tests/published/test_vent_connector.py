"""Connectors: climb and run by the code's clauses (IFGC 2018; from memory where said), in both unit systems."""

import pytest

from hvaclib.errors import HvacError
from hvaclib.physics.vent_connector import connector_limits

FOOT = 0.3048


# IFGC (2018) 504.3.2: 1 1/2 ft for each inch of diameter; its table prints 6 ft for 4 in (read) and 4 1/2, 7 1/2, 9, 12 ft for
# 3, 5, 6, 8 in (from memory). The height has no say.
@pytest.mark.parametrize(("inches", "feet"), [(3, 4.5), (4, 6.0), (5, 7.5), (6, 9.0), (8, 12.0)])
@pytest.mark.parametrize("height", ["8 ft", "40 ft"])
def test_longest_run_on_a_common_vent(inches, feet, height):
    for diameter in (f"{inches} in", f"{25.4 * inches} mm"):
        found = connector_limits(lateral="1 ft", height=height, connector_diameter=diameter, flue="common")
        assert found.main.to("ft").magnitude == pytest.approx(feet)


# IFGC (2018) 503.10.9, from memory: 75 % of the height, double-wall 100 %. The diameter has no say.
@pytest.mark.parametrize(("wall", "feet"), [("single-wall", 15.0), ("double-wall", 20.0)])
def test_longest_run_of_one_appliance(wall, feet):
    for height, diameter in (("20 ft", "3 in"), ("6.096 m", "200 mm")):
        found = connector_limits(lateral="2 ft", height=height, connector_diameter=diameter, wall=wall)
        assert found.longest_run.to("ft").magnitude == pytest.approx(feet)


# IFGC (2018) 503.10.8, from memory: 1/4 in for each foot, which is 1 in 48.
@pytest.mark.parametrize("feet", [0.0, 1.0, 7.0, 13.5])
def test_least_climb(feet):
    found = connector_limits(lateral=f"{feet} ft", height="20 ft", connector_diameter="4 in")
    assert found.least_climb.to("in").magnitude == pytest.approx(feet / 4)
    metric = connector_limits(lateral=f"{feet * FOOT} m", height="6.1 m", connector_diameter="100 mm")
    assert metric.least_climb.to("mm").magnitude == pytest.approx(feet * 304.8 / 48)


@pytest.mark.parametrize(
    ("run", "allowed"), [("5.99 ft", True), ("6 ft", True), ("1828.8 mm", True), ("6.01 ft", False)]
)
def test_a_run_at_its_limit_is_allowed(run, allowed):
    found = connector_limits(lateral=run, height="20 ft", connector_diameter="4 in", flue="common")
    assert found.run_allowed is allowed


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"lateral": "-1 ft"}, "lateral: must not be negative; found '−1 ft'"),
        ({"height": "0 ft"}, "height: must be above zero"),
        ({"connector_diameter": "0 in"}, "connector_diameter: must be above zero"),
        ({"connector_diameter": "4"}, "connector_diameter: a number without its unit"),
        ({"wall": "paper"}, "wall: not one of the choices; found 'paper'"),
        ({"flue": "shared"}, "flue: not one of the choices; found 'shared'"),
    ],
)
def test_bad_input_gets_one_sentence(wrong, sentence):
    with pytest.raises(HvacError) as caught:
        connector_limits(**{"lateral": "2 ft", "height": "20 ft", "connector_diameter": "4 in", **wrong})
    assert sentence in str(caught.value)
