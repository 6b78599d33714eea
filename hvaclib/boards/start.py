"""The door of the suite: who are you, which question; every answer is one board."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import Any

from hvaclib.boards.base.html import caution, escape


@dataclass(frozen=True, slots=True)
class Question:
    """One question and the board that answers it."""

    words: str
    hint: str
    link: str


@dataclass(frozen=True, slots=True)
class Reader:
    """Someone who comes through the door, and what they come to ask."""

    who: str
    why: str
    questions: tuple[Question, ...]


READERS = (
    Reader(
        "You teach, or you learn the trade",
        "See what a reading means before there is a live burner in front of you.",
        (
            Question(
                "Why does one shut door decide whether the water heater draws?",
                "A tight basement door, an air handler with leaky return ducts, a common vent.",
                "classroom/draft.ipynb?house=closed_door_fails&fans.air%20handler=on&doors.basement%20door%20shut=on",
            ),
            Question(
                "Are the fans guilty, or the vent?",
                "A house whose appliances spill even with every fan off.",
                "classroom/draft.ipynb?house=blocked_vent",
            ),
            Question(
                "What does the temperature rise tell?",
                "Too little air for this much heat, or too much: what moves the rise, and what to check first.",
                "classroom/rise.ipynb?house=closed_door_fails&airflow=650%20cfm",
            ),
            Question(
                "Which part of the ducts holds the air back?",
                "A blower against its ducts, four test holes, and a filter, coil or return drop that takes too much.",
                "classroom/static.ipynb?house=blocked_vent",
            ),
            Question(
                "What does a closed bedroom door do?",
                "The door as an instrument, and a grille pair that is too small although each grille looks large enough.",
                "classroom/rooms.ipynb?gap=0.5%20in&bays=2",
            ),
            Question(
                "Does this burner take the gas its plate allows?",
                "Clock the meter; manifold, orifice or supply; both readings of the altitude rule; gas pipes.",
                "classroom/firing.ipynb?time=90%20s",
            ),
            Question(
                "What does the flue gas say?",
                "Analyser readings to excess air, air-free carbon monoxide, losses, and sets of readings that cannot be.",
                "classroom/flue_gas.ipynb?before_o2=11%20%25&before_stack=480%20%C2%B0F",
            ),
            Question(
                "Does the water get out, and does the thermostat switch right?",
                "Condensate, its pump and its trap; anticipator, transformer and the morning after a setback.",
                "classroom/controls.ipynb",
            ),
            Question(
                "What does a sound job look like?",
                "A water heater that draws in all 1,024 combinations of fans and doors.",
                "classroom/draft.ipynb?house=passes",
            ),
        ),
    ),
    Reader(
        "You inspect finished jobs",
        "Begin with the sheets that came back, then ask what if of a house.",
        (
            Question(
                "Which of these sheets come first?",
                "Finished job sheets, any mix of files, sorted by what needs somebody today, and who must act.",
                "inspection/pile.ipynb?time_for=5",
            ),
            Question(
                "What does this sheet say, step by step?",
                "Done, missing, wrong, out of order; each reading with its margin; label, punch list and letter to print.",
                "inspection/one_visit.ipynb?sheet=INVENTED-202&step=5",
            ),
            Question(
                "What if, of this house: colder, a larger hood, a door shut, a liner?",
                "The house fitted to its readings, and the answer with the band that they leave.",
                "inspection/what_if.ipynb?house=passes&exhaust=350%20cfm",
            ),
            Question(
                "Would it still draw with a bigger range hood?",
                "Move the largest exhaust fan and watch the first five minutes.",
                "classroom/draft.ipynb?house=passes&exhaust=600%20cfm&fans.range%20hood=on",
            ),
            Question(
                "What would a bigger return drop do?",
                "Airflow, static pressure and rise move together: see all three before the sheet metal is cut.",
                "classroom/static.ipynb?house=blocked_vent&drop_width=20%20in",
            ),
            Question(
                "Where may the new terminal stand on this wall?",
                "Every clearance that is broken, drawn and dimensioned, and the places that are left.",
                "classroom/terminations.ipynb",
            ),
            Question(
                "The furnace leaves the chimney: is the water heater safe alone on it?",
                "Area, draft, liner, and how long the wall stays wet.",
                "classroom/chimney.ipynb",
            ),
            Question(
                "Does this room have air enough to burn?",
                "Room volume by both methods, or openings by route, with their louvers.",
                "classroom/combustion_air.ipynb",
            ),
            Question(
                "And in milder weather?",
                "The same vent at 75 °F, cold, with fans on.",
                "classroom/draft.ipynb?house=passes&outdoor=75%20%C2%B0F&fans.range%20hood=on&fans.dryer=on",
            ),
        ),
    ),
    Reader(
        "You keep the program's rules",
        "See what a limit rests on, and how far the sums can be trusted.",
        (
            Question(
                "How well does the vent model agree with the code's own table?",
                "Every row that was read, by height, lateral and diameter.",
                "theory/vent_capacity.ipynb",
            ),
        ),
    ),
)

CAUTIONS = (
    "Readings are taken beside gas, flame, hot metal and carbon monoxide: work with a meter that alarms.",
    "Follow the adopted code and the manufacturer's instructions, and leave what is not yours to a licensed technician.",
)


def door_html(readers: tuple[Reader, ...] = READERS) -> str:
    """The door as HTML: a heading, and for each reader a list of links to boards."""
    style = resources.files("hvaclib.boards.base").joinpath("board.css").read_text(encoding="utf-8")
    parts = [f"<style>{style}\n{STYLE}</style>", '<div class="board door"><h1>What do you want to know?</h1>']
    for reader in readers:
        parts.append(f"<section><h2>{escape(reader.who)}</h2><p>{escape(reader.why)}</p><ul>")
        parts += [
            f'<li><a href="{escape(item.link, quote=True)}">{escape(item.words)}</a>'
            f"<span>{escape(item.hint)}</span></li>"
            for item in reader.questions
        ]
        parts.append("</ul></section>")
    return "".join([*parts, caution(CAUTIONS) + "</div>"])


STYLE = """
.door section { margin: 0 0 1.4rem; max-width: 46rem; }
.board.door h1, .board.door h2 { font-weight: 700; }
.door ul { list-style: none; margin: .6rem 0 0 !important; padding: 0 !important; }
.door .board-caution { max-width: 46rem; }
.door li { margin: 0 0 .6rem; border-left: 4px solid #0072B2; background: #f4f7fa; }
.door li a { display: block; padding: .7rem .9rem .1rem; font-size: 1.05rem; font-weight: 600; color: #0b4f7d; }
.door li span { display: block; padding: 0 .9rem .7rem; color: #44505c; }
"""


def door() -> Any:
    """The door, shown as the only cell of ``start.ipynb``.

    A widget and not rendered HTML: the page's renderer takes relative links for files of a notebook folder and does
    not follow them.
    """
    import ipywidgets as widgets

    return widgets.HTML(door_html())
