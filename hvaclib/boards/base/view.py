"""The view of any board: controls left or on top, the answer in words, cautions, pictures, numbers, sources."""

from __future__ import annotations

import json
import os
from importlib import resources
from typing import TYPE_CHECKING, Any

import ipywidgets as widgets

from hvaclib.boards.base import html
from hvaclib.boards.base.controls import Control, control_for, made
from hvaclib.boards.base.files import SETTINGS_LARGEST, ExportPanel, UploadControl
from hvaclib.boards.base.guard import sentence_of
from hvaclib.boards.base.model import Upload
from hvaclib.boards.base.update import UpdateLoop

if TYPE_CHECKING:
    from collections.abc import Iterator

    from hvaclib.boards.base.model import BoardModel
    from hvaclib.boards.base.page import Page

# Pictures with a place of their own; the others share one. All are made before the page is shown, because a widget
# that is born while a page is loading can be missed by it.
PLACES = 3
STALE = "board-stale"
VERDICT_CLASSES = {"pass": "suite-pass", "fail": "suite-fail", "unsure": "suite-unsure"}


class BoardView:
    """Widgets bound to a model.

    Parameters
    ----------
    model : BoardModel
        Its inputs become controls; its page is shown.

    Attributes
    ----------
    widget : ipywidgets.Box
        The whole board.
    controls : dict of str to Control
        By input.
    """

    def __init__(self, model: BoardModel) -> None:
        self.model = model
        self.controls: dict[str, Control] = {n: control_for(model, n, t) for n, t in model.declared().items()}
        self.uploads = [UploadControl(model, upload) for upload in model.uploads]
        self.settings = UploadControl(
            model, Upload("settings", "Load saved settings", ".json", SETTINGS_LARGEST)
        )
        self.export = ExportPanel(model)
        self.notice = made(widgets.HTML, "board-html", "board-message", "suite-live")
        self.answer = made(widgets.HTML, "board-html", "board-answer", "suite-live")
        self.reasons = made(widgets.HTML, "board-html", "board-reasons", "suite-live")
        self.cautions = made(widgets.HTML, "board-html", "board-cautions", "suite-live")
        self.places = [made(widgets.HTML, "board-html") for _ in range(PLACES + 1)]
        self.places[0].add_class("board-main")
        self.pictures = made(widgets.VBox, "board-html", children=self.places[1:])
        self.numbers = made(widgets.HTML, "board-html")
        self.arrival = made(widgets.Button, "board-arrival", description="ready")
        self.widget = self._arranged()
        self.loop = UpdateLoop(self._quick, self._slow, self._show_later, self._failed)
        model.on_inputs(self.loop.request)
        self.arrival.on_click(lambda _: self._arrived())
        self.loop.run_now()

    def _arranged(self) -> widgets.Box:
        """The answer beside its cautions, then controls, main picture and the rest; board.css places them by width."""
        head = f"<style>{_own('board.css')}</style><h1>{html.escape(self.model.title)}</h1>"
        title = made(
            widgets.HTML,
            "board-html",
            "board-title",
            value=f"{head}<p>{html.escape(self.model.question)}</p>",
        )
        groups: dict[str, list[Any]] = {}
        for name, trait in self.model.declared().items():
            groups.setdefault(trait.section or "Settings", []).append(self.controls[name].box)
        if self.uploads:
            groups["Files"] = [u.box for u in self.uploads]
        groups["Keep and share"] = [self.settings.box, self.export.box]
        controls = made(
            widgets.Box,
            "board-controls",
            children=[
                _group(title, boxes, kept=title == self.model.kept_open) for title, boxes in groups.items()
            ],
        )
        rest = made(widgets.Box, "board-rest", children=[self.pictures, self.numbers])
        said = made(widgets.VBox, "board-said", children=[self.answer, self.reasons])
        top = made(widgets.Box, "board-top", children=[said, self.cautions])
        columns = made(widgets.Box, "board-columns", children=[self.places[0], controls, rest])
        return made(widgets.VBox, "board", children=[title, self.notice, top, columns, self.arrival])

    def _ipython_display_(self) -> None:
        from IPython.display import HTML, display

        display(self.widget)
        display(HTML(f"<script>{_own('board.js')}</script>"))

    # -- update -------------------------------------------------------------------------------------------------

    def _quick(self) -> bool:
        """Controls, answer and pictures for the present inputs; true when there is an answer."""
        answered = self.model.refresh()
        for control in self.controls.values():
            control.follow()
        if not answered:
            self._show_answer(self.model.blockers, "unsure")
            return False
        return self._show()

    def _show(self, numbers: bool = False, settled: bool = False) -> bool:
        """Show the page; the numbers below the pictures only when the hand rests. False when it could not be made."""
        try:
            page = self.model.page()
            svgs = [html.figure(p.title, p.picture.svg(), p.caption) for p in page.pictures]
            self._show_answer(page.answer, page.verdict, page.links)
            _put(self.cautions, html.caution(page.cautions, strong=page.verdict in ("fail", "unsure")))
            self._show_pictures(svgs, settled)
            if numbers or not self.numbers.value:
                self._show_numbers(page)
        except Exception as error:  # noqa: BLE001 - becomes a sentence; the picture stays
            self._failed(error)
            return False
        return True

    def _show_answer(self, sentences: Any, verdict: str, links: Any = ()) -> None:
        for key, name in VERDICT_CLASSES.items():
            if key != verdict and name in self.answer._dom_classes:
                self.answer.remove_class(name)
        if verdict and VERDICT_CLASSES[verdict] not in self.answer._dom_classes:
            self.answer.add_class(VERDICT_CLASSES[verdict])
        first, *others = [*sentences, ""][: max(1, len(sentences))]
        _put(self.answer, html.paragraphs([first]))
        onward = "".join(html.link(item.words, item.address) for item in links)
        _put(self.reasons, html.paragraphs(others) + onward)

    def _show_pictures(self, svgs: list[str], settled: bool) -> None:
        """Each picture keeps its place, so that nothing flickers.

        What only the slow work gives stays, dimmed, until it is done for the new inputs: the page keeps its height.
        """
        contents = [*svgs[:PLACES], *[""] * (PLACES - len(svgs)), "".join(svgs[PLACES:])]
        for place, content in zip(self.places, contents, strict=True):
            waiting = not content and not settled and bool(place.value)
            if waiting and STALE not in place._dom_classes:
                place.add_class(STALE)
            elif not waiting and STALE in place._dom_classes:
                place.remove_class(STALE)
            if not waiting:
                _put(place, content)

    def _show_numbers(self, page: Page) -> None:
        tables = "".join(
            html.fold(t.title, html.table(t.title, t.rows), is_open=i == 0 or t.is_open)
            for i, t in enumerate(page.tables)
        )
        _put(self.numbers, tables + html.fold("Sources", html.bullet_list(page.sources)))

    def _slow(self) -> Iterator[Any]:
        """After the last move: the numbers and the link, then the board's own slow work."""
        self.export.follow()
        self._show(numbers=True)
        yield None
        yield from self.model.compute_later(self.model.inputs(), self.model.outputs)
        self._show(numbers=True, settled=True)

    def _show_later(self, part: Any) -> None:
        self.model.later = part
        self._show(numbers=True)

    def _arrived(self) -> None:
        """The page has its widgets, says its script: what was shown before went to nobody, and is sent again."""
        if self.loop.begun:
            told = (self.answer, self.reasons, self.cautions, *self.places, self.numbers)
            for place in (*told, self.export.link, self.export.address):
                place.send_state(["value", "_dom_classes"])
        self.loop.arrived()

    def _failed(self, error: Exception) -> None:
        self._show_answer([sentence_of(error)], "unsure")


