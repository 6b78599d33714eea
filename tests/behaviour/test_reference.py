"""Reference tables: every figure carries its unit, source and certainty; a lookup that fails says where."""

import pytest

from hvaclib import reference
from hvaclib.errors import FileError


@pytest.mark.parametrize("name", reference.names())
def test_every_table_loads_and_every_figure_has_its_passport(name):
    found = list(figures(reference.load(name)))
    assert all({"value", "unit", "source", "certainty"} <= set(entry) for entry in found)
    assert all(len(entry["source"]) > 5 or entry["source"] == "definition" for entry in found)


def figures(node):
    children = node if isinstance(node, list) else node.values() if isinstance(node, dict) else ()
    if isinstance(node, dict) and "value" in node:
        yield node
    for child in children:
        yield from figures(child)


def test_a_figure_with_its_passport():
    gravity = reference.figure("air", "standard_gravity")
    assert gravity.value == 9.80665  # CGPM 1901, exact
    assert gravity.unit == "m/s²"
    assert gravity.certainty == "definition"
    assert reference.load("air") is reference.load("air")


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        (("airs",), "no such reference table; found 'airs'; expected air or "),
        (
            ("openings", "discharge", "round"),
            "openings.toml, discharge: no such figure; found 'round'; expected sharp-edged",
        ),
        (("openings", "discharge"), "openings.toml, discharge: this is no figure"),
        (("air", "standard_gravity", "value", "x"), "air.toml, standard_gravity, value: no such figure"),
        (("air", "collision_integral"), "air.toml, collision_integral: a list of numbers"),
    ],
)
def test_a_lookup_that_fails_says_where(keys, sentence):
    with pytest.raises(FileError) as caught:
        reference.value(*keys)
    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[a]\nvalue = 1\nunit = 'm'\ncertainty = 'found'", "bad.toml, a: a figure without its source"),
        (
            "[a]\nvalue = 1\nunit = 'm'\nsource = 's'\ncertainty = 'sure'",
            "bad.toml, a: an unknown certainty; found 'sure'",
        ),
        (
            "[[a]]\nb = { value = 1, source = 's', certainty = 'found' }",
            "bad.toml, a[0].b: a figure without its unit",
        ),
        ("[a", "bad.toml: not valid TOML"),
    ],
)
def test_a_table_without_passports_is_refused(tmp_path, monkeypatch, text, sentence):
    (tmp_path / "bad.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(reference, "_FOLDER", tmp_path)
    with pytest.raises(FileError) as caught:
        reference.load.__wrapped__("bad")
    assert sentence in str(caught.value)
