"""The job sheet: every step in the order of the work, filled from a record or blank for the next job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hvaclib.paper.document import Bullets, Cautions, Document, Heading, Paragraph, Signatures, Table
from hvaclib.paper.values import Values, places
from hvaclib.visit import items, steps

if TYPE_CHECKING:
    from hvaclib.paper.document import Block
    from hvaclib.plots.style import System
    from hvaclib.visit import Appliance, Item, Visit

FOOT = "Local code, the manufacturer's instructions and the judgement of a licensed technician go before this sheet."
CAUTIONS = (
    "Smell of gas: touch no switch, get everyone out, and call the gas utility from outdoors.",
    "Keep a carbon monoxide meter running beside you from the first step to the last; leave when it alarms.",
    "Electricity: prove dead with a meter before hands go in. Hot surfaces, moving blower, ladders and roofs: "
    "work as you were trained, or not at all.",
)


def job_sheet(visit: Visit, system: System = "field") -> Document:
    """The job sheet of a visit.

    Parameters
    ----------
    visit : Visit
        Its equipment and scope decide which lines are on the sheet; what it has no entry for is left to fill in.
    system : {"field", "si"}, optional
        Units.

    Returns
    -------
    Document
    """
    values = Values(visit, system)
    job = visit.job
    head = [f"Contractor: {job.contractor}"]
    head += [f"{name}: {text}" for name, text in _of_job(visit) if text]
    blocks: list[Block] = [Bullets(tuple((line,) for line in head)), Cautions(CAUTIONS)]
    blocks += [Heading("Appliances"), _plates(visit.appliance)]
    for step in steps():
        rows = [row for line in items() if line.step is step for row in _rows(line, visit, values)]
        if rows:
            blocks.append(Heading(f"{step.number}  {step.title}"))
            blocks.append(Table(("", "What", "Where", "Answer", "Note"), tuple(rows), (1.2, 9, 4, 5, 5)))
    blocks.append(
        Paragraph(
            "Stop point: a wrong answer ends the work there. Make safe, call the program office, and go on only "
            "when it has answered.",
            strong=True,
        )
    )
    blocks.append(Signatures(("Technician", "Client", "Inspector")))
    invented = " Invented for training." if job.invented else ""
    return Document(
        title="Job sheet",
        below=f"Job {job.id}, {job.date.isoformat()}, {job.contractor}.{invented}",
        blocks=tuple(blocks),
        foot=f"Job {job.id}. {FOOT}",
    )


def _of_job(visit: Visit) -> tuple[tuple[str, str], ...]:
    job = visit.job
    return (
        ("Technician", job.technician),
        ("Client", job.client),
        ("Address", job.address),
        ("Altitude", job.altitude if job.altitude != "0 ft" else ""),
        ("Scope", ", ".join(job.scope)),
    )


def _plates(appliances: tuple[Appliance, ...]) -> Table:
    rows = []
    for each in appliances:
        plate = [
            ("input", each.input),
            ("input at this altitude", each.input_at_altitude),
            ("efficiency", each.efficiency),
            ("rise", " to ".join(each.rise) if each.rise else ""),
            ("maximum static", each.maximum_static),
            ("manifold", each.manifold_pressure),
        ]
        told = ", ".join(f"{name} {text}" for name, text in plate if text)
        made = "new" if each.is_new else "kept"
        rows.append((each.name, f"{made}, {each.kind}, {each.fuel}", each.zone, told))
    return Table(("Appliance", "What it is", "Zone", "Rating plate"), tuple(rows), (4, 6, 3, 8))


def _rows(line: Item, visit: Visit, values: Values) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for where in places(line, visit):
        found = [
            entry for entry in visit.entries(line.key) if (entry.where or line.where or "house") == where
        ]
        title = f"Stop point: {line.title}" if line.stop or line.wrong == "stop and call" else line.title
        place = "" if line.place == "house" else where
        if not found:
            computed = values.shown(line.key, where) if line.numeric else ""
            rows.append(("☑" if computed else "☐", title, place, computed, ""))
        for entry in found:
            notes = [
                entry.note,
                f"at {entry.at}" if entry.at else "",
                f"photo {entry.photo}" if entry.photo else "",
            ]
            answer = values.of_entry(entry)
            mark = "☑" if answer else "☐"
            rows.append(
                (mark, title, place, answer or "not taken", "; ".join(note for note in notes if note))
            )
    return rows
