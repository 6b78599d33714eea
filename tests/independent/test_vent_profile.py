"""Temperatures along a flue against scipy's own integration, and against resistances in a row by hand."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from hvaclib.physics.vent.capacity import SEGMENTS, rating
from hvaclib.physics.vent.column import SPECIFIC_HEAT, wall_flow
from hvaclib.physics.vent.profile import Piece, profile
from hvaclib.physics.vent.wall import wall

HEATER = 11700.0  # W
SQUARE = 2 / np.pi**0.5  # perimeter of a square tile over that of the circle of its area


def film_of(flow, gas):
    """Film in a square tile: that of a round pipe as wide as its side, at the same speed (VDI Heat Atlas, G1)."""
    side = 0.2 / SQUARE
    same_speed = flow * side**2 / 0.2**2
    return wall_flow(same_speed, side, 6.0, wall("masonry").roughness, gas).film


def flue(time, kind="masonry", length=6.0, around=280.0):
    rated = rating(fan_assisted=False)
    flow = HEATER * rated.mass
    return rated, flow, profile(rated, [Piece(0.2, length, length, kind, around)], flow, time)


@pytest.mark.parametrize("time", [300.0, 1200.0])
def test_the_face_of_a_warming_wall_against_scipy(time):
    # the same chain of layers, integrated in time by scipy (Radau) with the gas of the segment as it is now
    _, flow, found = flue(time)
    material = wall("masonry")
    film = film_of(flow, found.gas)
    for i in (0, SEGMENTS - 1):
        links = [1 / (1 / film[i] + material.resistance[0]), *(1 / material.resistance[1:]), material.film]

        def warming(_, layer, links=links, i=i):
            chain = [found.gas[i], *layer, 280.0]
            flux = [link * (a - b) for link, a, b in zip(links, chain, chain[1:], strict=False)]
            return [(a - b) / c for a, b, c in zip(flux, flux[1:], material.capacity, strict=False)]

        layers = solve_ivp(warming, (0, time), [280.0] * 3, method="Radau", rtol=1e-9, atol=1e-9).y[:, -1]
        face = found.gas[i] - links[0] * (found.gas[i] - layers[0]) / film[i]
        assert found.wall[i] == pytest.approx(face, abs=1e-3)  # K, the two ways of solving the same chain


def test_a_settled_wall_by_hand():
    # resistances in a row: face = surroundings + (gas - surroundings) R_out / (R_film + R_out)
    _, flow, found = flue(np.inf)
    film = film_of(flow, found.gas)
    outward = 0.008 + 0.08 + 0.07 + 1 / 8.0
    assert found.wall == pytest.approx(280.0 + (found.gas - 280.0) * outward / (1 / film + outward), rel=1e-5)


@pytest.mark.parametrize("time", [60.0, 1200.0, np.inf])
def test_what_the_gas_loses_the_wall_takes(time):
    rated, flow, found = flue(time)
    film = film_of(flow, found.gas)
    taken = np.sum(film * (found.gas - found.wall) * np.pi * 0.2 * SQUARE * 6.0 / SEGMENTS)
    lost = flow * SPECIFIC_HEAT * (rated.ambient + rated.rise - found.outlet)
    assert taken == pytest.approx(lost, rel=2e-3)  # the film is that of the last of four rounds


def test_a_wall_just_lit_is_as_cold_as_its_surroundings_and_warms_from_then_on():
    faces = [flue(time)[2].wall.max() for time in (1.0, 300.0, 1200.0, 7200.0, np.inf)]
    assert faces[0] < 280.0 + 0.1 * (455.0 - 280.0)
    assert faces == sorted(faces)


def test_outdoor_air_cools_more_than_still_air():
    rated = rating(fan_assisted=False)
    flow = HEATER * rated.mass
    still, windy = (
        profile(rated, [Piece(0.1, 0.0, 0.0, "double-wall", 280.0), Piece(0.1, 5.0, 5.0, "double-wall", 280.0, out)], flow, 9e3)
        for out in (False, True)
    )  # fmt: skip
    assert windy.outlet < still.outlet
    assert set(still.piece) == {1}  # a piece without length is passed over
