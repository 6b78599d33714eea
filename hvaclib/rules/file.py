"""Read a rule set from its file or by the name of a shipped one; every refusal is one sentence."""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from hvaclib.errors import FileError
from hvaclib.files import write_text
from hvaclib.readings import nearest
from hvaclib.rules import model
from hvaclib.rules.contradiction import contradictions
from hvaclib.rules.explain import RuleFileError, refusal

_LARGEST_FILE = 1_000_000


def available() -> tuple[str, ...]:
    """Names of the rule sets that come with the suite.

    Returns
    -------
    tuple of str
        Sorted.
    """
    folder = resources.files(__package__).joinpath("sets")
    return tuple(sorted(item.name[:-5] for item in folder.iterdir() if item.name.endswith(".toml")))


def load(source: str | os.PathLike[str]) -> model.RuleSet:
    """Rule set by the name of a shipped one, or from a file.

    Parameters
    ----------
    source : str or path
        A name of `available`, or the path of a TOML file.

    Returns
    -------
    RuleSet

    Raises
    ------
    RuleFileError
        If there is no such set or file, or the file is not a rule set. The sentence names file and key,
        what is there and what is expected; ``sentences`` has one for every fault.
    """
    if isinstance(source, str) and source in available():
        text = resources.files(__package__).joinpath("sets", f"{source}.toml").read_text(encoding="utf-8")
        return from_text(text, f"{source}.toml")
    path = Path(source)
    if isinstance(source, str) and not path.exists() and path.suffix == "" and path.name == source:
        raise RuleFileError.of(
            [FileError("no such rule set", given=source, expected=nearest(source, available()))]
        )
    return from_text(_text(path), path.name)


def from_text(text: str, name: str = "rule set") -> model.RuleSet:
    """Rule set from the text of a TOML file.

    Parameters
    ----------
    text : str
        Content of the file.
    name : str, optional
        What the sentences call the file.

    Returns
    -------
    RuleSet

    Raises
    ------
    RuleFileError
        As `load`.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _refusal(f"not readable as TOML: {str(error)[0].lower()}{str(error)[1:]}", name) from None
    if not document:
        raise _refusal("the file is empty", name, expected=f'format = "{model.FORMAT}" and at least one rule')
    return from_document(document, name)


def from_document(document: Mapping[str, Any], name: str = "rule set") -> model.RuleSet:
    """Rule set from a mapping as a TOML file gives it; see `from_text`."""
    try:
        rules = model.RuleSet.model_validate(dict(document))
    except ValidationError as error:
        raise refusal(error, document, name) from None
    faults = contradictions(rules, name)
    if faults:
        raise RuleFileError.of(faults)
    return rules


def schema() -> dict[str, Any]:
    """JSON Schema of a rule-set file, for editors that complete and check.

    Returns
    -------
    dict
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **model.RuleSet.model_json_schema(by_alias=True),
    }


def write_schema(path: str | os.PathLike[str]) -> None:
    """Write the JSON Schema to a file, whole or not at all.

    Parameters
    ----------
    path : str or path
    """
    write_text(Path(path), json.dumps(schema(), indent=1, ensure_ascii=False) + "\n")


def _refusal(what: str, where: str, expected: str = "") -> RuleFileError:
    return RuleFileError.of([FileError(what, where=where, expected=expected)])


def _text(path: Path) -> str:
    if not path.exists():
        raise _refusal("there is no such file", str(path))
    if path.is_dir():
        raise _refusal("this is a folder", str(path), "a rule-set file")
    try:
        if path.stat().st_size > _LARGEST_FILE:
            raise _refusal("the file is too large for a rule set", path.name, "at most 1 MB")
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise _refusal("the file is not UTF-8 text", path.name, "a TOML file in UTF-8") from None
    except OSError as error:
        raise _refusal(f"the file cannot be read ({error.strerror})", path.name) from None
