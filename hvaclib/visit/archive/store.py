"""The archive itself: keep, find, and tell the history of a job."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

import sqlalchemy as sa
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from hvaclib.errors import HvacError, InputError
from hvaclib.visit.archive import tables
from hvaclib.visit.archive.records import Kept, KeptReview, kept_of, now, sha256, text_of, utc
from hvaclib.visit.file import to_document

if TYPE_CHECKING:
    from hvaclib.visit.model import Visit

TRIES = 5
"""How often a visit is tried again when another writer has taken its revision."""


class ArchiveError(HvacError, OSError):
    """An archive that cannot be opened, read or written."""


class Archive:
    """Visits, reviews and rule sets in a database that only grows.

    Parameters
    ----------
    place : str or Path
        A file of SQLite, which is made where there is none, or a database URL.

    Raises
    ------
    ArchiveError
        If it cannot be opened, or is no archive of this suite.
    """

    def __init__(self, place: str | Path) -> None:
        self.place = str(place)
        try:
            self._engine = sa.create_engine(_url(place))
            if self._engine.dialect.name == "sqlite":
                sa.event.listen(self._engine, "connect", tables.careful)
            with self._told(), self._engine.begin() as line:
                self._prepare(line)
        except (SQLAlchemyError, ImportError, ValueError) as error:
            if isinstance(error, HvacError):
                raise
            raise self._refusal(error) from None

    def close(self) -> None:
        """Give the connections back."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def keep(self, visit: Visit, *, source: str = "", content: bytes = b"", kept_by: str = "") -> Kept:
        """Keep a visit; when this returns, it is on the disk.

        Parameters
        ----------
        visit : Visit
            The record. One that is kept already, word for word, is not kept twice.
        source : str, optional
            Name of the file it came from.
        content : bytes, optional
            Content of that file, for its digest.
        kept_by : str, optional
            Who keeps it.

        Returns
        -------
        Kept
            The new record, or the equal one that was there.

        Raises
        ------
        ArchiveError
            If the database refuses.
        """
        text = text_of(to_document(visit))
        digest = sha256(text.encode("utf-8"))
        row = {
            "job": visit.job.id,
            "contractor": visit.job.contractor,
            "date": visit.job.date,
            "digest": digest,
            "content": text,
            "source": source[:400],
            "source_digest": sha256(content) if content else "",
            "kept_by": kept_by[:200],
        }
        for _ in range(TRIES):
            with self._told():
                try:
                    return self._keep(row)
                except IntegrityError:
                    continue  # another writer has taken this revision: look again
        raise ArchiveError(
            "other writers keep this job at the same moment", where=self.place, given=visit.job.id
        )

    def _keep(self, row: dict[str, Any]) -> Kept:
        with self._engine.begin() as line:
            same = sa.and_(tables.visits.c.job == row["job"], tables.visits.c.digest == row["digest"])
            old = line.execute(sa.select(tables.visits).where(same)).mappings().first()
            found: Mapping[str, Any] = {} if old is None else dict(old)
            if old is None:
                last = sa.select(sa.func.max(tables.visits.c.revision)).where(
                    tables.visits.c.job == row["job"]
                )
                revision = (line.execute(last).scalar() or 0) + 1
                new = {**row, "revision": revision, "kept_at": now()}
                number = line.execute(sa.insert(tables.visits).values(new)).inserted_primary_key
                assert number is not None
                found = {**new, "number": number[0]}
        return kept_of(found)

    def add_review(
        self,
        kept: Kept,
        review: Mapping[str, Any],
        rules: Mapping[str, Any],
        *,
        reviewer: str,
        note: str = "",
    ) -> int:
        """Add what a review found about a kept visit.

        Parameters
        ----------
        kept : Kept
            The record.
        review : mapping
            'rule_set', 'version', 'digest', 'severity' and 'remarks', as the record of a review gives them.
        rules : mapping
            The whole rule set, so that the verdict can be understood when the set has long been changed.
        reviewer : str
            Who reviewed; not empty.
        note : str, optional
            What they add.

        Returns
        -------
        int
            Number of the review.

        Raises
        ------
        InputError
            If nobody is named.
        ArchiveError
            If the database refuses.
        """
        if not reviewer.strip():
            raise InputError("a review needs the name of the reviewer", where="reviewer", expected="a name")
        with self._told(), self._engine.begin() as line:
            self._keep_rules(line, review, rules)
            row = {
                "visit": kept.number,
                "rule_set": review["digest"],
                "severity": review["severity"],
                "reviewer": reviewer.strip()[:200],
                "reviewed_at": now(),
                "note": note,
            }
            key = line.execute(sa.insert(tables.reviews).values(row)).inserted_primary_key
            assert key is not None
            rows = [
                {
                    "review": key[0],
                    "place": place,
                    **{name: str(remark[name]) for name in ("kind", "severity", "item", "sentence")},
                    "content": text_of(remark),
                }
                for place, remark in enumerate(review["remarks"], start=1)
            ]
            if rows:
                line.execute(sa.insert(tables.remarks), rows)
        return int(key[0])

    def visits(
        self, *, job: str | None = None, contractor: str | None = None, latest: bool = False
    ) -> Iterator[Kept]:
        """Kept visits in the order in which they were kept.

        Parameters
        ----------
        job, contractor : str, optional
            Only those of this job, of this contractor.
        latest : bool, optional
            Only the last revision of each job.

        Yields
        ------
        Kept
        """
        table = tables.visits
        wanted = sa.select(table).order_by(table.c.number)
        if job is not None:
            wanted = wanted.where(table.c.job == job)
        if contractor is not None:
            wanted = wanted.where(table.c.contractor == contractor)
        if latest:
            other = table.alias()
            newer = sa.exists().where(other.c.job == table.c.job, other.c.revision > table.c.revision)
            wanted = wanted.where(~newer)
        for row in self._rows(wanted):
            yield kept_of(row)

    def reviews(self, kept: Kept | None = None) -> Iterator[KeptReview]:
        """Kept reviews in the order in which they were added.

        Parameters
        ----------
        kept : Kept, optional
            Only those of this record.

        Yields
        ------
        KeptReview
        """
        made, rules = tables.reviews, tables.rule_sets
        wanted = (
            sa.select(made, rules.c.name, rules.c.version, rules.c.digest)
            .join(rules, rules.c.digest == made.c.rule_set)
            .order_by(made.c.number)
        )
        if kept is not None:
            wanted = wanted.where(made.c.visit == kept.number)
        for row in self._rows(wanted):
            said = sa.select(tables.remarks.c.content).where(tables.remarks.c.review == row["number"])
            contents = self._rows(said.order_by(tables.remarks.c.place))
            yield KeptReview(
                number=row["number"],
                visit=row["visit"],
                rule_set=row["name"],
                version=row["version"],
                digest=row["digest"],
                severity=row["severity"],
                reviewer=row["reviewer"],
                note=row["note"],
                reviewed_at=utc(row["reviewed_at"]),
                remarks=tuple(json.loads(each["content"]) for each in contents),
            )

    def rule_sets(self) -> Iterator[dict[str, Any]]:
        """Every rule set that a review was made by: digest, name, version and its whole content."""
        for row in self._rows(sa.select(tables.rule_sets).order_by(tables.rule_sets.c.name)):
            yield {**row, "content": json.loads(row["content"])}

    def _rows(self, wanted: sa.Select[Any]) -> Iterable[Mapping[str, Any]]:
        with self._told(), self._engine.connect() as line:
            streamed = line.execution_options(yield_per=500).execute(wanted)
            yield from (dict(row) for row in streamed.mappings())

    def _prepare(self, line: sa.Connection) -> None:
        known = sa.inspect(line).get_table_names()
        if known and "about" not in known:
            raise ArchiveError(
                "this database holds something else",
                where=self.place,
                given=", ".join(sorted(known)[:5]),
                expected="an empty database or an archive",
            )
        tables.metadata.create_all(line)
        about = tables.about
        version = line.execute(sa.select(about.c.value).where(about.c.key == "version")).scalar()
        if version is None:
            line.execute(sa.insert(about).values(key="version", value=str(tables.VERSION)))
        elif version != str(tables.VERSION):
            raise ArchiveError(
                "this archive was made by another version of the suite",
                where=self.place,
                given=version,
                expected=str(tables.VERSION),
            )

    def _keep_rules(self, line: sa.Connection, review: Mapping[str, Any], rules: Mapping[str, Any]) -> None:
        digest = sa.select(tables.rule_sets.c.digest).where(tables.rule_sets.c.digest == review["digest"])
        if line.execute(digest).scalar() is None:
            line.execute(
                sa.insert(tables.rule_sets).values(
                    digest=review["digest"],
                    name=review["rule_set"],
                    version=review["version"],
                    content=text_of(rules),
                )
            )

    @contextmanager
    def _told(self) -> Iterator[None]:
        """What the database refuses becomes one sentence."""
        try:
            yield
        except IntegrityError:
            raise
        except SQLAlchemyError as error:
            raise self._refusal(error) from None

    def _refusal(self, error: Exception) -> ArchiveError:
        cause = str(getattr(error, "orig", None) or error).strip().splitlines()
        reason = cause[0].rstrip(".") if cause else type(error).__name__
        return ArchiveError(
            f"the archive refuses: {reason}", where=_shown(self.place), expected="a file or a database URL"
        )


def _url(place: str | Path) -> sa.URL:
    text = str(place)
    if "://" in text:
        return sa.make_url(text)
    return sa.URL.create("sqlite", database=text)


def _shown(place: str) -> str:
    """The place without a password."""
    return sa.make_url(place).render_as_string(hide_password=True) if "://" in place else place
