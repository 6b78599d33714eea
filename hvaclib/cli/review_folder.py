"""The folder that a review is written into: whole, or not there."""

from __future__ import annotations

import csv
import datetime as dt
import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self, TextIO

from hvaclib.cells import harmless
from hvaclib.errors import FileError
from hvaclib.files import mask

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from types import TracebackType

    from hvaclib.rules import RuleSet
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Understood

COLUMNS = (
    "job",
    "contractor",
    "kind",
    "severity",
    "item",
    "where",
    "when",
    "sentence",
    "acts",
    "do",
    "source",
    "rule",
)
"""Headings of remarks.csv."""
RESULTS = ("papers", "understood.txt", "remarks.csv", "reviews.jsonl", "review.json")
"""All that a review leaves, in the order in which it takes the place of an earlier one."""


class ReviewFolder:
    """Results as open files, written as they come into a folder beside the one that was asked for, then put in its place.

    Parameters
    ----------
    folder : Path
        Made if it is not there. Results of an earlier review in it are replaced, anything else in it stays.
    rules : RuleSet
        The rule set that is judged by.

    Raises
    ------
    FileError
        If it is no folder or cannot be made.

    Notes
    -----
    ``reviews.jsonl`` has one review a line, ``remarks.csv`` one remark a row, ``understood.txt`` what was understood of
    the files, ``review.json`` the summary, ``papers`` the papers of each job.
    """

    def __init__(self, folder: Path, rules: RuleSet) -> None:
        if folder.exists() and not folder.is_dir():
            raise FileError("this is a file", where="--out", given=str(folder), expected="a folder")
        self.folder, self.rules = folder, rules
        try:
            # One that is there may lie on a disk of its own.
            beside = folder if folder.exists() else folder.parent
            beside.mkdir(parents=True, exist_ok=True)
            self._made = Path(tempfile.mkdtemp(dir=beside, prefix=f".{folder.name}.", suffix=".part"))
        except OSError as error:
            raise _unwritten(folder, error) from error
        self._reviews: TextIO = (self._made / "reviews.jsonl").open("w", encoding="utf-8", newline="\n")
        self._remarks: TextIO = (self._made / "remarks.csv").open("w", encoding="utf-8", newline="")
        self._table = csv.writer(self._remarks, lineterminator="\n")
        self._table.writerow(COLUMNS)
        self._number = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for file in (self._reviews, self._remarks):
            file.close()
        shutil.rmtree(
            self._made, ignore_errors=True
        )  # a new folder has its own name by now, and nothing is left here

    def add(self, review: Mapping[str, Any]) -> None:
        """One more review, as `hvaclib.review.Review.to_record` gives it."""
        self._number += 1
        try:
            self._reviews.write(json.dumps(review, ensure_ascii=False) + "\n")
            for remark in review["remarks"]:
                self._row(remark, review["job"]["id"], review["job"]["contractor"])
        except OSError as error:
            raise _unwritten(self.folder, error) from error

    def add_papers(self, visit: Visit) -> None:
        """The papers of a job, in a folder of their own: two jobs may have one number."""
        from hvaclib.paper import write_paper
        from hvaclib.paper.write import safe_name
        from hvaclib.review import review_visit

        place = self._made / "papers" / f"{self._number:05d} {safe_name(visit.job.id)}"
        place.mkdir(parents=True)
        write_paper(review_visit(visit, self.rules), place)

    def finish(
        self, counts: dict[str, int], across: Sequence[Mapping[str, Any]], reports: Sequence[Understood]
    ) -> None:
        """Write what is known at the end, and give the folder its name.

        Parameters
        ----------
        counts : dict
            Visits by severity.
        across : sequence of mapping
            What the visits of a contractor say together.
        reports : sequence of Understood
            What was understood of each file.

        Raises
        ------
        FileError
            If something cannot be written.
        """
        rules = self.rules
        summary = {
            "made": f"{dt.date.today():%Y-%m-%d}",
            "rule_set": {"name": rules.name, "version": rules.version, "digest": rules.digest},
            "visits": self._number,
            "counts": counts,
            "across": list(across),
            "files": [
                {
                    "source": each.source,
                    "form": each.form,
                    "visits": each.more_visits,
                    "refusals": len(each.refusals),
                }
                for each in reports
            ],
        }
        try:
            for remark in across:
                self._row(remark, "", str(remark["where"]))
            lines = [line for each in reports for line in each.words()]
            (self._made / "understood.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
            text = json.dumps(summary, indent=1, ensure_ascii=False) + "\n"
            (self._made / "review.json").write_text(text, encoding="utf-8")
            for file in (self._reviews, self._remarks):
                file.flush()
                os.fsync(file.fileno())
                file.close()
            self._made.chmod(0o777 & ~mask())  # a temporary folder is made for its owner's eyes only
            self._put()
        except OSError as error:
            raise _unwritten(self.folder, error) from error

    def _put(self) -> None:
        """Give the results their place: the whole folder where it is new, else one by one, the summary last."""
        if not self.folder.exists():
            self._made.rename(self.folder)
            return
        for name in RESULTS:
            made, old = self._made / name, self.folder / name
            if old.is_dir():
                old.rename(self._made / f"{name} before")  # goes with the temporary folder
            if made.exists():
                made.replace(old)

    def _row(self, remark: Mapping[str, Any], job: str, contractor: str) -> None:
        row = {**remark, "job": job, "contractor": contractor, "do": " ".join(remark["do"])}
        self._table.writerow([harmless(str(row[column])) for column in COLUMNS])


def _unwritten(folder: Path, error: OSError) -> FileError:
    return FileError(
        "this folder cannot be written",
        where="--out",
        given=str(folder),
        expected=f"a folder in a place that can be written to ({error.strerror})",
    )
