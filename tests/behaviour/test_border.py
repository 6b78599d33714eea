"""The border of a calculation: what it takes, what it refuses and whom it blames, what it gives back."""

import math
import pickle
from dataclasses import FrozenInstanceError, dataclass, field
from typing import Annotated

import numpy as np
import pint
import pytest

from hvaclib.errors import InputError, UnitError
from hvaclib.units import (
    COUNT,
    FLAG,
    TEXT,
    FloatOrArray,
    Quantity,
    Result,
    calculation,
    checks,
    choice,
    either,
    kinds,
    list_of,
    ureg,
)  # fmt: skip


@calculation(
    rise=kinds.TEMPERATURE_DIFFERENCE,
    around=kinds.TEMPERATURE,
    factor=kinds.DIMENSIONLESS,
    gives=kinds.TEMPERATURE,
)
def warmed(*, rise, around, factor=1.0):
    return around + factor * rise


def test_border_takes_quantities_texts_arrays_and_foreign_registries():
    foreign = pint.UnitRegistry()
    texts = warmed(rise="36 °F", around="50 °F")
    assert texts.to("degF").magnitude == pytest.approx(86)
    assert isinstance(texts, Quantity)
    assert str(texts.units) == "degree_Fahrenheit"
    for registry in (ureg, foreign):
        one = warmed(rise=registry.Quantity(20, "kelvin"), around=registry.Quantity(50, "degF"), factor=0.5)
        assert one.to("degF").magnitude == pytest.approx(68)
        many = warmed(
            rise=registry.Quantity(np.array([9.0, 18.0]), "delta_degF"), around=registry.Quantity(10, "degC")
        )
        assert many.to("degC").magnitude == pytest.approx([15, 20])
    assert warmed.si(rise=20.0, around=283.15) == 303.15


@pytest.mark.parametrize("registry", [ureg, pint.UnitRegistry()], ids=["own", "foreign"])
def test_border_refuses_one_kind_for_another_and_blames_the_right_argument(registry):
    good, bad = registry.Quantity(50, "degF"), registry.Quantity(36, "delta_degF")
    with pytest.raises(UnitError, match=r"around: a temperature difference is given") as caught:
        warmed(rise=bad, around=bad)
    assert "rise" not in str(caught.value)
    with pytest.raises(UnitError, match=r"rise: a temperature is given") as caught:
        warmed(rise=good, around=good)
    assert "around" not in str(caught.value)
    with pytest.raises(UnitError, match=r"rise: m is not a unit of temperature difference"):
        warmed(rise=registry.Quantity(3, "m"), around=good)


@pytest.mark.parametrize("value", [70, 70.0, True, [70.0], None, float("nan")])
def test_border_refuses_a_bare_number_for_a_kind_with_a_unit(value):
    with pytest.raises(InputError if value is None else UnitError, match=r"around.*70 °F"):
        warmed(rise="3 K", around=value)


def test_border_refuses_what_is_not_finite_and_what_is_not_there():
    with pytest.raises(UnitError, match="around: not a finite number"):
        warmed(rise="3 K", around=ureg.Quantity(math.nan, "kelvin"))
    with pytest.raises(UnitError, match="rise: not every number is finite"):
        warmed(rise=ureg.Quantity(np.array([1.0, math.inf]), "kelvin"), around="300 K")
    with pytest.raises(InputError, match=r"no argument 'arround' \(did you mean 'around'\?\)"):
        warmed(rise="3 K", arround="300 K")
    with pytest.raises(InputError, match="given by name"):
        warmed("3 K", "300 K")


@pytest.mark.parametrize(
    ("accepts", "complaint"),
    [
        ({"around": kinds.TEMPERATURE, "rise": kinds.TEMPERATURE_DIFFERENCE}, "signature has"),
        ({"rise": kinds.TEMPERATURE_DIFFERENCE}, "signature has"),
        ({"rise": kinds.TEMPERATURE_DIFFERENCE, "around": "TEMPERATURE"}, "not as a kind"),
    ],
)
def test_a_declaration_that_does_not_match_fails_at_import(accepts, complaint):
    def body(*, rise, around):
        return rise + around

    with pytest.raises(TypeError, match=complaint):
        calculation(**accepts, gives=kinds.TEMPERATURE)(body)


def test_positional_arguments_and_text_defaults_fail_at_import():
    with pytest.raises(TypeError, match="keyword-only"):
        calculation(rise=kinds.TEMPERATURE_DIFFERENCE, gives=kinds.TEMPERATURE)(lambda rise: rise)
    with pytest.raises(TypeError, match="must be a float in SI"):
        calculation(rise=kinds.TEMPERATURE_DIFFERENCE, gives=kinds.TEMPERATURE)(lambda *, rise="3 K": rise)


