"""The inputs of the board of one visit, and the papers that it offers; no widget in here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar

from hvaclib.boards.base import BoardModel, Choice, Inputs, MemberChoice, Number, Page, Upload
from hvaclib.boards.base.page import PageFile
from hvaclib.boards.finished_sheets import (
    ACCEPTED,
    LARGEST,
    counted,
    demo_sheets,
    loaded_words,
    rules_named,
    sheets_in,
    visits_text,
)
from hvaclib.boards.one_visit import page
from hvaclib.boards.one_visit.reading import Sheet, sheet_of
from hvaclib.errors import FileError
from hvaclib.rules import available
from hvaclib.units import kinds

if TYPE_CHECKING:
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Understood

MOST = 1_000
"""Sheets of a file that the list can hold."""
FIRST = "INVENTED-102"
"""Demo sheet shown first, where there is one of that name: the worst case of an atmospheric water heater."""

NAMES = {"findings": "Findings letter"}
"""Papers whose short name does not say what they are."""


class OneVisitBoard(BoardModel):
    """One finished job sheet, walked through in the order of the work."""

    title = "What does this sheet say, step by step?"
    question = (
        "Which steps of this job were done, missing, wrong or out of order; what was written, what do the rules say of "
        "it, and what is to be done?"
    )
    name = "one-visit"
    kept_open = "Sheet"
    uploads: ClassVar[tuple[Upload, ...]] = (Upload("sheet", "Load a job sheet", ACCEPTED, LARGEST),)
    sheet = MemberChoice(label="Sheet", group="Sheet")
    step = Number(
        kinds.DIMENSIONLESS, "1", low="1", high="24", step=1, label="Step", group="Sheet", whole=True,
        help="In the order of the work.",
    )  # fmt: skip
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")

    def __init__(self, **values: Any) -> None:
        self._loaded: Understood | None = None
        self._visits: dict[str, Visit] = {}
        self._sheets: dict[tuple[str, str], Sheet] = {}
        super().__init__(**values)
        self._offer([visit for each in demo_sheets() for visit in each.visits])

    def _offer(self, visits: Sequence[Visit]) -> None:
        """Let one choose among these sheets; a second one of the same id gets a number behind it."""
        self._visits, self._sheets = {}, {}
        for visit in visits:
            key, number = visit.job.id, 1
            while key in self._visits:
                number += 1
                key = f"{visit.job.id} ({number})"
            self._visits[key] = visit
        options = {
            key: f"{key}: {visit.job.contractor}, {visit.job.date.isoformat()}"
            for key, visit in self._visits.items()
        }
        start = FIRST if FIRST in options and self._loaded is None else next(iter(options))
        self.set_options("sheet", options, start)

    @property
    def visit(self) -> Visit:
        """The sheet that is chosen."""
        return self._visits[self.sheet]

    # -- the answer ---------------------------------------------------------------------------------------------

    def compute(self, inputs: Inputs) -> Sheet:
        """The review of the sheet, worked out once for each rule set."""
        from hvaclib.review.record import review_visit

        key = (inputs.sheet, inputs.rule_set)
        if key not in self._sheets:
            self._sheets[key] = sheet_of(
                review_visit(self._visits[inputs.sheet], rules_named(inputs.rule_set))
            )
        return self._sheets[key]

    def present(self, inputs: Inputs, outputs: Sheet | None, later: Any) -> Page:
        """Words, pictures and tables for the page."""
        del later  # the whole answer is quick
        return page.page_of(inputs, outputs, self._loaded)

    # -- files --------------------------------------------------------------------------------------------------

    def receive(self, upload: str, filename: str, content: bytes) -> str:
        """Take a file with one sheet or several."""
        del upload  # there is one
        found = sheets_in(content, filename)
        if len(found.visits) > MOST:
            raise FileError(
                "these are too many sheets to choose from", where=filename, given=f"{len(found.visits):,}",
                expected=f"at most {MOST:,}; the board of the pile takes more",
            )  # fmt: skip
        with self.held():
            self._loaded = found
            self._offer(found.visits)
            self.step = 1.0
        more = "" if len(found.visits) == 1 else f" Choose one of the {counted(len(found.visits), 'sheet')}."
        return f"{loaded_words(found)}{more}"

    def extra_files(self) -> Sequence[PageFile]:
        """Job sheet, findings, punch list and label, each as PDF and HTML, and the label as plain text."""
        from hvaclib.paper import PAPERS, html_of, label_lines, pdf_of
        from hvaclib.paper.write import safe_name

        review, system = self.compute(self.inputs()).review, self.system
        stem = safe_name(review.visit.job.id)
        files = []
        for name, make in PAPERS.items():
            document = make(review, "si" if system == "si" else "field")
            words = NAMES.get(name, f"{name[:1].upper()}{name[1:]}")
            files += [
                PageFile(f"{words} (PDF)", f"{stem} {name}.pdf", pdf_of(document), "application/pdf"),
                PageFile(
                    f"{words} (HTML)", f"{stem} {name}.html", html_of(document).encode("utf-8"), "text/html"
                ),
            ]
        text = "\n".join(label_lines(review.visit, system="si" if system == "si" else "field")) + "\n"
        return [*files, PageFile("Label (text)", f"{stem} label.txt", text.encode("utf-8"), "text/plain")]

    def saved_extra(self) -> dict[str, Any]:
        """Keep the sheet that was loaded and chosen with the settings."""
        return {} if self._loaded is None else {"sheet": visits_text([self.visit])}

    def restore_extra(self, extra: Mapping[str, Any]) -> None:
        """Bring a saved sheet back."""
        if "sheet" in extra:
            self._loaded = sheets_in(str(extra["sheet"]).encode("utf-8"), "saved settings.json")
            self._offer(self._loaded.visits)
        elif self._loaded is not None:
            self._loaded = None
            self._offer([visit for each in demo_sheets() for visit in each.visits])
