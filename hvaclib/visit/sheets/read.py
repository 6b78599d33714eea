"""Reading files of visits, whatever their form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from hvaclib.errors import FileError
from hvaclib.visit.model import Visit
from hvaclib.visit.sheets import documents, text, workbook
from hvaclib.visit.sheets.assemble import Assembler
from hvaclib.visit.sheets.draft import Draft
from hvaclib.visit.sheets.layout import Layout, layout_of
from hvaclib.visit.sheets.rows import drafts
from hvaclib.visit.sheets.table import LARGEST, Row, Table
from hvaclib.visit.sheets.understood import Report, Understood

_DOCUMENTS = (".toml", ".json")


@dataclass
class SheetReading:
    """One file as it is read.

    Parameters
    ----------
    source : str
        Name of the file.
    day_first : bool or None
        As for `read_content`.
    """

    source: str
    day_first: bool | None
    report: Report = field(default_factory=Report)
    form: str = ""
    encoding: str = ""
    delimiter: str = ""
    rows: int = 0
    """Rows of the text."""
    row: int = 0
    """Row that is being read."""

    def visits(self, content: bytes) -> Iterator[Visit]:
        """The visits one by one; notes and refusals gather in the report."""
        if len(content) > LARGEST:
            raise _too_large(self.source, len(content))
        if not content.strip(b" \r\n\t\x00\xef\xbb\xbf\xff\xfe"):
            raise FileError("the file is empty", where=self.source, expected="a table or a record of visits")
        if workbook.is_archive(content):
            yield from self.of_tables(workbook.tables_of(content, self.source), "XLSX")
            return
        decoded, self.encoding = text.decoded(content, self.source)
        if self.encoding == "Windows-1252":
            self.report.note(self.source, 0, "", "", "Windows-1252", "the text is not UTF-8")
        if self._is_document(decoded):
            found, self.form = documents.parsed(decoded, self.source)
            records = documents.records_in(found)
            if records is not None:
                rows = documents.rows_of(records)
                table = Table(self.source, "", lambda: enumerate(rows))
                yield from self.of_tables((table,), self.form)
                return
            yield from documents.visits_of(found, self.source, self.report)
            return
        table, self.delimiter = text.table_of(decoded, self.source)
        self.rows = decoded.count("\n") + 1
        yield from self.of_tables((replace(table, rows=lambda: self._watched(table)),), "CSV")

    def _watched(self, table: Table) -> Iterator[Row]:
        for self.row, cells in table.rows():
            yield self.row, cells

    def understood(self, visits: tuple[Visit, ...], more: int = 0) -> Understood:
        """What was understood, when all is read; `more` visits were given away one by one."""
        return Understood(
            self.source,
            self.form,
            visits,
            self.report.notes,
            tuple(self.report.refusals),
            self.encoding,
            self.delimiter,
            tuple(self.report.headings.values()),
            self.report.more_notes,
            self.report.more_refusals,
            more,
        )

    def _is_document(self, decoded: str) -> bool:
        if self.source.lower().endswith(_DOCUMENTS):
            return True
        if self.source.lower().endswith((".csv", ".tsv", ".txt")):
            return decoded.lstrip().startswith(('{"', '[{"'))
        return decoded.lstrip().startswith(("{", "[", "format ="))

    def of_tables(self, tables: tuple[Table, ...], kind: str) -> Iterator[Visit]:
        """The visits of tables; sheets that speak of one job are read together."""
        layouts = self._layouts(tables)
        self.form = " and ".join(dict.fromkeys(each.form for each in layouts)) + f" {kind}"
        make = Assembler(self.report, self.day_first)
        found: Iterable[Draft] = (
            drafts(layouts[0], self.report) if len(layouts) == 1 else self._joined(layouts)
        )
        draft = None
        for draft in found:
            visit = make.visit(draft)
            if visit is not None:
                yield visit
        if draft is None and not self.report.refused:
            self.report.refuse(
                FileError(
                    "there are headings, and no visit below them", where=self.source,
                    expected="a visit in each row, or an entry in each row",
                )
            )  # fmt: skip

    def _layouts(self, tables: tuple[Table, ...]) -> list[Layout]:
        found, first = [], None
        for table in tables:
            if table.hidden:
                self.report.note(table.where, 0, "", "", "", "the sheet is hidden, and is left out")
                continue
            try:
                found.append(layout_of(table, self.report))
            except FileError as error:
                first = first or error
                if len(tables) > 1:
                    self.report.note(table.where, 0, "", "", "", f"the sheet is left out: {error.what}")
        if not found:
            raise first or FileError(
                "every sheet is hidden", where=self.source, expected="a sheet of visits that can be seen"
            )
        return found

    def _joined(self, layouts: list[Layout]) -> list[Draft]:
        found: list[Draft] = []
        by_job: dict[str, Draft] = {}
        for layout in layouts:
            before = dict(by_job)
            for draft in drafts(layout, self.report):
                spot = draft.job.get("id")
                known = before.get(spot.text) if spot is not None else None
                if known is not None:
                    known.join(draft, self.report)
                    continue
                found.append(draft)
                if spot is not None:
                    by_job.setdefault(spot.text, draft)
        return found


def read_content(content: bytes, source: str, *, day_first: bool | None = None) -> Understood:
    """Read the visits in the content of a file, as an upload brings it.

    Parameters
    ----------
    content : bytes
        CSV, XLSX, TOML or JSON.
    source : str
        Name of the file, for its form and for messages.
    day_first : bool, optional
        Whether 03/04/2026 is the third of April, where nothing in the file settles it.

    Returns
    -------
    Understood
        Visits, notes and refusals. A file that cannot be read at all has one refusal and no visit.
    """
    reading = SheetReading(source, day_first)
    return _understood(reading, reading.visits(content))


def read_rows(rows: Sequence[list[str]], source: str, *, day_first: bool | None = None) -> Understood:
    """Read the visits of rows of text, as `read_content` reads a table.

    Parameters
    ----------
    rows : sequence of list of str
        Headings and data.
    source : str
        What messages call it.
    day_first : bool, optional
        As for `read_content`.

    Returns
    -------
    Understood
    """
    reading = SheetReading(source, day_first)
    table = Table(source, "", lambda: enumerate(rows, start=1))
    return _understood(reading, reading.of_tables((table,), "table"))


def _understood(reading: SheetReading, found: Iterator[Visit]) -> Understood:
    visits: list[Visit] = []
    try:
        visits.extend(found)
    except FileError as error:
        reading.report.refuse(error)
    return reading.understood(tuple(visits))


def read_sheets(path: str | Path, *, day_first: bool | None = None) -> Understood:
    """Read the visits of a file; the file itself is only opened for reading.

    Parameters
    ----------
    path : str or Path
        CSV, XLSX, TOML or JSON.
    day_first : bool, optional
        As for `read_content`.

    Returns
    -------
    Understood
        A file that cannot be read at all has one refusal and no visit.
    """
    path = Path(path)
    try:
        content = content_of(path)
    except FileError as error:
        return Understood(path.name, "", (), refusals=(error,))
    return read_content(content, path.name, day_first=day_first)


def content_of(path: Path) -> bytes:
    """Content of a file of bounded size.

    Parameters
    ----------
    path : Path

    Returns
    -------
    bytes

    Raises
    ------
    FileError
        If there is no such file, or it is a folder, too large or not to be read.
    """
    if path.is_dir():
        raise FileError("is a folder", where=str(path), expected="a file (.csv, .xlsx, .toml or .json)")
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise _too_large(path.name, size)
        return path.read_bytes()
    except FileNotFoundError:
        raise FileError("there is no such file", where=str(path)) from None
    except (OSError, ValueError) as error:
        if isinstance(error, FileError):
            raise
        reason = str(getattr(error, "strerror", None) or type(error).__name__).lower()
        raise FileError(f"the file cannot be read ({reason})", where=str(path)) from None


def _too_large(source: str, size: int) -> FileError:
    return FileError(
        "the file is too large", where=source, given=f"{size:,} bytes", expected=f"at most {LARGEST:,} bytes"
    )