def _group(title: str, boxes: list[Any], *, kept: bool) -> widgets.Box:
    heading = made(widgets.HTML, value=html.group_heading(title, kept=kept))
    return made(widgets.VBox, "board-group", children=[heading, *boxes])


def _own(name: str) -> str:
    """A style sheet or script of the boards."""
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


def _put(place: widgets.HTML, text: str) -> None:
    if place.value != text:
        place.value = text


def open_board(model: BoardModel) -> BoardView:
    """A view of a model set from the page's link; the last line of a notebook.

    Parameters
    ----------
    model : BoardModel
        With its defaults.

    Returns
    -------
    BoardView
        Shows itself. What the link could not set is said above the answer.

    Notes
    -----
    The view is built before the link is asked for, so that a page kept ready for a visitor has done its work.
    """
    view = BoardView(model)
    if _kept_ready() and not model.blockers:
        view.loop.finish_now()
    query = _query()
    if query:
        view.notice.value = html.paragraphs(model.from_link(query))
        view.loop.run_now()  # the page is sent when the cell ends: what it shows must be this view already
    return view


def _kept_ready() -> bool:
    """Whether this page is run before its visitor comes."""
    return os.environ.get("VOILA_PREHEAT") == "True"


def _query() -> str:
    """The query string of the page under the dashboard server; nothing in a notebook or a script.

    A page that was kept ready was run before its visitor came: there the server is asked, and answers when somebody
    opens the page. The server's own helper would do, but its import takes longer than the whole board.
    """
    if not _kept_ready():
        return os.environ.get("QUERY_STRING", "")
    from websockets.sync.client import connect

    place = os.environ
    address = f"{place['VOILA_APP_IP']}:{place['VOILA_APP_PORT']}{place['VOILA_SERVER_URL']}"
    with connect(f"ws://{address}voila/query/{place['VOILA_KERNEL_ID']}") as line:
        return str(json.loads(line.recv())["QUERY_STRING"])
