"""What the archive gives back: a kept visit, a kept review."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from hvaclib.visit.file import from_document
from hvaclib.visit.model import Visit


@dataclass(frozen=True, slots=True)
class Kept:
    """A visit as the archive holds it.

    Parameters
    ----------
    number : int
        Of the record in the archive.
    revision : int
        Of the job's sheet, from one.
    visit : Visit
        The record.
    digest : str
        SHA-256 of its content.
    source, source_digest : str
        File that it came from, and the SHA-256 of that file.
    kept_by : str
        Who kept it.
    kept_at : datetime
        When, UTC.
    """

    number: int
    revision: int
    visit: Visit
    digest: str
    source: str
    source_digest: str
    kept_by: str
    kept_at: dt.datetime


@dataclass(frozen=True, slots=True)
class KeptReview:
    """A review as the archive holds it.

    Parameters
    ----------
    number, visit : int
        Of the review, and of the record that it is about.
    rule_set, version, digest : str
        Rules that it was made by.
    severity : str
        The gravest of its remarks, or 'pass'.
    reviewer, note : str
        Who made it, and what they added.
    reviewed_at : datetime
        When, UTC.
    remarks : tuple of dict
        Its remarks.
    """

    number: int
    visit: int
    rule_set: str
    version: str
    digest: str
    severity: str
    reviewer: str
    note: str
    reviewed_at: dt.datetime
    remarks: tuple[dict[str, Any], ...]


def kept_of(row: Mapping[str, Any]) -> Kept:
    """A kept visit from its row."""
    return Kept(
        number=row["number"],
        revision=row["revision"],
        visit=from_document(json.loads(row["content"]), f"archive, record {row['number']}"),
        digest=row["digest"],
        source=row["source"],
        source_digest=row["source_digest"],
        kept_by=row["kept_by"],
        kept_at=utc(row["kept_at"]),
    )


def text_of(content: Mapping[str, Any] | Sequence[Any]) -> str:
    """JSON that is the same for the same content."""
    return json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def sha256(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def now() -> dt.datetime:
    """The present moment, UTC."""
    return dt.datetime.now(dt.UTC)


def utc(moment: dt.datetime) -> dt.datetime:
    """A moment as UTC; SQLite gives it back without its zone."""
    return moment.replace(tzinfo=dt.UTC) if moment.tzinfo is None else moment.astimezone(dt.UTC)
