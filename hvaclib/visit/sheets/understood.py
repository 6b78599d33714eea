"""The report of what was understood of a file, before anything in it is judged."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from hvaclib.errors import FileError

if TYPE_CHECKING:
    from hvaclib.visit.model import Visit
    from hvaclib.visit.sheets.draft import Spot

MOST_NOTES = 5_000
MOST_REFUSALS = 5_000


@dataclass(frozen=True, slots=True)
class Note:
    """One interpretation: what stood in a cell and what it was taken for.

    Parameters
    ----------
    where : str
        File, sheet, row and column; the first, where the same was found several times.
    row : int
        Row of the table, from one; zero for the file as a whole.
    column : str
        Letter and heading of the column; empty for a whole row.
    found, taken : str
        What stood there, and what it was taken for; empty where nothing was.
    why : str
        Why, in a few words.
    times : int
        How often the same was found in the column.
    """

    where: str
    row: int
    column: str
    found: str
    taken: str
    why: str
    times: int = 1

    @property
    def sentence(self) -> str:
        """The note as one sentence."""
        text = f"{self.where}: {self.why}"
        if self.found:
            text += f"; found {self.found!r}"
        if self.taken:
            text += f", taken as {self.taken!r}"
        return text + (f" ({self.times} times)" if self.times > 1 else "") + "."


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading was taken for.

    Parameters
    ----------
    sheet : str
        Name of the sheet, where the file has several.
    column : str
        Letter of the column; empty in a table of one entry a row, where headings stand in the rows.
    heading : str
        As it stands in the file.
    means : str
        What it was taken for, in words.
    unit : str
        Unit that holds for its cells without one of their own.
    """

    sheet: str
    column: str
    heading: str
    means: str
    unit: str = ""


@dataclass(frozen=True)
class Understood:
    """What was understood of a file.

    Parameters
    ----------
    source : str
        Name of the file.
    form : str
        Form of the file: "wide CSV", "long XLSX", "TOML" and so on.
    visits : tuple of Visit
        What could be read.
    notes : tuple of Note
        Every interpretation.
    refusals : tuple of FileError
        What was left out and why, in the order of the file; the visits are read without it.
    encoding, delimiter : str
        Of a text file.
    headings : tuple of Heading
        What each heading was taken for.
    more_notes, more_refusals : int
        How many more there were than are listed.
    more_visits : int
        How many were given away one by one, and are not held here.
    """

    source: str
    form: str
    visits: tuple[Visit, ...]
    notes: tuple[Note, ...] = ()
    refusals: tuple[FileError, ...] = ()
    encoding: str = ""
    delimiter: str = ""
    headings: tuple[Heading, ...] = ()
    more_notes: int = 0
    more_refusals: int = 0
    more_visits: int = 0

    def words(self) -> tuple[str, ...]:
        """The report as sentences.

        Returns
        -------
        tuple of str
            Form of the file and number of visits, headings, notes, refusals.
        """
        how = ", ".join(
            part
            for part in (self.encoding, f"{self.delimiter} between cells" if self.delimiter else "")
            if part
        )
        number = len(self.visits) + self.more_visits
        text = f"{self.source}: {self.form}{f' ({how})' if how else ''}, {number} visit{'s' * (number != 1)} read"
        refused = len(self.refusals) + self.more_refusals
        lines = [f"{text}, {refused} refusal{'s' * (refused != 1)}."]
        for each in self.headings:
            place = " ".join(
                part for part in (each.sheet, f"column {each.column}" if each.column else "row") if part
            )
            unit = f", in {each.unit}" if each.unit else ""
            lines.append(f"{place} {each.heading!r}: {each.means}{unit}.")
        lines += [note.sentence for note in self.notes]
        lines += [f"{self.more_notes} more notes are not listed."] * bool(self.more_notes)
        lines += [sentence for refusal in self.refusals for sentence in refusal.sentences]
        lines += [f"{self.more_refusals} more refusals are not listed."] * bool(self.more_refusals)
        return tuple(lines)

    def to_record(self) -> dict[str, Any]:
        """The report as a mapping that JSON can hold, without the visits' content."""
        return {
            "source": self.source,
            "form": self.form,
            "encoding": self.encoding,
            "delimiter": self.delimiter,
            "visits": [visit.job.id for visit in self.visits],
            "headings": [
                {"sheet": each.sheet, "column": each.column, "heading": each.heading, "means": each.means, "unit": each.unit}
                for each in self.headings
            ],
            "notes": [
                {
                    "where": note.where, "row": note.row, "column": note.column, "found": note.found,
                    "taken": note.taken, "why": note.why, "times": note.times,
                }
                for note in self.notes
            ],
            "refusals": [sentence for refusal in self.refusals for sentence in refusal.sentences],
            "more_notes": self.more_notes,
            "more_refusals": self.more_refusals,
            "more_visits": self.more_visits,
        }  # fmt: skip


class Report:
    """Notes, headings and refusals as they are found while a file is read."""

    def __init__(self) -> None:
        self.headings: dict[tuple[str, str, str], Heading] = {}
        self.refusals: list[FileError] = []
        self.more_notes = 0
        self.more_refusals = 0
        self.refused = 0
        self._notes: dict[tuple[object, ...], Note] = {}
        self._times: dict[tuple[object, ...], int] = {}

    def note(self, where: str, row: int, column: str, found: str, taken: str, why: str) -> None:
        """Add an interpretation of a row or of the file; the same again is counted."""
        key = ("" if row else where, column, found, taken, why)  # what is said of a sheet is said of each
        if not self._again(key):
            self._add(key, Note(where, row, column, found[:200], taken[:200], why))

    def interpret(self, spot: Spot, taken: str, why: str) -> None:
        """Add an interpretation of a cell; the same in the same column is counted."""
        key = (spot.column.table.sheet, spot.column.index, spot.text, taken, why)
        if not self._again(key):
            self._add(key, Note(spot.place, spot.row, spot.column.name, spot.text[:200], taken[:200], why))

    def _again(self, key: tuple[object, ...]) -> bool:
        times = self._times.get(key)
        if times is not None:
            self._times[key] = times + 1
        elif len(self._notes) >= MOST_NOTES:
            self.more_notes += 1
        else:
            return False
        return True

    def _add(self, key: tuple[object, ...], note: Note) -> None:
        self._notes[key] = note
        self._times[key] = 1

    def refuse(self, error: FileError) -> None:
        """Add what is left out."""
        self.refused += 1
        if len(self.refusals) < MOST_REFUSALS:
            self.refusals.append(error)
        else:
            self.more_refusals += 1

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes in the order in which they were found."""
        return tuple(replace(note, times=self._times[key]) for key, note in self._notes.items())
