"""``python -m hvaclib archive …``: keep visits with their reviews, list what is kept, take everything out."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hvaclib.cli import report
from hvaclib.errors import HvacError

if TYPE_CHECKING:
    from hvaclib.visit.archive import Archive

DEFAULT = "visits.db"


def main(argv: Sequence[str]) -> int:
    """Run the command.

    Parameters
    ----------
    argv : sequence of str
        Arguments behind ``archive``.

    Returns
    -------
    int
        0 when done, 2 if what was asked cannot be done (one sentence on standard error).
    """
    try:
        arguments = _parser().parse_args(list(argv))
        from hvaclib.visit.archive import Archive

        with Archive(arguments.archive) as archive:
            for line in arguments.act(archive, arguments):
                print(line)
    except HvacError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _parser() -> report.Parser:
    parser = report.Parser(
        prog="python -m hvaclib archive",
        description="An archive of visits, reviews and the rule sets they were judged by. It only grows: a corrected "
        "sheet is a new revision, a second opinion a new review.",
    )
    acts = parser.add_subparsers(title="what to do", metavar="ACT", required=True, parser_class=report.Parser)
    keep = acts.add_parser("keep", help="review visits and keep both")
    keep.add_argument("files", nargs="+", help="files of visits (TOML, JSON, CSV, XLSX)")
    keep.add_argument("--reviewer", required=True, help="who reviews")
    keep.add_argument("--note", default="", help="what the reviewer adds")
    keep.add_argument("--rules", default="plain", help="name or file of the rule set (default: plain)")
    keep.set_defaults(act=_keep)
    listed = acts.add_parser("list", help="what is kept")
    listed.add_argument("--job", help="only the history of this job")
    listed.add_argument("--contractor", help="only this contractor")
    listed.add_argument("--json", action="store_true", help="one JSON object a line")
    listed.set_defaults(act=_list)
    out = acts.add_parser("export", help="everything as open files: TOML, JSON, CSV")
    out.add_argument("folder", help="name of a new folder")
    out.set_defaults(act=_export)
    for each in (keep, listed, out):
        each.add_argument(
            "--archive", default=DEFAULT, help=f"file of SQLite or database URL (default: {DEFAULT})"
        )
    return parser


def _keep(archive: Archive, arguments: argparse.Namespace) -> Iterator[str]:
    from hvaclib.review import review_visit
    from hvaclib.rules import load
    from hvaclib.visit.sheets import read_content

    rules = load(arguments.rules)
    content_of_rules = rules.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    for name in report.files_named(arguments.files):
        content = _content(Path(name))
        understood = read_content(content, Path(name).name)
        for refusal in understood.refusals:
            print(refusal, file=sys.stderr)
        for visit in understood.visits:
            kept = archive.keep(visit, source=Path(name).name, content=content, kept_by=arguments.reviewer)
            review = review_visit(visit, rules)
            archive.add_review(
                kept, review.to_record(), content_of_rules, reviewer=arguments.reviewer, note=arguments.note
            )
            yield f"{visit.job.id}: revision {kept.revision} kept, {review.severity}"


def _list(archive: Archive, arguments: argparse.Namespace) -> Iterator[str]:
    for kept in archive.visits(job=arguments.job, contractor=arguments.contractor):
        job = kept.visit.job
        reviews = list(archive.reviews(kept))
        if arguments.json:
            yield json.dumps(
                {
                    "job": job.id,
                    "revision": kept.revision,
                    "contractor": job.contractor,
                    "date": job.date.isoformat(),
                    "kept_by": kept.kept_by,
                    "kept_at": kept.kept_at.isoformat(),
                    "reviews": [
                        {
                            "rule_set": review.rule_set,
                            "version": review.version,
                            "severity": review.severity,
                            "reviewer": review.reviewer,
                            "reviewed_at": review.reviewed_at.isoformat(),
                            "note": review.note,
                        }
                        for review in reviews
                    ],
                },
                ensure_ascii=False,
            )
            continue
        yield f"{job.id}  revision {kept.revision}  {job.date.isoformat()}  {job.contractor}  kept by {kept.kept_by}"
        for review in reviews:
            when = f"{review.reviewed_at:%Y-%m-%d %H:%M} UTC"
            note = f": {review.note}" if review.note else ""
            yield f"    {when}  {review.reviewer}, {review.rule_set} {review.version}: {review.severity}{note}"


def _export(archive: Archive, arguments: argparse.Namespace) -> Iterator[str]:
    from hvaclib.visit.archive import export

    count = export(archive, arguments.folder)
    yield f"{count} visits written to {arguments.folder}"


def _content(path: Path) -> bytes:
    from hvaclib.errors import FileError

    try:
        return path.read_bytes()
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise FileError(f"the file cannot be read ({reason})", where=str(path)) from None
