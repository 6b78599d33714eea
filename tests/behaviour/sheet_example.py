"""A small table of two invented visits in five forms, and how a case of a TOML table changes it."""

import copy
import csv
import io
import json

import openpyxl
import tomli_w

WIDE = {
    "job": ("job", "A-1", "A-2"),
    "contractor": ("contractor", "Invented Heating", "Invented Heating"),
    "technician": ("technician", "Tech One", "Tech Two"),
    "date": ("date", "2026-03-14", "2026-03-17"),
    "altitude": ("altitude (ft)", "700", "650"),
    "kind": ("furnace: kind", "fan-assisted furnace", "fan-assisted furnace"),
    "fuel": ("furnace: fuel", "natural gas", "natural gas"),
    "zone": ("furnace: zone", "basement", "basement"),
    "input": ("furnace: input (Btu/h)", "60000", "80000"),
    "rated": ("furnace: rise (°F)", "40 to 70", "35 to 65"),
    "heater": ("water heater: kind", "draft-hood water heater", "draft-hood water heater"),
    "heater fuel": ("water heater: fuel", "natural gas", "natural gas"),
    "heater zone": ("water heater: zone", "basement", "basement"),
    "rise": ("temperature-rise @ furnace (°F)", "54", "51"),
    "co": ("flue-co @ furnace (ppm)", "12", "9"),
    "static": ("external-static @ furnace (in. w.c.)", "0.5", "0.62"),
    "draft": ("draft-worst-case @ water heater (Pa)", "-3.5", "-4"),
    "draft at": ("draft-worst-case @ water heater: at", "10:20", "9:05"),
    "filter": ("filter-fits @ furnace", "yes", "no"),
    "remarks": ("remarks", "nothing to add", "second visit"),
}
LONG = [
    ["job", "item", "where", "when", "value", "unit"],
    ["A-1", "contractor", "", "", "Invented Heating", ""],
    ["A-1", "date", "", "", "2026-03-14", ""],
    ["A-1", "furnace: kind", "", "", "fan-assisted furnace", ""],
    ["A-1", "furnace: fuel", "", "", "natural gas", ""],
    ["A-1", "furnace: zone", "", "", "basement", ""],
    ["A-1", "Temperature rise", "furnace", "", "54", "°F"],
]
DOCUMENT = {
    "format": "hvaclib visit 1",
    "job": {"id": "A-1", "contractor": "Invented Heating", "date": "2026-03-14"},
    "appliance": [
        {"name": "furnace", "kind": "fan-assisted furnace", "fuel": "natural gas", "zone": "basement"}
    ],
    "entry": [{"item": "temperature-rise", "where": "furnace", "value": "54 °F"}],
}


def rows(case):
    """The rows of text of a case, headings first."""
    if case.get("base") == "long":
        found = copy.deepcopy(LONG)
        for number, cells in case.get("rows", {}).items():
            found[int(number) - 1] = cells
    else:
        columns = {key: list(cells) for key, cells in WIDE.items() if key not in case.get("without", ())}
        for place, key in enumerate(("head", "set", "set3")):
            for name, text in case.get(key, {}).items():
                columns[name][place] = text
        found = [list(row) for row in zip(*columns.values(), *case.get("columns", ()), strict=True)]
    if "head_rows" in case:
        found[:1] = case["head_rows"]
    for number in case.get("drop", ()):
        found[number - 1] = None
    return [*case.get("before", ()), *(row for row in found if row is not None), *case.get("after", ())]


def content(case):
    """The bytes of the file of a case: of its rows, its document, or as they stand."""
    if "content" in case:
        return case["content"].encode(case.get("encoding", "utf-8"))
    if "hex" in case:
        return bytes.fromhex(case["hex"])
    form = case.get("form", "csv")
    if form == "xlsx":
        return workbook({"visits": rows(case)})
    if form in ("json", "toml"):
        return document(case, form).encode(case.get("encoding", "utf-8"))
    text = io.StringIO()
    quoting = csv.QUOTE_ALL if case.get("quoted") else csv.QUOTE_MINIMAL
    csv.writer(
        text, delimiter=case.get("delimiter", ","), lineterminator=case.get("newline", "\n"), quoting=quoting
    ).writerows(rows(case))
    plain = text.getvalue()
    for old, new in case.get("edit", ()):
        assert old in plain
        plain = plain.replace(old, new, 1)
    return plain.encode(case.get("encoding", "utf-8"))


def document(case, form="json"):
    """The text of a document of one visit, or of as many as the case has, with text changed as it says."""
    made = [copy.deepcopy(DOCUMENT) for _ in range(case.get("visits", 1))]
    whole = {case["under"]: made} if "under" in case else made if len(made) > 1 else made[0]
    text = json.dumps(whole, ensure_ascii=False) if form == "json" else tomli_w.dumps(whole)
    for old, new in case.get("edit", ()):
        assert old in text
        text = text.replace(old, new, 1)
    return text


def workbook(sheets, change=None):
    """The bytes of a workbook of sheets of rows; `change` is given the workbook before it is saved."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, found in sheets.items():
        sheet = book.create_sheet(name)
        for row in found:
            sheet.append(row)
    if change is not None:
        change(book)
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()
