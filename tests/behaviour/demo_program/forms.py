"""The five forms in which the contractors of the demo program deliver their sheets, untidy as such files are."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
from collections.abc import Sequence

import openpyxl

from hvaclib.visit import Visit, item, items, to_text
from hvaclib.visit.file import to_document
from hvaclib.visit.sheets.writing import table_written

SAID = "Everything on this sheet is invented: contractor, homes, people and numbers."
_GROUPED = re.compile(r"(\d{2,3})(\d{3})(\.\d+)?")
_ANSWERS = {"yes": ("yes", "Y", "✓"), "no": ("no", "N", "no")}


def files_of(contractor: str, visits: Sequence[Visit]) -> dict[str, bytes]:
    """The files of a contractor by their names."""
    name = contractor.lower()
    if contractor == "Ash":
        return {f"{name}_wide.csv": _wide(visits)}
    if contractor == "Elm":
        return {f"{name}_long.csv": _long(visits)}
    if contractor == "Fir":
        return {f"{name}_book.xlsx": _book(visits)}
    if contractor == "Oak":
        document = {"visit": [to_document(each) for each in visits]}
        return {f"{name}_jobs.json": (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()}
    return {
        f"{each.job.id.lower().replace('-', '_')}.toml": f"# {SAID}\n\n{to_text(each)}".encode()
        for each in visits
    }


def _text(rows: Sequence[Sequence[str]], delimiter: str) -> str:
    held = io.StringIO()
    csv.writer(held, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return held.getvalue()


def _wide(visits: Sequence[Visit]) -> bytes:
    """One row a visit: a title above, names of the trade in the headings, grouped thousands, true minus signs, marks for yes."""
    (header, *rows), _ = table_written(visits, "wide")
    header = [_said(text) for text in header]
    number = 0
    for row in rows:
        for index, written in enumerate(row):
            number += 1
            cell = row[index] = written.removeprefix("'")  # nobody writes that a word is a word
            if cell in _ANSWERS and " new" not in header[index] and "condensing" not in header[index]:
                row[index] = _ANSWERS[cell][number % 3]
            elif "Btu/h" in header[index] and (found := _GROUPED.fullmatch(cell)):
                row[index] = f"{found[1]},{found[2]}{found[3] or ''}"
            elif cell.startswith("-") and cell[1:2].isdigit():
                row[index] = f"−{cell[1:]}"
            elif header[index].startswith("Carbon monoxide in the room air") and cell == "0":
                row[index] = "<1"
    foot = [f"{len(rows)} jobs. {SAID}"]
    return ("\ufeff" + _text([["Replacement jobs of the spring"], header, *rows, [], foot], ",")).encode()


def _said(heading: str) -> str:
    """A heading in the words of the trade in place of the item's id, as long as it is said once."""
    key = re.split(r"[ @|#:(]", heading, maxsplit=1)[0]
    if key not in {each.key for each in items()} or "|" in heading or "#" in heading or ":" in heading:
        return heading
    line = item(key)
    rest = heading[len(key) :]
    found = re.fullmatch(r"(?: @ ([^(]+?))?(?: \(([^()]+)\))?", rest)
    if found is None or line.place not in ("appliance", "house", "zone") or (found[1] or "").startswith('"'):
        return heading
    parts = [line.title, *([found[1]] if found[1] else [])]
    return " - ".join(parts) + (f" ({found[2]})" if found[2] else "")


def _long(visits: Sequence[Visit]) -> bytes:
    """One row an entry: semicolons, decimal commas, Windows-1252, dates with the day first, titles in place of ids."""
    (header, *rows), _ = table_written(visits, "long")
    column = {name: index for index, name in enumerate(header)}
    kept = [column[name] for name in ("job", "item", "where", "value", "unit", "at", "note", "photo")]
    titles = {each.key: each.title for each in items()}
    found = [[f"# {SAID}"], [header[index] for index in kept]]
    for row in rows:
        key, value = row[column["item"]], row[column["value"]]
        row[column["item"]] = titles.get(key, key)
        if key == "altitude":
            row[column["value"]] = f"{float(value):.0f}"
        elif row[column["unit"]]:
            row[column["value"]] = value.replace(".", ",")
        elif key == "date":
            row[column["value"]] = f"{dt.date.fromisoformat(value):%d.%m.%Y}"
        found.append([row[index] for index in kept])
    return _text(found, ";").encode("cp1252")


def _book(visits: Sequence[Visit]) -> bytes:
    """A workbook with a sheet for each half of the season; numbers, dates and times as a spreadsheet keeps them."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    half = len(visits) // 2
    for title, part in (("winter", visits[:half]), ("spring", visits[half:])):
        (header, *rows), _ = table_written(part, "long")
        column = {name: index for index, name in enumerate(header)}
        kept = [column[name] for name in ("job", "at", "item", "where", "value", "unit", "note", "photo")]
        sheet = book.create_sheet(title)
        sheet.append([SAID])
        sheet.append(["Work order", "Time", "What", "Place", "Found", "Unit", "Notes", "Photo"])
        for row in rows:
            sheet.append([_cell(row, index, column) for index in kept])
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def _cell(
    row: Sequence[str], index: int, column: dict[str, int]
) -> str | float | dt.time | dt.datetime | None:
    text = row[index]
    if index == column["at"] and text:
        return dt.time.fromisoformat(text)
    if index == column["value"] and row[column["unit"]]:
        return float(text) if re.fullmatch(r"-?\d+(\.\d+)?", text) else text
    if index == column["value"] and row[column["item"]] == "date":
        return dt.datetime.fromisoformat(text)
    return text or None