@dataclass(frozen=True)
class Grille:
    free_area: Annotated[FloatOrArray, kinds.AREA]
    purpose: str


@dataclass(frozen=True)
class Path:
    """A path of several grilles."""

    area: Annotated[FloatOrArray, kinds.AREA]
    count: int
    limit: Annotated[float | None, kinds.PRESSURE_DIFFERENCE]
    parts: Annotated[tuple[float, ...], list_of(kinds.AREA)]
    grilles: tuple[Grille, ...]
    notes: tuple[str, ...] = field(default=())


@calculation(
    areas=list_of(kinds.AREA), bays=COUNT, open_=FLAG, name=TEXT, kind=choice("jump duct", "stud bay"),
    bore=either(kinds.SIZE, choice("1/2", "3/4")), gives=Path, notes=("Keep the return clear.",),
)  # fmt: skip
def path(*, areas, bays=2, open_=False, name="north room", kind="stud bay", bore=0.02):
    """Area of a path.

    References
    ----------
    .. [1] Invented for this test, page 3.
    """
    checks.positive(areas, "areas", kinds.AREA)
    if open_ and bays == 7:
        raise InputError("a bay is missing", where="studs", given=bays)
    total = float(np.sum(areas))
    return Path(
        total, bays, None, tuple(areas), (Grille(total / 2, f"{kind} {name} {bore}"),), ("From the body.",)
    )


def test_several_results_come_back_as_a_frozen_object_of_quantities():
    result = path(
        areas="12 sq in, 20 sq in", bays="3", open_="true", name="south room", kind="Jump-Duct", bore="3/4"
    )
    assert isinstance(result, Result)
    assert type(result).__name__ == "Path"
    assert result.main is result.area
    assert (result.area.magnitude, str(result.area.units)) == (pytest.approx(32), "inch ** 2")
    assert (result.count, result.limit) == (3, None)
    assert [part.to("in²").magnitude for part in result.parts] == pytest.approx([12, 20])
    assert result.grilles[0].free_area.to("in²").magnitude == pytest.approx(16)
    assert result.grilles[0].purpose == "jump duct south room 3/4"
    assert result.notes == ("Keep the return clear.", "From the body.")
    assert result.sources == ("Invented for this test, page 3.",)
    with pytest.raises(FrozenInstanceError):
        result.count = 4


def test_the_plain_door_gives_the_plain_object():
    plain = path.si(areas=np.array([0.5, 0.25]))
    assert isinstance(plain, Path)
    assert (plain.area, plain.parts) == (0.75, (0.5, 0.25))


@pytest.mark.parametrize(
    ("given", "value"),
    [("25.4 mm", "0.0254"), (ureg.Quantity(1, "inch"), "0.0254"), ("1/2", "1/2"), (None, "0.02")],
)
def test_a_quantity_or_a_word(given, value):
    assert path(areas="1 sq in", bore=given).grilles[0].purpose.endswith(value)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"areas": "1,200 sq in"}, r"areas: .*commas part the items"),
        ({"areas": []}, "areas: not a list"),
        ({"areas": ["3 sq in", "4 ft"]}, "areas: ft is not a unit of area"),
        ({"areas": "0 sq in"}, "path, areas: must be above zero; found '0 sq in'"),
        ({"bays": "2.5"}, "bays: not a whole number"),
        ({"bays": True}, "bays: not a whole number"),
        ({"open_": "perhaps"}, "open_: neither true nor false"),
        ({"name": " "}, "name: not a text"),
        ({"kind": "joist"}, 'kind: not one of the choices.*"jump duct" or "stud bay"'),
        ({"bore": "wide"}, "bore: not one of the choices"),
        ({"bore": "5 ft²"}, "bore: ft² is not a unit of size"),
    ],
)
def test_refusals_name_the_argument(given, sentence):
    with pytest.raises((InputError, UnitError), match=sentence):
        path(**({"areas": "3 sq in"} | given))


def test_an_error_of_an_inner_call_does_not_blame_an_argument_of_its_name():
    with pytest.raises(InputError, match=r"path: a bay is missing; found 7\.$") as caught:
        path(areas="3 sq in", bays=7, open_=True)
    assert "studs" not in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


def test_array_quantities_keep_their_shape():
    warm = ureg.Quantity(np.array([[40.0, 50.0], [60.0, 70.0]]), "degF")
    result = warmed(rise="18 °F", around=warm)
    assert result.to("degF").magnitude == pytest.approx(warm.magnitude + 18)
    assert warm.magnitude.tolist() == [[40.0, 50.0], [60.0, 70.0]]
