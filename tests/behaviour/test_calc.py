"""``python -m hvaclib calc``: one JSON object, or one sentence and status 2."""

import json
import subprocess
import sys

import pytest

from hvaclib import __version__, cli
from hvaclib.cli import calc
from hvaclib.errors import InputError
from hvaclib.units import parse_si, ureg


def run(capsys, *arguments):
    status = cli.main(["calc", *arguments])
    out, err = capsys.readouterr()
    return status, out, err


def answer(capsys, *arguments):
    status, out, err = run(capsys, *arguments)
    assert (status, err) == (0, "")
    assert out.count("\n") == 1
    return json.loads(out)


def test_one_object_with_value_unit_result_notes_and_sources(capsys):
    record = answer(capsys, "openings.orifice_area", "flow=100 cfm", "pressure_difference=3 Pa")
    assert list(record) == ["value", "unit", "result", "notes", "sources"]
    # BSC RR-0005 (2004): 54.0 in² for 100 cfm at 3 Pa, from a constant rounded to 1.07
    assert record["value"] == pytest.approx(54.0, rel=6e-3)
    assert record["unit"] == "in²"
    assert record["result"] == {"orifice_area": {"value": record["value"], "unit": "in²"}}
    assert record["sources"] == ["Building Science Corporation, RR-0005, Transfer Grille Sizing Charts."]
    assert ureg.Quantity(record["value"], record["unit"]).to("cm^2").magnitude == pytest.approx(
        record["value"] * 6.4516
    )


def test_as_converts_the_main_quantity_only(capsys):
    plain = answer(capsys, "air.stack_pressure", "height=20 ft", "inside=70 degF", "outside=20 °F")
    record = answer(
        capsys, "air.stack_pressure", "height=20 ft", "inside=70 degF", "outside=20 °F", "as=in. w.c."
    )
    assert record["unit"] == "in. w.c."
    assert record["value"] == pytest.approx(plain["value"] / 249.08891)  # NIST SP 811, conventional
    assert record["result"] == plain["result"]


@pytest.mark.parametrize(
    "arguments",
    [
        ("area=50 sq in", "pressure_difference=3 Pa"),
        ("area=50 in^2", "pressure-difference=3 Pa", "coefficient=default", "density=none"),
        ("--area=322.58 cm²", "pressure_difference=3 pascal", "coefficient=61 %"),
    ],
)
def test_arguments_as_people_and_as_pint_write_them(capsys, arguments):
    # BSC RR-0005 (2004): 1.07 A √Δp, three digits
    record = answer(capsys, "openings.orifice_flow", *arguments)
    assert record["value"] == pytest.approx(1.07 * 50 * 3**0.5, rel=5e-3)
    assert record["unit"] == "cfm"


def test_a_list_with_commas(capsys):
    # hand-solvable: 30 and 40 in series are 24
    record = answer(capsys, "openings.series_area", "areas=30 sq in,40 in^2")
    assert record["value"] == pytest.approx(24)


REFUSED = [
    ((), "calc needs the name of a calculation"),
    (("air.densty", "temperature=70 °F"), "did you mean 'air.density'?"),
    (("weather.tomorrow",), "there is no calculation 'weather.tomorrow'"),
    (("os.system", "command=ls"), "there is no calculation 'os.system'"),
    (("air.value", "name=air"), "there is no calculation 'air.value'"),
    (("air.density",), "the argument 'temperature' is missing"),
    (("air.density", "temperatur=70 °F"), "did you mean 'temperature'?"),
    (("air.density", "temperature=70 cfm"), "cfm is not a unit of temperature"),
    (("air.density", "temperature=70"), "a number without its unit"),
    (("air.density", "temperature=70 delta_degF"), "a temperature difference is given"),
    (("air.density", "temperature=warm"), "there is no number in front"),
    (("air.density", "temperature="), "nothing is entered; found ''; expected a temperature such as 70 °F"),
    (("air.density", "temperature=default"), "there is no number in front"),
    (("air.density", "temperature=-500 °F"), "must be above zero"),
    (("air.density", "temperature=70 °F", "altitude=20 mi"), "air.density, altitude: out of range"),
    (("air.density", "temperature=70 °F", "relative_humidity=50"), "relative_humidity: out of range"),
    (("air.density", "temperature=300 °F", "relative_humidity=90 %"), "does not fit into the air"),
    (("air.density", "temperature=70", "°F"), "in quotes"),
    (("air.density", "temperature=70 °F", "5000 ft"), "an argument without '='"),
    (("air.density", "temperature=70 °F", "temperature=71 °F"), "given twice"),
    (("air.density", "temperature=70 °F", "as=cfm"), "air.density, as: cfm is not a unit of density"),
    (("air.density", "temperature=70 °F", "as=wide"), "the unit 'wide' is not known"),
    (("openings.series_area", "areas=1,200 sq in"), "each item needs its unit"),
    (("openings.leakage_area", "flow_at_50=900 cfm", "exponent=0.3"), "exponent: out of range"),
    (
        ("openings.orifice_area", "flow=90 cfm", "pressure_difference=0 Pa"),
        "pressure_difference: must be above zero",
    ),
]


