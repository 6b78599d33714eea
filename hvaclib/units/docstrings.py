"""Reading numpydoc docstrings: the command line, the boards and a test take texts and sources from there."""

from __future__ import annotations

import inspect
import re

__all__ = ["parameters", "references", "sections", "summary"]


def sections(text: str) -> dict[str, list[str]]:
    """Split a docstring into its sections; the part before the first heading has the key ``""``."""
    lines = inspect.cleandoc(text).splitlines()
    found: dict[str, list[str]] = {"": []}
    title = ""
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        if line.strip() and re.fullmatch(r"-{3,}", below.strip()) and not line.startswith(" "):
            title = line.strip()
            found[title] = []
        elif not (re.fullmatch(r"-{3,}", line.strip()) and not found[title] and title):
            found[title].append(line)
    return found


def summary(text: str) -> str:
    """First paragraph on one line."""
    lines = sections(text)[""]
    end = lines.index("") if "" in lines else len(lines)
    return " ".join(line.strip() for line in lines[:end])


def parameters(text: str, section: str = "Parameters") -> dict[str, tuple[str, str]]:
    """Type text and meaning of each entry of a section, in the order written."""
    found: dict[str, tuple[str, str]] = {}
    name = ""
    for line in sections(text).get(section, []):
        if line and not line.startswith(" "):
            name, _, kind = (part.strip() for part in line.partition(":"))
            found[name] = (kind, "")
        elif line.strip() and name:
            kind, meaning = found[name]
            found[name] = (kind, f"{meaning} {line.strip()}".strip())
    return found


def references(text: str) -> tuple[str, ...]:
    """Sources listed under References, without their numbers."""
    items: list[str] = []
    for line in sections(text).get("References", []):
        start = re.match(r"\.\. \[\w+\]\s*|\[\w+\]\s*|-\s+", line)
        if start:
            items.append(line[start.end() :].strip())
        elif line.strip():
            if items:
                items[-1] += " " + line.strip()
            else:
                items.append(line.strip())
    return tuple(items)
