"""From the rows of a table to the cells of each visit, in both forms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from hvaclib.errors import FileError
from hvaclib.visit.checklist import item
from hvaclib.visit.sheets.draft import Address, Draft, Spot, literal
from hvaclib.visit.sheets.heading import heading, recognised
from hvaclib.visit.sheets.layout import MOST_APPLIANCES, MOST_SUGGESTIONS, Layout
from hvaclib.visit.sheets.target import Target
from hvaclib.visit.sheets.understood import Heading, Report
from hvaclib.visit.sheets.values import missing
from hvaclib.visit.sheets.wide_rows import leave, left_out, wide_drafts
from hvaclib.visit.sheets.words import fold, words


def drafts(layout: Layout, report: Report) -> Iterator[Draft]:
    """The cells of each visit of a table.

    Parameters
    ----------
    layout : Layout
    report : Report
        Takes the rows that are left out.

    Yields
    ------
    Draft
        In the order of the table. A wide table is read row by row, a long one as a whole, since the rows of a visit need
        not stand together.
    """
    if layout.form == "wide":
        return wide_drafts(layout, report)
    return iter(_Long(layout, report).drafts())


@dataclass(slots=True)
class _Line:
    """The cells of one row of the long form, by the column they stand in."""

    number: int
    cells: dict[str, Spot]

    def text(self, key: str) -> str:
        spot = self.cells.get(key)
        return spot.text if spot is not None else ""


class _Long:
    """Reads a long table: one entry a row."""

    def __init__(self, layout: Layout, report: Report) -> None:
        self._layout = layout
        self._report = report
        self._columns = {each.target.key: each for each in layout.columns if each.target.sort == "entry"}
        self._job = [each for each in layout.columns if each.target.sort == "job"]
        self._named = any(each.target.key == "id" for each in self._job) or "visit" in self._columns
        self._drafts: dict[tuple[str, str], Draft] = {}
        self._counts: dict[tuple[int, Address], int] = {}
        self._known: dict[tuple[str, str], Target | FileError] = {}
        self._appliances: tuple[str, ...] = ()
        self._last: tuple[str, str] | None = None
        self._orphans = 0

    def drafts(self) -> list[Draft]:
        """The drafts in the order of their first rows."""
        self._appliances = self._names_of_appliances()
        for number, cells in self._layout.rows():
            line, facts = self._line(number, cells)
            if not line.cells and not facts:
                continue
            why = left_out(self._layout, cells, None)
            if why and not (
                self._layout.form == "form" or ("item" in line.cells and why.startswith("a row with"))
            ):
                leave(self._layout.table.place(number), number, cells, why, self._report)
                continue
            self._read(line, facts)
        return list(self._drafts.values())

    def _line(self, number: int, cells: Sequence[str]) -> tuple[_Line, list[Spot]]:
        spots = {}
        for key, column in self._columns.items():
            text, exact = literal(cells[column.index]) if column.index < len(cells) else ("", False)
            if text or exact:
                spots[key] = Spot(text, exact, number, column, "")
        facts = []
        for column in self._job:
            text, exact = literal(cells[column.index]) if column.index < len(cells) else ("", False)
            if text or exact:
                facts.append(Spot(text, exact, number, column, column.unit))
        return _Line(number, spots), facts

    def _names_of_appliances(self) -> tuple[str, ...]:
        column = self._columns["item"].index
        texts = dict.fromkeys(
            cells[column] for _, cells in self._layout.rows() if column < len(cells) and ":" in cells[column]
        )
        found = (recognised(text.removeprefix("'")) for text in texts)
        names = dict.fromkeys(
            each.where or "" for each in found if each is not None and each.sort == "appliance"
        )
        return tuple(islice(names, MOST_APPLIANCES))

    def _read(self, line: _Line, facts: list[Spot]) -> None:
        draft = self._draft(line, facts)
        if draft is None:
            return
        for spot in facts:
            draft.put(spot.column.target, None, spot, self._report)
        if "item" not in line.cells:
            if any(key != "visit" for key in line.cells):
                self._refuse(
                    "the row names no item, and is left out", line, "the id or title of an item under 'item'"
                )
            return
        target = self._target(line)
        if target is None:
            return
        value = line.cells.get("value")
        unit = line.text("unit") or target.unit
        if target.sort != "item":
            if value is not None:
                draft.put(target, None, value._replace(unit=unit), self._report)
            return
        address = self._address(draft, target, line)
        draft.answers[address] = {}
        if "where" in line.cells:
            draft.wheres[address] = line.cells["where"]
        if value is not None:
            draft.put(target, address, value._replace(unit=unit), self._report)
        for key, spot in line.cells.items():
            if key in ("at", "bound", "instrument", "note", "photo", "found_as"):
                draft.put(replace(target, part=key), address, spot, self._report)
        if not draft.answers[address] and value is None:
            draft.answers[address] = {"value": Spot("", False, line.number, self._columns["value"], "")}

    def _draft(self, line: _Line, facts: list[Spot]) -> Draft | None:
        """The draft that a row belongs to; a blank job cell is one that is merged with the cell above."""
        name = next((spot.text for spot in facts if spot.column.target.key == "id"), "")
        key = (line.text("visit"), name)
        if self._named and key == ("", ""):
            if self._last is None:
                if not self._orphans:
                    self._refuse(
                        "the row names no job, and is left out with those like it", line, "an id under 'job'"
                    )
                self._orphans += 1
                return None
            key = self._last
            where = self._layout.table.place(line.number)
            self._report.note(
                where, line.number, "job", "", key[1] or key[0], "a blank cell repeats the one above"
            )
        elif not self._named:
            key = self._key_of_form(line)
        self._last = key
        if key not in self._drafts:
            self._drafts[key] = Draft(self._layout.table, line.number)
        return self._drafts[key]

    def _key_of_form(self, line: _Line) -> tuple[str, str]:
        """Without a column for the job, another row 'job' begins another visit."""
        target = recognised(line.text("item"), self._appliances)
        known = self._last or ("", "0")
        begins = target is not None and target.sort == "job" and target.key == "id"
        if begins and known in self._drafts and "id" in self._drafts[known].job:
            return ("", str(int(known[1]) + 1))
        return known

    def _target(self, line: _Line) -> Target | None:
        text, stage = line.text("item"), line.text("when")
        key = (text, stage)
        if key not in self._known:
            try:
                self._known[key] = self._meant(text, stage, line.text("where"))
            except FileError as error:
                self._known[key] = error
            else:
                self._told(text, self._known[key])
        found = self._known[key]
        if isinstance(found, Target):
            return found
        self._refuse(f"{found.what}, and the row is left out", line, found.expected, found.given)
        return None

    def _meant(self, text: str, stage: str, where: str) -> Target:
        found = recognised(text, self._appliances)
        if found is None and where and not missing(where):
            found = recognised(f"{where}: {text}", self._appliances)
        if found is None:
            found = heading(text, self._appliances, len(self._known) < MOST_SUGGESTIONS)
        if found.sort == "entry":
            raise FileError("this is no item", given=text[:80], expected="the id or title of an item")
        if found.sort == "item" and fold(stage) in words("stages") and text != found.key:
            found = recognised(f"{text}, {stage}", self._appliances) or found
        return found

    def _told(self, text: str, target: Target | FileError) -> None:
        key = (self._layout.table.sheet, "", text)
        if isinstance(target, Target) and len(self._report.headings) < 2_000:
            self._report.headings.setdefault(key, Heading(*key, target.words, target.unit))

    def _address(self, draft: Draft, target: Target, line: _Line) -> Address:
        where, when = line.cells.get("where"), line.cells.get("when")
        name, exact = target.where, target.exact
        if where is not None:
            blank = missing(where.text) and not where.literal
            name, exact = ("" if blank else where.text), blank or where.literal
        stage = target.when
        if when is not None and when.literal:
            stage = when.text
        elif when is not None and not missing(when.text):
            stage = fold(when.text) if fold(when.text) in words("stages") else when.text
            if stage not in words("stages"):
                self._report.interpret(when, stage, "none of the usual stages, kept as it is written")
            stage = "" if stage == item(target.key).stage else stage
        count = (id(draft), Address(target.key, name, exact, stage, target.number))
        self._counts[count] = self._counts.get(count, 0) + 1
        return count[1]._replace(number=self._counts[count])

    def _refuse(self, what: str, line: _Line, expected: str, given: object = None) -> None:
        spot = line.cells.get("item") or next(iter(line.cells.values()), None)
        where = spot.place if spot is not None else self._layout.table.place(line.number)
        self._report.refuse(FileError(what, where=where, given=given, expected=expected))
