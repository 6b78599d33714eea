"""How wide a word is: the advance widths of the suite's first font, so that words can be kept apart without drawing them."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hvaclib.plots.marks import Label

Rectangle = tuple[float, float, float, float]
"""Left, bottom, right and top, px."""

# Thousandths of the size for the characters 32 to 126, from the horizontal metrics of DejaVu Sans 2.37 (Verdana, the
# second font, has the same); a test compares them with the font itself. Any other character counts as a wide letter.
PLAIN = """
    318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 636 636 636 636
    636 337 337 838 838 838 531 1000 684 686 698 770 632 575 775 752 295 295 656 557 863 748 787 603 787
    695 635 611 732 684 989 685 611 685 390 337 390 838 500 500 613 635 550 635 615 352 635 634 278 278
    579 278 974 634 612 635 635 411 521 392 634 592 818 592 592 525 636 337 636 838
"""
BOLD = """
    348 456 521 838 696 1002 872 306 457 457 523 838 380 415 380 365 696 696 696 696 696 696 696 696 696
    696 400 400 838 838 838 580 1000 774 762 734 830 683 683 821 837 372 372 775 637 995 837 850 733 850
    770 720 682 812 774 1103 771 724 725 457 365 457 838 500 500 675 716 593 716 678 435 716 712 343 343
    665 343 1042 712 687 716 716 493 595 478 712 652 924 645 652 582 712 365 712 838
"""
MINUS = 838
ELSE = 700
RISE, DROP = 0.76, 0.22  # of the size above and below the baseline: capitals with their accents, descenders


def _table(text: str) -> dict[str, int]:
    widths = {chr(32 + i): int(width) for i, width in enumerate(text.split())}
    return {**widths, "−": MINUS}


TABLES = {False: _table(PLAIN), True: _table(BOLD)}


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of a line of text, px."""
    table = TABLES[bold]
    return size * sum(table.get(letter, ELSE) for letter in text) / 1000.0


def label_box(label: Label) -> Rectangle:
    """The rectangle that a label covers, px from the lower left."""
    width = text_width(label.text, label.size, label.bold)
    left = label.x - {"left": 0.0, "center": 0.5, "right": 1.0}[label.across] * width
    baseline = label.y - BASELINES[label.up] * label.size
    return left, baseline - DROP * label.size, left + width, baseline + RISE * label.size


BASELINES = {"top": 0.93, "center": 0.36, "bottom": -0.22, "baseline": 0.0}
"""How far the baseline lies below the point that a label names, of the size (ascent 0.93, descent 0.24)."""


def wrap(text: str, width: float, size: float, bold: bool = False, lines: int = 2) -> list[str]:
    """Break a name at its spaces into at most so many lines; what still does not fit ends in an ellipsis."""
    broken = [""]
    for word in text.split():
        longer = f"{broken[-1]} {word}".strip()
        if text_width(longer, size, bold) <= width or not broken[-1] or len(broken) == lines:
            broken[-1] = longer
        else:
            broken.append(word)
    return [_cut(line, width, size, bold) for line in broken]


def _cut(line: str, width: float, size: float, bold: bool) -> str:
    if text_width(line, size, bold) <= width:
        return line
    while len(line) > 2 and text_width(line + "…", size, bold) > width:
        line = line[:-1].rstrip()
    return line + "…"


def fits(text: str, width: float, size: float, bold: bool = False, lines: int = 2) -> bool:
    """Whether a name can be wrapped into so many lines without losing a letter."""
    return not any(line.endswith("…") for line in wrap(text, width, size, bold, lines))
