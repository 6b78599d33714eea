"""Gas supply: what people type for drills and pipes, the judgement of a firing rate, the tree of pipes, wrong input."""

import pytest

from hvaclib import reference
from hvaclib.errors import HvacError, InputError
from hvaclib.physics import gas_supply
from hvaclib.physics.gas_supply import Pipe, PipeTree

IN, FT, WATER, CFH = 0.0254, 0.3048, 249.08891, 0.028316846592 / 3600


@pytest.mark.parametrize(
    "typed", [48, "48", "#48", "No. 48", "no 48", "drill 48", "Number 48", "0.076 in", "1.9304 mm"]
)
def test_a_drill_as_people_write_it(typed):
    found = gas_supply.orifice_flow(diameter=typed, manifold_pressure="3.5 in. w.c.")
    # NFPA 54, Table E.1.1(a), quoted in furnace manuals: drill 48 passes 16.36 ft³/h
    assert found.to("cfh").magnitude == pytest.approx(16.36, rel=1e-3)


@pytest.mark.parametrize(
    "typed", ["1-1/4", "1 1/4", "1-1/4 in", '1 1/4"', "1-1/4 nominal", "1.380 in", "35.052 mm"]
)
def test_a_pipe_as_people_write_it(typed):
    found = gas_supply.pipe_capacity(diameter=typed, length="60 ft", drop="3 in. w.c.")
    assert found.to("cfh").magnitude == pytest.approx(1390, rel=0.01)  # IFGC (2018), Table 402.4(3)


