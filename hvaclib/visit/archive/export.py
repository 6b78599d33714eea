"""Everything in an archive as open files: JSON, TOML and CSV that any program reads."""

from __future__ import annotations

import csv
import io
import json
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hvaclib.cells import harmless
from hvaclib.errors import FileError
from hvaclib.files import write_text
from hvaclib.visit.file import to_text

if TYPE_CHECKING:
    from hvaclib.visit.archive.store import Archive

VISIT_COLUMNS = (
    "number", "job", "revision", "contractor", "date", "digest", "source", "source_digest", "kept_by", "kept_at",
)  # fmt: skip
REVIEW_COLUMNS = (
    "number",
    "visit",
    "rule_set",
    "version",
    "digest",
    "severity",
    "reviewer",
    "reviewed_at",
    "note",
)
REMARK_COLUMNS = (
    "review",
    "place",
    "kind",
    "severity",
    "item",
    "where",
    "when",
    "sentence",
    "acts",
    "source",
)


def export(archive: Archive, folder: str | Path) -> int:
    """Write everything into a new folder, whole or not at all.

    Parameters
    ----------
    archive : Archive
    folder : str or Path
        Where; it must not exist yet.

    Returns
    -------
    int
        How many visits were written.

    Raises
    ------
    FileError
        If the folder is there already or cannot be made.

    Notes
    -----
    ``visits/`` holds one TOML file a record, ``rule_sets/`` one JSON file a rule set, ``visits.csv``, ``reviews.csv``
    and ``remarks.csv`` the tables, with text that a spreadsheet would take for a formula made harmless.
    """
    folder = Path(folder)
    if folder.exists():
        raise FileError(
            "this folder is there already", where=str(folder), expected="the name of a new folder"
        )
    try:
        part = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.", suffix=".part"))
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise FileError(f"the folder cannot be made ({reason})", where=str(folder)) from None
    try:
        count = _write(archive, part)
        part.chmod(0o755)
        part.replace(folder)
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return count


def _write(archive: Archive, folder: Path) -> int:
    (folder / "visits").mkdir()
    (folder / "rule_sets").mkdir()
    rows = []
    for kept in archive.visits():
        job = kept.visit.job
        write_text(folder / "visits" / f"{kept.number:06d}.toml", to_text(kept.visit))
        rows.append(
            (
                kept.number,
                job.id,
                kept.revision,
                job.contractor,
                job.date,
                kept.digest,
                kept.source,
                kept.source_digest,
                kept.kept_by,
                kept.kept_at.isoformat(),
            )
        )
    write_text(folder / "visits.csv", _csv(VISIT_COLUMNS, rows))
    made, said = [], []
    for review in archive.reviews():
        made.append([_plain(getattr(review, name)) for name in REVIEW_COLUMNS])
        for place, remark in enumerate(review.remarks, start=1):
            content = {**remark, "review": review.number, "place": place}
            said.append([content.get(name, "") for name in REMARK_COLUMNS])
    write_text(folder / "reviews.csv", _csv(REVIEW_COLUMNS, made))
    write_text(folder / "remarks.csv", _csv(REMARK_COLUMNS, said))
    for rules in archive.rule_sets():
        name = f"{rules['name']} {rules['version']} {rules['digest'][:12]}.json"
        text = json.dumps(rules["content"], indent=1, ensure_ascii=False) + "\n"
        write_text(folder / "rule_sets" / name.replace("/", "-"), text)
    return len(rows)


def _csv(head: tuple[str, ...], rows: list[Any]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([harmless(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    return text.getvalue()


def _plain(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else value
