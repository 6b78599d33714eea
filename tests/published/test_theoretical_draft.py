"""Theoretical draft against the ASHRAE equation and published figures; tolerance 1 % as the project asks."""

import pytest

from hvaclib.physics import vent

PA_PER_IN_WC = 248.84  # 60 °F, as the source rows convert


def altitude_of(barometer_in_hg: float) -> float:
    """Altitude (m) of a barometric pressure: US Standard Atmosphere 1976, inverted."""
    return (1.0 - (barometer_in_hg / 29.921) ** (1 / 5.2559)) / 2.25577e-5


@pytest.mark.parametrize(
    ("height", "outside", "inside", "barometer", "pascal"),
    [
        # ASHRAE HVAC Systems and Equipment, chimney chapter: Dt = 0.2554 B H (1/To - 1/Tm), evaluated by hand.
        (15, 32, 250, 29.921, 17.82),
        (20, 60, 300, 29.921, 23.12),
        (20, 32, 300, 24.9, 22.71),
        (25, 40, 350, 29.921, 36.43),
    ],
)
def test_ashrae_equation(height, outside, inside, barometer, pascal):
    result = vent.theoretical_draft(
        height=f"{height} ft",
        outside=f"{outside} degF",
        vent_temperature=f"{inside} degF",
        altitude=f"{altitude_of(barometer)} m",
    )
    assert result.to("pascal").magnitude == pytest.approx(pascal, rel=0.01)


@pytest.mark.parametrize("system", ["field", "si"])
def test_chimney_fan_specification(system):
    """25 ft, 70 °F outside, 250 °F inside: 0.091 in. w.c. (a specification quoting the ASHRAE equation)."""
    given = (
        {"height": "25 ft", "outside": "70 °F", "vent_temperature": "250 °F"}
        if system == "field"
        else {"height": "7.62 m", "outside": "21.111 °C", "vent_temperature": "121.111 °C"}
    )
    draft = vent.theoretical_draft(**given).to("pascal").magnitude / PA_PER_IN_WC
    assert draft == pytest.approx(0.0914, rel=0.01)


def test_steam_its_generation_and_use():
    """100 ft, 60 °F air, 500 °F gas at sea level: 0.67 in. w.c. ('Steam', 1919 ed., Eq. 24; 0.6718 recomputed)."""
    result = vent.theoretical_draft(height="100 ft", outside="60 °F", vent_temperature="500 °F")
    assert result.to("pascal").magnitude / PA_PER_IN_WC == pytest.approx(0.6718, rel=0.01)