WRONG = [
    ("meter_flow", {"dial": "0 ft³", "time": "30 s"}, "dial: must be above zero"),
    ("meter_flow", {"dial": "2 ft³", "time": "0 s"}, "time: must be above zero"),
    ("meter_flow", {"dial": "2 ft", "time": "30 s"}, "dial"),
    ("meter_flow", {"dial": "2 ft³", "time": "30 s", "turns": "-1"}, "turns: must be above zero"),
    ("input_rate", {"dial": "2 ft³", "time": "30 s"}, "'heating_value' is missing"),
    ("input_rate", {"dial": "2 ft³", "time": "30 s", "heating_value": "1000"}, "a number without its unit"),
    ("input_rate", {"dial": "2 ft³", "time": "30 s", "heating_value": "1000 Btu/lb"}, "heating_value"),
    ("volume_correction", {"gas_pressure": "-15 psig"}, "gas_pressure: must be above zero"),
    ("volume_correction", {"gas_temperature": "900 °F"}, "gas_temperature: out of range"),
    ("volume_correction", {"barometric_pressure": "14 psig"}, "barometric_pressure"),
    ("altitude_derate", {"input_rate": "80000 Btu/h", "altitude": "5000 ft", "rule": "4 %"}, "not one of the choices"),
    ("altitude_derate", {"input_rate": "80000 Btu/h", "altitude": "30000 ft"}, "altitude: out of range"),
    ("altitude_derate", {"input_rate": "80 kBtu/h", "altitude": "5000 ft", "rule": "Canada 10 %"}, "no figure"),
    ("orifice_flow", {"diameter": "#81", "manifold_pressure": "3.5 in. w.c."}, "not a number drill; found '#81'"),
    ("orifice_flow", {"diameter": 0, "manifold_pressure": "3.5 in. w.c."}, "a number drill from #1 to #80"),
    ("orifice_flow", {"diameter": "wide", "manifold_pressure": "3.5 in. w.c."}, "a drill such as #48"),
    ("orifice_flow", {"diameter": "#48", "manifold_pressure": "-1 Pa"}, "manifold_pressure: must not be negative"),
    ("orifice_flow", {"diameter": "#48", "manifold_pressure": "3 Pa", "relative_density": 0}, "relative_density"),
    ("orifice_flow", {"diameter": "#48", "manifold_pressure": "3 Pa", "coefficient": 1.2}, "coefficient: out of range"),
    ("orifice_size", {"input_rate": "2 MMBtu/h", "heating_value": "1000 Btu/ft³", "manifold_pressure": "3.5 in. w.c."},
     "no number drill makes this orifice"),
    ("manifold_for", {"present_pressure": "3.5 in. w.c.", "present_rate": "80 ft³/h", "wanted_rate": "80 kBtu/h"},
     "one rate is heat and the other gas volume"),
    ("manifold_for", {"present_pressure": "3.5 in. w.c.", "present_rate": "80 ft", "wanted_rate": "80 ft³/h"},
     "a rate such as 80000 Btu/h or 80 ft³/h"),
    ("manifold_for", {"present_pressure": "3.5 in. w.c.", "present_rate": "0 ft³/h", "wanted_rate": "80 ft³/h"},
     "present_rate: must be above zero"),
    ("firing_correction", {"present_rate": "80 kBtu/h", "wanted_rate": "80 kBtu/h", "present_pressure": "3.5 in. w.c.",
                           "adjustment": "4 in. w.c."}, "reaches down to no pressure"),
    ("pipe_capacity", {"diameter": "5/8", "length": "60 ft", "drop": "0.5 in. w.c."}, "a nominal size (1/2, 3/4"),
    ("pipe_capacity", {"diameter": "3/4", "length": "0 ft", "drop": "0.5 in. w.c."}, "length: must be above zero"),
    ("pipe_drop", {"flow": "-3 ft³/h", "diameter": "3/4", "length": "60 ft"}, "flow: must not be negative"),
    ("density_multiplier", {"relative_density": -0.6}, "relative_density: must be above zero"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given", "sentence"), WRONG)
def test_wrong_input_gets_one_sentence(name, given, sentence):
    with pytest.raises(HvacError) as caught:
        getattr(gas_supply, name)(**given)
    said = str(caught.value)
    assert f"gas_supply.{name}" in said
    assert sentence in said
    assert "\n" not in said


# The cases follow from the square-root law by hand: h₂ = h₁ (Q₂/Q₁)², against a range of 3.2 to 3.8 in. w.c.
@pytest.mark.parametrize(
    ("rate", "pressure", "supply", "remedy", "needed"),
    [
        ("80.5 kBtu/h", "3.5 in. w.c.", "7 in. w.c.", "none needed", 3.457),
        ("84 kBtu/h", "3.6 in. w.c.", "7 in. w.c.", "manifold", 3.265),
        ("75 kBtu/h", "3.3 in. w.c.", "none", "manifold", 3.755),
        ("92 kBtu/h", "3.5 in. w.c.", "7 in. w.c.", "orifice", 2.647),
        ("70 kBtu/h", "3.5 in. w.c.", "7 in. w.c.", "orifice", 4.571),
        ("80 kBtu/h", "4.4 in. w.c.", "7 in. w.c.", "orifice", 4.4),
        ("70 kBtu/h", "2.7 in. w.c.", "4.1 in. w.c.", "supply pressure", 3.527),
    ],
)
def test_the_remedy_of_a_firing_rate(rate, pressure, supply, remedy, needed):
    told = gas_supply.firing_correction(
        present_rate=rate, wanted_rate="80 kBtu/h", present_pressure=pressure, supply_pressure=supply
    )
    assert told.remedy == remedy
    assert told.permitted is (remedy == "manifold")
    assert told.manifold_pressure.to("inH2O").magnitude == pytest.approx(needed, abs=1e-3)
    assert any("licensed" in note for note in told.notes)
    assert any("leave" in note for note in told.notes)


def test_the_orifice_that_would_be_right():
    # hand: 92 at 3.5 in. w.c. on drill 46 (0.081 in); area goes with the rate: 0.081 √(80/92) = 0.0755 in
    told = gas_supply.firing_correction(
        present_rate="92 kBtu/h", wanted_rate="80 kBtu/h", present_pressure="3.5 in. w.c.", orifice="#46"
    )
    assert told.orifice_diameter.to("inch").magnitude == pytest.approx(0.07553, abs=1e-5)


def tree(**changes):
    pipes = [
        Pipe("trunk", "meter", 20 * FT, 1.049 * IN),
        Pipe("furnace", "trunk", 15 * FT, 0.824 * IN, 90 * CFH),
        Pipe("branch", "trunk", 10 * FT, 0.824 * IN),
        Pipe("water heater", "branch", 10 * FT, 0.622 * IN, 40 * CFH),
        Pipe("range", "branch", 30 * FT, 0.622 * IN, 65 * CFH),
    ]
    return PipeTree(
        [Pipe(**{**vars_of(pipe), **changes.get(pipe.name.replace(" ", "_"), {})}) for pipe in pipes]
    )


def vars_of(pipe):
    return {key: getattr(pipe, key) for key in ("name", "after", "length", "diameter", "load")}


def test_pressure_at_each_appliance_with_everything_firing():
    found = tree().solve(7 * WATER, 0.5 * WATER)

    def drop(flow, size, feet):
        given = gas_supply.pipe_drop(flow=f"{flow} ft³/h", diameter=size, length=f"{feet} ft")
        return given.to("inH2O").magnitude

    # by hand: 195 ft³/h in the trunk, 105 in the branch
    at_range = 7 - drop(195, "1", 20) - drop(105, "3/4", 10) - drop(65, "1/2", 30)
    assert found["range"].pressure / WATER == pytest.approx(at_range, abs=1e-6)
    assert found["furnace"].pressure / WATER == pytest.approx(
        7 - drop(195, "1", 20) - drop(90, "3/4", 15), abs=1e-6
    )
    alone = tree().solve(7 * WATER, 0.5 * WATER, {"furnace": True, "water heater": False, "range": False})
    assert alone["furnace"].pressure > found["furnace"].pressure
    assert alone["range"].flow == 0


def test_longest_length_method():
    # IFGC (2018), 402.4.1: all sizes from the length to the farthest outlet, 60 ft here; row of 60 ft of the table for
    # 0.5 in. w.c.: 65 / 137 / 257 ft³/h for 1/2, 3/4 and 1 in. (recalled row, equal to the 3.0 in. table at 360 ft)
    network = tree()
    assert network.longest() == pytest.approx(60 * FT)
    found = network.solve(7 * WATER, 0.5 * WATER)
    sizes = {name: state.longest_size for name, state in found.items()}
    assert sizes == {"trunk": "1", "furnace": "3/4", "branch": "3/4", "water heater": "1/2", "range": "1/2"}
    assert found["range"].longest_capacity / CFH == pytest.approx(65, rel=0.014)
    assert all(state.enough for state in found.values())
    longer = tree(range={"length": 130 * FT}).solve(7 * WATER, 0.5 * WATER)
    assert not longer["range"].enough
    assert longer["furnace"].longest_size == "1"  # a longer range line makes the furnace's line larger too


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"range": {"after": "kitchen"}}, "a pipe that hangs on nothing; found 'kitchen'"),
        ({"range": {"load": 0.0}}, "a pipe that ends at no appliance"),
        ({"range": {"length": 0.0}}, "must be above zero"),
        ({"range": {"diameter": float("nan")}}, "must be above zero"),
        ({"range": {"name": "trunk"}}, "each its own"),
        ({"trunk": {"after": "range"}}, "in a ring"),
        ({"range": {"name": "meter"}}, "hangs on nothing"),
    ],
)
def test_a_tree_that_is_none(changes, sentence):
    with pytest.raises(InputError) as caught:
        tree(**changes)
    assert sentence in str(caught.value)


def test_checklist_has_rule_and_source():
    items = {row["item"]: row for row in reference.load("gas_piping")["checklist"]}
    assert all(row["rule"] and row["source"] and row["certainty"] for row in items.values())
    # IFGC 408.4: any length; 3 in is custom; IFGC 406.4.1: 3 psig at least; UFGS 15190A: 10 min
    assert "Any length" in items["Sediment trap: length of the nipple"]["rule"]
    assert "custom" in items["Sediment trap: length by custom"]["rule"]
    assert items["Pressure test: pressure"]["value"] == 3.0
    assert items["Pressure test: how long"]["value"] == 10.0
