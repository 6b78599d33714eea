"""Air against two libraries that know nothing of this one: psychrolib (ASHRAE) and CoolProp (equations of state)."""

import numpy as np
import psychrolib
import pytest
from CoolProp import CoolProp

from hvaclib.physics import air

psychrolib.SetUnitSystem(psychrolib.SI)

ALTITUDES = [0.0, 800.0, 1524.0, 2500.0, 4000.0]
STATES = [(-30.0, 0.8), (-5.0, 0.3), (20.0, 0.5), (45.0, 0.95)]


@pytest.mark.parametrize("altitude", ALTITUDES)
def test_barometric_pressure(altitude):
    expected = psychrolib.GetStandardAtmPressure(altitude)
    assert air.barometric_pressure.si(altitude=altitude) == pytest.approx(
        expected, rel=3e-6
    )  # rounded constants there


@pytest.mark.parametrize("altitude", ALTITUDES)
@pytest.mark.parametrize(("celsius", "humidity"), STATES)
def test_moist_air_density(altitude, celsius, humidity):
    kelvin = celsius + 273.15
    ours = air.density.si(temperature=kelvin, altitude=altitude, relative_humidity=humidity)
    pressure = psychrolib.GetStandardAtmPressure(altitude)
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure)
    # the same relations with R = 287.042: 4e-5 apart
    assert ours == pytest.approx(psychrolib.GetMoistAirDensity(celsius, ratio, pressure), rel=5e-5)
    state = ("T", kelvin, "P", pressure, "R", humidity)
    real = (1 + CoolProp.HAPropsSI("W", *state)) / CoolProp.HAPropsSI("Vda", *state)
    # real gas: most at -30 °C, where the compressibility factor of air is 0.999
    assert ours == pytest.approx(real, rel=1.5e-3)


@pytest.mark.parametrize("celsius", [-40.0, -10.0, -0.5, 0.5, 20.0, 50.0, 100.0, 150.0])
def test_saturation_pressure(celsius):
    ours = air.saturation_pressure.si(temperature=celsius + 273.15)
    assert ours == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-9)
    if celsius > 0:
        # IAPWS-95
        assert ours == pytest.approx(
            CoolProp.PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water"), rel=1.2e-3
        )


@pytest.mark.parametrize(
    ("kelvin", "tolerance"), [(250, 2e-3), (300, 1.5e-3), (450, 1e-3), (700, 5e-4), (1200, 2e-4)]
)
def test_viscosity_and_conductivity(kelvin, tolerance):
    # at one atmosphere; the part that ours leaves out grows with density
    state = ("T", kelvin, "P", 101325, "Air")
    assert air.viscosity.si(temperature=float(kelvin)) == pytest.approx(
        CoolProp.PropsSI("V", *state), rel=tolerance
    )
    assert air.conductivity.si(temperature=float(kelvin)) == pytest.approx(
        CoolProp.PropsSI("L", *state), rel=tolerance
    )


def test_arrays_give_what_single_values_give():
    kelvin = np.array([[250.0, 272.0, 291.0], [300.0, 311.0, 330.0]])
    altitude = np.array([0.0, 900.0, 2100.0])
    together = air.density.si(temperature=kelvin, altitude=altitude, relative_humidity=0.4)
    assert together.shape == (2, 3)
    for (row, column), value in np.ndenumerate(together):
        alone = air.density.si(
            temperature=kelvin[row, column], altitude=altitude[column], relative_humidity=0.4
        )
        assert value == pytest.approx(alone, rel=1e-14)
    for function in (air.viscosity, air.conductivity, air.saturation_pressure):
        assert function.si(temperature=kelvin)[1, 2] == pytest.approx(
            function.si(temperature=330.0), rel=1e-14
        )


def test_stack_pressure_is_the_weight_of_two_columns():
    inside, outside, height, altitude = 294.0, 261.0, 5.3, 1200.0
    columns = [air.density.si(temperature=t, altitude=altitude) for t in (outside, inside)]
    expected = (columns[0] - columns[1]) * 9.80665 * height
    assert air.stack_pressure.si(
        height=height, inside=inside, outside=outside, altitude=altitude
    ) == pytest.approx(expected)
