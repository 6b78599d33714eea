"""Caps above roofs and dryer ducts against the codes' figures, exact, in both unit systems."""

import pytest

from hvaclib.errors import HvacError
from hvaclib.physics import terminations


# IRC (2018) figure of gas-vent terminations, 8 ft from a wall: flat to 6/12 1.0 ft; over 7/12 to 8/12 1.5; over 8/12 to 9/12
# 2.0; over 10/12 to 11/12 3.25; over 12/12 to 14/12 5.0; over 14/12 to 16/12 6.0; over 18/12 to 20/12 7.5.
@pytest.mark.parametrize(
    ("rise", "height"),
    [
        (0, 1.0),
        (6, 1.0),
        (7.1, 1.5),
        (8, 1.5),
        (8.5, 2.0),
        (9, 2.0),
        (10.5, 3.25),
        (11, 3.25),
        (12.5, 5.0),
        (14, 5.0),
        (15, 6.0),
        (16, 6.0),
        (19, 7.5),
        (20, 7.5),
    ],
)
def test_cap_above_the_roof(rise, height):
    assert terminations.cap_height(rise=f"{rise} in").to("ft").magnitude == pytest.approx(height)
    assert terminations.cap_height(rise=f"{rise * 25.4} mm").to("m").magnitude == pytest.approx(
        height * 0.3048
    )


# IRC (2012) M1502.4.4.1: 35 ft; Table M1502.4.5.1: 4 in mitered 45° 2.5 ft, 90° 5 ft; 6 in smooth 90° 1.75 ft, 45° 1 ft.
@pytest.mark.parametrize(
    ("elbows", "left"),
    [
        ({}, 35.0),
        ({"mitered_45": 1}, 32.5),
        ({"mitered_90": 1}, 30.0),
        ({"smooth_90": 1}, 33.25),
        ({"mitered_90": 3, "mitered_45": 2, "smooth_90": 1, "smooth_45": 4}, 9.25),
    ],
)
def test_dryer_duct(elbows, left):
    assert terminations.dryer_duct_length(**elbows).to("ft").magnitude == pytest.approx(left)


@pytest.mark.parametrize(
    ("function", "arguments", "part"),
    [
        (terminations.cap_height, {"rise": "-1 in"}, "negative"),
        (terminations.cap_height, {"rise": "30 in"}, "ends before"),
        (terminations.cap_height, {"rise": "6"}, "unit"),
        (terminations.dryer_duct_length, {"mitered_90": 7}, "no length"),
        (terminations.dryer_duct_length, {"mitered_90": -1}, "whole number"),
    ],
)
def test_bad_input_gets_one_sentence(function, arguments, part):
    with pytest.raises(HvacError, match=part):
        function(**arguments)
