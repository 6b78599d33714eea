"""``python -m hvaclib rules check FILE… | diff A B | list | show SET``: rule sets, checked, compared and read."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from hvaclib.cli import report

if TYPE_CHECKING:
    from hvaclib.rules import Rule, RuleSet

COMMAND = "rules"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``rules``.

    Returns
    -------
    int
        0 where every file is sound or both sets say the same, 1 where a file has a fault or the sets differ, 2 where
        what was asked cannot be done (one sentence on standard error, nothing on standard output).
    """
    return report.run(_parser(), argv, _report, _table)


def _parser() -> report.Parser:
    parser = report.Parser(
        prog=f"python -m hvaclib {COMMAND}",
        description="Rule sets: TOML files whose every limit names its source.",
    )
    parts = parser.add_subparsers(dest="part", metavar="PART", required=True, parser_class=report.Parser)
    check = parts.add_parser("check", help="read files and name every fault with file, rule and key")
    check.add_argument("files", nargs="+", metavar="FILE", help="rule-set file (TOML)")
    compare = parts.add_parser("diff", help="what two rule sets do differently, and which is stricter")
    compare.add_argument("first", help="name or file of a rule set")
    compare.add_argument("second", help="name or file of another one")
    compare.add_argument(
        "--limits", action="store_true", help="leave out what differs in sources and words only"
    )
    parts.add_parser("list", help="the rule sets that come with the suite")
    show = parts.add_parser("show", help="every rule of a set: limit in words, severity, source")
    show.add_argument("set", help="name or file of a rule set")
    for each in parts.choices.values():
        each.add_argument("--json", action="store_true", help="one JSON object instead of text")
        each.add_argument("--out", metavar="FILE", help="write to a file instead of standard output")
    return parser


def _report(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    made, met = _REPORTS[arguments.part](arguments)
    return {"part": arguments.part, **made}, met


def _check(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.rules import RuleFileError, load

    files = []
    for name in arguments.files:
        row: dict[str, Any] = {"file": name, "sound": False, "sentences": []}
        try:
            row.update(sound=True, **_of_set(load(name)))
        except RuleFileError as error:
            row.update(sound=False, sentences=list(error.sentences))
        files.append(row)
    return {"files": files}, all(row["sound"] for row in files)


def _diff(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.rules import load
    from hvaclib.rules.diff import diff, summary

    first, second = load(arguments.first), load(arguments.second)
    changes = diff(first, second)
    if arguments.limits:
        changes = tuple(each for each in changes if each.about not in ("source", "words", "group"))
    made = {
        "first": _of_set(first),
        "second": _of_set(second),
        "summary": summary(first, second, changes),
        "changes": [each.to_record() for each in changes],
    }
    return made, not changes


def _list(_: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.rules import available, load

    return {"sets": [_of_set(load(name)) for name in available()]}, True


def _show(arguments: argparse.Namespace) -> tuple[dict[str, Any], bool]:
    from hvaclib.rules import load
    from hvaclib.rules.rule_words import decision_words

    rules = load(arguments.set)
    made = {
        **_of_set(rules),
        "description": rules.description.strip(),
        "decision": decision_words(rules.decision),
        "decision_source": rules.decision.source,
        "rules": [_of_rule(rule) for rule in rules.rules],
    }
    return made, True


def _of_set(rules: RuleSet) -> dict[str, Any]:
    return {
        "name": rules.name,
        "version": rules.version,
        "title": rules.title,
        "digest": rules.digest,
        "count": len(rules.rules),
        "unverified": sum(rule.unverified for rule in rules.rules),
    }


def _of_rule(rule: Rule) -> dict[str, Any]:
    from hvaclib.rules.rule_words import condition_words, limit_words

    return {
        "id": rule.id,
        "title": rule.title,
        "quantity": rule.quantity,
        "measured": rule.measurable.title,
        "limit": limit_words(rule),
        "when": condition_words(rule),
        "severity": rule.severity,
        "source": rule.source,
        "do": list(rule.do),
        "cautions": list(rule.cautions),
    }


_REPORTS: dict[str, Callable[[argparse.Namespace], tuple[dict[str, Any], bool]]] = {
    "check": _check,
    "diff": _diff,
    "list": _list,
    "show": _show,
}


def _table(made: dict[str, Any]) -> str:
    lines = {"check": _check_lines, "diff": _diff_lines, "list": _list_lines, "show": _show_lines}
    return "\n".join(lines[made["part"]](made))


def _check_lines(made: dict[str, Any]) -> list[str]:
    lines = []
    for row in made["files"]:
        if row["sound"]:
            lines.append(f"{row['file']}: sound; {_headline(row)}")
        lines += row["sentences"]
    return lines


def _diff_lines(made: dict[str, Any]) -> list[str]:
    return [made["summary"], *(f"  {each['sentence']}" for each in made["changes"])]


def _list_lines(made: dict[str, Any]) -> list[str]:
    body: list[tuple[str, ...]] = [
        (row["name"], row["version"], str(row["count"]), str(row["unverified"]), row["title"])
        for row in made["sets"]
    ]
    return report.rows(("set", "version", "rules", "from memory", "title"), body)


def _show_lines(made: dict[str, Any]) -> list[str]:
    lines = [_headline(made), made["description"], f"Near a limit it {made['decision']}.", ""]
    for rule in made["rules"]:
        lines += [
            f"{rule['id']}  [{rule['severity']}]  {rule['title']}",
            f"    {rule['measured']}: {rule['limit']}",
            *([f"    when: {rule['when']}"] if rule["when"] != "always" else []),
            f"    source: {rule['source']}",
        ]
    return lines


def _headline(row: dict[str, Any]) -> str:
    """The set in one line, and how much of it nobody read up."""
    memory = f", {row['unverified']} of them from memory, unverified" if row["unverified"] else ""
    return f"'{row['name']}' {row['version']}, {row['title']}: {row['count']} rules{memory}."
