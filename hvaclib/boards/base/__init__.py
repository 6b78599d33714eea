"""The base of every board: write a `BoardModel` with `compute` and `present`, and call `open_board` on it.

class Draft(BoardModel):
    title, question, name = "Worst-case draft", "Does this vent hold its draft?", "draft"
    outdoor = Number(kinds.TEMPERATURE, "35 °F", low="-20 °F", high="110 °F", step=1, label="Outdoor temperature")
    fans = Switches(label="Fans")

    def compute(self, inputs): ...                        # pure, quick: the main picture rests on it
    def compute_later(self, inputs, outputs): yield ...   # slow work in parts
    def present(self, inputs, outputs, later): return Page(answer=[...], pictures=[...], tables=[...])

open_board(Draft())
"""

from hvaclib.boards.base.inputs import Choice, MemberChoice, Number, Switch, Switches, Typed
from hvaclib.boards.base.model import BoardModel, Inputs, Upload
from hvaclib.boards.base.page import Page, PageFile, PageLink, PagePicture, PageTable
from hvaclib.boards.base.view import BoardView, open_board

__all__ = [
    "BoardModel",
    "BoardView",
    "Choice",
    "Inputs",
    "MemberChoice",
    "Number",
    "Page",
    "PageFile",
    "PageLink",
    "PagePicture",
    "PageTable",
    "Switch",
    "Switches",
    "Typed",
    "Upload",
    "open_board",
]
