"""Files in and out of a board: uploads with a size cap, the view as picture, table and settings, the link."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import ipywidgets as widgets

from hvaclib.boards.base import html
from hvaclib.boards.base.controls import made
from hvaclib.boards.base.guard import guarded, sentence_of
from hvaclib.errors import FileError

if TYPE_CHECKING:
    from hvaclib.boards.base.model import BoardModel, Upload

SETTINGS_LARGEST = 2_000_000  # bytes: a settings file holds a dwelling at most


def size_text(size: int) -> str:
    """A file size as a person says it."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"


class UploadControl:
    """A button that takes a file, or several; what was read, or why not, stands beside it in a sentence a file."""

    def __init__(self, model: BoardModel, upload: Upload) -> None:
        self.model, self.upload = model, upload
        words = f"{upload.label} (at most {size_text(upload.largest)})"
        self.button = made(
            widgets.FileUpload,
            "board-button",
            accept=upload.accept,
            multiple=upload.several,
            description=words,
            tooltip=words,
        )
        self.message = made(widgets.HTML, "board-message", "suite-live")
        self.box = made(widgets.VBox, "board-control", children=[self.button, self.message])
        self.button.observe(guarded(self.say)(self._taken), names="value")

    def say(self, *sentences: str) -> None:
        """Put sentences beside the button."""
        self.message.value = html.paragraphs(sentences)

    def _taken(self, change: Any) -> None:
        if change["new"]:
            with self.model.held():
                taken = [self._take(str(file["name"]), bytes(file["content"])) for file in change["new"]]
            self.say(*(said for said, _ in sorted(taken, key=lambda each: each[1])))  # refused ones first
            (self.message.add_class if all(good for _, good in taken) else self.message.remove_class)(
                "board-taken"
            )
            self.button.value = ()  # else the same file, put right, could not be chosen again

    def take(self, filename: str, content: bytes) -> str:
        """Hand a file to the model, and give back the sentence to show."""
        return self._take(filename, content)[0]

    def _take(self, filename: str, content: bytes) -> tuple[str, bool]:
        """The sentence, and whether the file was taken."""
        try:
            self._check_size(filename, content)
            if self.upload.name == "settings":
                return self._settings(filename, content), True
            with self.model.held():
                return self.model.receive(self.upload.name, filename, content), True
        except Exception as error:  # noqa: BLE001 - becomes the sentence beside the button
            return sentence_of(error), False

    def _check_size(self, filename: str, content: bytes) -> None:
        if len(content) > self.upload.largest:
            raise FileError(
                "the file is too large",
                where=filename,
                given=size_text(len(content)),
                expected=f"at most {size_text(self.upload.largest)}",
            )

    def _settings(self, filename: str, content: bytes) -> str:
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError as error:
            raise FileError(
                "this is not a text file", where=filename, expected="settings saved by this board, UTF-8"
            ) from error
        return " ".join(self.model.from_settings(text)) or f"Settings loaded from {filename}."


class ExportPanel:
    """The link to the view, and on demand its files as links that hold them.

    Files are made when asked for, because a picture for print takes longer than a screen may.
    """

    def __init__(self, model: BoardModel) -> None:
        self.model = model
        self._made_for = ""
        self.link = made(widgets.HTML, "board-html")
        self.address = made(
            widgets.Text,
            "board-field",
            description="Settings in the link",
            disabled=False,
            continuous_update=False,
        )
        self.button = made(widgets.Button, "board-button", description="Make files of this view")
        self.files = made(widgets.HTML, "board-html", "suite-live")
        self.box = made(
            widgets.VBox,
            "board-control",
            "board-export",
            children=[self.link, self.address, self.button, self.files],
        )
        self.button.on_click(guarded(self._say)(lambda _: self.make()))

    def _say(self, sentence: str) -> None:
        self.files.value = html.paragraphs([sentence])

    def follow(self) -> None:
        """Bring the link up to date and take away files of an earlier view."""
        query = self.model.to_link()
        self.link.value = (
            f'<a class="board-link" href="?{html.escape(query, quote=True)}">Link to this view</a> '
            "(copy its address, or the settings below)"
        )
        self.address.value = f"?{query}"
        if self.files.value and self.model.to_settings() != self._made_for:
            self.files.value = ""

    def make(self) -> None:
        """Make the files of the present view and show a link for each."""
        model, page = self.model, self.model.page()
        links = []
        for i, shown in enumerate(page.pictures):
            stem = f"{model.name}-{i + 1}"
            links += [
                html.download_link(
                    f"{shown.title} (PNG)", f"{stem}.png", shown.picture.file("png"), "image/png"
                ),
                html.download_link(
                    f"{shown.title} (SVG)", f"{stem}.svg", shown.picture.file("svg"), "image/svg+xml"
                ),
            ]
        for i, table in enumerate(page.tables):
            content = html.csv_text(table.rows).encode(
                "utf-8-sig"
            )  # the mark tells spreadsheets that it is UTF-8
            links.append(
                html.download_link(
                    f"{table.title} (CSV)", f"{model.name}-table-{i + 1}.csv", content, "text/csv"
                )
            )
        links += [
            html.download_link(each.words, each.name, each.content, each.mime) for each in model.extra_files()
        ]
        self._made_for = (
            model.to_settings()
        )  # a click right after a change comes before the board has followed it
        settings = self._made_for.encode("utf-8")
        links.append(
            html.download_link(
                "Settings (to load again)", f"{model.name}-settings.json", settings, "application/json"
            )
        )
        self.files.value = "<p>" + " ".join(links) + "</p>"
