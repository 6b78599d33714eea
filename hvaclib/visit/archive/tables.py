"""The tables of the archive, and the triggers that let it only grow."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from sqlalchemy import event

VERSION = 1
"""Version of the tables; an archive of another one is refused."""

metadata = sa.MetaData()

about = sa.Table(
    "about",
    metadata,
    sa.Column("key", sa.String(40), primary_key=True),
    sa.Column("value", sa.String(200), nullable=False),
)

visits = sa.Table(
    "visits",
    metadata,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("job", sa.String(200), nullable=False, index=True),
    sa.Column("revision", sa.Integer, nullable=False),
    sa.Column("contractor", sa.String(200), nullable=False, index=True),
    sa.Column("date", sa.Date, nullable=False, index=True),
    sa.Column("digest", sa.String(64), nullable=False),
    sa.Column("content", sa.Text, nullable=False),
    sa.Column("source", sa.String(400), nullable=False),
    sa.Column("source_digest", sa.String(64), nullable=False),
    sa.Column("kept_by", sa.String(200), nullable=False),
    sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
    sa.UniqueConstraint("job", "revision"),
    sa.UniqueConstraint("job", "digest"),
)

rule_sets = sa.Table(
    "rule_sets",
    metadata,
    sa.Column("digest", sa.String(64), primary_key=True),
    sa.Column("name", sa.String(200), nullable=False),
    sa.Column("version", sa.String(40), nullable=False),
    sa.Column("content", sa.Text, nullable=False),
)

reviews = sa.Table(
    "reviews",
    metadata,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("visit", sa.ForeignKey("visits.number"), nullable=False, index=True),
    sa.Column("rule_set", sa.ForeignKey("rule_sets.digest"), nullable=False),
    sa.Column("severity", sa.String(40), nullable=False, index=True),
    sa.Column("reviewer", sa.String(200), nullable=False),
    sa.Column("reviewed_at", sa.DateTime(timezone=True), nullable=False),
    sa.Column("note", sa.Text, nullable=False),
)

remarks = sa.Table(
    "remarks",
    metadata,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("review", sa.ForeignKey("reviews.number"), nullable=False, index=True),
    sa.Column("place", sa.Integer, nullable=False),
    sa.Column("kind", sa.String(60), nullable=False, index=True),
    sa.Column("severity", sa.String(40), nullable=False),
    sa.Column("item", sa.String(120), nullable=False),
    sa.Column("sentence", sa.Text, nullable=False),
    sa.Column("content", sa.Text, nullable=False),
)

GROWING = (visits, rule_sets, reviews, remarks)
"""Tables whose rows are never changed or deleted."""

_SQLITE = """
CREATE TRIGGER IF NOT EXISTS {table}_{action} BEFORE {action} ON {table}
BEGIN SELECT RAISE(ABORT, 'the archive only grows: nothing in it is changed or deleted'); END
"""
_POSTGRESQL_FUNCTION = """
CREATE OR REPLACE FUNCTION archive_only_grows() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION 'the archive only grows: nothing in it is changed or deleted'; END
$$ LANGUAGE plpgsql
"""
_POSTGRESQL = """
CREATE OR REPLACE TRIGGER {table}_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
FOR EACH STATEMENT EXECUTE FUNCTION archive_only_grows()
"""


def _let_only_grow(table: sa.Table) -> None:
    for action in ("UPDATE", "DELETE"):
        trigger = _SQLITE.format(table=table.name, action=action)
        _after(table, trigger, "sqlite")
    for text in (_POSTGRESQL_FUNCTION, _POSTGRESQL.format(table=table.name)):
        _after(table, text, "postgresql")


def _after(table: sa.Table, statement: str, dialect: str) -> None:
    """Execute a statement when a table has just been made in a database of this dialect."""
    plain = statement.strip().replace("%", "%%")
    event.listen(table, "after_create", sa.DDL(plain).execute_if(dialect=dialect))  # type: ignore[no-untyped-call]


for _table in GROWING:
    _let_only_grow(_table)


def careful(connection: Any, _: object) -> None:
    """SQLite as a safe: a commit is on the disk before it is acknowledged."""
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=20000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()
