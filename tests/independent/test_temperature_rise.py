"""Heat that air carries, at five altitudes, and a probe in sight of the heat exchanger, against CoolProp and scipy."""

import pytest
from CoolProp import CoolProp
from scipy.optimize import brentq

from hvaclib.physics import air
from hvaclib.physics.air_delivery import airflow_from_rise, rise_from_airflow, thermometer_radiation_error
from hvaclib.physics.air_delivery.rise import SPECIFIC_HEAT
from hvaclib.physics.air_delivery.thermometer import cylinder_nusselt

ALTITUDES = [0.0, 800.0, 1524.0, 2500.0, 4000.0]


@pytest.mark.parametrize("kelvin", [273.15, 294.26, 315.0, 333.15])
def test_specific_heat(kelvin):
    assert pytest.approx(CoolProp.PropsSI("C", "T", kelvin, "P", 101325, "Air"), rel=2.5e-3) == SPECIFIC_HEAT


@pytest.mark.parametrize("altitude", ALTITUDES)
@pytest.mark.parametrize(("kelvin", "humidity"), [(288.15, 0.2), (294.26, 0.4), (300.15, 0.6)])
def test_rise_and_airflow_with_the_enthalpy_of_moist_real_air(altitude, kelvin, humidity):
    pressure = air.barometric_pressure.si(altitude=altitude)
    rise, flow = 31.0, 0.6
    state = ("P", pressure, "R", humidity)
    ratio = CoolProp.HAPropsSI("W", "T", kelvin, *state)
    entering = CoolProp.HAPropsSI("Hda", "T", kelvin, "P", pressure, "W", ratio)
    leaving = CoolProp.HAPropsSI("Hda", "T", kelvin + rise, "P", pressure, "W", ratio)
    output = flow / CoolProp.HAPropsSI("Vda", "T", kelvin, *state) * (leaving - entering)
    # dry air with a constant specific heat: what moisture and temperature change is below 0.5 % at sea level
    # and 0.7 % at 4000 m, where the same relative humidity is more moisture
    conditions = {"altitude": altitude, "temperature": kelvin}
    assert airflow_from_rise.si(output=output, rise=rise, **conditions) == pytest.approx(flow, rel=7e-3)
    assert rise_from_airflow.si(output=output, airflow=flow, **conditions) == pytest.approx(rise, rel=7e-3)


def test_film_of_a_cylinder():
    # Incropera and DeWitt, example of a cylinder in a wind tunnel: 12.7 mm, 10 m/s, 26.2 °C: Re 6071, Pr 0.70, Nu 40.6
    # by Churchill and Bernstein, where the measurement gave 102/96 of it (from memory)
    assert float(cylinder_nusselt(6071.0, 0.70)) == pytest.approx(40.6, rel=0.01)


@pytest.mark.parametrize(("view", "emissivity", "speed"), [(0.35, 0.9, 2.5), (0.1, 0.25, 5.0)])
def test_probe_in_sight_of_the_heat_exchanger(view, emissivity, speed):
    hot, supply, size = 650.0, 325.0, 0.004
    error = thermometer_radiation_error.si(
        air_temperature=supply, surface_temperature=hot, view=view, air_speed=speed, diameter=size,
        emissivity=emissivity,
    )  # fmt: skip
    gas = ("T", supply, "P", 101325, "Air")
    conductivity, viscosity, rho = (CoolProp.PropsSI(key, *gas) for key in "LVD")
    film = float(cylinder_nusselt(rho * speed * size / viscosity)) * conductivity / size

    def balance(t):
        sun = emissivity * 5.670374419e-8 * (view * hot**4 + (1 - view) * supply**4 - t**4)
        return sun - film * (t - supply)

    assert error == pytest.approx(brentq(balance, supply, hot) - supply, rel=3e-3)
