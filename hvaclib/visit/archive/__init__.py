"""Keeping: visits, their reviews and the rule sets they were judged by, in a database that only ever grows.

The archive is a file of SQLite unless a database URL says otherwise; a PostgreSQL URL
(``postgresql+psycopg://user@host/name``) works unchanged. Nothing in it is changed or deleted: a corrected sheet is a
new revision of its job, a second opinion a new review, and the database itself refuses anything else.
"""

from __future__ import annotations

from hvaclib.visit.archive.export import export
from hvaclib.visit.archive.records import Kept, KeptReview
from hvaclib.visit.archive.store import Archive, ArchiveError

__all__ = ["Archive", "ArchiveError", "Kept", "KeptReview", "export"]