@pytest.mark.parametrize(("arguments", "sentence"), REFUSED)
def test_refused_with_status_2_one_sentence_and_nothing_on_standard_output(capsys, arguments, sentence):
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert sentence in err
    assert err.endswith(".\n")
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_list_names_every_calculation_with_arguments_and_meaning(capsys):
    status, out, _ = run(capsys, "--list")
    assert status == 0
    found = calc.calculations()
    assert {"air.density", "air.barometric_pressure", "air.stack_pressure", "openings.orifice_flow"} <= set(
        found
    )
    assert {"openings.orifice_area", "openings.series_area", "openings.leakage_area"} <= set(found)
    lines = out.splitlines()
    for name, function in found.items():
        assert name in lines
        assert f"    {function.declaration.summary}" in lines
        for argument in function.declaration.arguments:
            assert any(line.startswith((f"    {argument}:", f"    {argument} =")) for line in lines)


def test_help_of_each_calculation_names_its_arguments_and_sources(capsys):
    for name, function in calc.calculations().items():
        status, out, _ = run(capsys, name, "--help")
        assert status == 0
        assert all(f"  {argument}" in out for argument in function.declaration.arguments)
        assert all(source in out for source in function.declaration.sources)


def test_defaults_are_shown_as_they_can_be_typed():
    for function in calc.calculations().values():
        for name, argument in function.declaration.arguments.items():
            if isinstance(argument.default, float) and hasattr(argument.accepts, "si"):
                text = calc._default(argument).removeprefix(" = ")
                assert parse_si(text, argument.accepts) == pytest.approx(argument.default, rel=5e-3), name


def test_find_takes_no_name_that_is_not_declared():
    with pytest.raises(InputError, match="there is no calculation"):
        calc.find("air.np")


def test_other_commands(capsys):
    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out == f"hvaclib {__version__}\n"
    assert cli.main(["--help"]) == 0
    usage = capsys.readouterr().out
    assert all(command in usage for command in cli.COMMANDS)
    assert cli.main(["clac"]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    commands = ", ".join(cli.COMMANDS)
    assert captured.err == f"There is no command 'clac' (did you mean 'calc'?); expected {commands}.\n"


def test_a_process_of_its_own_writes_utf_8_whatever_the_terminal_says():
    command = [sys.executable, "-m", "hvaclib", "calc", "air.density", "temperature=70 °F"]
    done = subprocess.run(
        command, capture_output=True, env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "1"}, check=False
    )
    assert done.returncode == 0
    assert done.stderr == b""
    assert json.loads(done.stdout.decode("utf-8"))["unit"] == "kg/m³"
    refused = subprocess.run([*command, "altitude=5"], capture_output=True, check=False)
    assert (refused.returncode, refused.stdout) == (2, b"")
    assert b"altitude: a number without its unit" in refused.stderr


def test_a_reader_that_has_seen_enough_is_no_error():
    command = [sys.executable, "-m", "hvaclib", "calc", "--list"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()
    assert said == b""
    assert process.returncode == 0


def test_an_argument_whose_name_python_keeps_for_itself_is_typed_plainly(capsys):
    given = ("room_pressure.closed_door_pressure", "supply=120 cfm", "relief_area=40 sq in")
    plain = answer(capsys, *given, "return=50 cfm")
    assert plain == answer(capsys, *given, "return_=50 cfm")
    assert plain["value"] < answer(capsys, *given)["value"]
