"""Heat lost with the flue gas against excess air, one curve a stack temperature, with the reading before and after."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from hvaclib.errors import InputError
from hvaclib.plots.axes import Frame, finite, framed, nice_ticks, spread
from hvaclib.plots.letters import text_width
from hvaclib.plots.marks import Marks
from hvaclib.plots.picture import Picture
from hvaclib.plots.pointers import Key, between, key_row, key_rows, spot
from hvaclib.plots.style import BLUE, CHART_SHEETS, GREEN, GREY, PAPER, VERMILLION
from hvaclib.units import kinds, show

if TYPE_CHECKING:
    import numpy.typing as npt

    from hvaclib.plots.style import Sheet, System, Width

STACK = kinds.TEMPERATURE


@dataclass(frozen=True, slots=True)
class LossLines:
    """What the chart shows; shares of the higher heating value.

    Parameters
    ----------
    excess : ndarray
        Excess air, shape (N,), rising.
    stacks : ndarray
        Stack temperatures of the pale curves, K, shape (M,).
    family : ndarray
        Loss at each of them, shape (M, N).
    now : ndarray
        Loss at the present stack temperature, shape (N,).
    latent : float
        Loss when only the latent heat of all water leaves.
    stack, point : float and tuple of float
        Present stack temperature, K; excess air and loss.
    before : tuple of float or None
        Excess air, loss and stack temperature before the burner was set.
    """

    excess: npt.NDArray[np.float64]
    stacks: npt.NDArray[np.float64]
    family: npt.NDArray[np.float64]
    now: npt.NDArray[np.float64]
    latent: float
    stack: float
    point: tuple[float, float]
    before: tuple[float, float, float] | None = None

    def __post_init__(self) -> None:
        excess = finite(self.excess, "excess")
        shape = (finite(self.stacks, "stacks").size, excess.size)
        if finite(self.family, "family", 2).shape != shape or finite(self.now, "now").shape != excess.shape:
            raise InputError(
                "the lines do not fit", where="family", given=np.shape(self.family), expected=str(shape)
            )
        finite([*self.point, self.latent, self.stack, *(self.before or ())], "point")


def flue_loss_chart(lines: LossLines, width: Width = "wide", system: System = "field") -> Picture:
    """Draw the losses.

    Parameters
    ----------
    lines : LossLines
        Curves and readings.
    width : {"wide", "narrow"}
        Variant for a desktop column or for a phone.
    system : {"field", "si"}
        Unit system of the stack temperatures.

    Returns
    -------
    Picture

    Raises
    ------
    InputError
        From `LossLines`.
    """
    base, marks = CHART_SHEETS[width], Marks()
    keys: list[Key] = [
        (f"stack at {show(lines.stack, STACK, system, 0)}, as read", BLUE, 3.0, None),
        ("other stack temperatures", GREY, 1.4, None),
        ("latent heat of all its water", GREEN, 2.0, (8.0, 5.0)),
    ]
    rows = key_rows(base, keys, base.width - 20.0)
    sheet = replace(base, height=round(base.height + 50 + 1.5 * base.small * rows))
    right = (58.0 if base.narrow else 78.0) + 8.0
    box = (
        46.0 if base.narrow else 58.0,
        3.2 * sheet.small + 12,
        right,
        2.6 * sheet.body + 1.5 * sheet.small * rows,
    )
    top = max(
        lines.point[1], lines.latent * 2.6, lines.now.max(), 0.0 if lines.before is None else lines.before[1]
    )
    x_ticks = nice_ticks(0.0, 100 * float(lines.excess[-1]), 4 if base.narrow else 8)
    y_ticks = nice_ticks(0.0, min(105 * float(top), 100.0), 5 if base.narrow else 8)
    frame = framed(
        marks,
        sheet,
        box,
        x_ticks,
        y_ticks,
        "excess air, %",
        "loss with the flue gas, % of the higher heating value",
    )
    key_row(marks, sheet, (10.0, sheet.height - 2.35 * sheet.body), keys, sheet.width - 10.0)
    _curves(marks, frame, lines, sheet, system)
    _points(marks, frame, lines, sheet)
    return Picture(marks, sheet, loss_words(lines, system))


def _curves(marks: Marks, frame: Frame, lines: LossLines, sheet: Sheet, system: System) -> None:
    level = frame.y(100 * lines.latent)
    marks.stroke(
        [(frame.left, level), (frame.right, level)], colour=GREEN, width=2.0, layer=4, dash=(8.0, 5.0)
    )
    ends: list[tuple[float, str]] = []
    last = frame.right + 1e9
    for stack, losses in zip(lines.stacks, lines.family, strict=True):
        points = _inside(lines.excess, losses, frame)
        if len(points) > 1:
            marks.stroke(points, colour=GREY, width=1.4, layer=3)
        if 1 < len(points) < len(lines.excess):
            words, x = show(float(stack), STACK, system, 0), points[-1][0]
            wide = text_width(words, sheet.small) + 8
            if last - x > wide and x - wide / 2 > frame.left:
                marks.label(x, frame.top + 3, words, sheet.small, colour=GREY, across="center", up="bottom")
                last = x
        elif points:
            ends.append((points[-1][1], show(float(stack), STACK, system, 0)))
    marks.stroke(_inside(lines.excess, lines.now, frame), colour=BLUE, width=3.0, layer=6)
    places = spread([y for y, _ in ends], 1.15 * sheet.small, frame.bottom, frame.top)
    for y, (_, words) in zip(places, ends, strict=True):
        marks.label(
            frame.x(100 * float(lines.excess[-1])) + 6, y, words, sheet.small, colour=GREY, up="center"
        )


def _inside(
    excess: npt.NDArray[np.float64], losses: npt.NDArray[np.float64], frame: Frame
) -> list[tuple[float, float]]:
    return [
        (frame.x(100 * float(x)), frame.y(100 * float(y)))
        for x, y in zip(excess, losses, strict=True)
        if frame.y_range[0] <= 100 * y <= frame.y_range[1]
    ]


def _points(marks: Marks, frame: Frame, lines: LossLines, sheet: Sheet) -> None:
    here = (frame.x(100 * lines.point[0]), frame.y(100 * lines.point[1]))
    if lines.before is not None:
        start = (frame.x(100 * lines.before[0]), frame.y(100 * lines.before[1]))
        between(marks, start, here)
        spot(marks, start, GREY, filled=False, layer=9)
    spot(marks, here, VERMILLION, layer=10)
    words = f"{100 * lines.point[1]:.1f} % lost"
    wide = text_width(words, sheet.body, bold=True)
    x = min(max(here[0] - wide / 2, frame.left + 4), frame.right - wide - 2)
    y = here[1] + 14 if here[1] + 34 < frame.top else here[1] - 34
    corners = [(x - 3, y - 3), (x + wide + 3, y - 3), (x + wide + 3, y + sheet.body), (x - 3, y + sheet.body)]
    marks.polygon(corners, face=PAPER, edge=PAPER, width=0.0, layer=7)
    marks.label(x, y, words, sheet.body, bold=True)


def loss_words(lines: LossLines, system: System = "field") -> str:
    """The chart in sentences, for those who do not see it."""
    told = (
        f"Loss with the flue gas against excess air, one curve for each stack temperature. The reading: "
        f"{100 * lines.point[1]:.1f} % lost at {100 * lines.point[0]:.0f} % excess air and a stack of "
        f"{show(lines.stack, STACK, system, 0)}. The latent heat of all water alone is {100 * lines.latent:.1f} %."
    )
    if lines.before is not None:
        told += (
            f" Before: {100 * lines.before[1]:.1f} % lost at {100 * lines.before[0]:.0f} % excess air and "
            f"{show(lines.before[2], STACK, system, 0)}."
        )
    return told
