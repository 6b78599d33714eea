"""The pile board's inputs, and the shelf on which it keeps the reviews of an upload; no widget in here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, get_args
from urllib.parse import parse_qs

from hvaclib.boards.base import BoardModel, Choice, Inputs, MemberChoice, Number, Page, Upload
from hvaclib.boards.base.html import csv_text
from hvaclib.boards.base.page import PageFile
from hvaclib.boards.finished_sheets import (
    ACCEPTED,
    LARGEST,
    WORDS,
    counted,
    demo_sheets,
    loaded_words,
    rules_named,
    sheets_in,
    visits_text,
)
from hvaclib.boards.pile import page
from hvaclib.boards.pile.program import beside, program_sheets
from hvaclib.boards.pile.rows import ALL, ORDERS, Pile, Row, contractor_of, filtered, ordered, rows_of
from hvaclib.boards.pile.tables import sheet_rows
from hvaclib.errors import FileError
from hvaclib.review.remark import KINDS
from hvaclib.rules import available
from hvaclib.units import kinds
from hvaclib.visit.checklist import Acts

if TYPE_CHECKING:
    from hvaclib.review import Remark
    from hvaclib.visit import Visit
    from hvaclib.visit.sheets import Understood

DEMO, PROGRAM, LOADED = "demo", "program", "loaded"
QUICK = 12
"""Sheets that are reviewed at once; of a larger pile all in parts, while the page answers its controls."""
PART = 2
"""Sheets reviewed between two pauses: some 30 ms."""
GROWTH = 1.5
"""The page shows what is known so far when so many times more sheets are reviewed than when it last did."""
MOST = 5_000
"""Sheets that the board takes; the command line streams more."""
KEPT = 100
"""Sheets that settings hold."""


class PileBoard(BoardModel):
    """A pile of finished job sheets, sorted by what needs somebody first."""

    title = "Which of these sheets come first?"
    question = "A stack of finished job sheets comes back. Which of them need somebody today, which can wait, and for what?"
    name = "pile"
    uploads: ClassVar[tuple[Upload, ...]] = (
        Upload("sheets", "Load job sheets, several at once", ACCEPTED, LARGEST, several=True),
    )
    pile = Choice(
        {
            DEMO: "demo: nine invented sheets",
            PROGRAM: "demo: an invented program, mixed files",
            LOADED: "the sheets that you load",
        },
        DEMO, label="Pile", group="Pile",
    )  # fmt: skip
    time_for = Number(
        kinds.DIMENSIONLESS, "5", low="1", high="60", step=1, label="Sheets there is time for", group="Pile", whole=True,
        help="Underlined in the picture.",
    )  # fmt: skip
    order = Choice(ORDERS, "gravest", label="Order", group="Pile")
    rule_set = Choice({name: name for name in available()}, "plain", label="Rule set", group="Judge")
    severity = Choice({ALL: "all", **WORDS}, ALL, label="Gravest remark", group="Show only")
    contractor = MemberChoice(label="Contractor", group="Show only")
    kind = Choice(
        {ALL: "all", **{key: kind.title for key, kind in KINDS.items() if kind.about != "across"}},
        ALL, label="Kind of remark", group="Show only",
    )  # fmt: skip
    who = Choice(
        {ALL: "all", **{name: name for name in get_args(Acts)}}, ALL, label="Who must act", group="Show only"
    )

    def __init__(self, **values: Any) -> None:
        self._loaded: tuple[Understood, ...] = ()
        self._program: tuple[Understood, ...] = ()
        self._awaited = ""
        self._left_out = 0
        self._rows: dict[tuple[str, str], list[Row]] = {}
        self._across: dict[str, tuple[Remark, ...]] = {}
        self._visits: dict[str, tuple[Visit, ...]] = {}
        super().__init__(**values)
        self._name_contractors()
        self.observe(lambda _: self._name_contractors(), names="pile")

    @property
    def files(self) -> tuple[Understood, ...]:
        """What was understood of each file of the pile."""
        return {PROGRAM: self._program, LOADED: self._loaded}.get(self.pile) or (
            demo_sheets() if self.pile == DEMO else ()
        )

    @property
    def unread(self) -> bool:
        """Whether the files of the pile are still to be read."""
        return self.pile == PROGRAM and not self._program

    def visits(self) -> tuple[Visit, ...]:
        """The sheets of the pile, file by file."""
        if self.pile not in self._visits:
            if self.unread:
                return ()
            self._visits[self.pile] = tuple(visit for each in self.files for visit in each.visits)
        return self._visits[self.pile]

    def _name_contractors(self) -> None:
        names = {contractor_of(visit) for visit in self.visits()}
        if self.unread and self._awaited:
            names.add(
                self._awaited
            )  # a link asks for it; whether it is there is known when the files are read
        options = {ALL: "all", **{name: name for name in sorted(names, key=str.casefold) if name != ALL}}
        self.set_options("contractor", options, self.contractor if self.contractor in options else ALL)
        self._defaults["contractor"] = ALL

    def from_link(self, query: str) -> list[str]:
        """Set the inputs from a link; the contractor too whose file is not read yet."""
        self._awaited = parse_qs(query.lstrip("?")).get("contractor", [""])[0]
        return super().from_link(query)

    # -- the answer ---------------------------------------------------------------------------------------------

    def find_blockers(self, inputs: Inputs) -> list[str]:  # noqa: ARG002
        """Why there is no answer: no sheet is loaded."""
        if not self.visits() and not self.unread:
            said = f" These settings were saved without their {counted(self._left_out, 'sheet')}."
            return [f"No job sheet is loaded yet: load some.{said if self._left_out else ''}"]
        return []

    def compute(self, inputs: Inputs) -> Pile:
        """The pile as far as it has been reviewed; a small one is reviewed here, once for each rule set."""
        if len(self.visits()) <= QUICK:
            for _ in self._reviewing(inputs.rule_set):
                pass
        return self._known(inputs)

    def _reviewing(self, rule_set: str) -> Iterator[None]:
        visits, rules = self.visits(), rules_named(rule_set)
        done = self._rows.setdefault((self.pile, rule_set), [])
        while len(done) < len(visits):
            done += rows_of(visits[len(done) : len(done) + PART], rules)
            yield None

    def _known(self, inputs: Inputs) -> Pile:
        done, visits = self._rows.get((inputs.pile, inputs.rule_set), []), self.visits()
        rows = ordered(done, inputs.order)
        return Pile(
            rows,
            filtered(rows, inputs.severity, inputs.contractor, inputs.kind, inputs.who),
            round(inputs.time_for),
            tuple(contractor_of(visit) for visit in visits[len(done) :]),
            self.unread,
            self._across.get(inputs.pile),
            self.files,
            rules_named(inputs.rule_set),
            inputs.pile if inputs.pile != LOADED else "",
            self._left_out,
        )

    def compute_later(self, inputs: Inputs, outputs: Pile) -> Iterator[Any]:
        """The files, the rest of the reviews, what the visits say together, the other rule sets; with pauses."""
        del outputs  # what is kept here is newer
        if self.unread:
            self._program = yield from beside(program_sheets)
            self._name_contractors()  # a page begins again here, now that it knows its filters
            yield self._known(inputs)
        done, told = self._rows.setdefault((inputs.pile, inputs.rule_set), []), 0.0
        for _ in self._reviewing(inputs.rule_set):
            grown = len(done) >= GROWTH * told
            told = len(done) if grown else told
            yield self._known(inputs) if grown else None
        yield self._known(inputs)
        if inputs.pile not in self._across:
            yield from self._asking_across(inputs.pile)
            yield self._known(inputs)
        for name in available():
            yield from self._reviewing(name)

    def _asking_across(self, pile: str) -> Iterator[None]:
        from hvaclib.review.across import Tally

        tally = Tally()
        for number, visit in enumerate(self.visits(), start=1):
            tally.add(visit)
            if number % PART == 0:
                yield None
        # Seconds, the first time that a process asks; most of them in numpy, which lets the page's controls be heard.
        self._across[pile] = yield from beside(tally.remarks)

    def present(self, inputs: Inputs, outputs: Pile | None, later: Pile | None) -> Page:
        """Words, picture and tables for the page."""
        return page.page_of(inputs, later or outputs)

    def extra_files(self) -> Sequence[PageFile]:
        """Every sheet that the filters let through, the punch list of those that there is time for, the first sheet."""
        from hvaclib.paper import html_of, pdf_of, punch_list
        from hvaclib.paper.write import safe_name
        from hvaclib.visit import to_text

        pile: Pile | None = self.later or self.outputs
        if pile is None or not pile.shown:
            return ()
        text = csv_text(sheet_rows(pile.shown))
        first = pile.shown[0]
        todo = punch_list([row.review for row in pile.chosen])
        return (
            PageFile("Every sheet in this order (CSV)", "sheets.csv", text.encode("utf-8-sig"), "text/csv"),
            PageFile("Punch list of those there is time for (PDF)", "punch list.pdf", pdf_of(todo), "application/pdf"),
            PageFile(
                "Punch list of those there is time for (HTML)", "punch list.html", html_of(todo).encode("utf-8"),
                "text/html",
            ),
            PageFile(
                f"{first.sheet} (sheet, to be walked through)", f"{safe_name(first.sheet)}.toml",
                to_text(first.visit).encode("utf-8"), "application/toml",
            ),
        )  # fmt: skip

    # -- files --------------------------------------------------------------------------------------------------

    def receive(self, upload: str, filename: str, content: bytes) -> str:
        """Take a file of sheets; one of the same name takes the place of the earlier one."""
        del upload  # there is one
        found = sheets_in(content, filename)
        others = tuple(each for each in self._loaded if each.source != found.source)
        number = len(found.visits) + sum(len(each.visits) for each in others)
        if number > MOST:
            raise FileError(
                "these are too many sheets for a board", where=filename, given=f"{number:,} with those loaded before",
                expected=f"at most {MOST:,}; the command 'review' streams more",
            )  # fmt: skip
        self._take((*others, found))
        return loaded_words(found)

    def _take(self, files: tuple[Understood, ...]) -> None:
        self._loaded, self._left_out = files, 0
        self._visits.pop(LOADED, None)
        self._across.pop(LOADED, None)
        for key in [key for key in self._rows if key[0] == LOADED]:
            del self._rows[key]
        if self.pile == LOADED:
            self._name_contractors()
        else:
            self.pile = LOADED

    def saved_extra(self) -> dict[str, Any]:
        """Keep the loaded sheets with the settings; of a large pile only their number."""
        visits = tuple(visit for each in self._loaded for visit in each.visits)
        if not visits or self.pile != LOADED:
            return {}
        return {"left_out": len(visits)} if len(visits) > KEPT else {"sheets": visits_text(visits)}

    def restore_extra(self, extra: Mapping[str, Any]) -> None:
        """Bring saved sheets back."""
        if "sheets" in extra:
            self._take((sheets_in(str(extra["sheets"]).encode("utf-8"), "saved settings.json"),))
        elif "left_out" in extra:
            self._take(())
            self._left_out = int(extra["left_out"])
